"""One press on a page: a decision written down at once, unless somebody else has just decided the same thing."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState, last_undoable, replay, undone
from plateside.files.settings.load import load_shoot
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.named import check_shot

FIELDS: Mapping[str, tuple[str, ...]] = {
    "kept": ("frame",), "again": ("frame",), "select": ("shot", "frame"), "alternate": ("shot", "frame"),
    "test frame": ("shot", "frame"), "layer": ("shot", "frame"), "shot current": ("shot",),
    "frame belongs": ("frame", "shot"), "best": ("frame",),
    "crop": ("shot", "channel", "box"), "dish": ("shot", "box"), "words": ("shot", "field", "text"),
    "grey card": ("shot", "frame", "box"), "judge again": ("frame",),
    "camera clock": ("camera", "offset_s"),
}  # fmt: skip
"""What can be pressed, and what each press must say."""

WORDS = ("title", "caption", "alt_text")
LONGEST_WORDS = 2000
LEAST_SIDE = 0.02
"""Of a place that is marked in a picture, as a share of it."""
_SAME_THING: Mapping[str, tuple[str, ...]] = {
    "kept": ("frame",), "again": ("frame",), "select": ("shot",), "alternate": ("shot",), "test frame": ("shot",),
    "frame belongs": ("frame",), "crop": ("shot", "channel"), "dish": ("shot",), "grey card": ("shot",),
    "words": ("shot", "field"),
}  # fmt: skip
_ONE_QUESTION = ({"kept", "again"},)


class SomebodyElseError(CouldNotError):
    """The same thing was decided elsewhere after this page was drawn; `row` is that decision."""

    def __init__(self, row: Row) -> None:
        super().__init__(
            f"This was changed on another screen at {row.at.astimezone():%H:%M:%S}. "
            "Look at what it is now, then press again."
        )
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
        raise InputError(f"There is no decision called {kind!r}; there are: {', '.join(FIELDS)}.")
    journal = Journal.open(root)
    rows = journal.rows()
    pressed = _checked(root, kind, data, replay(rows))
    _nobody_else(rows, kind, pressed, version)
    if kind == "frame belongs":
        pressed["guess"] = False
    row = journal.append(kind, **pressed)
    return Pressed(row.number, kind, pressed, _said(kind, pressed))


def take_back(root: Path, version: int) -> Pressed:
    """Undo the latest decision that still counts. Raises SomebodyElseError when it came after the page was drawn."""
    journal = Journal.open(root)
    row = last_undoable(journal.rows())
    if row is None:
        return Pressed(0, "undo", {}, "Nothing to take back.")
    if row.number > version:
        raise SomebodyElseError(row)
    written = journal.append("undo", row=row.number)
    return Pressed(written.number, "undo", {"row": row.number}, taken_back(row))


def _checked(root: Path, kind: str, data: Mapping[str, Any], state: ShootState) -> dict[str, Any]:
    missing = [f for f in FIELDS[kind] if f not in data]
    if missing:
        raise InputError(f"A press of {kind!r} must also say: {', '.join(missing)}.")
    pressed = {name: data[name] for name in FIELDS[kind]}
    wrong = [f for f, v in pressed.items() if f not in ("box", "offset_s") and not isinstance(v, str)]
    if wrong:
        raise InputError(f"Text is wanted for: {', '.join(wrong)}.")
    if "frame" in pressed and pressed["frame"] not in state.landed:
        raise InputError("That frame has not landed in this shoot.")
    if "shot" in pressed:
        shoot = load_shoot(root / "shoot.toml")
        pressed["shot"] = check_shot(shoot, pressed["shot"])
        if kind == "crop" and pressed["channel"] not in [c.name for c in shoot.channels]:
            raise InputError(f"There is no channel called {pressed['channel']!r}.")
    if (
        kind in ("select", "alternate", "test frame", "layer", "grey card")
        and state.shot_of.get(pressed["frame"], pressed["shot"]) != pressed["shot"]
    ):
        raise InputError(
            f"That frame belongs to {state.shot_of[pressed['frame']]}, not to {pressed['shot']}."
        )
    if kind == "crop":
        # none: her crop is taken away and the tool's own counts again
        pressed["box"] = None if pressed["box"] is None else box_in_frame(pressed["box"])
    if kind == "dish":
        pressed["box"] = None if pressed["box"] is None else box_in_frame(pressed["box"], "The dish's place")
    if kind == "grey card":
        pressed["box"] = (
            None if pressed["box"] is None else box_in_frame(pressed["box"], "The grey card's place")
        )
    if kind == "words":
        if pressed["field"] not in WORDS:
            raise InputError(f"The words of a picture are: {', '.join(WORDS)}.")
        pressed["text"] = pressed["text"][:LONGEST_WORDS]
    if kind == "camera clock":
        pressed["offset_s"] = _seconds(pressed["offset_s"])
    return pressed


def _seconds(given: Any) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float) or not abs(given) < 1e9:
        raise InputError("A camera's clock is off by a number of seconds, such as -3600.")
    return float(given)


def box_in_frame(given: Any, what: str = "A crop") -> list[float]:
    """Four numbers that lie within a picture. Raises InputError with what was got and how to mend it."""
    plain = isinstance(given, list | tuple) and not any(isinstance(v, bool | str) for v in given)
    try:
        x, y, w, h = (float(v) for v in (given if plain else ()))
    except (TypeError, ValueError, OverflowError):
        raise InputError(
            f"{what} is four numbers: left, top, width and height as shares of the picture."
        ) from None
    inside = x >= -1e-6 and y >= -1e-6 and x + w <= 1 + 1e-6 and y + h <= 1 + 1e-6
    if not inside:
        raise InputError(
            f"{what} does not lie within the picture: from {x:.4g} to {x + w:.4g} across and "
            f"from {y:.4g} to {y + h:.4g} down, where 0 to 1 is the picture."
        )
    if not (w >= LEAST_SIDE and h >= LEAST_SIDE):
        raise InputError(
            f"{what} is {w:.4g} wide and {h:.4g} high: it is at least a fiftieth (0.02) of the picture both ways."
        )
    return [round(v, 6) for v in (x, y, w, h)]


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


def taken_back(row: Row) -> str:
    """'Taken back: reference of pour.'"""
    match row.kind:
        case "kept":
            what = "Keep"
        case "again":
            what = "Again"
        case "shot current":
            what = f"the move to {row.data['shot']}"
        case "frame belongs":
            what = f"a frame's move to {row.data['shot']}"
        case "layer":
            what = f"a layer of {row.data['shot']}"
        case "select" | "alternate" | "test frame":
            what = f"{row.kind} of {row.data['shot']}"
        case "lamp check":
            what = f"the lamp check of {row.data['shot']}"
        case "best":
            what = "your best of a burst"
        case "crop":
            what = f"crop of {row.data['shot']} for {row.data['channel']}"
        case "grey card":
            what = f"where the grey card lies in {row.data['shot']}"
        case "dish":
            what = f"the place of the dish in {row.data['shot']}"
        case "words":
            what = f"{str(row.data['field']).replace('_', ' ')} of {row.data['shot']}"
        case _:
            what = "the camera's clock" if row.kind == "camera clock" else row.kind
    return f"Taken back: {what}."


def _said(kind: str, data: Mapping[str, Any]) -> str:
    match kind:
        case "kept":
            return "Kept."
        case "again":
            return "To be taken again."
        case "best":
            return "Best of its burst."
        case "shot current":
            return f"Now: {data['shot']}."
        case "layer":
            return f"A layer of {data['shot']}."
        case "select" | "alternate" | "test frame":
            return f"{kind.capitalize()} of {data['shot']}."
        case "judge again":
            return "It is judged again."
        case "frame belongs":
            return f"Belongs to {data['shot']}."
        case "crop":
            whose = "The tool's crop again" if data["box"] is None else "Crop"
            return f"{whose}: {data['shot']} for {data['channel']}."
        case "dish":
            if data["box"] is None:
                return f"{data['shot']}: the dish where the tool finds it, again."
            return f"{data['shot']}: the dish is where you marked it."
        case "grey card":
            if data["box"] is None:
                return f"{data['shot']}: no grey card is named any more."
            return f"{data['shot']}: the grey card is where you marked it."
        case "words":
            return f"{str(data['field']).replace('_', ' ').capitalize()} of {data['shot']}."
    return f"{kind.capitalize()}."
