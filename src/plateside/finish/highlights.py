"""Colours of which the sensor lost one or two channels, rebuilt from the channels that remain.

Two ratios make a colour. Where one channel is clipped the ratio of the two others still tells which surface it is, so
the lost one follows from places with the same ratio at which it is whole: a bilateral grid (J. Chen, S. Paris,
F. Durand, "Real-time edge-aware image processing with the bilateral grid", 2007) over place and that ratio, its gaps
filled from coarser grids (push and pull: S. Gortler et al., "The lumigraph", 1996), so that near places speak before
far ones, and nothing has a seam. Where two are clipped, both ratios flow in from where less is lost, through the cells
of a grid over place and the level of the third: along a shaded surface it changes step by step, to another surface it
jumps, and nothing flows. Where nothing of that colour is whole anywhere in the frame, a lost green is taken as the mean
of red and blue, a lost red or blue as green, two lost ones as no less than the third, and none as less than the level
at which it was lost: that is what most food does. Where all three are gone the picture is white, as bright as what
surrounds it was when it lost the last one.
"""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numba import get_num_threads, njit, prange
from numpy.typing import NDArray

from plateside.finish.grids import Floats, filled, flowed, read

Counts = NDArray[np.uint16] | Floats
_BAND_ROWS = 128
WHOLE_TO, LOST_FROM = 0.97, 0.99
"""Shares of saturation: below the first a channel is trusted, from the second it is lost; photon noise lies between."""
_FURTHEST = 16.0
"""A channel is rebuilt to no more than this many times its saturation."""
WHITE_FROM, WHITE_AT = 0.98, 0.995
"""Of the last channel: so late the colour fades to white."""
_CELLS, _SMALLEST_CELL_PX = 96, 12
_RATIO_BINS, _RATIO_STEP = 240, 0.03
"""Of the natural logarithm of a ratio, about zero."""
_LEVEL_BINS, _LEVEL_STEP = 28, 0.25
_SAMPLES = 3_000_000
"""Pixels that are looked at; more would tell no more."""
_DARKEST = 0.004
_LEAST_TOLD = 0.7
"""Of what was counted of a lost channel: told to be less, it is not believed; half way to as much, wholly."""
_BESIDE_PX, _STEP, _STEP_DARK = 2, 0.3, 0.03
_OF_AN_EDGE = 0.001
"""How far to either side interpolation mixes; by what share of its light, and by what light besides, the two sides may
differ within one surface; and what a place counts where they do: without anything else, many are heard."""
_ENOUGH = 0.05
"""Share of a cell that must be one surface: the soft edge between two is less, and no bridge from one to the other."""


@dataclass(frozen=True, eq=False)
class Known:
    """What the frame's whole colours tell of its lost ones; each grid ends in (values ..., trust)."""

    cell_px: int
    one: Floats
    """(3, rows, columns, ratio, 2): for each lost channel, log of it over the sum of the others"""
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
    step = max(int(np.sqrt(height * width / _SAMPLES)), 1)
    one = np.zeros((3, rows, columns, _RATIO_BINS, 2), np.float32)
    two = np.zeros((3, rows, columns, _LEVEL_BINS, 3), np.float32)
    white = np.zeros((rows, columns, 1, 2), np.float32)
    known = Known(cell, one, two, white)
    for channel in range(3):
        if any(classes[c] for c in range(1, 8) if c >> channel & 1):
            _one_sources(rgb, gain, top, channel, step, cell, one[channel])
            one[channel] = filled(_across(one[channel]))
    for left in range(3):
        others = 7 & ~(1 << left)
        if classes[others] or classes[7]:
            lost = np.zeros((rows, columns, _LEVEL_BINS), np.float32)
            _two_sources(rgb, gain, top, left, step, cell, one, two[left], lost)
            two[left] = flowed(two[left], lost >= _ENOUGH * (cell / step) ** 2)
    if classes[7]:
        _white_sources(rgb, gain, top, luminance, step, cell, one, two, white)
        white[...] = filled(white)
    return known


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
def _ratio(a: float, b: float) -> float:
    """Place of log(a / b) in the grid [bins]; a little is added, so that noise near black does not count."""
    place = np.log((a + 0.002) / (b + 0.002)) / _RATIO_STEP + (_RATIO_BINS - 1) / 2
    return float(min(max(place, 0.0), _RATIO_BINS - 1.001))


