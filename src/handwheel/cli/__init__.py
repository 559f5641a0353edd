"""The command line: reads what was typed, calls one service, shows the outcome."""
