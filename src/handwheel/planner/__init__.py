"""From part and shop to a proven plan: zones, reach, order, passes, sheet. Pure: same input, same plan."""
