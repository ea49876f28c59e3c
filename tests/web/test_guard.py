"""Abuse: each is refused, nothing leaks, and the server goes on serving.

Against the OWASP cheat sheets on CSRF prevention, DNS rebinding (Host checked), session management (one-time
secrets, HttpOnly and SameSite cookies) and path traversal; names of the attacks from there, from memory.
"""

import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from plateside.files.own_place import served_place
from tests.browser.serving import PATIENT_MS, Served, come_in, copy_shoot, environment, serve, until
from tests.web.floods import flood
from tests.web.requests import change, get, send, token
from tests.web.tablets import TABLET, pair, secret_of


@pytest.fixture
def with_tablet(_made_shoot: Path, tmp_path: Path) -> Iterator[tuple[Served, int]]:
    """A server that lets tablets in at a second loopback address, and that listener's port."""
    server = serve(copy_shoot(_made_shoot, tmp_path / "shoot"), "--no-watch", "--tablet-address", TABLET)
    told = change(server, "/tablet/invite", {}).json
    yield server, int(told["url"].rstrip("/").rsplit(":", 1)[1])
    server.stop()


@pytest.mark.parametrize(
    "path",
    [
        "/frames/..%2f..%2fshoot.toml/thumb.jpg", "/frames/../../shoot.toml", "/static/../tool.py",
        "/static/..%2ftool.py",         "/static/%2e%2e/%2e%2e/tool.py", "//etc/passwd",
        "/static//etc/passwd", "/static/..\\tool.py", "/frames/%00/thumb.jpg",
        "/frames/" + "a" * 32 + "/../../x.jpg", "/static/css/ground.css%00.png",
    ],
)  # fmt: skip
def test_no_path_leaves_what_is_served(served_once: Served, path: str) -> None:
    answer = get(served_once, path)
    assert answer.status in (400, 404, 422)
    assert b"recipe" not in answer.body
    assert b"def " not in answer.body
    assert b"root:" not in answer.body


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:80", "127.0.0.1", "192.168.1.5:8765", "", "127.0.0.1:1"]
)
def test_a_foreign_host_is_turned_away(served_once: Served, host: str) -> None:
    answer = get(served_once, "/standing", Host=host)
    assert answer.status in (400, 421)
    assert b"frames" not in answer.body


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "", "https://127.0.0.1", "http://127.0.0.1"]
)
def test_a_change_from_a_foreign_page_is_refused(served_once: Served, origin: str) -> None:
    before = get(served_once, "/standing").body
    assert (
        change(
            served_once,
            "/press",
            {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": 99},
            Origin=origin,
        ).status
        == 403
    )
    assert get(served_once, "/standing").body == before


def test_a_change_without_the_token_or_not_as_json_is_refused(served_once: Served) -> None:
    data = {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": 99}
    assert change(served_once, "/press", data, X_Plateside_Token="").status == 403
    assert change(served_once, "/press", data, X_Plateside_Token="x" * 43).status == 403
    assert change(served_once, "/press", data, X_Plateside_Token="é" * 20).status == 403
    assert change(served_once, "/press", data, Content_Type="text/plain").status == 415
    assert change(served_once, "/press", data, Content_Type="application/x-www-form-urlencoded").status == 415


def test_a_get_changes_nothing(served_once: Served) -> None:
    for path in ("/press", "/press/undo", "/tablet/invite", "/settings/shoot/undo"):
        assert get(served_once, path).status in (404, 405, 422)


def test_oversized_uploads_are_refused(served_once: Served) -> None:
    assert change(served_once, "/press", {"kind": "x" * 1_200_000}).status == 413
    lied = change(served_once, "/press", {}, Content_Length="99999999")
    assert lied.status == 413
    # no length at all, in pieces: counted as it comes
    head = (
        f"POST /press HTTP/1.1\r\nHost: 127.0.0.1:{served_once.port}\r\nOrigin: http://127.0.0.1:{served_once.port}\r\n"
        f"Cookie: {served_once.cookie}\r\n"
        f"X-Plateside-Token: {token(served_once)}\r\n"
        "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", served_once.port), timeout=PATIENT_MS / 1000) as sock:
        sock.sendall(head.encode())
        piece = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
        try:
            for _ in range(40):
                sock.sendall(piece)
            got = sock.recv(200)
        except OSError:
            got = b"HTTP/1.1 413"
    assert b" 413 " in got + b" "
    assert get(served_once, "/standing").status == 200


def test_every_answer_carries_the_strict_policy(served_once: Served) -> None:
    for path in ("/tablet", "/standing", "/static/css/ground.css", "/nowhere"):
        headers = get(served_once, path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert headers["x-content-type-options"] == "nosniff"


def test_a_stranger_sees_only_how_to_pair(with_tablet: tuple[Served, int]) -> None:
    served, port = with_tablet
    for path in (
        "/standing",
        "/events",
        "/set",
        "/settings/shoot",
        "/tablet",
        "/tablet/now",
        "/tablet/code.svg",
        "/work",
        "/static/js/tablet/page.js",
    ):
        answer = send(TABLET, port, "GET", path)
        assert answer.status in (401, 303)
        assert b"cucumber" not in answer.body
    page = send(TABLET, port, "GET", "/pair", {"Accept": "text/html"})
    assert page.status == 200
    assert token(served).encode() not in page.body
    assert served.root.name.encode() not in page.body


def test_a_secret_works_once_and_its_cookie_opens_the_shoot(with_tablet: tuple[Served, int]) -> None:
    served, port = with_tablet
    secret = secret_of(served)
    first = pair(port, secret)
    assert first.status == 200
    cookie = first.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert pair(port, secret).status == 422, "a replayed secret is refused"
    own = {"Cookie": cookie.split(";")[0]}
    assert send(TABLET, port, "GET", "/standing", own).status == 200
    assert send(TABLET, port, "GET", "/standing", {"Cookie": "plateside_tablet=" + "A" * 43}).status == 401
    # what is done at the laptop is not done from a tablet
    assert send(TABLET, port, "GET", "/tablet", own).status == 403
    asked = change(served, "/tablet/invite", {}, address=TABLET, port=port, **own)
    assert asked.status == 403
    number = get(served, "/tablet/now").json["devices"][0]["number"]
    change(served, "/tablet/forget", {"number": number})
    assert send(TABLET, port, "GET", "/standing", own).status == 401, "a forgotten tablet sees nothing"


def test_wrong_tries_shut_out_who_makes_them_and_nobody_else(with_tablet: tuple[Served, int]) -> None:
    served, port = with_tablet
    secret = secret_of(served)
    assert [pair(port, "WRONGWRONG22").status for _ in range(5)] == [422] * 5
    assert pair(port, secret).status == 422, "the right one comes too late from there"
    assert secret_of(served) == secret, "and is shown on"
    assert pair(port, secret, origin="http://evil.example").status == 403
    assert pair(port, secret, source="127.0.0.9").status == 200, "her own tablet is let in"


def test_guessing_is_slowed(with_tablet: tuple[Served, int]) -> None:
    _served, port = with_tablet
    assert 429 in [pair(port, f"GUESS{k:07d}").status for k in range(20)]


def test_closing_shuts_the_door_and_a_restart_keeps_it_as_it_was(with_tablet: tuple[Served, int]) -> None:
    served, port = with_tablet
    cookie = pair(port, secret_of(served)).headers["set-cookie"].split(";")[0]
    served.kill()
    again = serve(served.root, "--no-watch", "--tablet-address", TABLET)
    try:
        there = int(get(again, "/tablet/now").json["url"].rstrip("/").rsplit(":", 1)[1])
        assert send(TABLET, there, "GET", "/standing", {"Cookie": cookie}).status == 200
        assert change(again, "/tablet/close", {}).json["url"] == ""
        with pytest.raises(OSError):
            send(TABLET, there, "GET", "/standing", {"Cookie": cookie})
    finally:
        again.stop()


def test_off_by_default(served_once: Served) -> None:
    assert get(served_once, "/tablet/now").json == {"url": "", "code": "", "seconds": 0, "devices": []}
    with pytest.raises(OSError):
        send(TABLET, served_once.port, "GET", "/")


def test_a_flood_of_strangers_leaves_the_desk_served(with_tablet: tuple[Served, int]) -> None:
    """10,000 requests on four kept connections, each sent before the answer to the last one is read."""
    served, port = with_tablet
    during: list[int] = []
    asking = threading.Thread(
        target=lambda: during.extend(get(served, "/standing").status for _ in range(10))
    )
    asking.start()
    seen = flood(port, 10_000)
    asking.join()
    assert during == [200] * 10
    assert seen.total() == 10_000
    assert seen[429] > 9000
    assert seen[200] == 0
    assert get(served, "/standing").status == 200


def test_the_secret_is_in_no_file_and_no_log(_made_shoot: Path, tmp_path: Path) -> None:
    root = copy_shoot(_made_shoot, tmp_path / "shoot")
    log = tmp_path / "log.txt"
    with log.open("w") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "plateside", "serve", str(root), "--no-browser", "--port", "0", "--no-watch",
             "--tablet-address", TABLET],
            stdout=out, stderr=out, env=environment(),
        )  # fmt: skip
        try:
            line = until(lambda: log.read_text() if "\n" in log.read_text() else "")
            served = come_in(root, process, line)
            url = change(served, "/tablet/invite", {}).json["url"]
            secret = secret_of(served)
            there = int(url.rstrip("/").rsplit(":", 1)[1])
            cookie = pair(there, secret).headers["set-cookie"].split(";")[0].split("=", 1)[1]
        finally:
            process.terminate()
            process.wait()
    written = log.read_text() + "".join(
        p.read_text(errors="ignore")
        for p in root.rglob("*")
        if p.is_file() and p.suffix in (".json", ".jsonl", ".toml", ".txt")
    )
    assert secret not in written
    assert cookie not in written
    assert (served_place(root) / "devices.json").stat().st_mode & 0o077 == 0
