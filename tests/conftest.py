"""What every test stands on: nothing is written into the account of whoever runs them."""

import atexit
import gc
import os
import shutil
import tempfile
from collections.abc import Generator, Iterator

import pytest
from hypothesis import HealthCheck, settings

import tests.shoots.once  # noqa: F401 - the place of shoots that all workers share is made before they start
from plateside.files import damage

# the same examples in every run, as long as a busy machine needs for them: what is true of them today is so tomorrow
settings.register_profile(
    "steady", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")

_STATE = tempfile.mkdtemp(prefix="plateside-state-")
# servers and watchers that tests start as processes of their own inherit it
os.environ["PLATESIDE_STATE"] = _STATE
# nor is anything put into this account's menu
os.environ["XDG_DATA_HOME"] = f"{_STATE}/data"
atexit.register(shutil.rmtree, _STATE, ignore_errors=True)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """What is loaded and collected stays to the end: Python's search for cycles need not go through it again and again.

    It took a tenth of the time of tests that make many small things.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files with a test that takes long come first: at the end no worker then waits for another one's last test."""
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)


@pytest.fixture(autouse=True)
def _nothing_is_damaged_yet() -> Iterator[None]:
    """What one test found damaged is noted for the process, and would be said by the next one that watches or lists."""
    damage.taken()
    yield
    damage.taken()
