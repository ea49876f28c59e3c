"""What the Deliver page is sent: facts with the sentences chosen for them, and where each thing is fixed.

What is left to fix is decided in tasks/deliver/open_points.py alone; here each point's code gets its address.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from plateside.model.crop import CropRemark
from plateside.tasks.deliver.open_points import DeliveryStanding
from plateside.tasks.deliver.shown import greyed_out
from plateside.words import Said
from plateside.words.deliver import report
from plateside.words.deliver.crops import crop_sentence
from plateside.words.deliver.points import FIX, point_sentence
from plateside.words.finish import again_sentence

_ADDRESSES = {
    "no release": "#releases", "no licence": "#usage_terms", "recipe placeholder": "/plan#recipe",
    "maker placeholder": "/plan#creator", "no frame": "/set", "not finished": "/finish", "no picture": "/plan#shots",
    "left out": "/plan#shot-{shot}", "another select": "/finish", "finish cut short": "/finish", "look off": "/finish",
    "hand changed": "/finish", "retouched older": "/finish", "retouched changed": "/finish",
    "retouched gone": "/finish", "retouched waiting": "/finish", "retouched unknown": "/finish",
    "unmatched": "/finish", "taken again": "/choose", "better again": "/choose",
    "words": "#alt_text-{shot}",
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


@dataclass(frozen=True)
class ChannelShown:
    """A place where pictures go."""

    name: str
    width_px: int
    height_px: int
    text_space: str
    on_page: bool


@dataclass(frozen=True)
class CreatorShown:
    """What others may do."""

    licence_url: str
    usage_terms: str


@dataclass(frozen=True)
class RecipeShown:
    """The dish."""

    title: str
    description: str


@dataclass(frozen=True)
class SelectShown:
    """The frame that stands for a shot before it is finished."""

    id: str
    name: str
    by_you: bool


@dataclass(frozen=True)
class PictureToCrop:
    """A finished picture, whole."""

    version: str
    width_px: int
    height_px: int


@dataclass(frozen=True)
class WordsUsed:
    """The words as they are delivered."""

    title: str
    caption: str
    alt_text: str


@dataclass(frozen=True)
class WordsShown:
    """The words in the fields, those that are used, what is wrong with them."""

    title: str
    caption: str
    alt_text: str
    used: WordsUsed
    stand_in: str
    """The alt text while you have written none."""
    remarks: tuple[Said, ...]


@dataclass(frozen=True)
class ShotDelivered:
    """A shot, its crops and words."""

    name: str
    role: str
    frames: int
    person: bool
    model_release: bool
    withheld: bool
    """Held back until the model release is signed."""
    channels: tuple[str, ...]
    crops: Mapping[str, tuple[float, ...]]
    """Yours, by the channel: left, top, width, height as shares of the picture."""
    select: SelectShown | None
    picture: PictureToCrop | None
    words: WordsShown
    notes: tuple[Said, ...]
    as_taken: str
    release_words: str


@dataclass(frozen=True)
class FileDelivered:
    """A picture of the delivery."""

    file: str
    shot: str
    channel: str
    kind: str
    width_px: int
    height_px: int
    bytes: int


@dataclass(frozen=True)
class DocumentDelivered:
    """A page or a list of the delivery."""

    file: str
    bytes: int


@dataclass(frozen=True)
class DeliveryShown:
    """What was delivered."""

    pictures: tuple[FileDelivered, ...]
    documents: tuple[DocumentDelivered, ...]


@dataclass(frozen=True)
class DeliverShown:
    """The page."""

    row: int
    version: str
    landed: int
    ready: bool
    changed: tuple[str, ...]
    """What was changed since it was made."""
    licensed: bool
    headline: str
    withheld: tuple[PointShown, ...]
    open: tuple[PointShown, ...]
    nothing_left: str
    no_shots: str
    dish_words: Mapping[str, str]
    hints: Mapping[str, str]
    greyed_out: Mapping[str, str]
    """By the button: make, pack, hand over, check; empty: it can be pressed."""
    before_packing: tuple[str, ...]
    """Codes of what to know before you hand it over: stale, interrupted, not ready."""
    pack_mind: str
    recipe: RecipeShown
    creator: CreatorShown
    channels: tuple[ChannelShown, ...]
    shots: tuple[ShotDelivered, ...]
    delivery: DeliveryShown | None
    packages: tuple[str, ...]
    aim_characters: int
    most_characters: int


@dataclass(frozen=True)
class CropShown:
    """A crop: its place as shares of the picture, what it gives, what it lacks."""

    box: tuple[float, ...]
    width_px: int
    height_px: int
    whole: bool
    remarks: tuple[Said, ...]


@dataclass(frozen=True)
class CropsShown:
    """Where the dish is in a picture, and the planned crop of every channel."""

    shot: str
    dish: tuple[float, ...]
    dish_by_you: bool
    channels: Mapping[str, CropShown]


def deliver_shown(now: dict[str, Any]) -> DeliverShown:
    """`tasks.deliver.shown.delivery_shown`, with its sentences."""
    standing: DeliveryStanding = now["standing"]
    delivery = now["delivery"]
    return DeliverShown(
        row=now["row"],
        version=now["version"],
        landed=now["landed"],
        ready=now["ready"],
        changed=tuple(now["changed"]),
        licensed=now["licensed"],
        headline=_headline(now["channels"], standing),
        withheld=tuple(point_shown(p) for p in now["withheld"]),
        open=tuple(point_shown(p) for p in now["open"]),
        nothing_left=report.NOTHING_LEFT,
        no_shots=report.NO_SHOTS,
        dish_words=report.DISH,
        hints=report.HINTS,
        greyed_out={button: report.greyed_out(code) for button, code in greyed_out(now).items()},
        before_packing=tuple(now["before_packing"]),
        pack_mind=report.before_packing(now["before_packing"]),
        recipe=RecipeShown(**now["recipe"]),
        creator=CreatorShown(now["creator"]["licence_url"], now["creator"]["usage_terms"]),
        channels=tuple(ChannelShown(**_picked(ChannelShown, c)) for c in now["channels"]),
        shots=tuple(_shot(shot) for shot in now["shots"]),
        delivery=None
        if delivery is None
        else DeliveryShown(
            tuple(FileDelivered(**row) for row in delivery["pictures"]),
            tuple(DocumentDelivered(**row) for row in delivery["documents"]),
        ),
        packages=tuple(now["packages"]),
        aim_characters=now["aim_characters"],
        most_characters=now["most_characters"],
    )


def _picked(kind: type, row: dict[str, Any]) -> dict[str, Any]:
    """Of a task's row, what the page is sent."""
    return {field.name: row[field.name] for field in fields(kind)}


