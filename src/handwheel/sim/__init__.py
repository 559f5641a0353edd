"""Virtual lathes with a hidden truth, many at once; they judge advice and never give any."""
