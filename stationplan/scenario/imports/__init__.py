"""Input in other shapes, written down in ours: order tables, and recipes in the vocabulary of schema.org."""
