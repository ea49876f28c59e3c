"""A server that begins on a machine where nothing is compiled yet sees to it before anybody asks."""

from pathlib import Path

import pytest

from plateside.light.once_through import call_all
from tests.browser import serving


def test_a_server_compiles_ahead_and_notes_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # what has to be compiled on this machine is compiled here, however long it takes: the server finds it on disk
    call_all()
    state, home = tmp_path / "state", tmp_path / "shoots"
    home.mkdir()
    monkeypatch.setattr(serving, "STATE", str(state))
    served = serving.serve(home)
    try:
        note = state / "kernels.txt"
        serving.until(note.is_file)
        assert note.stat().st_size
    finally:
        served.stop()