def words_shown(said: dict[str, Any]) -> WordsShown:
    """A shot's words, what is wrong with them as codes and sentences."""
    remarks = tuple(Said(p.what, point_sentence(p)) for p in said["remarks"])
    return WordsShown(**{**said, "used": WordsUsed(**said["used"]), "remarks": remarks})


def crop_shown(crop: dict[str, Any]) -> CropShown:
    """A crop, what it could not give as codes and sentences."""
    remarks: tuple[CropRemark, ...] = crop["remarks"]
    return CropShown(**{**crop, "remarks": tuple(Said(r.code, crop_sentence(r)) for r in remarks)})


def crops_shown(found: dict[str, Any]) -> CropsShown:
    """`tasks.deliver.crops_shown.crops_of`, with its sentences."""
    channels = {name: crop_shown(crop) for name, crop in found["channels"].items()}
    return CropsShown(found["shot"], tuple(found["dish"]), found["dish_by_you"], channels)


def _shot(shot: dict[str, Any]) -> ShotDelivered:
    doubt, select, picture = shot["doubt"], shot["select"], shot["picture"]
    again = again_sentence(shot["name"], doubt["by_her"], doubt["act"], doubt["kept"]) if doubt else ""
    notes = (
        *([Said("left out", report.LEFT_OUT)] if shot["left_out"] else []),
        *([Said("held back", report.HELD_BACK)] if shot["withheld"] else []),
        *([Said("another select", report.ANOTHER_SELECT)] if shot["another_select"] else []),
        *([Said("take again", again)] if again else []),
    )
    shown = (
        report.as_taken_sentence(select["name"], select["by_you"], shot["frames"])
        if select
        else report.NO_FRAME
    )
    return ShotDelivered(
        name=shot["name"],
        role=shot["role"],
        frames=shot["frames"],
        person=shot["person"],
        model_release=shot["model_release"],
        withheld=shot["withheld"],
        channels=tuple(shot["channels"]),
        crops=shot["crops"],
        select=SelectShown(**select) if select else None,
        picture=PictureToCrop(**_picked(PictureToCrop, picture)) if picture else None,
        words=words_shown(shot["words"]),
        notes=notes,
        as_taken=shown,
        release_words=report.release_phrase(shot["name"]),
    )


def _headline(channels: list[Any], now: DeliveryStanding) -> str:
    if not channels:
        return report.NO_CHANNELS
    if now.delivery is None:
        return report.NOTHING_YET
    pictures = now.delivery.pictures
    crops = len({(p.get("shot"), p.get("channel")) for p in pictures})
    return report.headline_sentence(crops, len(pictures), now.ready, len(now.open))
