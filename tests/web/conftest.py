"""A small shoot and a server on it, as the tests of the pages have them."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.conftest import _made_shoot, _shared, opened_on, served, shoot, shoot_once
from tests.browser.serving import Served, serve

__all__ = ["_made_shoot", "_shared", "opened_on", "served", "served_once", "shoot", "shoot_once"]


@pytest.fixture(scope="module")
def served_once(shoot_once: Path) -> Iterator[Served]:
    """A server of its own for a module's tests: they try what a stranger would."""
    server = serve(shoot_once, "--no-watch")
    yield server
    server.stop()
