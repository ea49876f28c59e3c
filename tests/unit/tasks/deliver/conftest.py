"""One finished shoot for all tests of the delivery: whoever writes into it takes a copy."""

from pathlib import Path

import pytest

from tests.shoots.re_lit import RELEASED, finished_shoot


@pytest.fixture(scope="session")
def finished_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return finished_shoot(tmp_path_factory.mktemp("made") / "my shoot", RELEASED)
