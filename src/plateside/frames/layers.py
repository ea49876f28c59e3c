"""Measures of a layer of the scene: how the hero stands out, palette, busyness, empty space, balance.

Measurements, not taste. Thresholds named here are common practice, no source: a difference of 20 in L* separates two
things at thumbnail size; hues within 40 degrees are neighbours, 150 to 210 apart are opposite.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import grey
from plateside.frames.facts import Box
from plateside.frames.lab import lab_of, lch_of

Array = NDArray[np.float32]

SEPARATED = 20.0
COLOURLESS = 8.0
CALM = 0.03
OFF_SHARE = 0.02
TEXT_SPACE = 1 / 3
THIRDS = ("top", "bottom", "left", "right")
LAYERS_VERSION = "1"
"""Raised when a measure changes, so that cached ones are taken anew."""


@dataclass(frozen=True)
class PaletteColour:
    """One colour of the palette: CIE LCh and its share of the frame."""

    lightness: float
    chroma: float
    hue_deg: float
    share: float


@dataclass(frozen=True)
class LayerFacts:
    """What one layer of the scene measures."""

    hero_lightness: float
    """L* of the hero's middle."""
    surface_lightness: float
    """L* of the ring round it."""
    tone_difference: float
    """Hero less surface, L*."""
    colour_difference: float
    """Between their mean chromas, in the a*b* plane."""
    hero_stands_out: float
    """Local contrast of the hero over that of the rest; above 1 the hero holds the eye by it."""
    loudest_elsewhere: float
    """The loudest place outside the hero, over the hero's own contrast; above 1 a prop outshouts the hero."""
    loudest_at: tuple[float, float]
    palette: tuple[PaletteColour, ...]
    harmony: str
    """neighbouring, opposite, mixed or nearly grey: how the strong hues lie to each other."""
    busyness: float
    """Share of small tiles with detail in them, 0 to 1."""
    empty_third: str
    """The emptiest third: top, bottom, left or right; the place for text."""
    empty_share: float
    """Share of that third that is calm, 0 to 1."""
    balance: tuple[float, float]
    """Where the centre of visual weight lies, shares of the frame; 0.5, 0.5 is the middle."""
    hero_at: tuple[float, float]
    """Where the hero's middle is expected, shares of the frame."""
    calm: tuple[float, float, float, float]
    """How calm each third is, 0 to 1: top, bottom, left, right."""

    @property
    def hero_loses(self) -> bool:
        """A place outside the hero holds more contrast than the hero."""
        return self.loudest_elsewhere > 1


def layer_facts_from_json(value: dict[str, Any]) -> LayerFacts:
    """The inverse of `tasks.report.as_json` for LayerFacts. Raises TypeError when fields do not fit."""
    palette = tuple(PaletteColour(**c) for c in value["palette"])
    plain: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in value.items()}
    return LayerFacts(**(plain | {"palette": palette}))


def layer_facts(picture: NDArray[np.uint8], linear: Array, subject_box: Box) -> LayerFacts:
    """Measure a layer from its display picture and its small linear picture (same view)."""
    height, width = linear.shape[:2]
    lab = lab_of(np.minimum(linear, 1.0))
    hero, ring = _masks(height, width, subject_box)
    hero_lab, ring_lab = lab[hero].mean(axis=0), lab[ring].mean(axis=0)
    energy = _energy(picture, width, height)
    inside = float(np.percentile(energy[hero], 90))
    rest = ~_box_mask(height, width, subject_box, 1.25)
    blurred = cv2.GaussianBlur(energy, (0, 0), width / 60)
    hero_loud = max(float(blurred[_box_mask(height, width, subject_box, 1.1)].max()), 1e-6)
    outside = np.where(rest, blurred, 0)
    row, column = np.unravel_index(int(np.argmax(outside)), outside.shape)
    calm = energy < CALM
    thirds = _thirds(calm)
    third = max(THIRDS, key=lambda name: thirds[THIRDS.index(name)])
    palette = palette_of(lab)
    weight = energy + 0.3 * np.hypot(lab[..., 1], lab[..., 2]) / 100
    v, u = np.mgrid[0:height, 0:width]
    total = float(weight.sum()) or 1.0
    return LayerFacts(
        hero_lightness=float(hero_lab[0]),
        surface_lightness=float(ring_lab[0]),
        tone_difference=float(hero_lab[0] - ring_lab[0]),
        colour_difference=float(np.hypot(*(hero_lab[1:] - ring_lab[1:]))),
        hero_stands_out=inside / max(float(np.percentile(energy[rest], 90)), 1e-6) if rest.any() else 1.0,
        loudest_elsewhere=float(outside.max()) / hero_loud,
        loudest_at=((column + 0.5) / width, (row + 0.5) / height),
        palette=palette,
        harmony=harmony_of(palette),
        busyness=float(_tiles_with(energy >= CALM).mean()),
        empty_third=third,
        empty_share=thirds[THIRDS.index(third)],
        balance=(float((weight * u).sum() / total / width), float((weight * v).sum() / total / height)),
        hero_at=((subject_box[0] + subject_box[2]) / 2, (subject_box[1] + subject_box[3]) / 2),
        calm=thirds,
    )


