"""JSON Schemas of the part file and the shop file, made of what their readers ask."""
