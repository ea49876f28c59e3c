"""Colours of which the sensor lost one or two channels, rebuilt from the channels that remain.

Where one channel is clipped, the ratio of the two others tells (see `one_lost`). Where two are clipped, both ratios
flow in from where less is lost, through the cells of a grid over place and the level of the third: along a shaded
surface it changes step by step, to another surface it jumps, and nothing flows; nor does a colour that would have
less of a lost channel than was counted. Where nothing of that colour is whole anywhere in the frame, a lost green is
taken as the mean of red and blue, a lost red or blue as green, two lost ones as no less than the third, and none as
less than the level at which it was lost: that is what most food does. Where all three are gone the picture is white,
as bright as what surrounds it was when it lost the last one, by those whose colour was told.
"""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numba import get_num_threads, njit, prange
from numpy.typing import NDArray

from plateside.finish.grids import Floats, filled, flowed, read
from plateside.finish.one_lost import (
    BOUND_STEP,
    DARKEST,
    ENOUGH,
    FURTHEST,
    WHOLE_TO,
    Counts,
    Learnt,
    alone,
    from_two,
    learnt_of_one,
    usual,
)  # fmt: skip

_BAND_ROWS = 128
LOST_FROM = 0.99
"""Share of saturation from which a channel is lost; between WHOLE_TO and this lies photon noise."""
WHITE_FROM, WHITE_AT = 0.98, 0.995
"""Of the last channel: so late the colour fades to white."""
_CELLS, _SMALLEST_CELL_PX = 96, 12
_LEVEL_BINS, _LEVEL_STEP = 28, 0.25
_SAMPLES = 1_000_000
"""Pixels that are looked at; more would tell no more."""
_LEAST_TOLD = 0.7
"""Of what was counted of a lost channel: told to be less, it is not believed; half way to as much, wholly."""


@dataclass(frozen=True, eq=False)
class Known:
    """What the frame's whole colours tell of its lost ones; each grid ends in (values ..., trust)."""

    cell_px: int
    one: Learnt
    """of one lost channel, in cells twice as wide"""
    two: Floats
    """(3, rows, columns, level, 3): for each channel left, log of the next two over it"""
    white: Floats
    """(rows, columns, 1, 2): log of the luminance around what is white"""


