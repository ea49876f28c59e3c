"""How one picture's surroundings differ from another's: what lies around the dish, whatever it is.

The shift of one picture's histogram of log exposure and log chroma that best lies on the other's (gains are shifts
there: J. T. Barron, "Convolutional Color Constancy", ICCV 2015).
"""

import numpy as np

from plateside.finish.matched import LARGEST_STOPS
from plateside.finish.recognised import Mask, MatchView
from plateside.finish.shared import blurred, usable
from plateside.finish.white_balance import Gains, of_array
from plateside.ground.spectrum import correlated
from plateside.ground.srgb import Floats

LARGEST_CHROMA_STOPS = 0.75
"""Red or blue against green: about 150 mired."""
_BIN_STOPS = 1 / 10
_SOFT_BINS = (1.0, 0.6, 0.6)


def surroundings(reference: MatchView, picture: MatchView) -> tuple[Gains | None, float]:
    """Gains from the best shift of one log histogram on the other, and their likeness there (0..1)."""
    one = _histogram(reference.linear, reference.subject)
    two = _histogram(picture.linear, picture.subject)
    if one is None or two is None:
        return None, 0.0
    # Roots, so that the sum over bins is the Bhattacharyya coefficient: 1 for the same distribution.
    reach = [round(LARGEST_STOPS / _BIN_STOPS), *[round(LARGEST_CHROMA_STOPS / _BIN_STOPS)] * 2]
    window = correlated(np.sqrt(one), np.sqrt(two), reach)
    # of two shifts that fit as well, the smaller one is the likelier
    shifts = np.meshgrid(*[np.arange(-r, r + 1) * _BIN_STOPS for r in reach], indexing="ij")
    prior = np.exp(-0.5 * ((shifts[0] / 1.5) ** 2 + (shifts[1] / 0.5) ** 2 + (shifts[2] / 0.5) ** 2) * 0.1)
    place = np.unravel_index(int(np.argmax(window * prior)), window.shape)
    light, red, blue = (
        _refined(window, place, axis) * _BIN_STOPS - reach[axis] * _BIN_STOPS for axis in range(3)
    )
    green = 2.0**light
    return of_array(np.array([green * 2.0**red, green, green * 2.0**blue])), float(
        np.clip(window[place], 0, 1)
    )


def _refined(window: Floats, place: tuple[np.intp, ...], axis: int) -> float:
    """The top of the parabola through the best bin and its two neighbours along `axis` [bins]."""
    at = int(place[axis])
    if not 0 < at < window.shape[axis] - 1:
        return float(at)
    index = list(place)
    values = []
    for step in (-1, 0, 1):
        index[axis] = np.intp(at + step)
        values.append(float(window[tuple(index)]))
    bend = values[0] - 2 * values[1] + values[2]
    return at + (0.5 * (values[0] - values[2]) / bend if bend < -1e-12 else 0.0)


def _histogram(linear: Floats, subject: Mask | None) -> Floats | None:
    """Share of the surroundings by log2 green, log2 red/green, log2 blue/green; softened; None when too few."""
    soft = blurred(linear, 2.0)
    there = usable(soft)
    if subject is not None and subject.shape == there.shape:
        there &= ~subject
    colours = soft[there].astype(np.float64)
    if len(colours) < 0.02 * there.size:
        return None
    log = np.log2(colours)
    points = np.stack([log[:, 1], log[:, 0] - log[:, 1], log[:, 2] - log[:, 1]], axis=1)
    edges = [np.arange(low, high, _BIN_STOPS) for low, high in ((-8.0, 0.5), (-3.0, 4.0), (-4.0, 2.5))]
    counts, _ = np.histogramdd(points, bins=edges)
    for axis, width in enumerate(_SOFT_BINS):
        counts = _softened(counts, width, axis)
    total = counts.sum()
    return counts / total if total > 0 else None


def _softened(counts: Floats, sigma_bins: float, axis: int) -> Floats:
    reach = int(np.ceil(3 * sigma_bins))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma_bins) ** 2)
    kernel /= kernel.sum()
    padded = np.pad(counts, [(reach, reach) if n == axis else (0, 0) for n in range(counts.ndim)])
    return np.asarray(np.lib.stride_tricks.sliding_window_view(padded, len(kernel), axis) @ kernel)