def _box_mask(height: int, width: int, box: Box, grow: float) -> NDArray[np.bool_]:
    cx, cy = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    rx, ry = (box[2] - box[0]) / 2 * grow, (box[3] - box[1]) / 2 * grow
    v, u = np.mgrid[0:height, 0:width]
    far = (((u + 0.5) / width - cx) / max(rx, 1e-3)) ** 2 + (((v + 0.5) / height - cy) / max(ry, 1e-3)) ** 2
    return np.asarray(far <= 1)


def _masks(height: int, width: int, box: Box) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """The hero (the ellipse in its box) and the ring round it."""
    hero = _box_mask(height, width, box, 0.85)
    ring = _box_mask(height, width, box, 1.5) & ~_box_mask(height, width, box, 1.12)
    if not ring.any():
        ring = ~hero
    return hero, ring


def _energy(picture: NDArray[np.uint8], width: int, height: int) -> Array:
    """Local contrast: mean gradient of the encoded picture in each cell of the small one."""
    plain = cv2.GaussianBlur(grey(picture), (0, 0), max(picture.shape[1] / 1500, 0.8))
    gx, gy = cv2.Sobel(plain, cv2.CV_32F, 1, 0, scale=1 / 8), cv2.Sobel(plain, cv2.CV_32F, 0, 1, scale=1 / 8)
    size = cv2.magnitude(gx, gy) * np.float32(picture.shape[1] / 750)
    return np.asarray(cv2.resize(size, (width, height), interpolation=cv2.INTER_AREA), np.float32)


def _tiles_with(mask: NDArray[np.bool_]) -> NDArray[np.float64]:
    small = cv2.resize(mask.astype(np.float32), (48, 32), interpolation=cv2.INTER_AREA)
    return np.asarray(small > 0.1, float)


def _thirds(calm: NDArray[np.bool_]) -> tuple[float, float, float, float]:
    height, width = calm.shape
    h, w = round(height * TEXT_SPACE), round(width * TEXT_SPACE)
    top, bottom, left, right = calm[:h], calm[-h:], calm[:, :w], calm[:, -w:]
    return float(top.mean()), float(bottom.mean()), float(left.mean()), float(right.mean())


def palette_of(lab: Array, colours: int = 5) -> tuple[PaletteColour, ...]:
    """The frame's main colours by k-means in CIELAB, largest share first; the same picture gives the same palette."""
    small = cv2.resize(lab, (64, 48), interpolation=cv2.INTER_AREA).reshape(-1, 3)
    order = np.argsort(small[:, 0], kind="stable")
    start = np.zeros((small.shape[0], 1), np.int32)
    start[order, 0] = np.arange(small.shape[0]) * colours // small.shape[0]
    stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 40, 0.1)
    _, labels, centres = cv2.kmeans(small, colours, start, stop, 1, cv2.KMEANS_USE_INITIAL_LABELS)
    shares = np.bincount(labels.ravel(), minlength=colours) / labels.size
    lch = lch_of(np.asarray(centres, np.float32))
    found = [
        PaletteColour(float(c[0]), float(c[1]), float(c[2]), float(s))
        for c, s in zip(lch, shares, strict=True)
        if s > 0
    ]
    return tuple(sorted(found, key=lambda c: -c.share))


def harmony_of(palette: tuple[PaletteColour, ...]) -> str:
    """How the hues of the palette's real colours lie on the circle."""
    hues = [c.hue_deg for c in palette if c.chroma > COLOURLESS and c.share > 0.03]
    if len(hues) < 2:
        return "nearly grey" if not hues else "of one hue"
    gaps = [abs((a - b + 180) % 360 - 180) for i, a in enumerate(hues) for b in hues[i + 1 :]]
    if max(gaps) <= 40:
        return "neighbouring"
    if all(g <= 40 or g >= 150 for g in gaps):
        return "opposite"
    return "mixed"
