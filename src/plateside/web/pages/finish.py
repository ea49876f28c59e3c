"""Finish: the matched set made; each hero before and after at the same place and size; the set in one row."""

from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.files import damage
from plateside.files.folder import can_lie_in
from plateside.files.journal.state import read_state
from plateside.files.json_text import read_json_file
from plateside.files.originals.kinds import is_raw
from plateside.files.sealed import picture_or_none
from plateside.files.settings import load_shoot
from plateside.finish.matched import is_matched
from plateside.model.errors import InputError
from plateside.tasks.deliver.open_points import doubt_of
from plateside.web.answers import body, endpoint, page
from plateside.web.handed_out import hand_out
from plateside.web.tool import Tool

RECORD = "adjustments.json"
SIZES = ("row", "view", "full")
KINDS = ("tiff", "jpeg")
_ROW = {
    "shot": str, "frame": str, "frame_id": str, "chosen_by": str, "file": str, "width_px": int, "height_px": int,
    "by_hand": bool,
}  # fmt: skip
"""What a page shows of a row of the record, and of which type it is."""
_FIGURES = ("by", "sure", "stops", "mired", "delta_e_before", "delta_e_after")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, where finishing stands, the work, pictures to look at, the files themselves."""
    return [
        Route("/finish", endpoint(tool, _page)),
        Route("/finish/standing", endpoint(tool, _standing)),
        Route("/finish/run", endpoint(tool, _run), methods=["POST"]),
        Route("/finish/pictures/{shot}/{size}.jpg", endpoint(tool, _picture)),
        Route("/finish/plain/{shot}/{size}.jpg", endpoint(tool, _plain)),
        Route("/finish/files/{path:path}", endpoint(tool, _file)),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    return page(tool, "finish.html", "finish", "Finish", given=finishing(tool.shoot))


def _standing(_request: Request, tool: Tool) -> Any:
    return finishing(tool.shoot)


def finishing(root: Path) -> dict[str, Any]:
    """Every shot, and its finished picture when there is one."""
    shoot, state, record = load_shoot(root / "shoot.toml"), read_state(root), read_finished(root)
    by_shot = {p["shot"]: p for p in record["pictures"]}
    shots = []
    for shot in shoot.shots:
        hero, done = state.heroes.get(shot.name, ""), by_shot.get(shot.name)
        shots.append(
            {
                "name": shot.name,
                "role": shot.role,
                "frames": sum(s == shot.name for s in state.shot_of.values()),
                "hero": state.landed.get(hero, ""),
                "picture": done,
                "another_hero": bool(done and hero and hero != done["frame_id"]),
                "doubt": doubt_of(state, hero or (done["frame_id"] if done else "")),
            }
        )
    return {"row": state.last_row, "reference": record["reference"], "kind": record["kind"], "shots": shots}


def read_finished(root: Path) -> dict[str, Any]:
    """The record that `finish` keeps beside its pictures, without what no page shows; empty when there is none."""
    folder = root / "finished"
    try:
        record = read_json_file(folder / RECORD)
        pictures = [_told(folder, row) for row in record["pictures"]]
        reference = str(record["reference"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        if not isinstance(error, FileNotFoundError):
            damage.note(
                folder / RECORD,
                f"The list of what is finished, {RECORD}, is damaged: make the pictures again.",
            )
        return {"reference": "", "kind": "tiff", "pictures": []}
    damage.clear(folder / RECORD)
    kind = "jpeg" if pictures and all(p["file"].endswith(".jpg") for p in pictures) else "tiff"
    return {"reference": reference, "kind": kind, "pictures": [p for p in pictures if p["version"]]}


def _told(folder: Path, row: dict[str, Any]) -> dict[str, Any]:
    told = {name: row[name] for name in _ROW}
    if wrong := [name for name, kind in _ROW.items() if type(told[name]) is not kind]:
        raise ValueError(f"a record's {wrong[0]} is of another type")
    if not can_lie_in(str(told["file"])) or Path(told["file"]).name != told["file"]:
        raise ValueError("a record names a file in its own folder")
    match = {name: row["match"][name] for name in _FIGURES}
    if not all(v is None or isinstance(v, str | int | float) for v in match.values()):
        raise ValueError("a record's match is of another type")
    if not all(isinstance(words, str) for words in row["adjustments"]):
        raise ValueError("what was adjusted is told in words")
    match["matched"] = is_matched(match["by"], match["stops"], match["mired"])
    path = folder / told["file"]
    version, size = "", 0
    if path.is_file():
        stat = path.stat()
        version, size = f"{stat.st_mtime_ns:x}{stat.st_size:x}", stat.st_size
    return {
        **told,
        "from_raw": is_raw(Path(str(told["frame"]))),
        "match": match,
        "said": list(row["adjustments"]),
        "version": version,
        "bytes": size,
    }


async def _run(request: Request, tool: Tool) -> Any:
    told = await body(request)
    kind, reference = told.text("kind", "tiff"), told.text("reference")
    if kind not in KINDS:
        raise InputError("A finished file is a 'tiff' or a 'jpeg'; the reference is the name of a shot.")
    args = {"root": str(tool.shoot), "kind": kind, "reference": reference}
    return tool.jobs.begin(tool.long, "results.finish", args).told()


def finished_picture(root: Path, shot: str) -> dict[str, Any]:
    """The finished picture of a shot. Raises InputError when there is none."""
    for picture in read_finished(root)["pictures"]:
        if picture["shot"] == shot:
            found: dict[str, Any] = picture
            return found
    raise InputError("Nothing of that name is finished.")


async def _picture(request: Request, tool: Tool) -> Response:
    size, root = request.path_params["size"], tool.shoot
    if size not in SIZES:
        raise InputError("There is no such picture.")
    picture = finished_picture(root, request.path_params["shot"])
    file, version = picture["file"], picture["version"]
    path = root / ".plateside" / "shown" / file / f"{version}-{size}.jpg"
    data = await run_in_threadpool(picture_or_none, path)
    if data is None:
        args = {"root": str(root), "file": file, "version": version, "size": size}
        await tool.looking.ask("results.shown", args)
        data = await run_in_threadpool(picture_or_none, path)
    if data is None:
        return JSONResponse({"error": "That picture cannot be shown.", "mistakes": []}, 404)
    asked = request.query_params.get("v") == version
    return _kept_jpeg(data, lasting=asked)


async def _plain(request: Request, tool: Tool) -> Response:
    """The raw of a finished picture, developed with the camera's own white balance and matched to nothing."""
    size, root = request.path_params["size"], tool.shoot
    if size not in SIZES:
        raise InputError("There is no such picture.")
    picture = finished_picture(root, request.path_params["shot"])
    frame = str(picture["frame_id"])
    if not picture["from_raw"] or not frame.isalnum():
        raise InputError("That picture was not made from a raw.")
    path = root / ".plateside" / "shown" / "plain" / f"{frame}-{size}.jpg"
    data = await run_in_threadpool(picture_or_none, path)
    if data is None:
        args = {"root": str(root), "frame": frame, "size": size}
        await tool.looking.ask("results.plain", args)
        data = await run_in_threadpool(picture_or_none, path)
    if data is None:
        return JSONResponse({"error": "That picture cannot be shown.", "mistakes": []}, 404)
    return _kept_jpeg(data, lasting=True)


def _kept_jpeg(data: bytes, *, lasting: bool) -> Response:
    headers = {"cache-control": "private, max-age=31536000, immutable"} if lasting else {}
    return Response(data, media_type="image/jpeg", headers=headers)


def _file(request: Request, tool: Tool) -> Response:
    return hand_out(tool.shoot / "finished", request.path_params["path"])
