"""One static page that tells a whole shoot with its pictures, for the demo."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from jinja2 import Environment, StrictUndefined

from plateside import __version__
from plateside.camera.setup import SetUp
from plateside.demo.data import story_template
from plateside.demo.frames import DemoFrame
from plateside.drawing.palette import css_root
from plateside.files.atomic import write_text
from plateside.files.originals.pixels import display_picture
from plateside.files.pictures import decode, read_picture, write_picture
from plateside.files.settings import OpenShoot
from plateside.frames.choose import Choice
from plateside.plan.words import depth_words, place_words, settings_words, support_words
from plateside.tasks.choose.selects import ChooseReport
from plateside.tasks.deliver.delivery import DeliverReport
from plateside.tasks.finish.series import FinishedShot, FinishReport
from plateside.tasks.plan.day import PlanReport
from plateside.tasks.set.judge import JudgeReport

WALL_PX = 560
LEAD_PX = 2240
STAGES = ("light", "plan", "set", "choose", "finish", "deliver")


@dataclass(frozen=True)
class Told:
    """What each stage of the job reported."""

    opened: OpenShoot
    light_lines: tuple[str, ...]
    light_drawings: tuple[Path, ...]
    plan: PlanReport
    made: tuple[DemoFrame, ...]
    judged: JudgeReport
    chosen: ChooseReport
    finished: FinishReport
    delivered: DeliverReport


def write_story(page: Path, told: Told) -> None:
    """Write the page and, in a folder `story` beside it, the pictures it shows."""
    at = page.parent
    shoot = told.opened.shoot
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    finished = [_finished(told, one, at) for one in told.finished.finished]
    call_sheet = [p for p in told.plan.written if p.suffix == ".html" and "call" in p.name]
    text = environment.from_string(story_template()).render(
        title=shoot.recipe.title,
        description=shoot.recipe.description,
        place=told.opened.studio.place.name,
        date=shoot.date,
        origin=_origin(told),
        stages=STAGES,
        version=__version__,
        lead=_lead(told, at),
        light_lines=told.light_lines,
        zone=told.opened.studio.place.timezone,
        palette=css_root("paper", "ink", "soft", "hairline", "accent"),
        light_drawings=[{"src": _link(p, at), "alt": _drawing_alt(p)} for p in told.light_drawings],
        call_sheet=_link(call_sheet[0], at) if call_sheet else "",
        setups=[_setup(told, s, at) for s in told.plan.set_ups],
        groups=_groups(told, at),
        choose_lines=[_choice_line(c) for c in told.chosen.shots],
        finish_lines=told.finished.lines()[1:2],
        finished=finished,
        deliver_lines=[told.delivered.lines()[0], told.delivered.lines()[-1]],
        documents=[
            {"href": _link(told.delivered.folder / d, at), "name": d}
            for d in sorted(told.delivered.documents)
        ],
        crops=_crops(told, at),
    )
    write_text(page, text)


def _origin(told: Told) -> str:
    origin = told.made[0].origin if told.made else "none"
    if origin.startswith("traced"):
        return "stand-in dishes, drawn in the light of each set-up and taken by a made camera"
    return origin


def _link(path: Path, at: Path) -> str:
    return path.resolve().relative_to(at.resolve()).as_posix()


def _small(pixels: np.ndarray, at: Path, name: str, longest_px: int) -> dict[str, Any]:
    height, width = pixels.shape[:2]
    scale = min(1.0, longest_px / max(height, width))
    if scale < 1.0:
        size = (round(width * scale), round(height * scale))
        pixels = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    write_picture(at / "story" / name, pixels, "jpeg", 86)
    return {"src": f"story/{name}", "width": pixels.shape[1], "height": pixels.shape[0]}


def _lead(told: Told, at: Path) -> dict[str, Any] | None:
    widest = [c for c in told.delivered.crops if c.width_px > 1.5 * c.height_px]
    for crop in widest or list(told.delivered.crops):
        for file in crop.files:
            if file.path.endswith(".jpg"):
                pixels = decode((told.delivered.folder / file.path).read_bytes())
                return _small(pixels, at, "lead.jpg", LEAD_PX) | {"alt": _alt(told, crop.shot)}
    return None


def _alt(told: Told, shot: str) -> str:
    title = next((s.title or s.name for s in told.opened.shoot.shots if s.name == shot), shot)
    return f"A made frame of a cup of coffee on a wooden table, standing in for: {title}"


def _drawing_alt(path: Path) -> str:
    return {
        "year": "The light at the dish through the year, day by hour",
        "day": "The light at the dish through the day",
        "room": "The room from above and from the side, to scale",
        "plan": "The room from above and from the side, to scale",
    }.get(path.stem.split("-")[0], f"Drawing: {path.stem}")


def _setup(told: Told, setup: SetUp, at: Path) -> dict[str, Any]:
    slot = next((s for s in told.plan.day.slots if s.shot == setup.shot), None)
    lines = [settings_words(setup), place_words(setup), support_words(setup), depth_words(setup)]
    if slot is not None:
        lines.insert(0, f"{slot.starts:%H:%M} to {slot.ends:%H:%M}, hero in at {slot.hero_in:%H:%M}")
    lines += [c.words for c in setup.checks if not c.ok]
    card = [p for p in told.plan.written if setup.shot in p.stem and p.suffix == ".html"]
    return {
        "shot": setup.shot,
        "lines": [_sentence(x) for x in lines],
        "card": _link(card[0], at) if card else "",
    }


def _sentence(words: str) -> str:
    """With a capital; an f-number keeps its small f."""
    return words if words.startswith("f/") else words[:1].upper() + words[1:]


def _groups(told: Told, at: Path) -> list[dict[str, Any]]:
    truth = {m.name: m.what for m in told.made}
    groups: dict[str, list[dict[str, Any]]] = {s.name: [] for s in told.opened.shoot.shots}
    for one in told.judged.frames:
        pixels = display_picture(told.opened.folder.frames_dir / one.frame.name, WALL_PX)
        picture = _small(pixels, at, f"frame-{Path(one.frame.name).stem}.jpg", WALL_PX)
        groups.setdefault(one.shot or "of no shot", []).append(
            picture
            | {
                "alt": f"Frame {one.frame.name}",
                "word": one.verdict.word.capitalize(),
                "act": one.verdict.next_act,
                "name": one.frame.name,
                "what": truth.get(one.frame.name, "not known"),
            }
        )
    return [{"shot": shot, "frames": frames} for shot, frames in groups.items() if frames]


def _choice_line(choice: Choice) -> str:
    if choice.hero is None:
        return f"{choice.shot}: {choice.remark}"
    spare = f" Alternate: {choice.alternate.name}." if choice.alternate else ""
    return f"{choice.shot}: {choice.hero.name} ({'; '.join(choice.hero.reasons)}).{spare}"


def _finished(told: Told, one: FinishedShot, at: Path) -> Mapping[str, Any]:
    pixels = read_picture(told.finished.folder / one.file).pixels
    if pixels.dtype != np.uint8:
        pixels = (pixels >> 8).astype(np.uint8)
    picture = _small(np.asarray(pixels), at, f"finished-{one.shot}.jpg", WALL_PX)
    return picture | {"alt": _alt(told, one.shot), "caption": f"{one.shot}, from {one.frame}"}


def _crops(told: Told, at: Path) -> Sequence[Mapping[str, Any]]:
    shown = []
    for crop in told.delivered.crops:
        for file in crop.files:
            if file.path.endswith(".jpg"):
                path = told.delivered.folder / file.path
                shown.append(
                    {
                        "src": _link(path, at),
                        "width": crop.width_px,
                        "height": crop.height_px,
                        "alt": _alt(told, crop.shot),
                        "caption": f"{crop.shot}, {crop.channel}, {crop.width_px} × {crop.height_px}",
                    }
                )
                break
    return shown
