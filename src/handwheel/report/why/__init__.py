"""Why each number of the sheet is what it is: value, relation, inputs, source, standing, spread, what binds."""
