"""Render the planned picture of a shot, alone or as a sheet of what-ifs."""

import math
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.camera.setup import SetUp
from plateside.files.drawn import DrawnCache, write_drawn
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.ground.exposure import f_number_words, level_share, lux_at_camera
from plateside.light.sky import SKY_WORDS
from plateside.model.errors import CouldNotError, InputError
from plateside.model.light_answers import Hung
from plateside.model.progress import Progress, silent
from plateside.model.room import Board, Diffuser
from plateside.model.shoot import PlacedBoard, Shoot, Shot
from plateside.picture.drawn_shot import QUALITIES, ROUGH, DrawnShot, Quality, height_px, picture_of
from plateside.picture.engine import SCALAR
from plateside.picture.sheet import Panel, sheet_of
from plateside.tasks.light.place import day_in
from plateside.tasks.named import check_windows
from plateside.tasks.plan.picture_engine import Engine, find_engine
from plateside.tasks.plan.picture_stage import LitStage, stage_of
from plateside.tasks.plan.setup import light_of, moment_of, on_its_day, set_up, shots_of, solve_all
from plateside.words.plan import picture as pictured
from plateside.words.plan import refusals
from plateside.words.plan.picture import caption, sheet_note
from plateside.words.units import units_of

WHAT_IFS = ("boards", "hours", "apertures")
HOURS = ("10:00", "13:00", "16:00")
F_NUMBERS = (2.0 * math.sqrt(2.0), 4.0 * math.sqrt(2.0), 8.0)
BOARD_AT_M = 0.4
DARK_LX = 1.0
LARGEST_PX = 4000


@dataclass(frozen=True)
class Drawn:
    """One drawn picture."""

    name: str
    at: datetime
    illuminance_lx: float
    key_fill_stops: float
    exposure_s: float
    f_number: float
    iso: float
    clipped_share: float


@dataclass(frozen=True)
class PictureReport:
    """What was drawn and where it is."""

    shot: str
    file: str
    width_px: int
    height_px: int
    drawn: tuple[Drawn, ...]
    engine: str


def draw_picture(
    given: Path,
    shot_name: str,
    *,
    at: str | None = None,
    day: str | None = None,
    sky: str | None = None,
    what_if: str | None = None,
    out: Path | None = None,
    size_px: tuple[int, int] | None = None,
    quality: str = "clean",
    show_clipped: bool = False,
    progress: Progress = silent,
) -> PictureReport:
    """Draw a shot's planned picture and write it.

    at            local time HH:MM instead of the planned hour
    day, sky      another day (2027-07-15) or sky word than the shoot's; `at` must then be given
    what_if       boards, hours or apertures: a sheet of several
    out           folder to write into; left out: `pictures` in the shoot's folder
    size_px       at most this wide and high; the set-up's own shape is kept
    quality       rough, clean or fine
    show_clipped  hatch what clips

    Raises InputError for names and numbers that cannot be used, MissingExtraError without the renderer, CouldNotError
    when there is no daylight or the disk refuses, Cancelled when the progress callback says so.
    """
    if what_if is not None and what_if not in WHAT_IFS:
        raise InputError(refusals.no_what_if(what_if, WHAT_IFS))
    if quality not in QUALITIES:
        raise InputError(refusals.no_quality(quality, list(QUALITIES)))
    if size_px is not None and not all(32 <= v <= LARGEST_PX for v in size_px):
        raise InputError(refusals.no_size(size_px, LARGEST_PX))
    opened = open_shoot(given)
    check_windows(opened.studio)
    (shot,) = shots_of(opened.shoot, shot_name)
    opened = on_its_day(opened, shot)
    if day is None and sky is None:
        report = set_up(given, shot.name, at)
    else:
        opened = replace(opened, shoot=_another(opened.shoot, day, sky))
        when = moment_of(opened, at or opened.shoot.from_time)
        report = solve_all(opened, (shot,), [light_of(opened, shot, when, None)])
    if not report.set_ups:
        raise CouldNotError(report.unsolved[0] if report.unsolved else refusals.no_hour_for(shot.name))
    solved = report.set_ups[0]
    when = solved.light.when or moment_of(opened, at or opened.shoot.from_time)
    caches = opened.folder.root / ".plateside"
    found = find_engine(caches / "renderer.json")
    draw = _Drawer(
        opened, shot, solved, QUALITIES[quality], size_px, show_clipped, DrawnCache(caches / "drawn"), found
    )
    folder = out if out is not None else opened.folder.root / "pictures"
    drawn: tuple[Drawn, ...]
    if what_if is None:
        lit = draw.stage(when)
        one, facts = draw.picture(shot.name, lit, when, progress)
        picture, drawn, path = one.picture, (facts,), folder / f"{shot.name}.jpg"
    else:
        picture, drawn = _sheet(draw, what_if, when, progress)
        path = folder / f"{shot.name}-{what_if}.jpg"
    write_drawn(path, picture)
    return PictureReport(
        shot=shot.name,
        file=path.as_posix(),
        width_px=picture.shape[1],
        height_px=picture.shape[0],
        drawn=drawn,
        engine=found.words,
    )


