"""The nouns: frozen, typed, without I/O and without formulas."""
