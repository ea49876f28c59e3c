"""What the demo's made camera looks at: each shot's set-up as the renderer drew it, or a free photograph."""

from datetime import datetime
from importlib.util import find_spec

import numpy as np
from numpy.typing import NDArray

from plateside.camera.setup import SetUp
from plateside.demo.camera.photo import scene_from_photo
from plateside.demo.drawn import packed_scene
from plateside.files.settings.load import OpenShoot
from plateside.model.errors import MissingExtraError
from plateside.model.shoot import Shot
from plateside.picture.scene import LinearScene
from plateside.picture.stage import Stage
from plateside.tasks.plan.picture_stage import stage_of
from plateside.words.demo import PHOTOGRAPH

LONG_SIDE_PX = 2400
"""Of a made frame: less than the demo camera's own, as the scene is small and more would be the same pixels again."""
TRACED_PX = 640
TRACED_SAMPLES = 8

# which part of the photograph each shot looks at: left, top, right, bottom as shares, and whether it is mirrored
_VIEWS: dict[str, tuple[float, float, float, float, bool]] = {
    "three-bowls": (0.0, 0.0, 1.0, 1.0, False),
    "one-bowl": (0.08, 0.0, 0.94, 0.86, False),
    "bowl-at-an-angle": (0.06, 0.02, 0.96, 0.92, True),
    "straight-on": (0.08, 0.0, 0.88, 0.80, True),
    "pour": (0.02, 0.0, 0.92, 0.90, False),
}


def frame_size_px(setup: SetUp) -> tuple[int, int]:
    """Width and height of the made frames of a set-up [px]."""
    short = LONG_SIDE_PX * 2 // 3
    return (short, LONG_SIDE_PX) if setup.orientation == "portrait" else (LONG_SIDE_PX, short)


def scene_for(opened: OpenShoot, shot: Shot, setup: SetUp, when: datetime) -> LinearScene:
    """The scene of one shot in linear light: as it comes with the demo, else drawn now, else a photograph."""
    ready = packed_scene(shot.name, setup, frame_size_px(setup))
    if ready is not None:
        return ready
    if find_spec("mitsuba") is not None:
        return _drawn(opened, shot, setup, when)
    return _photographed(shot, setup, demo_photograph())


def drawn_stage(
    opened: OpenShoot, shot: Shot, setup: SetUp, when: datetime | None = None
) -> tuple[Stage, tuple[float, float, float]]:
    """The stage of a shot at its hour, and the luminance of a white card at the dish, linear sRGB [cd/m2]."""
    lit = stage_of(opened, shot, setup, when or setup.light.when or first_hour(opened))
    red, green, blue = (
        float(v) for v in np.asarray(lit.light.light_rgb) * lit.light.horizontal_lx.value / np.pi
    )
    return lit.stage, (red, green, blue)


def first_hour(opened: OpenShoot) -> datetime:
    """When a shot begins that has no hour of its own."""
    return datetime.fromisoformat(f"{opened.shoot.date}T12:30")


def _drawn(opened: OpenShoot, shot: Shot, setup: SetUp, when: datetime) -> LinearScene:
    # the renderer is heavy to load and an optional extra
    from plateside.picture.drawn_shot import scene_of
    from plateside.tasks.plan.picture_engine import find_engine

    stage, white = drawn_stage(opened, shot, setup, when)
    width, height = frame_size_px(setup)
    size = (round(TRACED_PX * width / max(width, height)), round(TRACED_PX * height / max(width, height)))
    engine = find_engine(opened.folder.plateside_dir / "renderer.json")
    return scene_of(stage, white, size, TRACED_SAMPLES, variant=engine.variant)


def demo_photograph() -> NDArray[np.uint8]:
    """scikit-image's `coffee`, 600 x 400, CC0.

    Raises MissingExtraError when scikit-image is not installed.
    """
    try:
        from skimage import data
    except ImportError as error:
        raise MissingExtraError("nothing to photograph") from error
    return np.asarray(data.coffee(), dtype=np.uint8)


def _photographed(shot: Shot, setup: SetUp, photograph: NDArray[np.uint8]) -> LinearScene:
    left, top, right, bottom, mirrored = _VIEWS.get(shot.name, (0.0, 0.0, 1.0, 1.0, False))
    rows, columns = photograph.shape[:2]
    part = photograph[
        round(top * rows) : round(bottom * rows), round(left * columns) : round(right * columns)
    ]
    width, height = frame_size_px(setup)
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
        source=PHOTOGRAPH,
    )
