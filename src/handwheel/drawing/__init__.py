"""From plan to pictures: a drawing of lines and texts, what makes it, what writes it as SVG, DXF and PDF."""
