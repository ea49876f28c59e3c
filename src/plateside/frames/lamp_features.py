"""Numbers by which one frame gives away two lights of different colours.

Two lights of different colours show in four ways:

    field       light changes colour slowly, things abruptly: what is left of the colour when its edges are dropped and
                the rest is put together again by a Poisson equation (Horn, "Determining lightness from an image",
                Computer Graphics and Image Processing 3, 1974, with colour in place of lightness)
    one way     daylight and lamp lie along the black body's locus: a lamp moves red over blue and hardly green, while
                a glaze or a faded cloth moves both
    shading     in one light colour does not follow shading; in two, what turns to one of them takes its colour
    pale        what is nearly grey (ware, cloth, board) shows a range of light, and where; and glints show the light's
                own colour (Shafer's dichromatic reflection, Color Research and Application 10, 1985)

and, in `lamp_shadows`, across the edges of shadows and within single things.
"""

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import fft

from plateside.frames.lamp_shadows import shadow_features
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]
Mask = NDArray[np.bool_]

WORK_PX = 144
EDGES = (0.02, 0.035, 0.07)
"""Colour steps [log2] between neighbouring cells above these are things, not light: careful, middling, bold."""
SPANS = (3, 9, 24)
"""Cells between the two of a pair that is compared."""


class Field:
    """What the features leave behind: where the light is warmest."""

    def __init__(self, features: NDArray[np.float64], warm_stops: float, at: tuple[float, float]) -> None:
        self.features, self.warm_stops, self.at = features, warm_stops, at


def lamp_features(linear: Array) -> Field | None:
    """Features of a small linear picture; None when too little of it is well exposed."""
    scale = WORK_PX / max(linear.shape[:2])
    size = (max(round(linear.shape[1] * scale), 8), max(round(linear.shape[0] * scale), 8))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    usable = (lowest(small) > 0.003) & (highest(small) < 0.95)
    if np.count_nonzero(usable) < 400:
        return None
    logs = np.log2(np.maximum(small, 1e-4))
    # grain and fine texture would drown the slow change: small things are wiped away before differences are taken
    warm, tint, light = (
        np.asarray(cv2.medianBlur(cv2.medianBlur(np.ascontiguousarray(p), 5), 5), np.float32)
        for p in (
            logs[..., 0] - logs[..., 2],
            logs[..., 1] - (logs[..., 0] + logs[..., 2]) / 2,
            np.log2(np.maximum(small @ LUMINANCE_32, 1e-4)),
        )
    )
    out: list[float] = []
    field = warm
    for edge in EDGES:
        keep = [_smooth_steps(warm, tint, usable, axis, edge) for axis in (0, 1)]
        field = _put_together(warm, keep)
        other = _put_together(tint, keep)
        low, middle, high = np.percentile(field[usable], [5, 50, 95])
        across = float(np.subtract(*np.percentile(other[usable], [95, 5])))
        reach = float(high - low)
        rough = float(np.std(field - cv2.GaussianBlur(field, (0, 0), 8)))
        out += [
            _log(reach), _log(across), _log(reach) - _log(across), float((high + low - 2 * middle) / max(reach, 0.02)),
            _log(reach) - _log(rough), _plane(field, usable),
        ]  # fmt: skip
        if edge == EDGES[1]:
            shown, warm_stops = field, reach
    out += _pairs(warm, tint, light, usable)
    out += _pale(warm, tint, light, usable)
    out += _glints(small, usable)
    out += shadow_features(small, usable)
    row, column = np.unravel_index(int(np.argmax(cv2.GaussianBlur(shown, (0, 0), 4))), shown.shape)
    at = (float((column + 0.5) / size[0]), float((row + 0.5) / size[1]))
    return Field(np.array(out), warm_stops, at)


def _log(value: float) -> float:
    return float(np.log2(max(value, 0.004)))


def _smooth_steps(warm: Array, tint: Array, usable: Mask, axis: int, edge: float) -> Mask:
    """Which steps to the next cell may be light: small in colour, between usable cells."""
    both = np.minimum(*_neighbours(usable.astype(np.uint8), axis)) > 0
    small = (np.abs(np.diff(warm, axis=axis)) < edge) & (np.abs(np.diff(tint, axis=axis)) < edge / 2)
    return np.asarray(both & small)


def _neighbours(plane: NDArray, axis: int) -> tuple[NDArray, NDArray]:
    return (plane[:-1], plane[1:]) if axis == 0 else (plane[:, :-1], plane[:, 1:])


def _put_together(plane: Array, keep: list[Mask]) -> Array:
    """The plane without its edges."""
    steps = []
    for axis in (0, 1):
        step = np.diff(plane, axis=axis)
        weight = keep[axis].astype(np.float32)
        # what lies under a thing's edge is taken to go on as its neighbourhood does
        near = cv2.GaussianBlur(weight, (0, 0), 6) + 1e-3
        filled = cv2.GaussianBlur(np.where(keep[axis], step, 0).astype(np.float32), (0, 0), 6) / near
        steps.append(np.where(keep[axis], step, filled).astype(np.float32))
    return _poisson(steps[0], steps[1])


