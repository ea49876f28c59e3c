"""What the page Deliver shows: every picture with its crops and words, what is left to fix, what was delivered."""

from datetime import date
from pathlib import Path
from typing import Any

from plateside.deliver.rights import licence_gate, person_gate, rights_of
from plateside.deliver.words import AIM_CHARACTERS, MOST_CHARACTERS, check_alt, stand_in_alt, words_for
from plateside.files import damage
from plateside.files.journal.extra_shots import with_delivered
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state, replay
from plateside.files.json_text import read_json_file
from plateside.files.settings.load import load_shoot
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot
from plateside.tasks.choose.doubt import doubt_of
from plateside.tasks.deliver.open_points import MANIFEST, WHOLE, DeliveryStanding, standing
from plateside.tasks.finish.shown import read_finished
from plateside.tasks.studio.edit import version_of
from plateside.words.deliver import refusals

FIELDS = ("title", "caption", "alt_text")
LONGEST = 2000
"""Characters of one field that are looked at."""


def delivery_shown(root: Path) -> dict[str, Any]:
    """Every picture with its channels, crops and words; what is held back or open; what was delivered."""
    shoot, rows = load_shoot(root / "shoot.toml"), Journal.open(root).rows()
    state, delivery = replay(rows), delivered(root)
    now = standing(root, shoot, state)
    finished = {p["shot"]: p for p in read_finished(root, state)["pictures"]}
    shoot = with_delivered(shoot, state, {p["frame_id"] for p in finished.values() if not p["extra"]})
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    shots = [_shot(shot, shoot, state, finished.get(shot.name)) for shot in shoot.shots]
    return {
        "standing": now,
        "ready": now.ready,
        "withheld": now.withheld,
        "open": now.open,
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
        "before_packing": before_packing(now),
        "aim_characters": AIM_CHARACTERS,
        "most_characters": MOST_CHARACTERS,
    }  # fmt: skip


def _shot(shot: Shot, shoot: Shoot, state: ShootState, picture: dict[str, Any] | None) -> dict[str, Any]:
    extra = next((frame for frame, one in state.extras.items() if one.name == shot.name), "")
    hero = state.heroes.get(shot.name, "") or extra
    own = [frame for frame, name in state.shot_of.items() if name == shot.name and frame in state.landed]
    # before one is chosen, the one kept last, else the last that landed
    shown = hero or next((f for f in reversed(own) if f in state.kept), own[-1] if own else "")
    return {
        "name": shot.name,
        "role": shot.role,
        "frames": len(own) + bool(extra),
        "select": {"id": shown, "name": state.landed.get(shown, ""), "by_you": bool(hero)} if shown else None,
        "picture": picture,
        "another_select": bool(picture and hero and hero != picture["frame_id"]),
        "doubt": doubt_of(state, picture["frame_id"]) if picture else None,
        "person": shot.person,
        "model_release": shot.model_release,
        "withheld": person_gate(shot) is not None and not shot.left_out,
        "left_out": shot.left_out,
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
        manifest = read_json_file(path)
        names = ("file", "shot", "channel", "kind", "width_px", "height_px", "bytes")
        found = {
            "ready": bool(manifest["ready_to_publish"]),
            "withheld": [str(w) for w in manifest["withheld"]],
            "state": str(manifest.get("state", WHOLE)),
            "pictures": [_listed({name: row[name] for name in names}) for row in manifest["pictures"]],
            "documents": [_document(root, str(row["file"])) for row in manifest["documents"]],
        }
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError):
        damage.note(path, refusals.list_damaged_note(MANIFEST))
        return None
    damage.clear(path)
    return found


def _listed(row: dict[str, Any]) -> dict[str, Any]:
    """A picture of the manifest, or ValueError: what was written there is texts and whole numbers."""
    kinds = {"width_px": int, "height_px": int, "bytes": int}
    if wrong := [name for name, value in row.items() if type(value) is not kinds.get(name, str)]:
        raise ValueError(wrong[0])
    return row


def _document(root: Path, name: str) -> dict[str, Any]:
    path = root / "delivery" / name
    return {"file": name, "bytes": path.stat().st_size if path.is_file() else 0}


def packages(root: Path) -> list[str]:
    """Names of the packages in the shoot's folder."""
    folder = root / "packages"
    return sorted(p.name for p in folder.iterdir() if (p / "bagit.txt").is_file()) if folder.is_dir() else []


def words_checked(root: Path, shot_name: str, edited: dict[str, str]) -> dict[str, Any]:
    """The words of a shot as they stand in the page's fields. Raises InputError when there is no such shot."""
    shoot = with_delivered(load_shoot(root / "shoot.toml"), read_state(root))
    for shot in shoot.shots:
        if shot.name == shot_name:
            return said_of(shoot, shot, {name: edited[name][:LONGEST] for name in FIELDS})
    raise InputError(refusals.NO_SUCH_SHOT)


def before_packing(now: DeliveryStanding) -> list[str]:
    """Codes of what to know before the delivery that is there is handed over: stale, interrupted, not ready."""
    if now.delivery is None:
        return []
    codes = {p.code for p in now.open}
    found = [code for code in ("interrupted", "stale") if code in codes][:1]
    return [*found, *([] if now.ready else ["not ready"])]


def greyed_out(shown: dict[str, Any]) -> dict[str, str]:
    """Why a button cannot be pressed, by the button: a code, empty when it can."""
    deliverable = any(s["picture"] and not s["withheld"] and not s["left_out"] for s in shown["shots"])
    finished = any(s["picture"] for s in shown["shots"])
    make = "" if deliverable else "held back" if finished else "no picture"
    return {
        "make": make if shown["channels"] else "channel",
        "pack": "" if shown["delivery"] or shown["landed"] else "nothing to pack",
        "hand over": "" if shown["licensed"] else "no licence",
        "check": "" if shown["delivery"] or shown["packages"] else "nothing to check",
    }
