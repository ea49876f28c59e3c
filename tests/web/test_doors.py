"""The door at the desk: what another account of the machine gets to see, and how a browser comes in.

Session cookies after RFC 6265bis (HttpOnly, SameSite=Strict) and the OWASP cheat sheet on session management; that
cookies know no ports is RFC 6265, 8.5. That every account can list a command's arguments: ps(1).
"""

import json
import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from plateside.files.own_place import own_place, read_own, write_own
from plateside.web.guard.desk import Desk
from plateside.web.guard.keys import Keys
from tests.browser.serving import STATE, Served, come_in, environment, lasting_port, serve, until
from tests.web.requests import Answer, change, get, send

TABLET = "127.0.0.2"
posix = pytest.mark.skipif(os.name != "posix", reason="rights of POSIX; Windows has its own")


def plain(served: Served, path: str, **headers: str) -> Answer:
    """A request as another account of the machine makes it: no cookie."""
    return send("127.0.0.1", served.port, "GET", path, {k.replace("_", "-"): v for k, v in headers.items()})


def tells_nothing(served: Served, answer: Answer) -> bool:
    found = [served.root.name, str(served.root), "cucumber", Keys.of_this_account().change_token]
    return not any(each.encode() in answer.body for each in found)


@pytest.fixture(autouse=True)
def _own_state(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", STATE)


def test_another_account_sees_nothing_at_the_desks_address(served_once: Served) -> None:
    for path in (
        "/", "/set", "/standing", "/events", "/settings/shoot", "/tablet", "/tablet/now", "/work", "/start",
        "/static/js/tablet/page.js", "/frames/" + "a" * 32 + "/thumb.jpg", "/pair", "/nowhere",
    ):  # fmt: skip
        for accept in ("*/*", "text/html"):
            answer = plain(served_once, path, Accept=accept)
            assert answer.status == (303 if accept == "text/html" else 401), path
            assert tells_nothing(served_once, answer)
    page = plain(served_once, "/desk", Accept="text/html")
    assert page.status == 200
    assert tells_nothing(served_once, page)
    assert b'name="plateside-token" content=""' in page.body


def test_another_account_changes_nothing(served_once: Served) -> None:
    name, _, value = served_once.cookie.partition("=")
    other = Keys("z" * 43).desk_cookie(served_once.port)
    elsewhere = Keys.of_this_account().desk_cookie(served_once.port + 1)
    for cookie in (
        "", name, f"{name}=", f"{name}={value[:-1]}", f"{name}={other}", f"{name}={elsewhere}",
        f"plateside_tablet={value}", f"plateside_desk_1={value}", f"{name}=é",
    ):  # fmt: skip
        assert change(served_once, "/tablet/invite", {}, Cookie=cookie).status == 401, cookie
        assert plain(served_once, "/standing", Cookie=cookie).status == 401, cookie
    # another server's odd cookie on the same machine does not hide ours
    both = f'odd={{"a": [1,2]}}; x y=1; {served_once.cookie}; last'
    assert plain(served_once, "/standing", Cookie=both).status == 200


def test_the_cookie_is_the_browsers_alone_and_a_key_works_once(shoot: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "plateside", "serve", str(shoot), "--no-browser", "--no-watch", "--port", "0",
         "--json"],
        stdout=subprocess.PIPE, text=True, env=environment(),
    )  # fmt: skip
    assert process.stdout is not None
    first = json.loads(process.stdout.readline())
    assert first["open"].startswith(first["address"] + "desk#")
    served = Served(shoot, first["address"], process)
    try:

        def use(key: str, **headers: str) -> Answer:
            own = {"Origin": first["address"].rstrip("/"), "Content-Type": "application/json", **headers}
            return send("127.0.0.1", served.port, "POST", "/desk", own, json.dumps({"key": key}).encode())

        key = first["open"].partition("#")[2]
        assert len(key) >= 22, "128 bits in base64"
        assert use(key, Origin="http://evil.example").status == 403
        assert use(key[:-1]).status == 422
        assert use("\ud800é").status == 422
        answer = use(key)
        assert answer.status == 200
        cookie = answer.headers["set-cookie"]
        assert {"HttpOnly", "SameSite=strict", "Path=/"} <= set(cookie.split("; "))
        assert "domain" not in cookie.lower()
        assert use(key).status == 422, "used"
        assert "set-cookie" not in use(key).headers
        # a second browser, by the next address
        second = json.loads(process.stdout.readline())["open"].partition("#")[2]
        assert second != key
        own = use(second).headers["set-cookie"].split(";")[0]
        assert plain(served, "/standing", Cookie=own).status == 200
        assert get(Served(shoot, served.url, process, own), "/desk").status == 200
    finally:
        served.stop()


