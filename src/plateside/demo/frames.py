"""The demo's frames: made, not photographed, with the truth of each written down."""

import dataclasses
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plateside.camera.setup import SetUp
from plateside.demo.camera.frame import SimulatedFrame, make_frame
from plateside.demo.camera.take import Exposure
from plateside.demo.dng import write_dng, write_jpeg
from plateside.demo.scenes import LONG_SIDE_PX, first_hour, frame_size_px, scene_for
from plateside.files.atomic import write_text
from plateside.files.json_text import read_json_file
from plateside.files.settings.load import OpenShoot
from plateside.model.progress import Progress
from plateside.picture.scene import LinearScene


@dataclass(frozen=True)
class DemoFrame:
    """One made frame on disk and what is true of it."""

    name: str
    shot: str
    what: str
    kinds: tuple[str, ...]
    origin: str


def make_demo_frames(
    opened: OpenShoot, setups: Mapping[str, SetUp], takes: Sequence[Mapping[str, Any]], progress: Progress
) -> tuple[DemoFrame, ...]:
    """Write every take's JPEG (and raw) into the frames folder, and the truth of all beside it.

    Frames that an earlier, stopped run has made are not made again.
    """
    folder, truth = opened.folder.frames_dir, opened.folder.root / "truth.json"
    before = _frames_before(truth, folder)
    done = {frame.name for frame in before}
    shots = {s.name: s for s in opened.shoot.shots}
    scene, scene_of = None, ""
    for number, take in enumerate(takes):
        progress(number, len(takes))
        if _name(take) in done:
            continue
        setup = setups[take["shot"]]
        begins = setup.light.when or first_hour(opened)
        if scene is None or scene_of != take["shot"]:
            scene, scene_of = scene_for(opened, shots[take["shot"]], setup, begins), take["shot"]
        scene_taken = (
            with_whole_dish(scene, shots[take["shot"]].dish_width_mm) if take.get("moving_px") else scene
        )
        frame = _frame(opened, scene_taken, setup, _take(take, setup, scene_taken, begins), number)
        before.append(_written(folder, take, frame))
        write_text(truth, json.dumps([dataclasses.asdict(m) for m in before], indent=1, ensure_ascii=False))
    progress(len(takes), len(takes))
    return tuple(before)


def _take(take: Mapping[str, Any], setup: SetUp, scene: LinearScene, begins: datetime) -> Exposure:
    """The settings of one press: the planned ones, with this press's fault."""
    return Exposure(
        exposure_s=setup.exposure_s * 2.0 ** float(take.get("stops", 0.0)),
        planned_exposure_s=setup.exposure_s,
        f_number=setup.f_number,
        iso=round(setup.iso),
        focal_length_mm=setup.focal_length_mm,
        focus_distance_mm=scene.focus_distance_mm + float(take.get("focus_mm", 0.0)),
        taken_at=begins.replace(tzinfo=None) + timedelta(minutes=float(take["minute"])),
        light_stops=float(take.get("cloud", 0.0)),
        light_mired_shift=-8.0 if take.get("cloud", 0.0) < 0 else 0.0,
        lamp_share=float(take.get("lamp", 0.0)),
        shake_px=float(take.get("shake_px", 0.0)),
        shake_direction_deg=70.0,
        moving="dish" if take.get("moving_px") else "",
        motion_px=float(take.get("moving_px", 0.0)),
        pour_at=(0.5, 0.45) if take.get("pour") else None,
    )


def with_whole_dish(scene: LinearScene, width_mm: float) -> LinearScene:
    """The scene with the dish as one thing called 'dish': its vessel with all that lies in it.

    A drawn dish is many things, and what lies in the frame's middle may be a crumb. The vessel is the thing round the
    middle whose outline is nearest to the dish's width.
    """
    height, width = scene.identity.shape
    wanted_px = width_mm / scene.mm_per_px
    best, outline = np.inf, np.zeros((height, width), np.uint8)
    for number in range(len(scene.names)):
        mask = (scene.identity == number).astype(np.uint8)
        for contour in cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]:
            if cv2.pointPolygonTest(contour, (width / 2, height / 2), False) < 0:
                continue
            off = abs(np.log(cv2.boundingRect(contour)[2] / wanted_px))
            if off < best:
                best = off
                outline = cv2.drawContours(np.zeros_like(mask), [contour], -1, 1, cv2.FILLED)
    names = scene.names if "dish" in scene.names else (*scene.names, "dish")
    identity = np.where(outline > 0, names.index("dish"), scene.identity).astype(scene.identity.dtype)
    return dataclasses.replace(scene, identity=identity, names=names)


def _frame(
    opened: OpenShoot, scene: LinearScene, setup: SetUp, take: Exposure, number: int
) -> SimulatedFrame:
    camera = next((c for c in opened.studio.cameras if c.name == setup.camera), opened.studio.cameras[0])
    lens = next((x for x in opened.studio.lenses if x.name == setup.lens), opened.studio.lenses[0])
    # the made frame has fewer pixels than the demo camera: each catches the light of several
    share = (camera.pixels_wide / LONG_SIDE_PX) ** 2
    binned = dataclasses.replace(camera, full_well_electrons=round(camera.full_well_electrons * share))
    return make_frame(scene, binned, lens, take, size_px=frame_size_px(setup), seed=number)


def _written(folder: Path, take: Mapping[str, Any], frame: SimulatedFrame) -> DemoFrame:
    stem = folder / take["file"]
    write_jpeg(stem.with_suffix(".jpg"), frame)
    if take.get("raw"):
        write_dng(stem.with_suffix(".dng"), frame)
    return DemoFrame(_name(take), take["shot"], take["what"], frame.truth.kinds, frame.truth.origin)


def _name(take: Mapping[str, Any]) -> str:
    return f"{take['file']}.{'dng' if take.get('raw') else 'jpg'}"


def _frames_before(truth: Path, folder: Path) -> list[DemoFrame]:
    if not truth.exists():
        return []
    said = [DemoFrame(**{**one, "kinds": tuple(one["kinds"])}) for one in read_json_file(truth)]
    return [frame for frame in said if (folder / frame.name).exists()]
