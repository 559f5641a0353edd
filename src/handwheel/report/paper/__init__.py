"""The sheet on paper: what stands on each page as plain data, and the typesetting of it."""
