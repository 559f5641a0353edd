"""Tables of facts, every row with its source and its standing, behind typed access."""