def _poisson(fy: Array, fx: Array) -> Array:
    """The field whose differences are nearest to these (least squares), mean 0; by the cosine transform."""
    height, width = fy.shape[0] + 1, fy.shape[1]
    divergence = np.zeros((height, width), np.float32)
    divergence[:-1] += fy
    divergence[1:] -= fy
    divergence[:, :-1] += fx
    divergence[:, 1:] -= fx
    spectrum = fft.dctn(divergence, norm="ortho")
    scale = (
        2 * np.cos(np.pi * np.arange(height) / height)[:, None]
        + 2 * np.cos(np.pi * np.arange(width) / width)[None]
        - 4
    )
    scale[0, 0] = 1.0
    spectrum /= scale
    spectrum[0, 0] = 0.0
    # divergence of the differences of f is the Laplacian of f
    return np.asarray(fft.idctn(spectrum, norm="ortho"), np.float32)


def _plane(field: Array, usable: Mask) -> float:
    """How much of the field a quadratic surface explains: light is simple, leftovers of things are not."""
    y, x = (v.astype(np.float64) for v in np.nonzero(usable))
    x, y = x / field.shape[1] - 0.5, y / field.shape[0] - 0.5
    z = field[usable].astype(np.float64)
    design = np.stack([np.ones_like(x), x, y, x * x, y * y, x * y], axis=1)
    # every fifth cell tells as much
    some = design[::5]
    best = np.linalg.solve(some.T @ some + 1e-6 * np.eye(6), some.T @ z[::5])
    rest = z - design @ best
    return float(1 - rest.var() / max(float(z.var()), 1e-9))


def _pairs(warm: Array, tint: Array, light: Array, usable: Mask) -> list[float]:
    """Cells some way apart with no edge between them: what their difference says of the light."""
    edges = np.zeros(warm.shape, np.float32)
    for axis in (0, 1):
        step = np.abs(np.diff(warm, axis=axis)) + 2 * np.abs(np.diff(tint, axis=axis))
        big = (step > 0.10).astype(np.float32)
        edges[tuple(np.s_[1:] if a == axis else np.s_[:] for a in (0, 1))] += big
    edges += ~usable
    out: list[float] = []
    for span in SPANS:
        dw, dt, dl = [], [], []
        for axis in (0, 1):
            passed = np.cumsum(edges, axis=axis)
            a, b = (np.s_[:-span], np.s_[span:]) if axis == 0 else (np.s_[:, :-span], np.s_[:, span:])
            free = (passed[b] - passed[a]) == 0
            dw.append((warm[b] - warm[a])[free])
            dt.append((tint[b] - tint[a])[free])
            dl.append((light[b] - light[a])[free])
        w, t, shade = np.concatenate(dw), np.concatenate(dt), np.concatenate(dl)
        if w.size < 60:
            out += [-3.0, 0.0, 0.0, 0.0]
            continue
        spread = float(np.percentile(np.abs(w), 75))
        slope = float((w * shade).sum() / max(float((shade * shade).sum()), 1e-3))
        tied = float((w * shade).sum() / np.sqrt(max(float((w * w).sum() * (shade * shade).sum()), 1e-9)))
        out += [_log(spread), _log(spread) - _log(float(np.percentile(np.abs(t), 75))), slope, tied]
    return out


def _pale(warm: Array, tint: Array, light: Array, usable: Mask) -> list[float]:
    """Nearly grey things: how far red over blue ranges among them, and whether by place or by brightness."""
    grey = usable & (np.abs(tint - np.median(tint[usable])) < 0.12) & (np.abs(warm) < 1.6)
    grey &= light > np.percentile(light[usable], 30)
    if np.count_nonzero(grey) < 150:
        return [-2.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    w, t, shade = warm[grey], tint[grey], light[grey]
    low, middle, high = np.percentile(w, [10, 50, 90])
    centred, bright = w - w.mean(), shade - shade.mean()
    tied = float((centred * bright).mean() / max(float(centred.std() * bright.std()), 1e-4))
    return [
        _log(float(high - low)), _log(float(high - low)) - _log(float(np.subtract(*np.percentile(t, [90, 10])))),
        float(middle), tied, _plane(warm, grey), float(np.count_nonzero(grey) / grey.size),
    ]  # fmt: skip


def _glints(small: Array, usable: Mask) -> list[float]:
    """Glints show the light's own colour: how far it ranges among them, brighter ones counting more."""
    kernel = np.ones((9, 9), np.uint8)
    extra = small - cv2.morphologyEx(small, cv2.MORPH_OPEN, kernel)
    lum = extra @ LUMINANCE_32
    here = usable & (lum > 0.08) & (lowest(extra) > 0.01)
    count = int(np.count_nonzero(here))
    if count < 12:
        return [-2.0, 0.0, 0.0, 0.0]
    warm = np.log2(extra[here][:, 0] / extra[here][:, 2])
    low, middle, high = np.percentile(warm, [10, 50, 90])
    around = np.log2(np.maximum(small[usable][:, 0], 1e-4) / np.maximum(small[usable][:, 2], 1e-4))
    apart = float(middle - np.median(around))
    return [_log(float(high - low)), float(middle), apart, float(np.log2(count / 12))]
