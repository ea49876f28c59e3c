"""More numbers by which one frame gives away two lights: at shadows' edges, within one thing, over pale things.

shadows    where the window's light is cut off, a lamp's share grows: the dark side of a shadow's edge is warmer, on one
           and the same thing. Edges of things go either way; a shadow's edge keeps the tint (Finlayson, Hordley, Lu and
           Drew, "On the removal of shadows from images", IEEE PAMI 28, 2006; here both lights' colours are known)
one thing  inside one thing colour comes from the light alone: one smooth field, and one tie to brightness, that fits
           all things at once, along red-blue and (as a control) across it
pale       how red over blue is spread among nearly grey things, and whether their darker parts are the warmer ones
"""

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from plateside.ground.srgb import LUMINANCE_32

Array = NDArray[np.float32]
Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

STEPS = (3, 8)
"""Cells between the two sides of an edge."""
_EDGE_BINS = np.array([-1.2, -0.5, -0.25, -0.12, -0.05, 0, 0.05, 0.12, 0.25, 0.5, 1.2])
_PALE_BINS = np.array([-1.4, -0.7, -0.4, -0.2, -0.07, 0.07, 0.2, 0.4, 0.7, 1.1, 1.9])
TINT_OF_WARMTH = 0.12
"""A black body's way from 6500 K to 2800 K turns the tint by this share of log2 of red over blue."""
LEAST_CELLS = 60


def shadow_features(small: Array, usable: Mask) -> list[float]:
    """Sixty numbers of a linear picture about 144 cells wide; `usable`: neither too dark nor clipped."""
    logs = np.log2(np.maximum(small, 1e-4))
    warm, tint, light = (
        np.asarray(cv2.medianBlur(np.ascontiguousarray(p), 5), np.float32)
        for p in (
            logs[..., 0] - logs[..., 2],
            logs[..., 1] - (logs[..., 0] + logs[..., 2]) / 2,
            np.log2(np.maximum(small @ LUMINANCE_32, 1e-4)),
        )
    )
    tint = tint - np.float32(TINT_OF_WARMTH) * warm
    return [
        *_edges(warm, tint, light, usable),
        *_things(warm, tint, light, usable),
        *_pale(warm, tint, light, usable),
    ]


def _log(value: float) -> float:
    return float(np.log2(max(value, 0.004)))


def _edges(warm: Array, tint: Array, light: Array, usable: Mask) -> list[float]:
    out: list[float] = []
    for step in STEPS:
        parts: list[tuple[Array, Array, Array]] = []
        for axis in (0, 1):
            a, b = (np.s_[:-step], np.s_[step:]) if axis == 0 else (np.s_[:, :-step], np.s_[:, step:])
            good = usable[a] & usable[b]
            lighter = (light[b] - light[a])[good]
            to_dark = -np.sign(lighter)
            parts.append(
                ((warm[b] - warm[a])[good] * to_dark, (tint[b] - tint[a])[good] * to_dark, np.abs(lighter))
            )
        warmer, greener, depth = (np.concatenate([p[k] for p in parts]) for k in range(3))
        same = (np.abs(greener) < 0.03) & (depth > 0.35)
        other = (np.abs(greener) >= 0.03) & (np.abs(greener) < 0.09) & (depth > 0.35)
        deep = same & (depth > 0.9)
        count, weight = int(np.count_nonzero(same)), depth[same]
        shares = np.histogram(np.clip(warmer[same], -1.19, 1.19), _EDGE_BINS)[0] / max(count, 1)
        out += [float(v) for v in np.sqrt(shares)]
        out += [
            _log(count / max(depth.size, 1)),
            _median(warmer[same], 20),
            _median(warmer[other], 20),
            float((warmer[same].clip(-0.6, 0.6) * weight).sum() / max(float(weight.sum()), 1.0)),
            _median(warmer[deep], 15),
            _log(np.count_nonzero(deep) / max(depth.size, 1)),
        ]
    return out


def _median(values: Array, least: int) -> float:
    return float(np.median(values)) if values.size > least else 0.0


