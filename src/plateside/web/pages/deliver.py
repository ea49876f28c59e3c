"""Deliver: crops and words of every picture, what is open, the delivery made, its files, packages."""

from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.deliver.rights import licence_gate, person_gate, rights_of
from plateside.deliver.words import AIM_LETTERS, MOST_LETTERS, check_alt, stand_in_alt, words_for
from plateside.files import damage
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.json_text import read_json_file
from plateside.files.settings import load_shoot
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot
from plateside.tasks.deliver.open_points import MANIFEST, WHOLE, doubt_of, standing
from plateside.tasks.studio.edit import version_of
from plateside.web.answers import body, endpoint, page
from plateside.web.asker import at_desk
from plateside.web.handed_out import hand_out
from plateside.web.open_points import headline, mind_before_packing, with_address
from plateside.web.pages.finish import finished_picture, read_finished
from plateside.web.tool import Tool

FIELDS = ("title", "caption", "alt_text")
LONGEST = 2000


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, crops, words checked, delivery, packages, the files."""
    return [
        Route("/deliver", endpoint(tool, _page)),
        Route("/deliver/standing", endpoint(tool, _standing)),
        Route("/deliver/crops/{shot}", endpoint(tool, _crops)),
        Route("/deliver/crop", endpoint(tool, _crop), methods=["POST"]),
        Route("/deliver/words", endpoint(tool, _words), methods=["POST"]),
        Route("/deliver/run", endpoint(tool, _run), methods=["POST"]),
        Route("/deliver/pack", endpoint(tool, _pack), methods=["POST"]),
        Route("/deliver/verify", endpoint(tool, _verify), methods=["POST"]),
        Route("/deliver/files/{path:path}", endpoint(tool, _file)),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    # a device of the network is not told where the shoot lies
    shoot_dir = str(tool.shoot.resolve()) if at_desk() else ""
    return page(tool, "deliver.html", "deliver", "Deliver", given=delivering(tool.shoot), shoot_dir=shoot_dir)


def _standing(_request: Request, tool: Tool) -> Any:
    return delivering(tool.shoot)


def delivering(root: Path) -> dict[str, Any]:
    """Every picture with its channels, crops and words; what is held back or open; what was delivered."""
    shoot, rows = load_shoot(root / "shoot.toml"), Journal.open(root).rows()
    state, delivery = replay(rows), delivered(root)
    now = standing(root, shoot, state)
    finished = {p["shot"]: p for p in read_finished(root)["pictures"]}
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    shots = [_shot(shot, shoot, state, finished.get(shot.name)) for shot in shoot.shots]
    return {
        "headline": headline(shoot, now),
        "ready": now.ready,
        "held": [asdict(with_address(p)) for p in now.held],
        "open": [asdict(with_address(p)) for p in now.open],
        "changed": list(now.changed),
        "landed": len(state.landed),
        "row": state.last_row,
        "version": version_of(root / "shoot.toml"),
        "recipe": {"title": shoot.recipe.title, "description": shoot.recipe.description},
        "creator": {
            "name": shoot.creator.name,
            "licence_url": shoot.creator.licence_url,
            "usage_terms": shoot.creator.usage_terms,
        },
        "licensed": licence_gate(rights) is None,
        "channels": [
            {
                "name": c.name, "width_px": c.width_px, "height_px": c.height_px, "text_space": c.text_space,
                "formats": c.formats, "largest_kb": c.largest_kb, "on_page": c.on_page,
            }
            for c in shoot.channels
        ],
        "shots": shots,
        "delivery": delivery,
        "packages": packages(root),
        "pack_mind": mind_before_packing(now),
        "aim_letters": AIM_LETTERS,
        "most_letters": MOST_LETTERS,
    }  # fmt: skip


def _shot(shot: Shot, shoot: Shoot, state: ShootState, picture: dict[str, Any] | None) -> dict[str, Any]:
    hero = state.heroes.get(shot.name, "")
    own = [frame for frame, name in state.shot_of.items() if name == shot.name and frame in state.landed]
    # before she has chosen, the one that she kept last, else the last that landed
    shown = hero or next((f for f in reversed(own) if f in state.kept), own[-1] if own else "")
    return {
        "name": shot.name,
        "role": shot.role,
        "frames": len(own),
        "hero": {"id": shown, "name": state.landed.get(shown, ""), "by_her": bool(hero)} if shown else None,
        "picture": picture,
        "another_hero": bool(picture and hero and hero != picture["frame_id"]),
        "doubt": doubt_of(state, picture["frame_id"]) if picture else None,
        "person": shot.person,
        "release": shot.release,
        "held_back": person_gate(shot) is not None,
        "channels": [c.name for c in shoot.channels if not shot.channels or c.name in shot.channels],
        "crops": {channel: box for (name, channel), box in state.crops.items() if name == shot.name},
        "words": said_of(shoot, shot, state.words.get(shot.name, {})),
    }


def said_of(shoot: Shoot, shot: Shot, edited: dict[str, str]) -> dict[str, Any]:
    """The words of a shot as they would be delivered, and what is wrong with them."""
    words = words_for(shoot.recipe, shot, edited)
    alt = words.alt_text if words.alt_is_hers else ""
    return {
        # what stands in the fields: hers, or what shoot.toml has
        "title": edited.get("title") or shot.title,
        "caption": edited.get("caption") or shot.caption,
        "alt_text": edited.get("alt_text") or shot.alt_text,
        "used": {"title": words.title, "caption": words.description, "alt_text": words.alt_text},
        "stand_in": stand_in_alt(shoot.recipe, shot),
        "remarks": list(check_alt(alt, shot.name, words.title)),
    }


def delivered(root: Path) -> dict[str, Any] | None:
    """What the delivery's manifest says, without the hashes; None when there is no delivery."""
    path = root / "delivery" / MANIFEST
    try:
        told = read_json_file(path)
        names = ("file", "shot", "channel", "kind", "width_px", "height_px", "bytes")
        found = {
            "ready": bool(told["ready_to_publish"]),
            "held_back": [str(w) for w in told["held_back"]],
            "state": str(told.get("state", WHOLE)),
            "pictures": [_listed({name: row[name] for name in names}) for row in told["pictures"]],
            "documents": [_document(root, str(row["file"])) for row in told["documents"]],
        }
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError):
        damage.note(path, f"The delivery's list, {MANIFEST}, is damaged: make the delivery again.")
        return None
    damage.clear(path)
    return found