def draw_set_up(
    opened: OpenShoot,
    shot: Shot,
    solved: SetUp,
    *,
    out: Path,
    quality: str = "clean",
    size_px: tuple[int, int] | None = None,
    progress: Progress = silent,
) -> tuple[Drawn, str]:
    """Draw a shot whose set-up is solved already and write it to `out`: what was drawn, and by which renderer.

    Raises MissingExtraError without the renderer, CouldNotError when the disk refuses, Cancelled when `progress` says
    so.
    """
    when = solved.light.when or moment_of(opened, opened.shoot.from_time)
    caches = opened.folder.root / ".plateside"
    found = find_engine(caches / "renderer.json")
    cache = DrawnCache(caches / "drawn")
    draw = _Drawer(opened, shot, solved, QUALITIES[quality], size_px, False, cache, found)
    one, facts = draw.picture(shot.name, draw.stage(when), when, progress)
    write_drawn(out, one.picture)
    return facts, found.words


def _another(shoot: Shoot, day: str | None, sky: str | None) -> Shoot:
    """The shoot on another day, under another sky."""
    if sky is not None and sky not in SKY_WORDS:
        raise InputError(refusals.no_sky(sky, list(SKY_WORDS)))
    return replace(shoot, date=day_in(day).isoformat() if day else shoot.date, sky=sky or shoot.sky)


@dataclass(frozen=True)
class _Drawer:
    """What stays the same between the pictures of a sheet."""

    opened: OpenShoot
    shot: Shot
    set_up: SetUp
    quality: Quality
    size_px: tuple[int, int] | None
    show_clipped: bool
    cache: DrawnCache
    engine: Engine

    def stage(
        self,
        when: datetime,
        *,
        placed: tuple[PlacedBoard, ...] | None = None,
        hung: tuple[Hung, ...] | None = None,
    ) -> LitStage:
        return stage_of(self.opened, self.shot, self.set_up, when, placed=placed, hung=hung)

    def picture(
        self, name: str, lit: LitStage, when: datetime, progress: Progress
    ) -> tuple[DrawnShot, Drawn]:
        pose, light = lit.stage.pose, lit.light
        size = _fitted(lit, self.size_px or (self.quality.width_px, self.quality.width_px))
        found = picture_of(
            lit.stage,
            light.light_rgb,
            self.quality,
            # a rough picture is done before the fast renderer has compiled itself
            variant=SCALAR if self.quality is ROUGH else self.engine.variant,
            cache=self.cache,
            progress=progress,
            show_clipped=self.show_clipped,
            size_px=size,
        )
        facts = Drawn(
            name=name,
            at=when,
            illuminance_lx=light.horizontal_lx.value,
            key_fill_stops=light.key_fill_stops.value,
            exposure_s=pose.exposure_s,
            f_number=pose.f_number,
            iso=pose.iso,
            clipped_share=found.clipped_share,
        )
        return found, facts


def _fitted(lit: LitStage, most: tuple[int, int]) -> tuple[int, int]:
    """The largest even size of the set-up's shape within `most`."""
    width = most[0]
    height = height_px(lit.stage, width)
    if height > most[1]:
        width = max(2, round(width * most[1] / height / 2) * 2)
        height = height_px(lit.stage, width)
    return width, height


