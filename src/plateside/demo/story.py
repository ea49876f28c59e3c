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
from plateside.files.settings.load import OpenShoot
from plateside.finish.facts import FinishedShot
from plateside.frames.choose import ShotChoice
from plateside.tasks.choose.selects import ChooseReport
from plateside.tasks.deliver.delivery import DeliverReport
from plateside.tasks.finish.series import FinishReport
from plateside.tasks.plan.day import PlanReport
from plateside.tasks.set.judge import JudgeReport
from plateside.words import demo as words_of
from plateside.words.choose import reasons_phrase, remark_sentence
from plateside.words.deliver.report import ready_sentence, there_phrase
from plateside.words.finish import series_sentence
from plateside.words.plan.set_up import (
    depth_phrase,
    frame_failures,
    minds,
    place_phrase,
    settings_phrase,
    support_phrase,
)
from plateside.words.set.verdicts import next_sentence
from plateside.words.units import units_of

WALL_PX = 560
LEAD_PX = 2240
STAGES = ("light", "plan", "set", "choose", "finish", "deliver")


@dataclass(frozen=True)
class StoryFacts:
    """What each stage of the job reported."""

    opened: OpenShoot
    light_lines: tuple[str, ...]
    light_drawings: tuple[Path, ...]
    plan: PlanReport
    frames: tuple[DemoFrame, ...]
    judged: JudgeReport
    chosen: ChooseReport
    finished: FinishReport
    delivered: DeliverReport


def write_story(page: Path, facts: StoryFacts) -> None:
    """Write the page and, in a folder `story` beside it, the pictures it shows."""
    at = page.parent
    shoot = facts.opened.shoot
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    finished = [_finished(facts, one, at) for one in facts.finished.finished]
    call_sheet = [p for p in facts.plan.written if p.suffix == ".html" and "call" in p.name]
    text = environment.from_string(story_template()).render(
        title=shoot.recipe.title,
        description=shoot.recipe.description,
        place=facts.opened.studio.place.name,
        date=shoot.date,
        origin=_origin(facts),
        stages=STAGES,
        version=__version__,
        lead=_lead(facts, at),
        light_lines=facts.light_lines,
        zone=facts.opened.studio.place.timezone,
        palette=css_root("paper", "ink", "soft", "hairline", "accent"),
        light_drawings=[{"src": _link(p, at), "alt": _drawing_alt(p)} for p in facts.light_drawings],
        call_sheet=_link(call_sheet[0], at) if call_sheet else "",
        setups=[_setup(facts, s, at) for s in facts.plan.set_ups],
        groups=_groups(facts, at),
        choose_lines=[_choice_line(c) for c in facts.chosen.shots],
        finish_lines=[series_sentence(facts.finished.match_to)],
        finished=finished,
        deliver_lines=_delivered_lines(facts.delivered),
        documents=[
            {"href": _link(facts.delivered.folder / d, at), "name": d}
            for d in sorted(facts.delivered.documents)
        ],
        crops=_crops(facts, at),
    )
    write_text(page, text)


def _is_drawn(facts: StoryFacts) -> bool:
    """Whether the frames are of the shoot's own drawn dishes, and not of a photograph that stands in for them."""
    return bool(facts.frames) and all(m.origin.startswith("traced") for m in facts.frames)


def _origin(facts: StoryFacts) -> str:
    origin = facts.frames[0].origin if facts.frames else "none"
    if _is_drawn(facts):
        return words_of.DRAWN
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


def _lead(facts: StoryFacts, at: Path) -> dict[str, Any] | None:
    widest = [c for c in facts.delivered.crops if c.width_px > 1.5 * c.height_px]
    for crop in widest or list(facts.delivered.crops):
        for file in crop.files:
            if file.path.endswith(".jpg"):
                pixels = decode((facts.delivered.folder / file.path).read_bytes())
                return _small(pixels, at, "lead.jpg", LEAD_PX) | {"alt": _alt(facts, crop.shot)}
    return None


