"""Matching held against cases it was not made with: a known change of the light over the whole picture.

    python -m bench held_out [SEED]

Photographs of scikit-image, their light changed by -1.5 to +1.5 stop and from 5 500 K to 4 200 to 7 500 K (CIE
daylight, CIE 15:2004, by colour-science; one gain a channel), three tenths of the scene covered by another photograph,
then taken with the noise of a full well of 20 000 electrons: as a raw (float) and as a camera's JPEG (8 bits). Left
over is the CIEDE2000 (scikit-image) of the matched picture against the reference, where the scene is the same and
nothing clipped. Then the same with light that changes across the picture: a gradient of 0.6 stop in four directions,
and one lamp at the edge (a point 0.35 of the width above the table, 0.5 to 1 stop there, warmer than the rest).
"""

import itertools
import warnings
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage.color import rgb2lab

from plateside.finish.matching import Match, match
from plateside.finish.recognised import look
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import delta_e_ciede2000, photograph

Linear = NDArray[np.float64]
SCENES = ("coffee", "chelsea", "rocket", "immunohistochemistry")
STOPS = (-1.5, -0.7, 0.0, 0.8, 1.5)
KELVIN = (4200, 5000, 6200, 7500)
_WELL = 20_000.0
_BLUR_PX = 2.0


def scene_of(name: str, longest_px: int = 480) -> Linear:
    """A photograph as light, white at 0.4: there is room for 1.3 stops above it."""
    picture = photograph(name)
    scale = longest_px / max(picture.shape[:2])
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return np.asarray(to_linear(np.asarray(small, np.float64) / 255) * 0.4)


