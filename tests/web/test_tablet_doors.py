"""What a paired tablet and a stranger on the network get to see and do, over the network itself.

The lists behind it are walked in test_tablets_may.py.
"""

import contextlib
import html
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from plateside.tasks.serve.last_open import last_open, remember
from plateside.web.guard.devices import ALPHABET, LETTERS, WRONG_TRIES, Devices
from plateside.web.places import Places
from tests.browser.serving import Served, copy_shoot, serve, until
from tests.shoots.bowl import shoot_folder
from tests.web.requests import Answer, change, get, send
from tests.web.streams import Stream

TABLET = "127.0.0.2"


@pytest.fixture(scope="module")
def with_tablet(
    _made_shoot: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Served, int, str]]:
    """A server in the folder of the shoots, its tablet's port, and a paired tablet's cookie."""
    home = tmp_path_factory.mktemp("home")
    (home / "other").mkdir()
    root = copy_shoot(_made_shoot, home / "soup")
    server = serve(root, "--no-watch", "--tablet-address", TABLET)
    told = change(server, "/tablet/invite", {}).json
    port = int(told["url"].rstrip("/").rsplit(":", 1)[1])
    headers = {"Origin": f"http://{TABLET}:{port}", "Content-Type": "application/json"}
    secret = json.dumps({"secret": told["code"], "name": "T"}).encode()
    answer = send(TABLET, port, "POST", "/pair", headers, secret)
    yield server, port, answer.headers["set-cookie"].split(";")[0]
    server.stop()


def from_tablet(given: tuple[Served, int, str], path: str, data: object) -> Answer:
    served, port, cookie = given
    return change(served, path, data, address=TABLET, port=port, Cookie=cookie)


def seen_by_tablet(given: tuple[Served, int, str], path: str, accept: str = "*/*") -> Answer:
    _served, port, cookie = given
    return send(TABLET, port, "GET", path, {"Cookie": cookie, "Accept": accept})


def test_no_file_outside_the_shoot_is_read_or_written_from_a_tablet(
    with_tablet: tuple[Served, int, str],
) -> None:
    served = with_tablet[0]
    victim = served.root.parent / "other" / "profile.toml"
    victim.write_text("alias = 'ls'\n")
    before = {p: p.read_bytes() for p in served.root.glob("*.toml")}
    for field in ("studio", "frames"):
        for told in (str(victim), "../other/profile.toml", "../other", "/etc", "."):
            seen = get(served, "/settings/shoot").json["version"]
            answer = from_tablet(
                with_tablet,
                "/settings/shoot",
                {"version": seen, "changes": [{"put": [field], "value": told}]},
            )
            assert answer.status == 403
            assert answer.json["error"]
    assert seen_by_tablet(with_tablet, "/studio/fix").status == 403
    for which in ("studio", "shoot"):
        seen = get(served, f"/settings/{which}").json["version"]
        line = {"which": which, "line": 1, "text": "x = 1", "version": seen, "below": True}
        assert from_tablet(with_tablet, "/studio/fix", line).status == 403
    assert {p: p.read_bytes() for p in served.root.glob("*.toml")} == before
    assert victim.read_text() == "alias = 'ls'\n"


def test_what_is_not_a_plain_change_is_refused_in_a_sentence(with_tablet: tuple[Served, int, str]) -> None:
    served = with_tablet[0]
    for changes in (
        [{"put": ["studio", "x"], "value": 1}], [{"put": [["studio"]], "value": 1}], [{"put": [0], "value": 1}],
        [{"put": ["STUDIO"], "value": "x"}], [{"put": ["creator"], "value": {"name": "x"}}],
        [{"add": ["channels"], "item": {"name": "x"}}], [{"move": ["channels", 0], "to": 1}],
        [{"take": ["frames"]}], [{"put": ["recipe"], "value": {"title": "x", "frames": "/"}}],
        [{"put": ["shots", 0], "value": {"name": "x", "model_release": True}}],
    ):  # fmt: skip
        seen = get(served, "/settings/shoot").json["version"]
        answer = from_tablet(with_tablet, "/settings/shoot", {"version": seen, "changes": changes})
        assert answer.status in (403, 422), changes
        assert get(served, "/settings/shoot").json["version"] == seen
    ours = [{"put": ["recipe", "title"], "value": "Soup"}]
    seen = get(served, "/settings/shoot").json["version"]
    answer = from_tablet(with_tablet, "/settings/shoot", {"version": seen, "changes": ours})
    assert answer.status == 200
    seen = answer.json["version"]
    assert from_tablet(with_tablet, "/settings/shoot/undo", {"version": seen}).status == 200


