"""When an effect on a size is too small to matter, and when a reading is too far off to be believed."""

SHARE_THAT_MATTERS = 0.1
"""Share of a tolerance up to which an effect is too small to matter; common practice, no source."""
MISREAD_MM = 0.2
"""A reading further than this from the expected one is not a cut's doing: stop and find out (common practice; far below
the 0.5 mm or 0.025 in slip of one instrument turn, practice case PC-05). [mm]"""
