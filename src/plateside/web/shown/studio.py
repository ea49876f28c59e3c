"""What the Studio page is sent."""

from typing import TypedDict

from plateside.model.shoot import Shoot
from plateside.model.studio import Fit, Studio
from plateside.tasks.studio.fields import FieldSchema


class StudioFile(TypedDict):
    """studio.toml as it is now, as tasks.studio.edit reads it."""

    file: str
    version: str
    value: Studio
    can_undo: bool


class ShootFile(TypedDict):
    """shoot.toml as it is now."""

    file: str
    version: str
    value: Shoot
    can_undo: bool


class RemarkShown(TypedDict):
    """What is worth a look: its code, what it is about, what is said."""

    code: str
    about: str
    said: str


class StudioShown(TypedDict):
    """The room and its gear, the fields of every table by its path, the shoot whose boards are placed here."""

    now: StudioFile
    tables: dict[str, tuple[FieldSchema, ...]]
    shoot: ShootFile | None
    """None while it has something to fix."""
    worth: list[RemarkShown]


class WorthShown(TypedDict):
    """What is worth a look by now."""

    worth: list[RemarkShown]


class PlanDrawn(TypedDict):
    """The plan as SVG."""

    svg: str


class VersionShown(TypedDict):
    """Which version of the file there is."""

    version: str


class ToFix(TypedDict):
    """The file that has something to fix, as it is now."""

    which: str
    version: str


class LinesLeft(TypedDict):
    """How many lines are still to be fixed."""

    left: int


class CardFrames(TypedDict):
    """The raws among the shoot's frames, newest first."""

    frames: list[str]


class CardRead(TypedDict):
    """The light on a grey card; `at` is local, None where the frame does not say it."""

    illuminance_lx: float
    spread_stops: float
    at: str | None
    evidence: str


class BearingShown(TypedDict):
    """Which way a window looks by the sun, and how far the room would have to be turned [deg]."""

    lines: list[str]
    bearing_deg: float
    change_deg: float


class FitShown(TypedDict):
    """What the readings teach: the sentences, and [fit] as it would be written."""

    lines: list[str]
    fit: Fit