def _sheet(
    draw: _Drawer, what_if: str, when: datetime, progress: Progress
) -> tuple[NDArray[np.uint8], tuple[Drawn, ...]]:
    """Several pictures on one sheet, each exposed for its own light."""
    base = draw.stage(when)
    lux = _metered(base, draw.shot)
    variants = {"boards": _boards, "hours": _hours, "apertures": _apertures}[what_if](draw, base, when)
    panels, drawn = [], []
    for k, (name, lit, at) in enumerate(variants):
        gain = lux / max(_metered(lit, draw.shot), 1e-6)
        squeeze = (lit.stage.pose.f_number / base.stage.pose.f_number) ** 2
        pose = replace(lit.stage.pose, exposure_s=base.stage.pose.exposure_s * gain * squeeze)
        bright = LitStage(replace(lit.stage, pose=pose), lit.light)
        one, facts = draw.picture(name, bright, at, _part(progress, k, len(variants)))
        panels.append(Panel(one.picture, name, caption(facts)))
        drawn.append(facts)
    sky = base.light.sky
    note = sheet_note(when, sky)
    title = f"{draw.shot.name}: {what_if}"
    return sheet_of(panels, title, note, columns=2 if len(panels) == 4 else len(panels)), tuple(drawn)


def _metered(lit: LitStage, shot: Shot) -> float:
    """Light that the camera's exposure goes by [lx], as the set-up solver does."""
    light = lit.light
    return lux_at_camera(light.horizontal_lx.value, light.camera_lx.value, level_share(shot.elevation))


Variant = tuple[str, LitStage, datetime]


def _boards(draw: _Drawer, base: LitStage, when: datetime) -> list[Variant]:
    """Bare; a sheer over the window; a white board at the left; at the right."""
    studio = draw.opened.studio
    sheer = studio.diffusers[0] if studio.diffusers else Diffuser(name="sheer")
    board = max(studio.boards, key=_whiteness) if studio.boards else Board(name="white")
    hung = (Hung(studio.windows[0].name, sheer, sheer.covers_share),) if studio.windows else ()
    drawer = draw
    if not studio.boards:
        opened = replace(draw.opened, studio=replace(studio, boards=(board,)))
        drawer = replace(draw, opened=opened)
    units = units_of(studio.place.units)
    near = next((p.distance_m for p in draw.shot.boards), BOARD_AT_M)
    out = [
        (pictured.BARE, draw.stage(when, placed=(), hung=()), when),
        (pictured.over_window(sheer.name), draw.stage(when, placed=(), hung=hung), when),
    ]
    for side in ("left", "right"):
        placed = (PlacedBoard(board=board.name, side=side, distance_m=near),)
        try:
            lit = drawer.stage(when, placed=placed, hung=())
        except InputError:
            continue  # it would stand in the wall: that side has no room for it
        out.append((pictured.board_beside(board.name, side, near, units), lit, when))
    return out


def _whiteness(board: Board) -> float:
    return float(np.mean(board.reflectance))


def _hours(draw: _Drawer, base: LitStage, when: datetime) -> list[Variant]:
    """Morning, noon and afternoon; hours without daylight are left out."""
    out = []
    for clock in HOURS:
        at = moment_of(draw.opened, clock)
        lit = draw.stage(at)
        if _metered(lit, draw.shot) >= DARK_LX:
            out.append((clock, lit, at))
    if not out:
        raise CouldNotError(refusals.dark_hours(HOURS, when))
    return out


def _apertures(draw: _Drawer, base: LitStage, when: datetime) -> list[Variant]:
    """Wide, middling and stopped down."""
    return [
        (
            f_number_words(n),
            LitStage(replace(base.stage, pose=replace(base.stage.pose, f_number=n)), base.light),
            when,
        )
        for n in F_NUMBERS
    ]


def _part(progress: Progress, k: int, of: int) -> Progress:
    """Progress of one picture among several."""

    def facts(done: int, total: int) -> None:
        progress(k * total + done, of * total)

    return facts