def known_colours(rgb: Counts, gain: Floats, top: Floats, luminance: Floats) -> Known | None:
    """What is to be known of a picture's lost colours, or None when no pixel has lost any.

    rgb        (h, w, 3) camera values, or counts
    gain       (3,) brings them to a balance in which grey is grey
    top        (3,) balanced level at which each channel is clipped
    luminance  (3,) weights of the balanced channels in luminance
    """
    classes = _classes(rgb, gain, top * np.float32(WHOLE_TO)).sum(axis=0)
    if not classes[1:].any():
        return None
    height, width = rgb.shape[:2]
    cell = max(-(-max(height, width) // _CELLS), _SMALLEST_CELL_PX)
    rows, columns = -(-height // cell), -(-width // cell)
    step = max(round(float(np.sqrt(height * width / _SAMPLES))), 1)
    two = np.zeros((3, rows, columns, _LEVEL_BINS, 3), np.float32)
    white = np.zeros((rows, columns, 1, 2), np.float32)
    lost_ones = [c for c in range(3) if any(classes[kind] for kind in range(1, 8) if kind >> c & 1)]
    one = learnt_of_one(rgb, gain, top, lost_ones, step, 2 * cell)
    for left in range(3):
        others = 7 & ~(1 << left)
        if classes[others] or classes[7]:
            lost = np.zeros((rows, columns, _LEVEL_BINS), np.float32)
            _two_sources(rgb, gain, top, left, step, cell, one, two[left], lost)
            levels = np.log(top[left]) + (np.arange(_LEVEL_BINS) - _LEVEL_BINS + 1) * _LEVEL_STEP
            least = np.log(np.roll(top, -left)[1:]) - levels[:, None] - BOUND_STEP
            two[left] = flowed(two[left], lost >= ENOUGH * (cell / step) ** 2, least.astype(np.float32), 1)
    if classes[7]:
        _white_sources(rgb, gain, top, luminance, step, cell, one, two, white)
        white[...] = filled(white)
    return Known(cell, one, two, white)


def rebuilt(
    rgb: Floats, gain: Floats, top: Floats, luminance: Floats, matrix: Floats, known: Known | None
) -> Floats:
    """Balanced, rebuilt where `known_colours` found something lost, and brought to linear sRGB by `matrix`."""
    out = np.empty(rgb.shape, np.float32)
    height, width = rgb.shape[:2]

    def band(first: int) -> None:
        last = min(first + _BAND_ROWS, height)
        rebuilt_part(rgb, gain, top, luminance, matrix, known, (first, last, 0, width), out[first:last])

    with ThreadPoolExecutor(get_num_threads()) as threads:
        list(threads.map(band, range(0, height, _BAND_ROWS)))
    return out


def rebuilt_part(
    rgb: Counts, gain: Floats, top: Floats, luminance: Floats, matrix: Floats, known: Known | None,
    part: tuple[int, int, int, int], out: Floats | None = None,
) -> Floats:  # fmt: skip
    """The same of the rows and columns `part` (first, last, first, last) alone: the same numbers."""
    y, bottom, x, right = part
    if out is None:
        out = np.empty((bottom - y, right - x, 3), np.float32)
    if known is None:
        _balanced(rgb, gain, matrix, y, x, out)
    else:
        grids = known.one, known.two, known.white
        _rebuild(rgb, gain, top, luminance, matrix, *grids, (y, x, known.cell_px), out)
    return out


@njit(cache=True, parallel=True)
def _classes(rgb: Counts, gain: Floats, limit: Floats) -> NDArray[np.int64]:
    """How many pixels of each part have lost which channels: index 1 red, 2 green, 4 blue, added up."""
    height, width = rgb.shape[:2]
    parts = 16
    found = np.zeros((parts, 8), np.int64)
    for part in prange(parts):
        for y in range(part * height // parts, (part + 1) * height // parts):
            for x in range(width):
                kind = 0
                for c in range(3):
                    if rgb[y, x, c] * gain[c] >= limit[c]:
                        kind += 1 << c
                found[part, kind] += 1
    return found


@njit(cache=True, inline="always")
def _level(share: float) -> float:
    """Place of a level, as a share of saturation, in the grid [bins]."""
    place = np.log(max(share, 1e-6)) / _LEVEL_STEP + _LEVEL_BINS - 1
    return float(min(max(place, 0.0), _LEVEL_BINS - 1.001))


@njit(cache=True, parallel=True)
def _two_sources(
    rgb: Counts,
    gain: Floats,
    top: Floats,
    left: int,
    step: int,
    cell: int,
    one: Learnt,
    grid: Floats,
    lost: Floats,
) -> None:
    height, width = rgb.shape[:2]
    c, d = (left + 1) % 3, (left + 2) % 3
    for i in prange(grid.shape[0]):
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                va, vc, vd = rgb[y, x, left] * gain[left], rgb[y, x, c] * gain[c], rgb[y, x, d] * gain[d]
                if va >= WHOLE_TO * top[left] or va < DARKEST or vc < DARKEST or vd < DARKEST:
                    continue
                gone_c, gone_d = vc >= WHOLE_TO * top[c], vd >= WHOLE_TO * top[d]
                if gone_c and gone_d:
                    lost[i, x // cell, round(_level(va / top[left]))] += alone(rgb, gain, y, x)
                    continue
                if gone_c:
                    vc = from_two(one, c, vc, va, vd, left, top[c], y / cell - 0.5, x / cell - 0.5)
                if gone_d:
                    vd = from_two(one, d, vd, va, vc, left, top[d], y / cell - 0.5, x / cell - 0.5)
                # what is nearly lost itself stands next to what is lost
                weight = (min(vc / top[c], 1.0) * min(vd / top[d], 1.0)) ** 4 * alone(rgb, gain, y, x)
                place = _level(va / top[left])
                k = int(place)
                for n in range(2):
                    share = weight * (place - k if n else 1 - place + k)
                    grid[i, x // cell, k + n, 0] += share * np.log(vc / va)
                    grid[i, x // cell, k + n, 1] += share * np.log(vd / va)
                    grid[i, x // cell, k + n, 2] += share


@njit(cache=True, parallel=True)
def _white_sources(
    rgb: Counts, gain: Floats, top: Floats, luminance: Floats, step: int, cell: int,
    one: Learnt, two: Floats, grid: Floats,
) -> None:  # fmt: skip
    height, width = rgb.shape[:2]
    for i in prange(grid.shape[0]):
        work = np.empty((3, 3))
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                least, most = 2.0, 0.0
                for c in range(3):
                    share = rgb[y, x, c] * gain[c] / top[c]
                    least, most = min(least, share), max(most, share)
                if least < 0.6 or least >= WHOLE_TO or most < LOST_FROM:
                    continue
                r, g, b, sure = _whole(rgb, gain, top, luminance, cell, one, two, grid, (y, x), work)
                light = luminance[0] * r + luminance[1] * g + luminance[2] * b
                if light > 0:
                    weight = least**8 * max(sure, 0.001) * alone(rgb, gain, y, x)
                    grid[i, x // cell, 0, 0] += weight * np.log(light / least)
                    grid[i, x // cell, 0, 1] += weight


@njit(cache=True)
def _mean_around(rgb: Counts, gain: Floats, y: int, x: int, c: int, share: float) -> float:
    """The one channel left, where it is dark and its noise would be multiplied: a mean of 3 or 5 pixels each way."""
    reach = 0 if share > 0.15 else 1 if share > 0.05 else 2
    if reach == 0:
        return float(max(rgb[y, x, c] * gain[c], 0.0))
    total, count = 0.0, 0
    for v in range(max(y - reach, 0), min(y + reach + 1, rgb.shape[0])):
        for u in range(max(x - reach, 0), min(x + reach + 1, rgb.shape[1])):
            total += rgb[v, u, c]
            count += 1
    return float(max(total / count * gain[c], 0.0))


@njit(cache=True)
def _whole(
    rgb: Counts, gain: Floats, top: Floats, luminance: Floats, cell: int,
    one: Learnt, two: Floats, white: Floats, at: tuple[int, int], work: NDArray[np.float64],
) -> tuple[float, float, float, float]:  # fmt: skip
    """A pixel's balanced colour with what it lost given back, and how far that is trusted."""
    y, x = at
    sure = 1.0
    v, gone, told = work[0], work[1], work[2]
    # a bare 0 is a type of its own to numba: all that is called with it would be compiled twice
    left = int(np.int64(0))
    for c in range(3):
        v[c] = max(rgb[y, x, c] * gain[c], 0.0)
        t = (v[c] / top[c] - WHOLE_TO) / (LOST_FROM - WHOLE_TO)
        t = min(max(t, 0.0), 1.0)
        gone[c] = t * t * (3 - 2 * t)
        if v[c] / top[c] < v[left] / top[left]:
            left = c
    share = v[left] / top[left]
    if gone[0] + gone[1] + gone[2] == 0:
        return v[0], v[1], v[2], sure
    i, j = (y + 0.5) / cell - 0.5, (x + 0.5) / cell - 0.5
    c, d = (left + 1) % 3, (left + 2) % 3
    vc, vd = v[c], v[d]
    if gone[c] > 0 and gone[d] > 0:
        base = _mean_around(rgb, gain, y, x, left, share)
        place = _level(base / top[left])
        trust = min(3 * read(two[left], i, j, place, 2, False), 1.0)
        told[:] = 0
        for n in range(2):
            lost = c if n == 0 else d
            if trust > 0:
                log_ratio = read(two[left], i, j, place, n, True) / read(two[left], i, j, place, 2, False)
                told[n] = log_ratio + np.log(max(base, 1e-6))
                # what is told to be darker than was counted is another surface's colour, which has flowed in
                believed = (np.exp(told[n]) / max(v[lost], 1e-6) - _LEAST_TOLD) / (1 - _LEAST_TOLD) * 2
                trust *= min(max(believed, 0.0), 1.0)
        sure = trust
        for n in range(2):
            lost, other = (c, d) if n == 0 else (d, c)
            # at the moment at which the other was lost they could still be compared
            compared = from_two(one, lost, v[lost], v[left], v[other], left, top[lost], i, j)
            pair = (v[d], v[left]) if n == 0 else (v[left], v[c])
            estimate = np.log(max(max(usual(lost, pair[0], pair[1]), v[lost]), max(base, 1e-6)))
            estimate += trust * (told[n] - estimate)
            lifted = max(v[lost], min(np.exp(estimate), FURTHEST * top[lost]))
            lifted = gone[other] * lifted + (1 - gone[other]) * compared
            given = v[lost] + gone[lost] * (lifted - v[lost])
            if n == 0:
                vc = given
            else:
                vd = given
        light = luminance[c] * vc + luminance[d] * vd
        if luminance[left] < 0 < light:
            # a sensor's blue mostly counts against luminance: as long as the two stay where they were lost, as much is
            # given to them as it takes, or the same thing would darken as it is exposed longer; grey never needs it
            least = min(luminance[c] * v[c] + luminance[d] * v[d], max(v[c], v[d]))
            short = max(least - light - luminance[left] * base, 0.0) * (1 - trust) * gone[c] * gone[d]
            vc, vd = vc * (1 + short / light), vd * (1 + short / light)
    elif gone[c] > 0:
        vc += gone[c] * (from_two(one, c, vc, v[left], vd, left, top[c], i, j) - vc)
    elif gone[d] > 0:
        vd += gone[d] * (from_two(one, d, vd, v[left], vc, left, top[d], i, j) - vd)
    v[c], v[d] = vc, vd
    all_gone = (share - WHITE_FROM) / (WHITE_AT - WHITE_FROM)
    if all_gone > 0:
        all_gone = min(all_gone, 1.0) * gone[c] * gone[d]
        light = luminance[0] * v[0] + luminance[1] * v[1] + luminance[2] * v[2]
        trust = read(white, i, j, 0.0, 1, False)
        if trust > 0:
            light = max(light, np.exp(read(white, i, j, 0.0, 0, True) / trust))
        light = max(light, max(top[0], max(top[1], top[2])))
        for n in range(3):
            v[n] += all_gone * (light - v[n])
    return v[0], v[1], v[2], sure


@njit(cache=True, nogil=True)
def _rebuild(
    rgb: Counts, gain: Floats, top: Floats, luminance: Floats, matrix: Floats,
    one: Learnt, two: Floats, white: Floats, at: tuple[int, int, int], out: Floats,
) -> None:  # fmt: skip
    first, left, cell = at
    work = np.empty((3, 3))
    zero = np.float32(0)
    limit = top * np.float32(WHOLE_TO)
    for i in range(out.shape[0]):
        y = first + i
        for j in range(out.shape[1]):
            x = left + j
            r = max(np.float32(rgb[y, x, 0]) * gain[0], zero)
            g = max(np.float32(rgb[y, x, 1]) * gain[1], zero)
            b = max(np.float32(rgb[y, x, 2]) * gain[2], zero)
            if r >= limit[0] or g >= limit[1] or b >= limit[2]:
                wr, wg, wb, _ = _whole(rgb, gain, top, luminance, cell, one, two, white, (y, x), work)
                r, g, b = np.float32(wr), np.float32(wg), np.float32(wb)
            for n in range(3):
                out[i, j, n] = matrix[n, 0] * r + matrix[n, 1] * g + matrix[n, 2] * b


@njit(cache=True, nogil=True)
def _balanced(rgb: Counts, gain: Floats, matrix: Floats, first: int, left: int, out: Floats) -> None:
    zero = np.float32(0)
    for i in range(out.shape[0]):
        for j in range(out.shape[1]):
            r = max(np.float32(rgb[first + i, left + j, 0]) * gain[0], zero)
            g = max(np.float32(rgb[first + i, left + j, 1]) * gain[1], zero)
            b = max(np.float32(rgb[first + i, left + j, 2]) * gain[2], zero)
            for n in range(3):
                out[i, j, n] = matrix[n, 0] * r + matrix[n, 1] * g + matrix[n, 2] * b