def test_a_tablet_never_sees_where_files_are(with_tablet: tuple[Served, int, str]) -> None:
    served, port, cookie = with_tablet
    root = served.root
    frame = get(served, "/standing").json["frames"][0]["id"]
    stream = Stream(Served(root, f"http://{TABLET}:{port}/", served.process, cookie), address=TABLET)
    job = from_tablet(with_tablet, "/choose/proposal", {}).json
    until(lambda: seen_by_tablet(with_tablet, f"/work/{job['job']}").json["state"] == "done")
    answers = [
        seen_by_tablet(with_tablet, path, accept)
        for accept in ("text/html", "application/json")
        for path in (
            "/", "/set", "/choose", "/plan", "/studio", "/light", "/finish", "/deliver", "/work", "/standing",
            f"/work/{job['job']}", "/settings/shoot", "/settings/studio", "/set/now", "/choose/sheets",
            f"/frames/{frame}/huge.jpg", f"/frames/{'a' * 32}/view.jpg", "/set/marks/" + "a" * 32, "/start",
            "/finish/files/none.txt", "/deliver/files/none.txt", "/set/layers/nowhere", "/set/light/nowhere",
            "/deliver/crops/nowhere", "/studio/card", "/nowhere",
        )
    ]  # fmt: skip
    answers += [
        from_tablet(with_tablet, path, {})
        for path in (
            "/press",
            "/plan/picture",
            "/studio/card",
            "/studio/bearing",
            "/set/lamp-off",
            "/choose/pictures",
        )
    ]
    # what cannot be read is said with its path to the desk, and without to a tablet
    studio = root / "studio.toml"
    text = studio.read_bytes()
    try:
        studio.unlink()
        answers += [seen_by_tablet(with_tablet, path, a) for path in ("/settings/studio", "/studio", "/plan/day")
                    for a in ("text/html", "application/json")]  # fmt: skip
        studio.write_bytes(text + b"\nwrong = \n")
        mend = [seen_by_tablet(with_tablet, path, "text/html") for path in ("/studio", "/light")]
        assert not any(b"/studio/fix" in a.body for a in mend)
        answers += mend
    finally:
        studio.write_bytes(text)
    until(lambda: any(kind == "work" for kind, _, _ in stream.events))
    told = json.dumps([e[2] for e in stream.events]).encode()
    stream.close()
    for body in [told, *(a.body for a in answers)]:
        for folder in {str(root), str(root.resolve()), str(root.parent), str(Path.home()), sys.prefix}:
            assert folder.encode() not in body, body[max(0, body.find(folder.encode()) - 100) :][:300]
    assert get(served, "/deliver").body.count(str(root).encode()), "the laptop is told"


def test_a_tablet_stops_only_what_it_may_begin(with_tablet: tuple[Served, int, str]) -> None:
    served = with_tablet[0]
    for path, status in (("/deliver/run", 403), ("/choose/proposal", 200)):
        job = change(served, path, {}).json["job"]
        assert from_tablet(with_tablet, f"/work/{job}/stop", {}).status == status
        until(lambda n=job: get(served, f"/work/{n}").json["state"] not in ("waiting", "running"))


def test_frames_in_another_folder_are_shown_only_when_it_was_opened_at_the_laptop(
    with_tablet: tuple[Served, int, str],
) -> None:
    served = with_tablet[0]
    path = served.root / "shoot.toml"
    text = path.read_text()
    outside = served.root.parent / "other"
    try:
        path.write_text(f'frames = "{outside}"\n' + re.sub(r"(?m)^frames *=.*\n", "", text))
        assert seen_by_tablet(with_tablet, "/set").status == 403
        assert get(served, "/set").status == 200
        key = next(s["key"] for s in shoots(served))
        assert change(served, "/start/open", {"shoot": key}).status == 200
        assert seen_by_tablet(with_tablet, "/set").status == 200
    finally:
        path.write_text(text)