def _listed(row: dict[str, Any]) -> dict[str, Any]:
    """A picture of the manifest, or ValueError: what was written there is texts and whole numbers."""
    kinds = {"width_px": int, "height_px": int, "bytes": int}
    if wrong := [name for name, value in row.items() if type(value) is not kinds.get(name, str)]:
        raise ValueError(f"{wrong[0]} is of another type")
    return row


def _document(root: Path, name: str) -> dict[str, Any]:
    path = root / "delivery" / name
    return {"file": name, "bytes": path.stat().st_size if path.is_file() else 0}


def packages(root: Path) -> list[str]:
    """Names of the packages in the shoot's folder."""
    folder = root / "packages"
    return sorted(p.name for p in folder.iterdir() if (p / "bagit.txt").is_file()) if folder.is_dir() else []


def _asked(root: Path, shot: str) -> dict[str, Any]:
    picture = finished_picture(root, shot)
    return {"root": str(root), "shot": shot, "file": picture["file"], "version": picture["version"]}


async def _crops(request: Request, tool: Tool) -> Any:
    return await tool.looking.ask("results.crops", _asked(tool.shoot, request.path_params["shot"]))


async def _crop(request: Request, tool: Tool) -> Any:
    told = await body(request)
    box = told.numbers("box", 4)
    if not (all(-1 <= v <= 2 for v in box) and min(box[2:]) > 0):
        raise InputError("A crop is four numbers: left, top, width and height as shares of the picture.")
    asked = _asked(tool.shoot, told.text("shot"))
    return await tool.looking.ask("results.crop", {**asked, "channel": told.text("channel"), "box": box})


async def _words(request: Request, tool: Tool) -> Any:
    told = await body(request)
    shoot = load_shoot(tool.shoot / "shoot.toml")
    for shot in shoot.shots:
        if shot.name == told.text("shot"):
            return said_of(shoot, shot, {name: told.text(name)[:LONGEST] for name in FIELDS})
    raise InputError("There is no such shot.")


async def _run(_request: Request, tool: Tool) -> Any:
    return tool.jobs.begin(tool.long, "results.deliver", {"root": str(tool.shoot)}).told()


async def _pack(request: Request, tool: Tool) -> Any:
    told = await body(request)
    args = {"root": str(tool.shoot), "archive": told.flag("archive"), "channels": told.texts("channels")}
    return tool.jobs.begin(tool.long, "results.pack", args).told()


async def _verify(request: Request, tool: Tool) -> Any:
    name = (await body(request)).text("package")
    if name and name not in packages(tool.shoot):
        raise InputError("There is no such package.")
    return tool.jobs.begin(tool.long, "results.verify", {"root": str(tool.shoot), "package": name}).told()


def _file(request: Request, tool: Tool) -> Response:
    return hand_out(tool.shoot / "delivery", request.path_params["path"])
