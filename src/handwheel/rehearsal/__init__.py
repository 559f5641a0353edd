"""The bench's advice tried on virtual lathes: the chance that a plan gives a good part."""