def shoots(served: Served) -> list[dict[str, str]]:
    page = get(served, "/start").body.decode()
    found = re.search(r'<script type="application/json" id="given">(.*?)</script>', page, re.S)
    assert found
    return list(json.loads(found[1])["shoots"])


def test_a_delivery_that_is_a_link_to_elsewhere_is_not_handed_to_a_tablet(
    with_tablet: tuple[Served, int, str],
) -> None:
    served = with_tablet[0]
    letters = served.root.parent / "letters"
    letters.mkdir()
    (letters / "private.txt").write_text("dear diary")
    link = served.root / "delivery"
    link.symlink_to(letters)
    try:
        assert seen_by_tablet(with_tablet, "/deliver/files/private.txt").status == 404
    finally:
        link.unlink()
    link.mkdir()
    (link / "READ-ME.txt").write_text("ours")
    assert seen_by_tablet(with_tablet, "/deliver/files/READ-ME.txt").status == 200


def test_only_a_shoot_of_the_served_folder_is_open_again(_made_shoot: Path, tmp_path: Path) -> None:
    home = tmp_path / "home"
    root = copy_shoot(_made_shoot, home / "soup")
    copy_shoot(_made_shoot, tmp_path / "elsewhere")
    remember(home, root)
    assert last_open(home) == root.resolve()
    for told in ("../elsewhere", str(tmp_path / "elsewhere"), "soup/../../elsewhere", "", "nowhere", "a\0b"):
        (home / ".plateside" / "open.txt").write_text(told)
        assert last_open(home) is None, told


def test_wrong_codes_keep_nobody_else_out(tmp_path: Path) -> None:
    now = 0.0
    devices = Devices(tmp_path, lambda: now)
    secret = devices.invite().secret
    for stranger in range(500):
        for _ in range(WRONG_TRIES + 2):
            with contextlib.suppress(Exception):
                devices.pair("WRONGWRONG22", "x", f"10.0.{stranger // 250}.{stranger % 250}")
    assert devices.invitation() is not None
    assert devices.pair(secret, "hers", "10.0.9.9")
    # a typist who gave up starts again with the next one
    secret = devices.invite().secret
    assert devices.pair(secret, "again", "10.0.0.1")
    # 65,536 addresses of a /16 (RFC 1918's 192.168/16), five tries each
    assert 65_536 * WRONG_TRIES / len(set(ALPHABET)) ** LETTERS < 1e-12


@pytest.mark.parametrize("name", ['Ana\'s & Köche "1"', "soup", "a<b>", "with space"])
def test_folders_are_cut_out_however_they_are_written(tmp_path: Path, name: str) -> None:
    home = tmp_path / name
    root = home / "soup"
    root.mkdir(parents=True)
    places = Places(home)
    for form in (
        str(root), json.dumps(str(root)), json.dumps(str(root), ensure_ascii=False), html.escape(str(root)),
        f"file://{root}/x.jpg", f"x\\n{root}", f"({home})", f"'{root / 'x'}'",
    ):  # fmt: skip
        said = places.unnamed(form.encode(), root).decode()
        assert str(tmp_path) not in said, form
        assert "soup" in said or name in said
    assert places.unnamed(b'href="/plan/card/x" src="/static/js/set/page.js"', root).count(b"/") == 7
    assert places.sentence("No file /opt/elsewhere/deep/x.toml, nor C:\\Users\\her\\y.toml.", root) == (
        "No file x.toml, nor y.toml."
    )


def test_the_second_disk_and_the_memory_card_are_cut_out_too(tmp_path: Path) -> None:
    root = shoot_folder(tmp_path / "soup")
    named = 'second_disk = "/far/away/BACKUP"\nmemory_card = "/far/away/CARD"\n'
    (root / "shoot.toml").write_text(named + (root / "shoot.toml").read_text())
    said = Places(tmp_path).unnamed(b'"/far/away/BACKUP" "/far/away/CARD/DCIM"', root)
    assert said == b'"BACKUP" "CARD/DCIM"'
