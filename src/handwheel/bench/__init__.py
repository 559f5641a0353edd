"""At the lathe: what is believed of a size being approached, and what to do next."""