def _alt(facts: StoryFacts, shot: str) -> str:
    found = next((s for s in facts.opened.shoot.shots if s.name == shot), None)
    if found is not None and found.alt_text and _is_drawn(facts):
        return found.alt_text
    title = (found.title or found.name) if found is not None else shot
    return words_of.coffee_for(title)


def _drawing_alt(path: Path) -> str:
    return words_of.drawing(path.stem.split("-")[0], path.stem)


def _setup(facts: StoryFacts, setup: SetUp, at: Path) -> dict[str, Any]:
    slot = next((s for s in facts.plan.day.slots if s.shot == setup.shot), None)
    units = units_of(facts.plan.units)
    lines = [
        settings_phrase(setup),
        place_phrase(setup, units),
        support_phrase(setup),
        depth_phrase(setup, units),
    ]
    if slot is not None:
        lines.insert(0, words_of.slot(f"{slot.starts:%H:%M}", f"{slot.ends:%H:%M}", f"{slot.hero_in:%H:%M}"))
    lines += [*frame_failures(setup, units), *minds(setup, units)]
    card = [p for p in facts.plan.written if setup.shot in p.stem and p.suffix == ".html"]
    return {
        "shot": setup.shot,
        "lines": [_sentence(x) for x in lines],
        "card": _link(card[0], at) if card else "",
    }


def _sentence(words: str) -> str:
    """With a capital; an f-number keeps its small f."""
    return words if words.startswith("f/") else words[:1].upper() + words[1:]


def _groups(facts: StoryFacts, at: Path) -> list[dict[str, Any]]:
    truth = {m.name: m.what for m in facts.frames}
    groups: dict[str, list[dict[str, Any]]] = {s.name: [] for s in facts.opened.shoot.shots}
    for one in facts.judged.frames:
        pixels = display_picture(facts.opened.folder.frames_dir / one.frame.name, WALL_PX)
        picture = _small(pixels, at, f"frame-{Path(one.frame.name).stem}.jpg", WALL_PX)
        groups.setdefault(one.shot or "without a shot", []).append(
            picture
            | {
                "alt": f"Frame {one.frame.name}",
                "word": one.verdict.word.capitalize(),
                "act": next_sentence(one.verdict),
                "name": one.frame.name,
                "what": truth.get(one.frame.name, "not known"),
            }
        )
    return [{"shot": shot, "frames": frames} for shot, frames in groups.items() if frames]


def _choice_line(choice: ShotChoice) -> str:
    if choice.select is None:
        return f"{choice.shot}: {remark_sentence(choice.remark)}"
    spare = f" Alternate: {choice.alternate.name}." if choice.alternate else ""
    return f"{choice.shot}: {choice.select.name} ({reasons_phrase(choice.select)}).{spare}"


def _finished(facts: StoryFacts, one: FinishedShot, at: Path) -> Mapping[str, Any]:
    pixels = read_picture(facts.finished.folder / one.file).pixels
    if pixels.dtype != np.uint8:
        pixels = (pixels >> 8).astype(np.uint8)
    picture = _small(np.asarray(pixels), at, f"finished-{one.shot}.jpg", WALL_PX)
    return picture | {"alt": _alt(facts, one.shot), "caption": f"{one.shot}, from {one.frame}"}


def _crops(facts: StoryFacts, at: Path) -> Sequence[Mapping[str, Any]]:
    shown = []
    for crop in facts.delivered.crops:
        for file in crop.files:
            if file.path.endswith(".jpg"):
                path = facts.delivered.folder / file.path
                shown.append(
                    {
                        "src": _link(path, at),
                        "width": crop.width_px,
                        "height": crop.height_px,
                        "alt": _alt(facts, crop.shot),
                        "caption": f"{crop.shot}, {crop.channel}, {crop.width_px} × {crop.height_px}",
                    }
                )
                break
    return shown


def _delivered_lines(d: DeliverReport) -> list[str]:
    there = there_phrase(len(d.crops), sum(len(c.files) for c in d.crops))
    return [f"{there}, in {d.folder.name}.", ready_sentence(d.ready, len(d.remarks))]
