"""What the Deliver page is sent: facts with the sentences chosen for them, and where each thing is fixed.

What is left to fix is decided in tasks/deliver/open_points.py alone; here each point's code gets its address.
"""

from dataclasses import dataclass
from typing import Any

from plateside.model.crop import CropRemark
from plateside.tasks.deliver.open_points import DeliveryStanding
from plateside.tasks.deliver.shown import greyed_out
from plateside.tasks.report import as_json
from plateside.words import Said
from plateside.words.deliver import report
from plateside.words.deliver.crops import crop_sentence
from plateside.words.deliver.points import FIX, point_sentence
from plateside.words.finish import again_sentence

_ADDRESSES = {
    "no release": "#releases", "no licence": "#usage_terms", "recipe placeholder": "/plan#recipe",
    "maker placeholder": "/plan#creator", "no frame": "/set", "not finished": "/finish", "no picture": "/plan#shots",
    "left out": "/plan#shot-{shot}", "another select": "/finish", "finish cut short": "/finish", "look off": "/finish",
    "unmatched": "/finish", "taken again": "/choose", "better again": "/choose", "words": "#alt_text-{shot}",
    "food cut": "#shot-{shot}", "too few pixels": "#shot-{shot}", "too heavy": "/plan#channels",
    "squeezed": "/plan#channels", "no address": "/plan#creator", "no shape": "/plan#channels",
    "small for search": "/plan#channels", "stale": "#run", "interrupted": "#run", "files missing": "#run",
}  # fmt: skip


@dataclass(frozen=True)
class PointShown:
    """One thing left to fix or to remark, and where: an address with the words of its link."""

    words: str
    address: str
    link: str
    code: str
    shot: str
    blocks: bool


def point_shown(point: Any) -> PointShown:
    """A point of tasks/deliver/open_points.py as the page shows it."""
    address = _ADDRESSES[point.code].format(shot=point.shot)
    return PointShown(point_sentence(point), address, FIX[point.code], point.code, point.shot, point.blocks)


def deliver_shown(now: dict[str, Any]) -> dict[str, Any]:
    """`tasks.deliver.shown.delivery_shown`, with its sentences."""
    standing: DeliveryStanding = now["standing"]
    codes = greyed_out(now)
    shown: dict[str, Any] = {
        **{name: value for name, value in now.items() if name != "standing"},
        "headline": _headline(now["channels"], standing),
        "withheld": [point_shown(p) for p in now["withheld"]],
        "open": [point_shown(p) for p in now["open"]],
        "nothing_left": report.NOTHING_LEFT,
        "no_shots": report.NO_SHOTS,
        "dish_words": report.DISH,
        "hints": report.HINTS,
        "greyed_out": {button: report.greyed_out(code) for button, code in codes.items()},
        "pack_mind": report.before_packing(now["before_packing"]),
        "shots": [_shot(shot) for shot in now["shots"]],
    }
    sent: dict[str, Any] = as_json(shown)
    return sent


def words_shown(said: dict[str, Any]) -> dict[str, Any]:
    """A shot's words, what is wrong with them as codes and sentences."""
    return {**said, "remarks": [Said(p.what, point_sentence(p)) for p in said["remarks"]]}


def crop_shown(crop: dict[str, Any]) -> dict[str, Any]:
    """A crop, what it could not give as codes and sentences."""
    remarks: tuple[CropRemark, ...] = crop["remarks"]
    return {**crop, "remarks": [Said(r.code, crop_sentence(r)) for r in remarks]}


def _shot(shot: dict[str, Any]) -> dict[str, Any]:
    doubt = shot["doubt"]
    again = again_sentence(shot["name"], doubt["by_her"], doubt["act"], doubt["kept"]) if doubt else ""
    notes = [
        *([Said("left out", report.LEFT_OUT)] if shot["left_out"] else []),
        *([Said("held back", report.HELD_BACK)] if shot["withheld"] else []),
        *([Said("another select", report.ANOTHER_SELECT)] if shot["another_select"] else []),
        *([Said("take again", again)] if again else []),
    ]
    select = shot["select"]
    shown = (
        report.as_taken_sentence(select["name"], select["by_you"], shot["frames"])
        if select
        else report.NO_FRAME
    )
    return {
        **shot,
        "words": words_shown(shot["words"]),
        "notes": notes,
        "as_taken": shown,
        "release_words": report.release_phrase(shot["name"]),
    }


def _headline(channels: list[Any], now: DeliveryStanding) -> str:
    if not channels:
        return report.NO_CHANNELS
    if now.delivery is None:
        return report.NOTHING_YET
    pictures = now.delivery.pictures
    crops = len({(p.get("shot"), p.get("channel")) for p in pictures})
    return report.headline_sentence(crops, len(pictures), now.ready, len(now.open))
