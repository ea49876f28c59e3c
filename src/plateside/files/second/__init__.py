"""A second disk for the originals, and the memory card they come from: looked at, copied, read back."""
