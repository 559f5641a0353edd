"""The edge that reads what people write: lengths as spoken in the workshop, part files, shop files."""
