"""Choosing: the best of each shot."""
