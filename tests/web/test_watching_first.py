"""A frame that landed while no server ran waits for the watching: it begins before the server itself is loaded."""

import json
import subprocess
import sys
from pathlib import Path

from tests.browser.serving import environment

TOLD = """
import json, subprocess, sys

begun, ended = [], []


class Child(subprocess.Popen):
    def __init__(self, *args, **options):
        begun.append(sorted(m for m in ("uvicorn", "starlette", "jinja2") if m in sys.modules))
        super().__init__([sys.executable, "-c", "import sys; sys.stdin.read()"], **options)
        ended.append(self)


class NoServer:
    def find_spec(self, name, path=None, target=None):
        # what the server is made of cannot be loaded: it never comes to be
        if name == "uvicorn":
            raise KeyboardInterrupt


subprocess.Popen = Child
sys.meta_path.insert(0, NoServer())
from plateside.cli.main import main
status = main(sys.argv[1:])
print(json.dumps({"status": status, "begun": begun, "ended": [c.poll() is not None for c in ended]}))
"""


def _told(*arguments: str) -> dict[str, object]:
    done = subprocess.run(
        [sys.executable, "-c", TOLD, "serve", "--no-browser", "--port", "0", *arguments],
        capture_output=True, text=True, env=environment(), check=True,
    )  # fmt: skip
    told: dict[str, object] = json.loads(done.stdout.splitlines()[-1])
    return told


def test_the_watching_begins_first_and_ends_where_no_server_comes_to_be(shoot: Path) -> None:
    assert _told(str(shoot)) == {"status": 130, "begun": [[]], "ended": [True]}


def test_nothing_watches_where_nothing_is_to_be_watched(shoot: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert _told(str(shoot), "--no-watch")["begun"] == []
    assert _told(str(tmp_path / "empty"))["begun"] == []