@njit(cache=True, inline="always")
def _level(share: float) -> float:
    """Place of a level, as a share of saturation, in the grid [bins]."""
    place = np.log(max(share, 1e-6)) / _LEVEL_STEP + _LEVEL_BINS - 1
    return float(min(max(place, 0.0), _LEVEL_BINS - 1.001))


@njit(cache=True, inline="always")
def _alone(rgb: Counts, gain: Floats, y: int, x: int) -> float:
    """1 within one surface; _OF_AN_EDGE where its two sides differ: a mixture is neither's colour."""
    up, down = max(y - _BESIDE_PX, 0), min(y + _BESIDE_PX, rgb.shape[0] - 1)
    left, right = max(x - _BESIDE_PX, 0), min(x + _BESIDE_PX, rgb.shape[1] - 1)
    for c in range(3):
        for one, two in ((rgb[up, x, c], rgb[down, x, c]), (rgb[y, left, c], rgb[y, right, c])):
            if abs(one * gain[c] - two * gain[c]) > _STEP * 0.5 * (one + two) * gain[c] + _STEP_DARK:
                return _OF_AN_EDGE
    return 1.0


@njit(cache=True, parallel=True)
def _one_sources(
    rgb: Counts, gain: Floats, top: Floats, lost: int, step: int, cell: int, grid: Floats
) -> None:
    height, width = rgb.shape[:2]
    a, b = (lost + 1) % 3, (lost + 2) % 3
    for i in prange(grid.shape[0]):
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                v, va, vb = rgb[y, x, lost] * gain[lost], rgb[y, x, a] * gain[a], rgb[y, x, b] * gain[b]
                if v >= WHOLE_TO * top[lost] or va >= WHOLE_TO * top[a] or vb >= WHOLE_TO * top[b]:
                    continue
                if v < _DARKEST or va < 0 or vb < 0 or va + vb < 2 * _DARKEST:
                    continue
                weight = (v / top[lost]) ** 2 * _alone(rgb, gain, y, x)
                log_ratio = np.log(v / (va + vb))
                place = _ratio(va, vb)
                k = int(place)
                for n in range(2):
                    share = weight * (place - k if n else 1 - place + k)
                    grid[i, x // cell, k + n, 0] += share * log_ratio
                    grid[i, x // cell, k + n, 1] += share


@njit(cache=True, parallel=True)
def _two_sources(
    rgb: Counts,
    gain: Floats,
    top: Floats,
    left: int,
    step: int,
    cell: int,
    one: Floats,
    grid: Floats,
    lost: Floats,
) -> None:
    height, width = rgb.shape[:2]
    c, d = (left + 1) % 3, (left + 2) % 3
    for i in prange(grid.shape[0]):
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                va, vc, vd = rgb[y, x, left] * gain[left], rgb[y, x, c] * gain[c], rgb[y, x, d] * gain[d]
                if va >= WHOLE_TO * top[left] or va < _DARKEST or vc < _DARKEST or vd < _DARKEST:
                    continue
                gone_c, gone_d = vc >= WHOLE_TO * top[c], vd >= WHOLE_TO * top[d]
                if gone_c and gone_d:
                    lost[i, x // cell, round(_level(va / top[left]))] += _alone(rgb, gain, y, x)
                    continue
                if gone_c:
                    vc = _from_two(one, c, vc, va, vd, left, top[c], y / cell - 0.5, x / cell - 0.5)
                if gone_d:
                    vd = _from_two(one, d, vd, va, vc, left, top[d], y / cell - 0.5, x / cell - 0.5)
                # what is nearly lost itself stands next to what is lost
                weight = (min(vc / top[c], 1.0) * min(vd / top[d], 1.0)) ** 2 * _alone(rgb, gain, y, x)
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
    one: Floats, two: Floats, grid: Floats,
) -> None:  # fmt: skip
    height, width = rgb.shape[:2]
    for i in prange(grid.shape[0]):
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                least, most = 2.0, 0.0
                for c in range(3):
                    share = rgb[y, x, c] * gain[c] / top[c]
                    least, most = min(least, share), max(most, share)
                if least < 0.6 or least >= WHOLE_TO or most < LOST_FROM:
                    continue
                r, g, b = _whole(rgb, gain, top, luminance, cell, one, two, grid, y, x)
                light = luminance[0] * r + luminance[1] * g + luminance[2] * b
                if light > 0:
                    weight = least**8 * _alone(rgb, gain, y, x)
                    grid[i, x // cell, 0, 0] += weight * np.log(light / least)
                    grid[i, x // cell, 0, 1] += weight


def _across(grid: Floats) -> Floats:
    """Neighbouring ratios lent to each other: a quarter either side."""
    wide = np.pad(grid, ((0, 0), (0, 0), (1, 1), (0, 0)))
    return wide[:, :, 1:-1] * np.float32(0.5) + (wide[:, :, :-2] + wide[:, :, 2:]) * np.float32(0.25)


@njit(cache=True)
def _from_two(
    one: Floats, lost: int, v: float, v1: float, v2: float, first: int, top: float, i: float, j: float
) -> float:
    """A lost channel from the two that are left: `v1` of channel `first`, `v2` of the other."""
    va, vb = (v1, v2) if first == (lost + 1) % 3 else (v2, v1)
    va, vb = max(va, 0.0), max(vb, 0.0)
    both = max(va + vb, 1e-6)
    place = _ratio(va, vb)
    trust = read(one[lost], i, j, place, 1, False)
    log_ratio = read(one[lost], i, j, place, 0, True)
    # green from the mean of its neighbours in the spectrum, red or blue from green: a = lost + 1
    usual = 0.5 * both if lost == 1 else va if lost == 0 else vb
    estimate = both * np.exp(log_ratio + (1 - min(trust, 1.0)) * np.log(max(usual, 1e-6) / both))
    return float(max(v, min(estimate, _FURTHEST * top)))


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
    one: Floats, two: Floats, white: Floats, y: int, x: int,
) -> tuple[float, float, float]:  # fmt: skip
    """A pixel's balanced colour with what it lost given back."""
    v = np.empty(3)
    gone = np.empty(3)
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
        return v[0], v[1], v[2]
    i, j = (y + 0.5) / cell - 0.5, (x + 0.5) / cell - 0.5
    c, d = (left + 1) % 3, (left + 2) % 3
    vc, vd = v[c], v[d]
    if gone[c] > 0 and gone[d] > 0:
        base = _mean_around(rgb, gain, y, x, left, share)
        place = _level(base / top[left])
        trust = min(3 * read(two[left], i, j, place, 2, False), 1.0)
        told = np.zeros(2)
        for n in range(2):
            lost = c if n == 0 else d
            if trust > 0:
                log_ratio = read(two[left], i, j, place, n, True) / read(two[left], i, j, place, 2, False)
                told[n] = log_ratio + np.log(max(base, 1e-6))
                # what is told to be darker than was counted is another surface's colour, which has flowed in
                believed = (np.exp(told[n]) / max(v[lost], 1e-6) - _LEAST_TOLD) / (1 - _LEAST_TOLD) * 2
                trust *= min(max(believed, 0.0), 1.0)
        for n in range(2):
            lost, other = (c, d) if n == 0 else (d, c)
            # at the moment at which the other was lost they could still be compared
            alone = _from_two(one, lost, v[lost], v[left], v[other], left, top[lost], i, j)
            estimate = np.log(max(alone, base))
            estimate += trust * (told[n] - estimate)
            lifted = max(v[lost], min(np.exp(estimate), _FURTHEST * top[lost]))
            lifted = gone[other] * lifted + (1 - gone[other]) * alone
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
        vc += gone[c] * (_from_two(one, c, vc, v[left], vd, left, top[c], i, j) - vc)
    elif gone[d] > 0:
        vd += gone[d] * (_from_two(one, d, vd, v[left], vc, left, top[d], i, j) - vd)
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
    return v[0], v[1], v[2]


@njit(cache=True, nogil=True)
def _rebuild(
    rgb: Counts, gain: Floats, top: Floats, luminance: Floats, matrix: Floats,
    one: Floats, two: Floats, white: Floats, at: tuple[int, int, int], out: Floats,
) -> None:  # fmt: skip
    first, left, cell = at
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
                wr, wg, wb = _whole(rgb, gain, top, luminance, cell, one, two, white, y, x)
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
