"""The independent judge: replays a sheet act by act on a model of the machine, then compares the part."""
