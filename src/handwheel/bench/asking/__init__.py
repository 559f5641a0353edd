"""Questions before a reading counts: whether it is plausible, and whether the gauge can decide."""
