"""Laid tables traced by their key, by a white board across from it and by light from all round, with a ball as truth.

Light adds, so any balance of key and fill comes from the three. The same lights fall on a matt ball that stands where
the dish stood: the most that the key gives on it, over the mean that the rest gives on it, is the truth. Needs the
renderer. TRAIN dishes and photographs for tuning, TEST ones for the figures shown (see `lit_tables`).
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE_32
from plateside.picture.engine import renderer
from tests.synthetic.faults import frame_of
from tests.synthetic.lit_tables import Laying, laying

Array = NDArray[np.float32]
SIZE = (240, 160)
SAMPLES, BALL_SAMPLES = 28, 12


@dataclass(frozen=True, eq=False)
class KeyAndFill:
    """A table by key, board and surroundings: three pictures, height x width x 3, linear.

    On a ball there the key gives 1 where it gives most, board and surroundings 1 in the mean.
    """

    table: tuple[Array, Array, Array]
    key_from_right: float
    """Towards the key as the camera sees it; with `key_from_above` and `key_from_camera` a unit vector."""
    key_from_above: float
    key_from_camera: float


@dataclass(frozen=True, eq=False)
class LitBall:
    """A matt ball on a table's surface by key, board and surroundings; pictures scaled as in `KeyAndFill`."""

    by: tuple[Array, Array, Array]
    mask: NDArray[np.bool_]
    """The ball, a pixel within its outline."""
    levels: tuple[float, float, float]
    """What each light gave before."""


@dataclass(frozen=True, eq=False)
class Pair:
    """A reference and a later frame of one table."""

    reference: NDArray[np.uint8]
    frame: NDArray[np.uint8]
    known_stops: float
    truth_stops: float
    settings_stops: float
    """How much more exposure the later frame got by its settings."""


def traced(seed: int, *, for_test: bool, size: tuple[int, int] = SIZE, samples: int = SAMPLES) -> KeyAndFill:
    """Trace one table, and the ball in its dish's place, by which its lights are measured."""
    table = laying(seed + 900, for_test=for_test, size=size)
    mi = renderer()
    things = {k: v for k, v in table.shapes.items() if not k.startswith("wall")}
    seen = [_by(mi, table, things, light, samples, seed) for light in _lights(table, mi)]
    ball = _ball_on(table, mi, BALL_SAMPLES, seed)
    first, second, third = (p / np.float32(m) for p, m in zip(seen, ball.levels, strict=True))
    return KeyAndFill((first, second, third), *_towards(table))


def lit_ball(seed: int, *, for_test: bool, size: tuple[int, int] = SIZE, samples: int = 128) -> LitBall:
    """Trace the ball alone on a table's surface, in the place of its dish."""
    return _ball_on(laying(seed + 900, for_test=for_test, size=size), renderer(), samples, seed)


def _ball_on(table: Laying, mi: Any, samples: int, seed: int) -> LitBall:
    ball: dict[str, Any] = {
        "type": "sphere", "center": [0, 0, 0.04], "radius": 0.04,
        "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.4}},
    }  # fmt: skip
    alone = {"t0": table.shapes["t0"], "ball": ball}
    seen = [_by(mi, table, alone, light, samples, seed) for light in _lights(table, mi)]
    on = _ball_mask(mi, table, alone)
    key, board, around = (float((p @ LUMINANCE_32)[on].mean()) for p in seen)
    key = float(np.percentile((seen[0] @ LUMINANCE_32)[on], 98))
    levels = (key, board, around)
    first, second, third = (p / np.float32(m) for p, m in zip(seen, levels, strict=True))
    return LitBall((first, second, third), on, levels)


def _lights(table: Laying, mi: Any) -> tuple[dict[str, Any], ...]:
    around = {"type": "constant", "radiance": {"type": "rgb", "value": 1.0}}
    return table.window, board_across(table.window, mi), around


def board_across(window: dict[str, Any], mi: Any) -> dict[str, Any]:
    """A broad dim light on the other side of the table, as a white board gives."""
    at = np.array(window["to_world"].matrix, float).reshape(4, 4)[:3, 3]
    side = np.array([-at[0], -at[1], 0.0]) / max(float(np.hypot(at[0], at[1])), 1e-6)
    place = mi.ScalarTransform4f().look_at(
        origin=(side * 0.9 + np.array([0.0, 0.0, 0.5])).tolist(), target=[0.0, 0.0, 0.05], up=[0, 0, 1]
    )
    return {
        "type": "rectangle", "to_world": place @ mi.ScalarTransform4f().scale([0.8, 0.6, 1]),
        "emitter": {"type": "area", "radiance": {"type": "rgb", "value": 1.0}},
        "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.5}},
    }  # fmt: skip


