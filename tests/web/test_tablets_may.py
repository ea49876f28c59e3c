"""A paired tablet: each route and each field that is not on a list is closed, whatever way a request takes.

Allow-lists and not deny-lists: OWASP cheat sheets on authorization ("deny by default") and on input validation; the
odd spellings from there and from the TOML 1.0 specification (keys bare, quoted, dotted), from memory.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Mount, Route

from plateside.files.settings.grammar import entries, every_table
from plateside.files.settings.write import Add, Change, Move, Put, Take
from plateside.model.errors import InputError, PlatesideError
from plateside.tasks.studio.edit import change_settings, read_settings, undo_change, version_of
from plateside.tasks.studio.edit_fields import NotListedError, changed_fields
from plateside.tasks.studio.fields import ROOTS
from plateside.web.guard.tablets_may import FIELDS, ROUTES
from tests.browser.serving import copy_shoot
from tests.web.paired import Paired

AT_THE_LAPTOP = {
    ("GET", "/start"), ("GET", "/start/new"), ("POST", "/start/new"), ("POST", "/start/next"),
    ("POST", "/start/check"), ("POST", "/start/sketch"), ("GET", "/start/cities"),
    ("POST", "/start/open"), ("POST", "/start/demo"),
    ("POST", "/start/demo/whole"), ("POST", "/start/menu"), ("POST", "/start/end"),
    ("GET", "/tablet"), ("GET", "/tablet/now"), ("GET", "/tablet/code.svg"),
    ("POST", "/tablet/invite"), ("POST", "/tablet/close"), ("POST", "/tablet/forget"), ("GET", "/studio/fix"),
    ("GET", "/start/kind"),
    ("POST", "/studio/fix"), ("POST", "/light/sky"), ("POST", "/light/sky/away"), ("POST", "/finish/run"),
    ("POST", "/deliver/run"), ("POST", "/deliver/pack"), ("POST", "/deliver/verify"), ("GET", "/desk"),
    ("POST", "/desk"), ("GET", "/set/folders"), ("POST", "/set/folders"), ("POST", "/set/open-frames"),
    ("POST", "/set/layout/{shot}/file"), ("POST", "/set/layout/{shot}/page"), ("POST", "/set/layout/{shot}/away"),
    ("POST", "/finish/chart"), ("POST", "/finish/retouched"), ("POST", "/finish/retouched/{key}"),
}  # fmt: skip
"""Where files are and go, what a file says line by line, other shoots, other tablets."""


@pytest.fixture(scope="module")
def paired(_made_shoot: Path, tmp_path_factory: pytest.TempPathFactory) -> Paired:
    return Paired(copy_shoot(_made_shoot, tmp_path_factory.mktemp("may") / "shoot"))


def all_routes(app: Starlette) -> Iterator[tuple[str, str, str]]:
    """Method, the path as the app has it, and one path that it takes."""
    for route in app.routes:
        if isinstance(route, Mount):
            yield "GET", route.path, route.path + "/x"
        elif isinstance(route, Route):
            one = route.path
            for name, wanted in route.param_convertors.items():
                kind = type(wanted).__name__
                for form in (f"{{{name}}}", f"{{{name}:int}}", f"{{{name}:path}}"):
                    one = one.replace(form, "1" if kind.startswith("Integer") else "x")
            for method in sorted((route.methods or set()) - {"HEAD"}):
                yield method, route.path, one


def test_every_route_of_the_app_is_closed_unless_it_is_listed(paired: Paired) -> None:
    found = {(method, path) for method, path, _ in all_routes(paired.app)}
    assert found >= ROUTES, f"no such routes: {ROUTES - found}"
    assert found - ROUTES == AT_THE_LAPTOP
    for method, path, one in all_routes(paired.app):
        if (method, path) not in ROUTES:
            status, answer = paired.ask(method, one, {})
            assert status == 403, (method, one)
            assert json.loads(answer)["error"]
    assert paired.ask("GET", "/set", accept="text/html")[0] == 200
    status, answer = paired.ask("GET", "/start", accept="text/html")
    assert status == 403
    assert b'href="/set"' in answer, "and is led back"


@pytest.mark.parametrize(
    ("method", "path"),
    [("PUT", "/press"), ("DELETE", "/settings/shoot"), ("OPTIONS", "/set"), ("POST", "/set"), ("HEAD", "/tablet"),
     ("GET", "/studio/fix/"), ("GET", "//studio/fix"), ("GET", "/Studio/Fix"), ("GET", "/nowhere"),
     ("PATCH", "/start/open"), ("TRACE", "/"), ("GET", "/frames/../start")],
)  # fmt: skip
def test_what_is_no_route_for_a_tablet_is_refused(paired: Paired, method: str, path: str) -> None:
    assert paired.ask(method, path, {})[0] == 403


def test_a_new_route_is_closed_until_it_is_listed(paired: Paired) -> None:
    def told(_request: Any) -> PlainTextResponse:
        return PlainTextResponse("everything")

    fresh = Paired(paired.tool.home)
    fresh.app.router.routes.insert(0, Route("/choose/strips/whole-disk", told))
    fresh.app.router.routes.append(Route("/export", told, methods=["GET", "POST"]))
    for method, path in (("GET", "/export"), ("POST", "/export"), ("GET", "/choose/strips/whole-disk")):
        assert b"everything" not in fresh.ask(method, path, {})[1], path


def every_field(which: str) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every field of a settings file: its path of names, and how the list would call it."""
    for path, owner, _several in every_table(ROOTS[which]):
        for name in entries(owner):
            yield (*path, name), ".".join((*path, name))


