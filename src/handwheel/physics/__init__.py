"""Published relations of cutting, one or a small family a module, as pure functions."""
