"""One finished shoot for all tests of the delivery: whoever writes into it takes a copy."""

from pathlib import Path

import pytest

from tests.shoots.re_lit import SHOOT, finished_shoot

RELEASED = SHOOT.replace("person = true", "person = true\nmodel_release = true").replace(
    "\nalt_text", '\ndeliberate = ["fewer pixels"]\nalt_text'
)
"""Nothing held back; the channel tall asks for more pixels than there are, and that is accepted."""


@pytest.fixture(scope="session")
def finished_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return finished_shoot(tmp_path_factory.mktemp("made") / "my shoot", RELEASED)
