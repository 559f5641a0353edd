"""Half sections of lines and arcs: area, volume, tool shapes, sweeps, contact, what is left."""
