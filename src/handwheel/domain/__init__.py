"""Frozen types at the joints of the house: parts, shops, holdings, acts, plans."""
