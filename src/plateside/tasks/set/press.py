"""One press on a page: a decision written down at once, unless somebody else has just decided the same thing."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from plateside.files.journal.extra_shots import name_for
from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState, last_undoable, replay, undone
from plateside.files.settings.load import load_shoot
from plateside.finish.extra import NOT_FINISHED, USES
from plateside.finish.hand import LIMITS, hand_of
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.named import check_shot
from plateside.words.finish import beyond_the_hand
from plateside.words.lens import NO_LENS_SWITCH
from plateside.words.set import refusals
from plateside.words.set.presses import NOTHING_TO_TAKE_BACK, pressed_sentence, taken_back_sentence

FIELDS: Mapping[str, tuple[str, ...]] = {
    "kept": ("frame",), "again": ("frame",), "select": ("shot", "frame"), "alternate": ("shot", "frame"),
    "test frame": ("shot", "frame"), "layer": ("shot", "frame"), "shot current": ("shot",),
    "frame belongs": ("frame", "shot"), "best": ("frame",),
    "crop": ("shot", "channel", "box"), "dish": ("shot", "box"), "words": ("shot", "field", "text"),
    "grey card": ("shot", "frame", "box"), "judge again": ("frame",), "as taken": ("shot", "frame"),
    "look": ("shot", *LIMITS), "lens": ("use",), "square": ("shot", "corners"),
    "extra": ("frame", "use"), "as made": ("shot", "sha256"),
    "retouched kept": ("shot", "made_from"), "colour chart": ("frame", "corners"),
    "camera clock": ("camera", "offset_s"),
}  # fmt: skip
"""What can be pressed, and what each press must say."""

WORDS = ("title", "caption", "alt_text")
LONGEST_WORDS = 2000
_LONGEST_NAME = 200
LEAST_SIDE = 0.02
"""Of a place that is marked in a picture, as a share of it."""
_SAME_THING: Mapping[str, tuple[str, ...]] = {
    "kept": ("frame",), "again": ("frame",), "select": ("shot",), "alternate": ("shot",), "test frame": ("shot",),
    "frame belongs": ("frame",), "crop": ("shot", "channel"), "dish": ("shot",), "grey card": ("shot",),
    "words": ("shot", "field"), "as taken": ("shot",), "look": ("shot",),
    "lens": (), "square": ("shot",), "extra": ("frame",), "as made": ("shot",), "retouched kept": ("shot",),
    "colour chart": ("frame",),
}  # fmt: skip
_ONE_QUESTION = ({"kept", "again"},)


class SomebodyElseError(CouldNotError):
    """The same thing was decided elsewhere after this page was drawn; `row` is that decision."""

    def __init__(self, row: Row) -> None:
        super().__init__(refusals.changed_elsewhere(f"{row.at.astimezone():%H:%M:%S}"))
        self.row = row


@dataclass(frozen=True)
class Pressed:
    """The row that was written; none when there was nothing to take back."""

    row: int
    kind: str
    data: dict[str, Any]
    said: str

    def lines(self) -> list[str]:
        return [self.said]


def press(root: Path, kind: str, data: Mapping[str, Any], version: int) -> Pressed:
    """Write one decision down.

    kind, data  a kind of FIELDS with its fields
    seen        number of the last row that the page knew
    Raises InputError for what is not there, SomebodyElseError when a row after `version` decided the same thing.
    """
    if kind not in FIELDS:
        raise InputError(refusals.no_decision(kind, list(FIELDS)))
    journal = Journal.open(root)
    rows = journal.rows()
    pressed = _checked(root, kind, data, replay(rows))
    _nobody_else(rows, kind, pressed, version)
    if kind == "frame belongs":
        pressed["guess"] = False
    row = journal.append(kind, **pressed)
    return Pressed(row.number, kind, pressed, pressed_sentence(kind, pressed))


def take_back(root: Path, version: int) -> Pressed:
    """Undo the latest decision that still counts. Raises SomebodyElseError when it came after the page was drawn."""
    journal = Journal.open(root)
    row = last_undoable(journal.rows())
    if row is None:
        return Pressed(0, "undo", {}, NOTHING_TO_TAKE_BACK)
    if row.number > version:
        raise SomebodyElseError(row)
    written = journal.append("undo", row=row.number)
    return Pressed(written.number, "undo", {"row": row.number}, taken_back_sentence(row.kind, row.data))


def _checked(root: Path, kind: str, data: Mapping[str, Any], state: ShootState) -> dict[str, Any]:
    missing = [f for f in FIELDS[kind] if f not in data]
    if missing:
        raise InputError(refusals.press_lacks(kind, missing))
    pressed = {name: data[name] for name in FIELDS[kind]}
    figures = ("box", "corners", "offset_s", *LIMITS)
    wrong = [f for f, v in pressed.items() if f not in figures and not isinstance(v, str)]
    if wrong:
        raise InputError(refusals.text_wanted(wrong))
    if "frame" in pressed and pressed["frame"] not in state.landed:
        raise InputError(refusals.NOT_LANDED)
    if kind == "look":
        pressed |= _hand(pressed)
    if "shot" in pressed and (pressed["shot"] or kind != "look"):
        shoot = load_shoot(root / "shoot.toml")
        if pressed["shot"] not in (extra.name for extra in state.extras.values()):
            pressed["shot"] = check_shot(shoot, pressed["shot"])
        if kind == "crop" and pressed["channel"] not in [c.name for c in shoot.channels]:
            raise InputError(refusals.no_channel(pressed["channel"]))
    if (
        kind in ("select", "alternate", "test frame", "layer", "grey card")
        and state.shot_of.get(pressed["frame"], pressed["shot"]) != pressed["shot"]
    ):
        raise InputError(refusals.belongs_elsewhere(state.shot_of[pressed["frame"]], pressed["shot"]))
    if kind == "lens" and not 0 < len(pressed["use"].strip()) <= _LONGEST_NAME:
        raise InputError(NO_LENS_SWITCH)
    if kind == "square" and pressed["corners"] != []:
        # corners are measured against the frame first, which takes longer than a press
        raise InputError(refusals.press_lacks(kind, ["corners"]))
    if "box" in pressed and pressed["box"] is not None:  # none takes the mark away again
        pressed["box"] = box_in_frame(pressed["box"], kind)
    if "corners" in pressed:  # none takes the chart back
        pressed["corners"] = corners_given(pressed["corners"])
    if kind == "extra":
        if pressed["use"] not in USES:
            raise InputError(refusals.use_is(USES))
        if pressed["frame"] in state.heroes.values() and pressed["use"] != NOT_FINISHED:
            raise InputError(refusals.IS_SELECT)
        pressed["name"] = name_for(load_shoot(root / "shoot.toml"), state, pressed["frame"])
    if kind == "words":
        if pressed["field"] not in WORDS:
            raise InputError(refusals.words_are(WORDS))
        pressed["text"] = pressed["text"][:LONGEST_WORDS]
    if kind == "camera clock":
        pressed["offset_s"] = _seconds(pressed["offset_s"])
    return pressed


def _hand(given: Mapping[str, Any]) -> dict[str, float]:
    try:
        return asdict(hand_of(given))
    except ValueError as error:
        raise InputError(beyond_the_hand(str(error), LIMITS[str(error)])) from error


def _seconds(given: Any) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float) or not abs(given) < 1e9:
        raise InputError(refusals.CLOCK_IN_SECONDS)
    return float(given)


def box_in_frame(given: Any, what: str = "crop") -> list[float]:
    """Four numbers that lie within a picture. `what`: crop, dish or grey card.

    Raises InputError with what was got and what is allowed.
    """
    plain = isinstance(given, list | tuple) and not any(isinstance(v, bool | str) for v in given)
    try:
        x, y, w, h = (float(v) for v in (given if plain else ()))
    except (TypeError, ValueError, OverflowError):
        raise InputError(refusals.no_box(what)) from None
    inside = x >= -1e-6 and y >= -1e-6 and x + w <= 1 + 1e-6 and y + h <= 1 + 1e-6
    if not inside:
        raise InputError(refusals.box_outside(what, x, y, w, h))
    if not (w >= LEAST_SIDE and h >= LEAST_SIDE):
        raise InputError(refusals.box_too_small(what, w, h))
    return [round(v, 6) for v in (x, y, w, h)]


def corners_given(given: Any) -> list[float]:
    """Left and top of four corners as shares of a picture; none: a chart is taken back. Raises InputError."""
    numbers = isinstance(given, list) and all(type(v) in (int, float) and -0.5 < v < 1.5 for v in given)
    if not numbers or len(given) not in (0, 8):
        raise InputError(refusals.NO_FOUR_CORNERS)
    return [round(float(v), 6) for v in given]


def _nobody_else(rows: list[Row], kind: str, pressed: Mapping[str, Any], version: int) -> None:
    if kind not in _SAME_THING:
        return
    kinds = next((group for group in _ONE_QUESTION if kind in group), {kind})
    gone = undone(rows)
    for row in reversed(rows):
        if row.number <= version:
            return
        same = row.kind in kinds and all(row.data.get(f) == pressed[f] for f in _SAME_THING[kind])
        tool_guess = row.kind == "frame belongs" and row.data.get("guess")
        if same and not tool_guess and row.number not in gone:
            raise SomebodyElseError(row)