def item_path(which: str, path: tuple[str, ...], value: Any) -> tuple[str | int, ...] | None:
    """The path with the first item of each array in it; None where there is none."""
    where: list[str | int] = []
    for part in path[:-1]:
        where.append(part)
        value = getattr(value, part)
        if isinstance(value, tuple):
            if not value:
                return None
            where.append(0)
            value = value[0]
    return (*where, path[-1])


@pytest.mark.parametrize("which", ["studio", "shoot"])
def test_every_field_is_closed_unless_it_is_listed(shoot: Path, which: str) -> None:
    names = {name for _path, name in every_field(which)}
    assert names >= FIELDS[which], f"no such fields: {FIELDS[which] - names}"
    laptop = {
        "studio": {"place"},
        "shoot": {
            "studio",
            "frames",
            "second_disk",
            "memory_card",
            "creator",
            "channels",
            "shots.person",
            "shots.model_release",
        },
    }
    closed = {n for n in names if n in laptop[which] or n.partition(".")[0] in laptop[which]}
    assert names - FIELDS[which] == closed
    now = read_settings(shoot, which)
    texts = {p: p.read_bytes() for p in shoot.glob("*.toml")}
    walked = 0
    for path, name in every_field(which):
        where = item_path(which, path, now.value)
        if where is None or name in FIELDS[which]:
            continue
        walked += 1
        for value in ("x", 1, True, None, {"name": "x"}, ["x"], "studio.toml", "frames"):
            with pytest.raises(NotListedError):
                change_settings(shoot, which, [Put(where, value)], now.version, listed=FIELDS)
    assert walked == len([n for n in closed if n != "shots.boards"])
    assert {p: p.read_bytes() for p in shoot.glob("*.toml")} == texts


def test_listed_fields_are_changed(shoot: Path) -> None:
    now = read_settings(shoot, "shoot")
    name = now.value.shots[0].name
    changes: list[Change] = [
        Put(("shots", name, "camera_faces_deg"), 270.0), Put(("date",), "2027-07-16"),
        Put(("recipe", "title"), "Soup"), Add(("shots",), {"name": "another"}), Move(("shots", "another"), 0),
        Take(("shots", "another")),
    ]  # fmt: skip
    edited = change_settings(shoot, "shoot", changes, now.version, listed=FIELDS)
    assert edited.value.date == "2027-07-16"
    assert undo_change(shoot, "shoot", edited.version, listed=FIELDS).value == now.value
    studio = read_settings(shoot, "studio")
    spot = studio.value.spots[0].name
    edited = change_settings(
        shoot, "studio", [Put(("spots", spot, "name"), "by the sink")], studio.version, listed=FIELDS
    )
    assert edited.value.spots[0].name == "by the sink"


EVASIONS: list[list[Any]] = [
    [Put(("studio",), "elsewhere.toml")],
    [Put(("frames",), "/")],
    [Put(("Studio",), "elsewhere.toml")],
    [Put(("ｓtudio",), "elsewhere.toml")],
    [Put(("studio ",), "elsewhere.toml")],
    [Put(("'studio'",), "elsewhere.toml")],
    [Put(("recipe.title",), "x")],
    [Put(("shots.0.name",), "x")],
    [Put(("recipe", "studio"), "x")],
    [Put((), {"studio": "x"})],
    [Put(("creator",), {"name": "Nobody"})],
    [Put(("recipe",), {"title": "x", "studio": "x"})],
    [Put(("date",), "2027-07-16"), Put(("frames",), "/")],
    [Add(("channels",), {"name": "everywhere"})],
    [Add(("frames",), "x")],
    [Take(("channels", 0))],
    [Take(("studio",))],
    [Move(("channels", 1), 0)],
    [Add(("shots",), {"name": "sly", "model_release": True})],
    [Add(("shots",), {"name": "sly", "studio": "x"})],
    [Add(("shots",), {"name": "sly", "person": True})],
    [Put(("format",), 1)],
    [Put(("shots", 0, "model_release"), True)],
    [Put(("shots", 0, "person"), False)],
]


