"""Measurements, each printing its own table. The product is imported before numpy: it asks numpy's matrix library for
one thread, and so a bench measures what the product runs with."""

import plateside  # noqa: F401