def light_gains(kelvin: float) -> Linear:
    """What daylight of that temperature does to the channels of a camera balanced for 5 500 K, green 1."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    def rgb(k: float) -> Any:
        x, y = colour.temperature.CCT_to_xy_CIE_D(k * 1.4388 / 1.438)
        return colour.XYZ_to_sRGB(
            colour.xy_to_XYZ((x, y)), apply_cctf_encoding=False, chromatic_adaptation_transform=None
        )

    gains = rgb(kelvin) / rgb(5500)
    return np.asarray(gains / gains[1])


def changed_scene(scene: Linear, other: Linear, seed: int) -> tuple[Linear, NDArray[np.bool_]]:
    """Three tenths of the scene covered by another; where it is the same."""
    height, width = scene.shape[:2]
    high, wide = round(height * 0.3**0.5), round(width * 0.3**0.5)
    rng = np.random.default_rng(seed)
    y, x = int(rng.integers(0, height - high)), int(rng.integers(0, width - wide))
    patch = cv2.resize(other, (wide, high), interpolation=cv2.INTER_AREA)
    changed, same = scene.copy(), np.ones((height, width), bool)
    changed[y : y + high, x : x + wide] = patch
    same[y : y + high, x : x + wide] = False
    return changed, same


def taken(scene: Linear, gains: Linear, seed: int, raw: bool) -> Linear:
    """The scene in that light as the camera gives it back."""
    light = scene * gains
    noise = np.random.default_rng(seed).normal(size=light.shape) * np.sqrt(np.maximum(light, 0) / _WELL)
    seen = np.clip(light + noise, 0, 1)
    return seen if raw else np.asarray(to_linear(np.rint(255 * to_display(seen)) / 255))


def left_over(reference: Linear, mine: Linear, found: Match, same: NDArray[np.bool_]) -> Linear:
    """CIEDE2000 at the places where the scene is the same and nothing is clipped; noise is smoothed away."""
    there = same & (mine.max(axis=-1) < 0.9) & (reference.max(axis=-1) < 0.9)
    there = cv2.erode(there.astype(np.uint8), np.ones((9, 9), np.uint8)) > 0
    both = (reference, mine * found.factors(mine.shape[:2]))
    soft = [np.asarray(cv2.GaussianBlur(v, (0, 0), _BLUR_PX), np.float64) for v in both]
    one, two = (rgb2lab(np.clip(to_display(v), 0, 1)) for v in soft)
    return np.asarray(delta_e_ciede2000(one, two)[there])


def gradient(size: tuple[int, int], angle_deg: float, stops: float = 0.6) -> Linear:
    """Light (h, w, 3) that changes evenly across a picture, by `stops` from one end to the other."""
    y, x = np.mgrid[0 : size[0], 0 : size[1]]
    x, y = (x + 0.5) / size[1] - 0.5, (y + 0.5) / size[0] - 0.5
    along = np.cos(np.radians(angle_deg)) * x + np.sin(np.radians(angle_deg)) * y
    return np.asarray(np.repeat(2.0 ** (stops * along / np.ptp(along))[..., None], 3, axis=2))


def lamp(size: tuple[int, int], side: str, stops: float, seed: int) -> Linear:
    """Light (h, w, 3) with that of a small lamp beyond one edge added: the square of the distance, and its cosine."""
    y, x = np.mgrid[0 : size[0], 0 : size[1]] / size[1]
    along = float(np.random.default_rng(seed).uniform(0.2, 0.8))
    down = along * size[0] / size[1]
    at_x, at_y = {"left": (-0.1, down), "right": (1.1, down), "top": (along, -0.1)}[side]
    pool = (0.35**2 / ((x - at_x) ** 2 + (y - at_y) ** 2 + 0.35**2)) ** 1.5
    return np.asarray(1 + (2**stops - 1) * pool[..., None] * np.array([1.6, 1.0, 0.45]))


UNEVEN = ("gradient", "lamp")
_ANGLES_DEG = (0.0, 60.0, 140.0, 250.0)
_LAMPS = (("left", 0.5), ("right", 0.8), ("top", 1.0), ("right", 0.8))


def uneven_light(kind: str, k: int, size: tuple[int, int], seed: int) -> Linear:
    """The k-th of four of a kind."""
    return gradient(size, _ANGLES_DEG[k]) if kind == "gradient" else lamp(size, *_LAMPS[k], seed)


def uneven(kind: str, raw: bool, first_seed: int = 100) -> None:
    """Light that changes across the picture, besides a change of all of it and three tenths covered."""
    medians, tails, unmatched = [], [], 0
    for seed, (name, k) in enumerate(itertools.product(SCENES, range(4)), first_seed):
        scene, other = scene_of(name), scene_of(SCENES[(SCENES.index(name) + 1) % len(SCENES)])
        changed, same = changed_scene(scene, other, seed)
        whole = 2.0 ** (-0.7, 0.0, 0.4, 0.0)[k] * light_gains((5500, 5000, 6200, 5500)[k])
        reference = taken(scene, np.ones(3), seed, raw)
        mine = taken(changed * uneven_light(kind, k, scene.shape[:2], seed), whole, seed + 1, raw)
        found = match(look(reference.astype(np.float32)), look(mine.astype(np.float32)))
        unmatched += not found.facts.matched
        apart = left_over(reference, mine, found, same)
        medians.append(float(np.median(apart)))
        tails.append(float(np.percentile(apart, 95)))
    print(
        f"{'raw' if raw else 'JPEG'}, {kind}: {len(medians)} cases, {unmatched} said not matched; CIEDE2000 left: "
        f"median {np.median(medians):.2f} (worst {max(medians):.2f}), 95 % of the picture {np.median(tails):.2f} "
        f"(worst {max(tails):.2f})"
    )


def trial(name: str, stops: float, kelvin: float, raw: bool, seed: int) -> tuple[Match, Linear]:
    scene = scene_of(name)
    other = scene_of(SCENES[(SCENES.index(name) + 1) % len(SCENES)])
    changed, same = changed_scene(scene, other, seed)
    reference = taken(scene, np.ones(3), seed, raw)
    mine = taken(changed, 2.0**stops * light_gains(kelvin), seed + 1, raw)
    found = match(look(reference.astype(np.float32)), look(mine.astype(np.float32)))
    return found, left_over(reference, mine, found, same)


def main(first_seed: int = 0) -> None:
    for raw in (True, False):
        medians, tails, unmatched = [], [], 0
        for seed, (name, stops, kelvin) in enumerate(itertools.product(SCENES, STOPS, KELVIN), first_seed):
            found, apart = trial(name, stops, kelvin, raw, seed)
            if found.by != "same things":
                unmatched += 1
                print(f"  {name} {stops:+.1f} stop {kelvin} K: {found.by}")
                continue
            medians.append(float(np.median(apart)))
            tails.append(float(np.percentile(apart, 95)))
            if medians[-1] > 0.3 or tails[-1] > 1.3:
                print(
                    f"  {name} {stops:+.1f} stop {kelvin} K: median {medians[-1]:.2f}, 95 % {tails[-1]:.2f}"
                )
        print(
            f"{'raw' if raw else 'JPEG'}: {len(medians)} cases by same things, {unmatched} not; CIEDE2000 left: median "
            f"{np.median(medians):.2f} (worst {max(medians):.2f}), 95 % of the picture "
            f"{np.median(tails):.2f} (worst {max(tails):.2f})"
        )
        for kind in UNEVEN:
            uneven(kind, raw, first_seed + 100)


if __name__ == "__main__":
    main()
