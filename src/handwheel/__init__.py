"""Plan, set and measure small rings and ring-like parts on a manual lathe."""

__version__ = "0.1.0"
