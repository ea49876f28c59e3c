"""A small shoot and a server on it, as the tests of the pages have them."""

from tests.browser.conftest import _made_shoot, served, served_once, shoot

__all__ = ["_made_shoot", "served", "served_once", "shoot"]
