"""What the pages are made of: sent as it stands on the disk now, and only when the browser has not got it."""

import gzip
from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.routing import Mount

from plateside.web.own_files import OwnFiles
from tests.web import loops


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "page.js").write_text("old();\n" * 99)
    (tmp_path / "folder.js").mkdir()
    return tmp_path


def asked(files: OwnFiles, path: str, method: str = "GET", **headers: str) -> Response:
    given = [(k.replace("_", "-").encode(), v.encode()) for k, v in headers.items()]
    scope = {"type": "http", "method": method, "headers": given, "path": f"/{path}"}
    answer: Response = loops.run(files.get_response(path, scope))
    return answer


def test_a_script_is_sent_packed_to_whom_that_says_it_can_read_it(folder: Path) -> None:
    files = OwnFiles(folder)
    plain, packed = asked(files, "page.js"), asked(files, "page.js", accept_encoding="br, gzip")
    assert plain.body == (folder / "page.js").read_bytes() == gzip.decompress(bytes(packed.body))
    assert "content-encoding" not in plain.headers
    assert packed.headers["content-encoding"] == "gzip"
    # RFC 9110, 12.5.5: what the answer hangs on is told to caches
    assert {plain.headers["vary"], packed.headers["vary"]} == {"Accept-Encoding"}
    assert plain.headers["content-type"].split(";")[0] in ("text/javascript", "application/javascript")


def test_a_changed_script_is_sent_anew_and_an_unchanged_one_is_not(folder: Path) -> None:
    files = OwnFiles(folder)
    mark = asked(files, "page.js").headers["etag"]
    # RFC 9110, 13.1.2: also among others, and weak
    for known in (mark, f'"other", W/{mark}', "*"):
        same = asked(files, "page.js", if_none_match=known)
        assert (same.status_code, same.headers["etag"], bytes(same.body)) == (304, mark, b"")
    (folder / "page.js").write_text("new();\n" * 99)
    new = asked(files, "page.js", if_none_match=mark)
    assert (new.status_code, new.headers["cache-control"]) == (200, "no-cache")
    assert b"new" in bytes(new.body)


def test_a_file_lasts_under_its_version_and_a_new_one_has_another_address(folder: Path) -> None:
    files, lasts = OwnFiles(folder), "private, max-age=31536000, immutable"

    def kept(place: str) -> str:
        return asked(files, f"{place.removeprefix('/static/')}/page.js").headers["cache-control"]

    old = files.place()
    assert (files.place(), kept(old)) == (old, lasts)
    # RFC 8246, 2: what is immutable is not asked for again, so no other version may ever come under its address
    (folder / "page.js").write_text("new();\n" * 98)
    assert kept(old) == "no-cache"
    new = files.place()
    assert new != old
    assert [kept(place) for place in (old, new, "/static/v-0123456789abcdef")] == [
        "no-cache",
        lasts,
        "no-cache",
    ]
    assert b"new" in bytes(asked(files, f"{new.removeprefix('/static/')}/page.js").body)


def test_what_is_no_script_is_refused_as_any_other_address(folder: Path) -> None:
    (folder.parent / "secret.js").write_text("secret")
    app = Starlette(routes=[Mount("/static", OwnFiles(folder))])
    version = OwnFiles(folder).place().removeprefix("/static/")
    strange = ["none.js", "folder.js", "../secret.js", "/etc/x.js", "a" * 5000 + ".js", "x\0.js"]
    for path in [*strange, *(f"{version}/{path}" for path in strange), version, f"{version}/"]:
        told: list[int] = []

        async def send(message: dict[str, object], told: list[int] = told) -> None:
            if message["type"] == "http.response.start":
                told.append(int(str(message["status"])))

        async def receive() -> dict[str, object]:
            return {"type": "http.request", "body": b"", "more_body": False}

        scope = {"type": "http", "method": "GET", "path": f"/static/{path}", "headers": Headers().raw}
        loops.run(app(scope, receive, send))  # type: ignore[arg-type]
        assert told == [404], path
