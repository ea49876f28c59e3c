"""Delivering: crops, words, the package and its proof."""