def pair(
    both: KeyAndFill, before: float, after: float, rng: np.random.Generator, *, thing: Array | None = None
) -> Pair:
    """Two frames whose ratios on the ball are these [stops].

    The key stays but for the day's own change (0.15 stop), which board and surroundings share; the board makes the
    change. The camera is set anew by up to a stop. `thing`, a picture, is laid into the later frame as a new prop.
    """
    fills = [1 / (2.0**r - 1) for r in (before, after)]
    around = min(fills) * float(rng.uniform(0.3, 0.9))
    day = float(rng.normal(0, 0.15)) if before != after or rng.random() < 0.5 else 0.0
    key, board, sky = both.table
    first, later = (key + np.float32(f - around) * board + np.float32(around) * sky for f in fills)
    later = later * np.float32(2.0**day)
    top = float(np.percentile(first @ LUMINANCE_32, 98))
    reset = float(rng.choice([-1, -2 / 3, -1 / 3, 0, 0, 0, 1 / 3, 2 / 3]))
    clip = float(np.percentile(later @ LUMINANCE_32, 98)) / top * 0.6 * 2**reset
    if clip > 1.0:
        # nobody leaves a frame burnt out: the camera is set darker by thirds
        reset -= float(np.ceil(3 * np.log2(clip / 0.7)) / 3)
    frames: list[NDArray[np.uint8]] = []
    for linear, stops in ((first, 0.0), (later, reset)):
        large = cv2.resize(
            linear * np.float32(0.6 / top), None, fx=2.5, fy=2.5, interpolation=cv2.INTER_CUBIC
        )
        large = np.asarray(np.maximum(large, 0), np.float32)
        if thing is not None and frames:
            large = _laid(large, thing, rng)
        frames.append(frame_of(large, rng, stops=stops))
    return Pair(frames[0], frames[1], before, after, reset)


def ball_frame(ball: LitBall, ratio: float, rng: np.random.Generator) -> tuple[NDArray[np.uint8], float]:
    """A frame of the ball alone at this ratio of the key's most to the fill's mean, and what is true of it.

    The truth: brightest over darkest on the ball [stops], before grain and development; the last tenth of the radius
    before its outline counts for the bright side only. The camera is set so that the ball is not burnt out.
    """
    key, board, sky = ball.by
    fill = np.float32(1 / (2.0**ratio - 1))
    linear = key + fill * (board + sky) / 2
    light = linear @ LUMINANCE_32
    inner = cv2.erode(ball.mask.astype(np.uint8), np.ones((3, 3), np.uint8), iterations=2) > 0
    smooth = cv2.GaussianBlur(np.asarray(light, np.float32), (0, 0), 0.8)
    truth = float(
        np.log2(np.percentile(smooth[ball.mask], 98) / max(float(np.percentile(smooth[inner], 2)), 1e-6))
    )
    top = max(float(np.percentile(light, 98)), float(np.percentile(light[ball.mask], 98)))
    large = cv2.resize(linear * np.float32(0.6 / top), None, fx=2.5, fy=2.5, interpolation=cv2.INTER_CUBIC)
    return frame_of(np.asarray(np.maximum(large, 0), np.float32), rng), truth


def _laid(picture: Array, thing: Array, rng: np.random.Generator) -> Array:
    """A round thing of another picture's matter, a quarter of the frame high, near an edge."""
    height, width = picture.shape[:2]
    radius = height * float(rng.uniform(0.08, 0.16))
    at = rng.uniform(0.1, 0.9) * width, float(rng.choice([0.15, 0.85])) * height
    v, u = np.mgrid[0:height, 0:width]
    cover = np.clip(radius - np.hypot(u - at[0], v - at[1]), 0, 1)[..., None].astype(np.float32)
    return np.asarray(picture * (1 - cover) + np.clip(thing, 0, 0.9) * cover, np.float32)


def _by(
    mi: Any, table: Laying, shapes: dict[str, Any], light: dict[str, Any], samples: int, seed: int
) -> Array:
    path = {"type": "path", "max_depth": 3}
    scene = mi.load_dict(
        {"type": "scene", "integrator": path, "camera": table.camera, "light": light, **shapes},
        optimize=False,
    )  # fmt: skip
    return np.asarray(np.array(mi.render(scene, spp=samples, seed=seed))[..., :3], np.float32)


def _ball_mask(mi: Any, table: Laying, shapes: dict[str, Any]) -> NDArray[np.bool_]:
    scene = mi.load_dict({"type": "scene", "camera": table.camera, **shapes})
    which = [n for n, s in enumerate(scene.shapes(), 1) if str(s.id()) == "ball"]
    aov = mi.load_dict({"type": "aov", "aovs": "i:shape_index"})
    index = np.round(np.array(mi.render(scene, integrator=aov, spp=1))[..., 0]).astype(int)
    mask = np.isin(index, which).astype(np.uint8)
    return cv2.erode(mask, np.ones((3, 3), np.uint8)) > 0


def _towards(table: Laying) -> tuple[float, float, float]:
    window, camera = (
        np.array(m["to_world"].matrix, float).reshape(4, 4) for m in (table.window, table.camera)
    )
    to = window[:3, 3] / np.linalg.norm(window[:3, 3])
    # the renderer's camera looks along its +z and has +x to the left
    right, up, back = -camera[:3, 0], camera[:3, 1], -camera[:3, 2]
    return float(to @ right), float(to @ up), float(to @ back)
