"""The demo's frames: made, not photographed, with the truth of each written down."""

import dataclasses
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.camera.setup import SetUp
from plateside.files.atomic import write_text
from plateside.files.dng import write_dng, write_jpeg
from plateside.model.errors import MissingExtraError
from plateside.model.progress import Progress
from plateside.model.shoot import Shot
from plateside.model.studio import Camera, Lens, Studio
from plateside.picture.made.frame import MadeFrame, make_frame
from plateside.picture.made.photo import scene_from_photo
from plateside.picture.made.scene import LinearScene
from plateside.picture.made.take import Take

LONG_SIDE_PX = 3000
"""Half the demo camera's own size: the scene is small, and larger frames would only be more of the same pixels."""

# which part of the photograph each shot looks at: left, top, right, bottom as shares, and whether it is mirrored
_VIEWS: dict[str, tuple[float, float, float, float, bool]] = {
    "three-bowls": (0.0, 0.0, 1.0, 1.0, False),
    "one-bowl": (0.08, 0.0, 0.94, 0.86, False),
    "bowl-at-an-angle": (0.06, 0.02, 0.96, 0.92, True),
    "straight-on": (0.08, 0.0, 0.88, 0.80, True),
    "pour": (0.02, 0.0, 0.92, 0.90, False),
}


@dataclass(frozen=True)
class DemoFrame:
    """One made frame on disk and what is true of it."""

    name: str
    shot: str
    what: str
    kinds: tuple[str, ...]
    origin: str


def demo_photograph() -> NDArray[np.uint8]:
    """The photograph the scenes are cut from: scikit-image's `coffee`, 600 x 400, CC0 (Pikolo Espresso Bar).

    Raises MissingExtraError when scikit-image is not installed.
    """
    try:
        from skimage import data
    except ImportError as error:
        raise MissingExtraError(
            "The demo cuts its frames from a free photograph that comes with scikit-image: "
            "install it with: pip install 'plateside[demo]'"
        ) from error
    return np.asarray(data.coffee(), dtype=np.uint8)  # type: ignore[no-untyped-call]


def scene_for(shot: Shot, setup: SetUp, photograph: NDArray[np.uint8]) -> LinearScene:
    """The scene of one shot, lit as predicted for its set-up."""
    left, top, right, bottom, mirrored = _VIEWS.get(shot.name, (0.0, 0.0, 1.0, 1.0, False))
    rows, columns = photograph.shape[:2]
    part = photograph[
        round(top * rows) : round(bottom * rows), round(left * columns) : round(right * columns)
    ]
    upright = setup.orientation == "upright"
    width = LONG_SIDE_PX * 2 // 3 if upright else LONG_SIDE_PX
    height = LONG_SIDE_PX if upright else LONG_SIDE_PX * 2 // 3
    return scene_from_photo(
        np.ascontiguousarray(part[:, ::-1] if mirrored else part),
        width_px=width,
        height_px=height,
        illuminance_lx=setup.illuminance_lx,
        frame_width_mm=setup.frame_width_mm,
        distance_mm=1000 * setup.lens_distance_m,
        elevation_deg=max(setup.elevation_deg, 15.0),
        dish_width_share=min(0.8, shot.dish_width_mm / setup.frame_width_mm),
        dish_height_mm=shot.dish_height_mm,
        source="a photograph of a cup of coffee (CC0, from scikit-image)",
    )


def take_for(take: Mapping[str, Any], setup: SetUp, scene: LinearScene, begins: datetime) -> Take:
    """The settings of one press: the planned ones, with this press's fault."""
    return Take(
        exposure_s=setup.exposure_s * 2.0 ** float(take.get("stops", 0.0)),
        f_number=setup.f_number,
        iso=round(setup.iso),
        focal_length_mm=setup.focal_length_mm,
        focus_distance_mm=scene.focus_distance_mm + float(take.get("focus_mm", 0.0)),
        taken_at=begins + timedelta(minutes=float(take["minute"])),
        light_stops=float(take.get("cloud", 0.0)),
        light_mired_shift=-8.0 if take.get("cloud", 0.0) < 0 else 0.0,
        lamp_share=float(take.get("lamp", 0.0)),
        shake_px=float(take.get("shake_px", 0.0)),
        shake_direction_deg=70.0,
        moving="dish" if take.get("moving_px") else "",
        motion_px=float(take.get("moving_px", 0.0)),
        pour_at=(0.5, 0.45) if take.get("pour") else None,
        pour_colour=(0.62, 0.56, 0.44),
    )


def make_demo_frames(
    folder: Path,
    studio: Studio,
    shots: Sequence[Shot],
    setups: Mapping[str, SetUp],
    takes: Sequence[Mapping[str, Any]],
    progress: Progress,
) -> tuple[DemoFrame, ...]:
    """Write every take's JPEG (and raw) into `folder`, and the truth of all beside it.

    Frames that an earlier, stopped run has made are not made again.
    """
    photograph = demo_photograph()
    truth = folder.parent / "truth.json"
    made = _made_before(truth, folder)
    done = {frame.name for frame in made}
    scenes: dict[str, LinearScene] = {}
    by_name = {s.name: s for s in shots}
    for number, take in enumerate(takes):
        progress(number, len(takes))
        if _name(take) in done:
            continue
        shot, setup = by_name[take["shot"]], setups[take["shot"]]
        if shot.name not in scenes:
            scenes = {shot.name: scene_for(shot, setup, photograph)}
        scene = scenes[shot.name]
        begins = (setup.light.when or datetime(2027, 7, 15, 12, 30)).replace(tzinfo=None)
        camera = next((c for c in studio.cameras if c.name == setup.camera), studio.cameras[0])
        lens = next((x for x in studio.lenses if x.name == setup.lens), studio.lenses[0])
        frame = _frame(scene, camera, lens, take_for(take, setup, scene, begins), number)
        made.append(_one(folder, take, frame))
        write_text(truth, json.dumps([dataclasses.asdict(m) for m in made], indent=1, ensure_ascii=False))
    progress(len(takes), len(takes))
    return tuple(made)


def _frame(scene: LinearScene, camera: Camera, lens: Lens, take: Take, number: int) -> MadeFrame:
    # the made frame has fewer pixels than the demo camera: each catches the light of several
    share = (camera.pixels_wide / LONG_SIDE_PX) ** 2
    binned = dataclasses.replace(camera, full_well_electrons=round(camera.full_well_electrons * share))
    return make_frame(scene, binned, lens, take, seed=number)


def _one(folder: Path, take: Mapping[str, Any], frame: MadeFrame) -> DemoFrame:
    stem = folder / take["file"]
    write_jpeg(stem.with_suffix(".jpg"), frame)
    if take.get("raw"):
        write_dng(stem.with_suffix(".dng"), frame)
    return DemoFrame(_name(take), take["shot"], take["what"], frame.truth.kinds, frame.truth.origin)


def _name(take: Mapping[str, Any]) -> str:
    return f"{take['file']}.{'dng' if take.get('raw') else 'jpg'}"


def _made_before(truth: Path, folder: Path) -> list[DemoFrame]:
    if not truth.exists():
        return []
    said = [
        DemoFrame(**{**one, "kinds": tuple(one["kinds"])}) for one in json.loads(truth.read_text("utf-8"))
    ]
    return [frame for frame in said if (folder / frame.name).exists()]