@pytest.mark.parametrize("changes", EVASIONS, ids=[repr(c)[:60] for c in EVASIONS])
def test_no_way_goes_round_the_list(shoot: Path, changes: list[Any]) -> None:
    texts = {p: p.read_bytes() for p in shoot.glob("*.toml")}
    now = read_settings(shoot, "shoot")
    with pytest.raises((NotListedError, InputError)):
        change_settings(shoot, "shoot", changes, now.version, listed=FIELDS)
    assert {p: p.read_bytes() for p in shoot.glob("*.toml")} == texts


def test_a_step_that_brings_a_file_back_is_not_taken_back_from_a_tablet(shoot: Path) -> None:
    (shoot / "other.toml").write_bytes((shoot / "studio.toml").read_bytes())
    now = read_settings(shoot, "shoot")
    there = change_settings(shoot, "shoot", [Put(("studio",), "other.toml")], now.version)
    with pytest.raises(NotListedError):
        undo_change(shoot, "shoot", there.version, listed=FIELDS)
    assert read_settings(shoot, "shoot").value.studio == "other.toml"
    assert undo_change(shoot, "shoot", there.version).value.studio == "studio.toml"


@pytest.mark.parametrize(
    ("before", "after", "fields"),
    [
        ({"a": 1}, {"a": True}, {"a"}),
        ({"a": 1}, {"a": 1.0}, {"a"}),
        ({}, {"a.b": 1}, {"'a.b'"}),
        ({}, {"a": {"b": 1}}, {"a.b"}),
        ({"a": {"b": 1}}, {"a": 5}, {"a"}),
        ({"s": []}, {"s": [{"name": "x", "b": 1}]}, {"s", "s.name", "s.b"}),
        ({"s": [{"name": "x", "b": 1}]}, {"s": []}, {"s", "s.name", "s.b"}),
        ({"s": [{"name": "x", "b": 1}]}, {"s": [{"name": "y", "b": 1}]}, {"s", "s.name"}),
        ({"s": [{"name": "x", "b": 1}]}, {"s": "x"}, {"s"}),
        ({"s": [{"name": "x", "b": 1}, {"name": "y"}]}, {"s": [{"name": "y"}, {"name": "x", "b": 1}]}, {"s"}),
        # out and in again under another name, with one more thing said
        (
            {"s": [{"name": "x"}, {"name": "z"}]},
            {"s": [{"name": "z"}, {"name": "y", "b": 1}]},
            {"s", "s.name", "s.b"},
        ),
        ({"s": [{"a": 1}, {"a": 2}]}, {"s": [{"a": 2}]}, {"s", "s.a"}),
        ({"s": [{"name": "x", "o": [{"c": 1}]}]}, {"s": [{"name": "x", "o": [{"c": 2}]}]}, {"s.o.c"}),
    ],
)  # fmt: skip
def test_what_differs_between_two_files(before: Any, after: Any, fields: set[str]) -> None:
    assert set(changed_fields(before, after)) == fields
    assert set(changed_fields(after, before)) == fields
    assert set(changed_fields(before, before)) == set()


@pytest.mark.parametrize("listed", [FIELDS, None], ids=["tablet", "laptop"])
@pytest.mark.parametrize("field", ["studio", "frames"])
def test_no_page_leads_files_out_of_what_was_opened(shoot: Path, listed: Any, field: str) -> None:
    outside = shoot.parent.parent / "outside"
    outside.mkdir(exist_ok=True)
    (outside / "studio.toml").write_bytes((shoot / "studio.toml").read_bytes())
    (shoot / "way-out").symlink_to(outside)
    tail = "/studio.toml" if field == "studio" else ""
    text = (shoot / "shoot.toml").read_bytes()
    for told in (
        f"{outside}{tail}", f"../../outside{tail}", f"way-out{tail}", f"frames/../../../outside{tail}",
        f"..\\..\\outside{tail}", f"\\\\server\\share{tail}", f"//server/share{tail}", f"a\0b{tail}", "/etc/passwd",
    ):  # fmt: skip
        now = version_of(shoot / "shoot.toml")
        with pytest.raises(PlatesideError):
            change_settings(
                shoot, "shoot", [Put((field,), told)], now, listed=listed, within=(shoot, shoot.parent)
            )
        assert (shoot / "shoot.toml").read_bytes() == text, told
    if listed is None:
        (shoot.parent / "shared").mkdir(exist_ok=True)
        (shoot.parent / "shared" / "studio.toml").write_bytes((shoot / "studio.toml").read_bytes())
        edited = change_settings(
            shoot, "shoot", [Put((field,), f"../shared{tail}")], now, within=(shoot, shoot.parent)
        )
        assert getattr(edited.value, field) == f"../shared{tail}"


TABLET = "127.0.0.2"