def _things(warm: Array, tint: Array, light: Array, usable: Mask) -> list[float]:
    edge = np.zeros(warm.shape, bool)
    for axis in (0, 1):
        step = (np.abs(np.diff(warm, axis=axis)) > 0.07) | (np.abs(np.diff(tint, axis=axis)) > 0.035)
        edge[tuple(np.s_[1:] if a == axis else np.s_[:] for a in (0, 1))] |= step
    labels, found = ndimage.label(usable & ~edge)
    cells = np.bincount(labels.ravel(), minlength=found + 1)
    keep = cells >= LEAST_CELLS
    keep[0] = False
    mask = keep[labels]
    if np.count_nonzero(mask) < 500:
        return [0.0] * 14
    which = np.cumsum(keep)[labels[mask]] - 1
    number = int(keep.sum())
    size = np.bincount(which, minlength=number).astype(np.float64)

    def centred(values: NDArray) -> Floats:
        return np.asarray(values - (np.bincount(which, values, minlength=number) / size)[which], np.float64)

    row, column = np.nonzero(mask)
    height, width = warm.shape
    x, y = column / width - 0.5, row / width - 0.5 * height / width
    fields = (x, y, x * x, y * y, x * y)
    columns = np.stack([centred(v) for v in (*fields, light[mask].astype(np.float64))], axis=1)
    # a table top has more cells than all the rest: it must not decide alone
    weight = 1 / np.sqrt(size)[which]
    weighed = columns * weight[:, None]
    square = weighed.T @ columns + np.eye(6) * 1e-3 * weight.sum()
    out: list[float] = []
    fits: list[Floats] = []
    seen = [centred(plane[mask].astype(np.float64)) for plane in (warm, tint)]
    for values in seen:
        best = np.linalg.solve(square, weighed.T @ values)
        fit = columns @ best
        fits.append(fit)
        whole = float((weight * values**2).sum())
        rest = float((weight * (values - fit) ** 2).sum())
        reach = float(np.subtract(*np.percentile(np.stack(fields, axis=1) @ best[:5], [95, 5])))
        out += [_log(np.sqrt(whole / weight.sum())), 1 - rest / max(whole, 1e-9), float(best[5]), _log(reach)]
    out += [out[0] - out[4], out[3] - out[7]]
    lean = columns[:, :2] * weight[:, None]
    plane = lean.T @ columns[:, :2] + np.eye(2) * 1e-3 * weight.sum()
    brighter = np.linalg.solve(plane, lean.T @ centred(light[mask].astype(np.float64)))
    warmer = np.linalg.solve(plane, lean.T @ seen[0])
    against = -float(warmer @ brighter) / (float(np.linalg.norm(brighter)) + 0.3)
    agree = np.bincount(which, fits[0] * seen[0], minlength=number)
    power = np.bincount(which, seen[0] ** 2, minlength=number)
    root = np.sqrt(size)
    return [
        *out, float(np.clip(against, -2, 2)), float((root * (agree > 0.1 * power)).sum() / root.sum()),
        _log(number / 20), float(mask.mean()),
    ]  # fmt: skip


def _pale(warm: Array, tint: Array, light: Array, usable: Mask) -> list[float]:
    grey = usable & (np.abs(tint - np.median(tint[usable])) < 0.08)
    grey &= light > np.percentile(light[usable], 20)
    count = int(np.count_nonzero(grey))
    if count < 100:
        return [0.0] * 14
    w, shade = warm[grey], light[grey]
    shares = np.histogram(np.clip(w, -1.4, 1.9), _PALE_BINS)[0] / count
    bright = shade > np.percentile(shade, 70)
    spread = max(float(w.std() * shade.std()), 1e-4)
    tied = float(((w - w.mean()) * (shade - shade.mean())).mean()) / spread
    lit = float(np.median(w[bright])) if bright.any() else 0.0
    rest = float(np.median(w[~bright])) if (~bright).any() else 0.0
    return [*(float(v) for v in np.sqrt(shares)), count / warm.size, tied, lit, rest - lit]
