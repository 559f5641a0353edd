"""When an effect on a size is too small to matter."""

SHARE_THAT_MATTERS = 0.1
"""Share of a tolerance up to which an effect is too small to matter; common practice, no source."""
