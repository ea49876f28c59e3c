"""Ctrl-C ends a command with one sentence at any moment, also while what it leans on is still being loaded."""

from types import SimpleNamespace
from typing import Any

import pytest

from plateside.cli import main as command


@pytest.mark.parametrize("moment", ["importlib", "_any_character", "damage_to_say"])
def test_ctrl_c_at_any_moment(
    moment: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_given: Any, **_named: Any) -> Any:
        raise KeyboardInterrupt

    monkeypatch.setattr(
        command, moment, SimpleNamespace(import_module=stopped) if moment == "importlib" else stopped
    )
    # 128 and the number of SIGINT, as shells give it (POSIX.1-2017, Shell Command Language, 2.8.2: over 128)
    assert command.main(["check", "no such folder"]) == 130
    assert "Traceback" not in "".join(capsys.readouterr())
