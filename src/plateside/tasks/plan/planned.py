"""The day and its set-ups, planned once for each state of the two files: what the Plan page shows.

`Memory`       what one process keeps: predictions of light, and the newest day
`work_out`     the day with every shot's set-up, or why a shot has none
`picture_key`  the name of a shot's planned picture, by all that it rests on
`whole_sheet`  the call sheet with every card, to print
`sheet`        that, or one shot's card
"""

from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from plateside.camera.setup import SetUp
from plateside.files.folder import SHOOT_FILE
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.files.settings.places import country_name
from plateside.model.errors import CouldNotError, InputError
from plateside.model.light_answers import DayLight
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.paper.call_sheet import call_sheet
from plateside.paper.sections import Section
from plateside.paper.sheet_html import inside, page
from plateside.paper.shot_card import shot_sheet
from plateside.picture.drawn_shot import fingerprint
from plateside.plan.clocks import rule_of
from plateside.plan.day_plan import DayPlan, Slot
from plateside.plan.scene import spot_of
from plateside.tasks.plan.picture_stage import laid_of, pose_of
from plateside.tasks.plan.planned_order import keep_order
from plateside.tasks.plan.setup import Planned, plan_of, solve_planned
from plateside.tasks.studio.edit import settings_file, version_of
from plateside.words.plan import refusals
from plateside.words.plan.sheet import sheet_title

MOST_CACHED = 100
"""Answers of one kind that are kept."""
Answer = TypeVar("Answer")


class ByContent(MutableMapping[object, Answer]):
    """Answers by all that they rest on; the oldest go first."""

    def __init__(self) -> None:
        self._answers: dict[object, Answer] = {}

    def __getitem__(self, key: object) -> Answer:
        return self._answers[key]

    def __setitem__(self, key: object, value: Answer) -> None:
        self._answers[key] = value
        while len(self._answers) > MOST_CACHED:
            del self._answers[next(iter(self._answers))]

    def __delitem__(self, key: object) -> None:
        del self._answers[key]

    def __iter__(self) -> Iterator[object]:
        return iter(self._answers)

    def __len__(self) -> int:
        return len(self._answers)


class Predictions(ByContent[DayLight]):
    """Of one day's light."""


@dataclass(frozen=True)
class Worked:
    """A day worked out."""

    version: str
    """Of shoot.toml."""
    studio_version: str
    opened: OpenShoot
    planned: Planned
    set_ups: dict[str, SetUp]
    problems: dict[str, str]
    """Why a shot has no set-up, by the shot's name."""
    read_lx: float | None = None
    """The light that was read, when the day goes by it."""


@dataclass
class Memory:
    """What one process keeps between two questions."""

    days: Predictions = field(default_factory=Predictions)
    set_ups: ByContent[SetUp] = field(default_factory=ByContent)
    """Of single shots: an edit of one leaves the others' as they are, unless it moves their hours."""
    cards: ByContent[Any] = field(default_factory=ByContent)
    """What the Plan page shows of them (shown.py)."""
    newest: dict[Path, Worked] = field(default_factory=dict)
    read_lx: float | None = None
    """Measured light on the dish: used instead of the forecast until it is taken away."""


def work_out(root: Path, memory: Memory, progress: Progress = silent) -> Worked:
    """The day with its set-ups. Raises SettingsError with every mistake of both files, InputError."""
    version, studio_version, opened = _read(root)
    known = memory.newest.get(root)
    now = version, studio_version, memory.read_lx
    if known is not None and (known.version, known.studio_version, known.read_lx) == now:
        return known
    if opened.shoot.shots:
        planned = plan_of(opened, memory.read_lx, progress, memory.days)
    else:
        country = opened.studio.place.country
        rule = rule_of(country, name=country_name(country))
        planned = Planned(DayPlan(slots=(), kitchen=(), plates=(), rule=rule, notes=()), {})
    keep_order(root, planned.day.order)
    set_ups, problems = solve_planned(opened, planned, memory.set_ups)
    worked = Worked(version, studio_version, opened, planned, set_ups, problems, memory.read_lx)
    memory.newest = {root: worked}
    return worked


def _read(root: Path) -> tuple[str, str, OpenShoot]:
    """Both files with the versions that they have: read again when one is written meanwhile."""
    while True:
        before = (version_of(settings_file(root, "shoot")), version_of(settings_file(root, "studio")))
        opened = open_shoot(root)
        if (version_of(root / SHOOT_FILE), version_of(opened.folder.studio_file)) == before:
            return *before, opened


def picture_key(worked: Worked, shot: Shot) -> str:
    """Names a shot's planned picture by all that it rests on: room, table, boards, sky, moment, camera, exposure."""
    s, studio, shoot = worked.set_ups[shot.name], worked.opened.studio, worked.opened.shoot
    spot = spot_of(studio, shot)
    room = (studio.place, studio.room, studio.windows, studio.spots, studio.furniture, studio.fit)
    sheets = (studio.boards, studio.diffusers)
    when = "" if s.light.when is None else s.light.when.isoformat()
    laid = laid_of(studio, spot, shot, s)
    return fingerprint(
        room, sheets, spot, shoot.sky, when, shot.camera_faces_deg, shot.boards, pose_of(s), laid
    )


@dataclass(frozen=True)
class Sheet:
    """A sheet to print, as a page or on paper."""

    title: str
    language: str
    sections: tuple[Section, ...]

    @property
    def body(self) -> str:
        """Its inside as HTML, every word escaped."""
        return inside(self.sections)

    @property
    def page(self) -> str:
        """The whole HTML document."""
        return page(self.title, self.sections, self.language)


def whole_sheet(opened: OpenShoot, day: DayPlan, set_ups: Mapping[str, SetUp]) -> Sheet:
    """The call sheet with every card."""
    sections = call_sheet(opened.studio, opened.shoot, day, set_ups)
    return Sheet(sheet_title(opened.shoot.recipe.title), opened.shoot.creator.language, sections)


def sheet_of_shot(opened: OpenShoot, shot: Shot, s: SetUp, slot: Slot | None) -> Sheet:
    """One shot's sheet."""
    language = opened.shoot.creator.language
    return Sheet(shot.title or shot.name, language, shot_sheet(opened.studio, shot, s, slot))


def sheet(root: Path, memory: Memory, shot: str = "", progress: Progress = silent) -> Sheet:
    """The call sheet with every card, or one shot's card alone. Raises as work_out; CouldNotError without a set-up."""
    worked = work_out(root, memory, progress)
    opened, day = worked.opened, worked.planned.day
    if not shot:
        return whole_sheet(opened, day, worked.set_ups)
    wanted = next((s for s in opened.shoot.shots if s.name == shot), None)
    if wanted is None:
        raise InputError(refusals.no_shot(shot, [s.name for s in opened.shoot.shots]))
    if shot not in worked.set_ups:
        raise CouldNotError(worked.problems.get(shot) or refusals.no_hour_for(shot))
    slot = next((s for s in day.slots if s.shot == shot), None)
    return sheet_of_shot(opened, wanted, worked.set_ups[shot], slot)