def test_open_pages_go_on_after_a_restart(shoot: Path) -> None:
    first = serve(shoot, "--no-watch", port=lasting_port())
    first.kill()
    again = serve(shoot, "--no-watch", port=first.port)
    try:
        assert plain(again, "/standing", Cookie=first.cookie).status == 200
        assert change(again, "/plan/lux", {"lux": None}, Cookie=first.cookie).status == 200
    finally:
        again.stop()


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="lists arguments by /proc")
def test_the_browser_is_opened_without_the_key_in_a_command(shoot: Path, tmp_path: Path) -> None:
    """webbrowser(3) runs the command in BROWSER: this one writes down what it was given."""
    seen = tmp_path / "seen.txt"
    fake = tmp_path / "browser.sh"
    fake.write_text(f'#!/bin/sh\nprintf "%s\\n" "$@" > {seen}.part\nmv {seen}.part {seen}\n')
    fake.chmod(0o755)
    log = tmp_path / "log.txt"
    state = tmp_path / "state"
    with log.open("w") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "plateside", "serve", str(shoot), "--no-watch", "--port", "0"],
            stdout=out, stderr=out, env={**environment(), "BROWSER": f"{fake} %s", "PLATESIDE_STATE": str(state)},
        )  # fmt: skip
        try:
            given = until(lambda: seen.read_text().strip() if seen.exists() else "")
            arguments = Path(f"/proc/{process.pid}/cmdline").read_bytes().decode()
            assert given.startswith("file://")
            page = Path(given.removeprefix("file://"))
            assert page.parent == state
            assert stat.S_IMODE(page.stat().st_mode) == 0o600
            assert stat.S_IMODE(state.stat().st_mode) == 0o700
            found = re.search(r"http://127\.0\.0\.1:\d+/desk#[\w-]+", page.read_text())
            assert found
            key = found[0].partition("#")[2]
            assert key not in given + arguments + log.read_text()
            served = come_in(shoot, process, found[0])
            # a page of this account's leads a second start here: with a key of its own, the used one is void
            until(lambda: page.exists() and key not in page.read_text())
            assert stat.S_IMODE(page.stat().st_mode) == 0o600
            for path in ("/set", "/standing", "/desk", "/static/js/start/desk.js"):
                get(served, path)
        finally:
            process.terminate()
            process.wait()
    secret = read_own_of(state)
    assert secret
    kept = [p for p in shoot.rglob("*") if p.is_file() and p.stat().st_size < 1_000_000]
    everything = log.read_text() + "".join(p.read_text(errors="ignore") for p in kept)
    for told in (secret, served.cookie.partition("=")[2], key):
        assert told not in everything
    assert not (shoot / ".plateside" / "serve.json").exists()


def read_own_of(state: Path) -> str:
    path = state / "desk.key"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    return path.read_text().strip()


@posix
def test_what_is_ours_alone_is_so_from_its_first_moment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "deep" / "state"))
    modes = []
    really = os.open

    def watched(path: object, flags: int, mode: int = 0o777, **more: int) -> int:
        handle = really(path, flags, mode, **more)  # type: ignore[arg-type]
        if flags & os.O_CREAT:
            modes.append(stat.S_IMODE(os.fstat(handle).st_mode))
        return int(handle)

    monkeypatch.setattr(os, "open", watched)
    before = os.umask(0)
    try:
        path = write_own("x.key", "told")
    finally:
        os.umask(before)
    assert modes == [0o600]
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(own_place().stat().st_mode) == 0o700
    assert read_own("x.key") == "told"
    # readable by others, or not a file of ours at all: it counts as not there
    path.chmod(0o640)
    assert read_own("x.key") is None
    path.unlink()
    (tmp_path / "planted").write_text("told")
    (tmp_path / "planted").chmod(0o600)
    path.symlink_to(tmp_path / "planted")
    assert read_own("x.key") is None
    own_place().chmod(0o777)
    write_own("x.key", "again")
    assert stat.S_IMODE(own_place().stat().st_mode) == 0o700
    assert (tmp_path / "planted").read_text() == "told", "a link is replaced, not followed"


def test_without_a_place_of_its_own_it_works_until_it_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "file" / "below"))
    desk = Desk(Keys.of_this_account())
    desk.at(8765)
    assert desk.knows(desk.let_in(desk.address().partition("#")[2]))


def test_each_port_has_its_own_cookie_and_the_secret_is_in_none() -> None:
    keys = Keys("s" * 43)
    told = {keys.desk_cookie(8765), keys.desk_cookie(8766), keys.change_token}
    assert len(told) == 3
    assert not any(keys.secret in each for each in told)
    assert keys.secret not in repr(keys)
