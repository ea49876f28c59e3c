"""Bursts of a pour with the truth known: a hand with a jug moves a little, a stream falls from it into the bowl.

The stream narrows as it falls (continuity: width as speed^-1/2), ripples, wanders, is lighter or darker than what is
behind it; some frames have gaps in it, some throw drops. Sharp, or blurred by the hand's movement, as drawn by chance.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import blurred, composed, frame_of, streak
from tests.synthetic.scenes import Array, Thing, _over, make_scene, prop


@dataclass(frozen=True)
class Pour:
    """The truth of one frame."""

    breaks: int
    whole_share: float
    width_px: float
    """Mean over the fall, of the made picture."""
    drops: int
    hand_blur_px: float
    """Length of the hand's streak."""


@dataclass(frozen=True, eq=False)
class PourBurst:
    """Frames of one burst and what was put into each."""

    frames: tuple[NDArray[np.uint8], ...]
    truths: tuple[Pour, ...]
    fall: tuple[float, float, float]
    """x of the stream, top, bottom [shares of the frame]."""


def pour_burst(
    photos: tuple[str, ...],
    seed: int,
    frames: int = 6,
    width: int = 1200,
    height: int = 800,
    *,
    stream: bool = True,
    blurs: tuple[float, float] = (0.5, 8.0),
) -> PourBurst:
    """One burst from a seed; without `stream` only the hand moves."""
    rng = np.random.default_rng([41, seed])
    scene = make_scene(photos, int(rng.integers(1 << 31)), width, height)
    still = composed(scene, None, None) * np.float32(0.6)
    jug = prop(str(rng.choice(photos)), rng, height / 1.6)
    x0 = width * float(rng.uniform(0.35, 0.65))
    top, bottom = height * float(rng.uniform(0.18, 0.3)), height * float(rng.uniform(0.5, 0.66))
    wide = width * float(rng.uniform(0.006, 0.02))
    behind = float(np.median(still[int(top) : int(bottom), int(x0) - 40 : int(x0) + 40]))
    light = rng.random() < 0.5 if 0.06 < behind < 0.3 else behind < 0.15
    tone = float(rng.uniform(0.45, 0.8)) if light else float(behind * rng.uniform(0.1, 0.35))
    colour = np.asarray(tone * np.exp(rng.normal(0, 0.15, 3)), np.float32)
    lean = float(rng.normal(0, 0.04))
    shown, truths = [], []
    for _ in range(frames):
        linear = still.copy()
        breaks = int(rng.choice([0, 0, 0, 1, 1, 2])) if stream else 0
        drops = int(rng.choice([0, 0, 3, 8, 16])) if stream else 0
        blur = float(rng.uniform(*blurs))
        at = x0 + float(rng.normal(0, width * 0.0015))
        whole = 0.0
        if stream:
            cover, whole = _stream((height, width), at, top, bottom, wide, lean, breaks, rng)
            shade = (
                1
                + 0.25 * cv2.GaussianBlur(rng.normal(size=(height, width)).astype(np.float32), (3, 41), 0) * 8
            )
            linear = (
                linear * (1 - cover[..., None])
                + (colour * shade[..., None].clip(0.5, 2.2)) * cover[..., None]
            )
            linear = _drops(linear, colour, at + lean * (bottom - top), bottom, drops, wide, rng)
        _hand(linear, jug, at, top, blur, rng)
        shown.append(frame_of(np.asarray(linear, np.float32), rng, stops=float(rng.uniform(-0.1, 0.1))))
        truths.append(Pour(breaks, whole, wide * 0.8, drops, blur))
    return PourBurst(tuple(shown), tuple(truths), (x0 / width, top / height, bottom / height))


def _stream(
    size: tuple[int, int],
    x: float,
    top: float,
    bottom: float,
    wide: float,
    lean: float,
    breaks: int,
    rng: np.random.Generator,
) -> tuple[Array, float]:
    """Cover of the stream, and the share of its fall that is there."""
    v, u = np.mgrid[0 : size[0], 0 : size[1]].astype(np.float32)
    fall = np.clip((v - top) / (bottom - top), 0, 1)
    half = 0.5 * wide * (1 + 3 * fall) ** -0.25
    ripple = 1 + 0.12 * np.sin(2 * np.pi * (v / (wide * rng.uniform(2.5, 5)) + rng.uniform()))
    middle = x + lean * (v - top) + 0.15 * wide * np.sin(2 * np.pi * (v / (wide * 9) + rng.uniform()))
    cover = np.clip(half * ripple - np.abs(u - middle) + 0.5, 0, 1) * ((v >= top) & (v <= bottom))
    rows = np.arange(size[0])
    there = (rows >= top) & (rows <= bottom)
    whole = int(there.sum())
    for place in rng.permutation([0.25, 0.5, 0.75])[:breaks]:
        long = max(2.2 * wide, 0.07 * (bottom - top)) * float(rng.uniform(1.0, 1.8))
        middle_row = top + (bottom - top) * (place + float(rng.uniform(-0.05, 0.05)))
        gap = np.abs(rows - middle_row) < long / 2
        # the ends of a broken stream are round
        cover[gap] = 0
        there &= ~gap
    return np.asarray(cover, np.float32), float(there.sum() / whole)


def _drops(
    linear: Array, colour: Array, x: float, y: float, number: int, wide: float, rng: np.random.Generator
) -> Array:
    out = np.asarray(linear, np.float32).copy()
    for _ in range(number):
        turn, far = rng.uniform(np.pi, 2 * np.pi), wide * rng.uniform(2.5, 5.5)
        size = float(wide * rng.uniform(0.25, 0.5))
        n = int(2 * size) + 3
        v, u = np.mgrid[-n : n + 1, -n : n + 1].astype(np.float32)
        cover = np.clip(size - np.hypot(u, v) + 0.5, 0, 1).astype(np.float32)
        solid = np.ones((2 * n + 1, 2 * n + 1, 3), np.float32) * colour
        _over(out, solid, cover, x + far * float(np.cos(turn)), y + far * float(np.sin(turn)))
    return out


def _hand(linear: Array, jug: Thing, x: float, top: float, blur: float, rng: np.random.Generator) -> None:
    """The jug over the stream's top, shaken by the hand that holds it."""
    kernel = streak(blur, float(rng.uniform(0, 180)))
    pad = 12
    colour = cv2.copyMakeBorder(jug.colour * jug.cover[..., None], pad, pad, pad, pad, cv2.BORDER_CONSTANT)
    cover = cv2.copyMakeBorder(jug.cover, pad, pad, pad, pad, cv2.BORDER_CONSTANT)
    colour, cover = (
        blurred(np.asarray(colour, np.float32), kernel),
        blurred(np.asarray(cover, np.float32), kernel),
    )
    colour = colour / np.maximum(cover, 1e-3)[..., None]
    low = np.flatnonzero(cover.max(axis=1) > 0.5)[-1] - cover.shape[0] / 2
    dx, dy = rng.normal(0, 5, 2)
    _over(linear, np.asarray(colour, np.float32), cover, x + float(dx), top - float(low) + 4 + float(dy))
