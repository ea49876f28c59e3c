"""Studio: the room drawn to scale and changed in place, its gear as lists; a broken file is fixed line by line."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError, SettingsError
from plateside.tasks.light.choice import offered
from plateside.tasks.report import as_json
from plateside.tasks.studio.check import studio_worth_a_look
from plateside.tasks.studio.edit import ChangedElsewhereError, read_settings, settings_file, version_of
from plateside.tasks.studio.edit_mend import mend_line, to_mend
from plateside.tasks.studio.fields import by_path
from plateside.tasks.studio.plan_drawn import Moved, drawn_plan
from plateside.web.answers import body, endpoint, error_answer, page
from plateside.web.asker import at_desk
from plateside.web.sent import Sent, read_json
from plateside.web.shown.studio import (
    LinesLeft,
    PlanDrawn,
    RemarkShown,
    StudioShown,
    ToFix,
    VersionShown,
    WorthShown,
)
from plateside.web.tool import Tool
from plateside.words.counting import capital
from plateside.words.mistakes import on_page
from plateside.words.remarks import about, said
from plateside.words.sent import PATH, must_be
from plateside.words.studio import CARD_SHARES, NEITHER_FILE, PLAN_PLACE, mend_title, sun_notes

MOST_NOTES = 20


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, the file's version (asked every few seconds), remarks, what light and sun teach, lines to fix."""
    return [
        Route("/studio", endpoint(tool, _page)),
        Route("/studio/version", endpoint(tool, _version)),
        Route("/studio/worth", endpoint(tool, _worth)),
        Route("/studio/plan", endpoint(tool, _plan)),
        Route("/studio/card", endpoint(tool, _card_frames)),
        Route("/studio/card", endpoint(tool, _card), methods=["POST"]),
        Route("/studio/bearing", endpoint(tool, _bearing), methods=["POST"]),
        Route("/studio/fit", endpoint(tool, _fit), methods=["POST"]),
        Route("/studio/fix", endpoint(tool, _fix_page)),
        Route("/studio/fix", endpoint(tool, _fix_line), methods=["POST"]),
    ]


def _page(request: Request, tool: Tool) -> Response:
    try:
        now = read_settings(tool.shoot, "studio")
    except SettingsError:
        if not at_desk():
            raise
        return _fix_page(request, tool)
    data: StudioShown = {
        "now": as_json(now),
        "tables": as_json(by_path("studio")),
        "shoot": _shoot(tool),
        "worth": _worth_words(tool),
    }
    return page(tool, "studio.html", "studio", "Studio", data=data)


def _shoot(tool: Tool) -> Any:
    """The shoot, whose boards are placed here; None while it has something to fix."""
    try:
        return as_json(read_settings(tool.shoot, "shoot"))
    except SettingsError:
        return None


def _plan(request: Request, tool: Tool) -> PlanDrawn:
    """The plan as SVG. `asked` says in JSON what is chosen, whose boards are shown and what is on its way."""
    query = request.query_params
    try:
        wide, high = float(query.get("wide", "")), float(query.get("high", ""))
    except ValueError:
        raise InputError(PLAN_PLACE) from None
    asked = read_json(query.get("asked", "{}").encode())
    svg = drawn_plan(
        tool.shoot, wide, high, chosen=_at(asked, "chosen"), shot=asked.text("shot"),
        moved=_moved(asked, "moved"), placed=_moved(asked, "placed"),
    )  # fmt: skip
    return {"svg": svg}


def _at(sent: Sent, name: str) -> tuple[str | int, ...] | None:
    """A path in the settings; None where there is none."""
    got = sent.get(name)
    if got is None:
        return None
    if not isinstance(got, list) or not all(isinstance(part, str | int) for part in got):
        raise InputError(must_be(name, PATH))
    return tuple(got)


def _moved(asked: Sent, name: str) -> list[Moved]:
    """What is on its way, the oldest first."""
    return [Moved(_at(sent, "at") or (), sent.things("values")) for sent in asked.every(name)]


def _worth(_request: Request, tool: Tool) -> WorthShown:
    return {"worth": _worth_words(tool)}


def _worth_words(tool: Tool) -> list[RemarkShown]:
    """Each remark: what it is about, and what is said."""
    return [
        {"code": r.code, "about": capital(about(r)), "said": said(r, page=True)}
        for r in studio_worth_a_look(tool.shoot)
    ]


async def _card_frames(_request: Request, tool: Tool) -> Any:
    return await tool.quick.ask("studio.card_frames", {"root": str(tool.shoot)})


async def _card(request: Request, tool: Tool) -> Any:
    """The light on a grey card, by one of the shoot's raws. Nothing is written."""
    sent = await body(request)
    patch, reflectance = sent.numbers("patch", 4), sent.number("reflectance")
    if not all(0 <= n <= 1 for n in (reflectance, *patch)):
        raise InputError(CARD_SHARES)
    args = {"root": str(tool.shoot), "frame": sent.text("frame"), "patch": patch}
    return await tool.long.ask("studio.card", {**args, "reflectance": reflectance})


async def _bearing(request: Request, tool: Tool) -> Any:
    """Which way a window looks, by moments at which the sun was seen on wall or floor."""
    sent = await body(request)
    notes = sent.get("notes")
    plain = isinstance(notes, list) and all(
        isinstance(note, list) and 2 <= len(note) <= 5 and all(isinstance(word, str) for word in note)
        for note in notes
    )
    if not plain or not 1 <= len(notes or []) <= MOST_NOTES:
        raise InputError(sun_notes(MOST_NOTES))
    args = {"root": str(tool.shoot), "window": sent.text("window"), "notes": notes}
    return await tool.quick.ask("studio.bearing", args)


async def _fit(request: Request, tool: Tool) -> Any:
    """Begin to work out what the readings teach. "version" keeps answers to another studio apart."""
    version = (await body(request)).text("version")
    args = {"root": str(tool.shoot), "today": offered(tool.shoot).today.isoformat(), "version": version}
    return tool.jobs.begin(tool.long, "studio.fit", args).status()


def _version(_request: Request, tool: Tool) -> VersionShown:
    return {"version": version_of(settings_file(tool.shoot, "studio"))}


def _fix_page(request: Request, tool: Tool) -> Response:
    which = _which(request.query_params.get("which", "studio"))
    version, file, lines = to_mend(tool.shoot, which)
    data: ToFix = {"which": which, "version": version}
    sent = [{**as_json(one), "mistake": on_page(one.mistake)} for one in lines]
    return page(tool, "studio_fix.html", "studio", mend_title(file), data=data, file=file, lines=sent)


async def _fix_line(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    which, line, text = _which(sent.text("which")), sent.whole("line"), sent.text("text")
    try:
        left = mend_line(tool.shoot, which, line, text, sent.text("version"), below=sent.flag("below"))
    except ChangedElsewhereError as error:
        return error_answer(str(error), 409)
    tool.live.say("settings", {"which": which, "version": ""})
    still: LinesLeft = {"left": left}
    return still


def _which(which: str) -> str:
    if which not in ("studio", "shoot"):
        raise InputError(NEITHER_FILE)
    return which
