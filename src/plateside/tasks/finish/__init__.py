"""Finishing: one matched series."""
