"""What the menu's entry runs: no second server where one runs; the browser is let in by a page that works each time."""

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from plateside.files.running import running_servers
from tests.browser.serving import Served, come_in, environment, until
from tests.web.requests import Answer, change, get, send


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An account's own place and home of its own for this test's servers; no browser is opened."""
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    # what is "opened" is written down: a program that copies its argument (Python, webbrowser: BROWSER)
    monkeypatch.setenv("BROWSER", f"{sys.executable} {_browser(tmp_path)} %s")
    (tmp_path / "home").mkdir()
    return tmp_path


def _browser(folder: Path) -> Path:
    script = folder / "browser.py"
    script.write_text(
        "import pathlib, sys\n"
        f"with open({str(folder / 'opened.txt')!r}, 'a') as file: file.write(sys.argv[1] + chr(10))\n"
    )
    return script


def _env(own: Path) -> dict[str, str]:
    names = ("PLATESIDE_STATE", "HOME", "XDG_DATA_HOME", "BROWSER")
    return {**environment(), **{name: os.environ[name] for name in names}}


@pytest.fixture
def kitchen(own: Path) -> Iterator[Served]:
    home = own / "shoots"
    home.mkdir()
    process = subprocess.Popen(
        [sys.executable, "-m", "plateside", "serve", str(home), "--no-browser", "--no-watch", "--port", "0"],
        stdout=subprocess.PIPE, text=True, env=_env(own),
    )  # fmt: skip
    assert process.stdout is not None
    served = come_in(home, process, process.stdout.readline())
    yield served
    served.stop()


def _key(page: Path) -> str:
    found = re.search(r"/desk#([\w-]+)", page.read_text())
    assert found
    return found[1]


def _come_in(served: Served, key: str) -> Answer:
    headers = {"Origin": f"http://127.0.0.1:{served.port}", "Content-Type": "application/json"}
    return send("127.0.0.1", served.port, "POST", "/desk", headers, json.dumps({"key": key}).encode())


def test_a_second_press_opens_the_server_that_runs(own: Path, kitchen: Served) -> None:
    until(lambda: running_servers())
    [one] = running_servers()
    assert (one.port, one.home) == (kitchen.port, kitchen.root.resolve())
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-m", "plateside", "open", "--json"],
            env=_env(own), capture_output=True, text=True, timeout=120, check=True,
        )  # fmt: skip
        assert json.loads(done.stdout)["port"] == kitchen.port
        page = Path(until(lambda: (own / "opened.txt").read_text().splitlines())[-1].removeprefix("file://"))
        assert page == one.page
        # a browser comes in by it, each time it is opened; a key works once
        key = _key(page)
        assert _come_in(kitchen, key).status == 200
        assert _come_in(kitchen, key).status != 200
        until(lambda k=key: _key(one.page) != k)
    assert len(running_servers()) == 1
    # nobody else on the machine can read it
    assert one.page.stat().st_mode & 0o077 == 0


def test_one_that_was_killed_is_not_taken_for_one_that_runs(own: Path, kitchen: Served) -> None:
    until(lambda: running_servers())
    kitchen.kill()
    assert running_servers() == []


def test_the_page_ends_it_and_says_how_to_start_it_again(own: Path, kitchen: Served) -> None:
    def told() -> str:
        found = re.search(
            r'name="plateside-start-again" content="([^"]*)"', get(kitchen, "/start").body.decode()
        )
        assert found
        return found[1]

    assert "plateside serve" in told()
    entry = own / "data/applications/plateside.desktop"
    if sys.platform.startswith("linux"):
        assert change(kitchen, "/start/menu", {}).status == 200
        assert entry.is_file()
        assert "plateside serve" not in told()
    assert change(kitchen, "/start/end", {}).json["ended"] is True
    assert kitchen.process.wait(60) == 0
    assert running_servers() == []


def test_two_quick_presses_make_one_server(own: Path) -> None:
    home = own / "home" / "Plateside"
    both = [
        subprocess.Popen(
            [sys.executable, "-m", "plateside", "open", "--json"],
            env=_env(own),
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    try:
        # one of them found the other's server, opened it and ended; no folder was served before: one was made
        until(lambda: [p.poll() for p in both].count(0) == 1)
        [one] = running_servers()
        assert one.home == home.resolve() and home.is_dir()
        opened = own / "opened.txt"
        until(lambda: opened.exists() and len(opened.read_text().splitlines()) == 2)
        pages = opened.read_text().splitlines()
        assert {Path(line.removeprefix("file://")) for line in pages} == {one.page}
    finally:
        for process in both:
            if process.poll() is None:
                process.send_signal(signal.SIGINT)
                process.wait(60)
            if process.stdout:
                process.stdout.close()
    assert running_servers() == []
