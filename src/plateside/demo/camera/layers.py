"""Things put into a scene after it was drawn: cards, plates, layer by layer, and a poured stream."""

from dataclasses import replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera.take import Exposure, Point
from plateside.model.errors import RefusedError
from plateside.picture.scene import Colour, LinearScene

GREY_REFLECTANCE = 0.18


def _named(scene: LinearScene, name: str) -> tuple[tuple[str, ...], int]:
    """The scene's names with this one among them, and its number."""
    if name in scene.names:
        return scene.names, scene.names.index(name)
    return (*scene.names, name), len(scene.names)


def with_card(
    scene: LinearScene,
    reflectance: NDArray[np.floating] | Colour,
    corners_px: tuple[Point, Point, Point, Point],
    *,
    name: str = "card",
) -> LinearScene:
    """A flat matt card in the scene, lit by the light at the dish.

    reflectance  linear sRGB 0..1: one colour, or a picture of the card (height x width x 3)
    corners_px   where its top left, top right, bottom right and bottom left corners lie in the scene [px]
    """
    width, height = scene.size_px
    face: NDArray[Any] = np.asarray(reflectance, dtype=np.float32)
    if face.ndim == 1:
        face = np.broadcast_to(face, (8, 8, 3)).copy()
    rows, columns = face.shape[:2]
    # pixel centres of the card's edges run half a pixel outside its outer pixels
    source = np.array(
        [[-0.5, -0.5], [columns - 0.5, -0.5], [columns - 0.5, rows - 0.5], [-0.5, rows - 0.5]],
        dtype=np.float32,
    )
    target = np.asarray(corners_px, dtype=np.float32)
    there = cv2.getPerspectiveTransform(source, target)
    shrink = max(columns / max(np.linalg.norm(target[1] - target[0]), 1e-6), 1.0)
    if shrink > 1.5:  # a large picture of a card drawn small: average first, or its fine lines alias
        face = cv2.GaussianBlur(face, (0, 0), 0.4 * shrink)
    # drawn four times finer, so that its edges are as smooth as the camera would see them
    fine = 4
    x0, y0 = np.maximum(np.floor(target.min(axis=0)).astype(int) - 2, 0)
    x1, y1 = np.minimum(np.ceil(target.max(axis=0)).astype(int) + 3, [width, height])
    if x1 <= x0 or y1 <= y0:
        raise RefusedError("set card outside", corners_px=str(corners_px), width_px=width, height_px=height)
    zoom = np.array([[fine, 0, (fine - 1) / 2 - fine * x0], [0, fine, (fine - 1) / 2 - fine * y0], [0, 0, 1]])
    size = (int(x1 - x0) * fine, int(y1 - y0) * fine)
    drawn = cv2.warpPerspective(
        face, zoom @ there, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    outline = (target - [x0, y0]) * fine + (fine - 1) / 2
    mask = np.zeros((size[1], size[0]), dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.rint(outline).astype(np.int32), 1)
    cover = cv2.resize(mask.astype(np.float32), None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA)
    shown = cv2.resize(drawn, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA)
    rgb, identity = scene.rgb.copy(), scene.identity.copy()
    window = (slice(y0, y1), slice(x0, x1))
    light = np.asarray(scene.white_rgb, dtype=np.float32)
    rgb[window] = rgb[window] * (1.0 - cover[..., None]) + shown * light * cover[..., None]
    names, number = _named(scene, name)
    identity[window][cover > 0.5] = number
    return replace(scene, rgb=rgb, identity=identity, names=names, objects=(*scene.objects, name))


def with_grey_card(
    scene: LinearScene, centre: Point = (0.5, 0.5), width_share: float = 0.22, *, name: str = "grey card"
) -> LinearScene:
    """An 18 % grey card lying at the dish; centre in shares of the frame, width in shares of its width."""
    width, height = scene.size_px
    half_w, half_h = width_share * width / 2, width_share * width / 2 * 0.7
    x, y = centre[0] * width, centre[1] * height
    corners = (
        (x - half_w, y - half_h),
        (x + half_w, y - half_h),
        (x + half_w, y + half_h),
        (x - half_w, y + half_h),
    )
    grey = (GREY_REFLECTANCE,) * 3
    return with_card(scene, (grey[0], grey[1], grey[2]), corners, name=name)


def with_disc(
    scene: LinearScene,
    name: str,
    centre: Point,
    width_share: float,
    colour: Colour,
    *,
    squash: float = 1.0,
    key_from_deg: float = 150.0,
) -> LinearScene:
    """A round thing (a plate, a small bowl) laid in the scene with a rim and a soft shadow: one layer more.

    centre in shares of the frame, width in shares of its width, colour as reflectance (linear sRGB);
    squash is its height over its width as seen; the key light comes from `key_from_deg` (anticlockwise).
    """
    width, height = scene.size_px
    radius = width_share * width / 2
    x, y = np.meshgrid(np.arange(width, dtype=np.float32), np.arange(height, dtype=np.float32))
    dx, dy = (x - centre[0] * width) / radius, (y - centre[1] * height) / (radius * squash)
    r = np.sqrt(dx * dx + dy * dy)
    soft = 1.5 / radius
    cover = np.clip((1.0 - r) / soft + 0.5, 0.0, 1.0)
    key = np.deg2rad(key_from_deg)
    lean = dx * np.cos(key) - dy * np.sin(key)
    rim = (
        np.exp(-(((r - 0.86) / 0.05) ** 2)) * 0.14 * lean + np.exp(-(((r - 0.93) / 0.04) ** 2)) * -0.10 * lean
    )
    shade = np.clip(0.94 + 0.10 * lean * np.clip(r, 0, 1) + rim, 0.2, 1.3)
    face = (
        np.asarray(colour, dtype=np.float32)
        * shade[..., None]
        * np.asarray(scene.white_rgb, dtype=np.float32)
    )
    sx, sy = dx + 0.10 * np.cos(key), dy - 0.10 * np.sin(key)
    shadow = 1.0 - 0.45 * np.clip((1.12 - np.sqrt(sx * sx + sy * sy)) / 0.16, 0.0, 1.0)
    rgb = scene.rgb * np.maximum(shadow, cover)[..., None]
    rgb = (rgb * (1.0 - cover[..., None]) + face * cover[..., None]).astype(np.float32)
    names, number = _named(scene, name)
    identity = scene.identity.copy()
    identity[cover > 0.5] = number
    return replace(scene, rgb=rgb, identity=identity, names=names, objects=(*scene.objects, name))


def with_pour(scene: LinearScene, take: Exposure, *, seed: int = 0) -> tuple[LinearScene, float]:
    """A stream poured from above the frame while the shutter was open; returns the scene and its streak [px].

    The stream thins as it falls (continuity: its width goes with the square root of the speed's inverse); its
    ripples run along it by speed times shutter time, so a long exposure turns them to silk.
    """
    if take.pour_at is None:
        return scene, 0.0
    width, height = scene.size_px
    land_x, land_y = take.pour_at[0] * width, take.pour_at[1] * height
    streak_px = take.pour_speed_m_s * take.exposure_s * 1000.0 / scene.mm_per_px
    rng = np.random.default_rng(seed + 17)
    rows = np.arange(height, dtype=np.float32)
    speed = np.sqrt(0.25 + 0.75 * np.clip(rows / max(land_y, 1.0), 0, 1))
    half = 0.5 * take.pour_width_mm / scene.mm_per_px / np.sqrt(speed)
    ripple_px = max(3.0, 9.0 / scene.mm_per_px)
    noise = rng.standard_normal((height, 2)).astype(np.float32)
    ripple: NDArray[Any] = cv2.GaussianBlur(noise, (1, 2 * round(ripple_px) + 1), ripple_px / 3)
    ripple /= max(float(np.abs(ripple).max()), 1e-6)
    if streak_px > 1.0:
        ripple = cv2.blur(ripple, (1, max(1, round(streak_px))), borderType=cv2.BORDER_REFLECT)
    half = half * (1.0 + 0.28 * ripple[:, 0])
    middle = land_x + 0.35 * half.mean() * ripple[:, 1]
    x = np.arange(width, dtype=np.float32)[None, :]
    across = (x - middle[:, None]) / half[:, None]
    below = rows[:, None] < land_y
    cover = np.clip((1.0 - np.abs(across)) * half[:, None] + 0.5, 0.0, 1.0) * below
    body = 0.55 + 0.45 * np.sqrt(np.clip(1.0 - across**2, 0.0, 1.0)) * (1.0 - 0.35 * across)
    glint = 0.9 * np.exp(-(((across + 0.45) / 0.16) ** 2)) * (0.7 + 0.5 * ripple[:, :1])
    light = np.asarray(scene.white_rgb, dtype=np.float32)
    stream = (np.asarray(take.pour_colour, np.float32) * body[..., None] + glint[..., None]) * light
    # where it lands: a small bright ring
    ring_r = np.hypot(x - land_x, (rows[:, None] - land_y) * 1.8)
    mean_half = float(half.mean())
    ring = 0.35 * np.exp(-(((ring_r - 2.4 * mean_half) / (0.5 * mean_half)) ** 2))
    rgb = scene.rgb * (1.0 + ring[..., None])
    rgb = (rgb * (1.0 - cover[..., None]) + np.maximum(stream, 0.0) * cover[..., None]).astype(np.float32)
    names, number = _named(scene, "pour")
    identity, depth = scene.identity.copy(), scene.depth_mm.copy()
    on = cover > 0.5
    identity[on] = number
    landing = scene.depth_mm[min(height - 1, max(0, int(land_y))), min(width - 1, max(0, int(land_x)))]
    depth[on] = landing
    out = replace(
        scene, rgb=rgb, depth_mm=depth, identity=identity, names=names, objects=(*scene.objects, "pour")
    )
    return out, float(streak_px)
