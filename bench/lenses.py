"""How far our lens tables, and lensfun's own maps, are from the law that lensfun publishes, at 24 megapixels.

    python -m bench lenses [COUNT [SEED]]

Lenses of lensfun's database by chance, each at some focal length between those it was measured at, on a sensor as it
was measured on or one with 1.5 times the crop factor. The law in double precision: PTLens, poly3 and poly5, then the
fringes' own (lensfun 0.3.4, its manual's "The models"; coordinates as at the head of its modifier.cpp). lensfun's own
places: asked for one by one, with no short cut; row by row, and the whole picture in one call, where it adds up in 24
bits and divides and takes roots in 12. Distances in pixels, of all three colours, at every 37th row and column and at
the edges.
"""

import random
from typing import Any

import lensfunpy
import numpy as np
from numpy.typing import NDArray

from plateside.files.lens_profiles import FAR_M, Profile
from plateside.finish.opcodes import DamagedOpcodesError

Doubles = NDArray[np.float64]
SIZE = (6000, 4000)
COUNT, SEED, SPACING = 40, 41, 37
ASPECTS = (3 / 2, 4 / 3, 16 / 9, 1.0)
"""Of the pictures a lens was measured on; lensfunpy does not tell which."""
KINDS = ("ours to the law", "ours to its places", "ours to its rows", "ours to its whole map", "its places to the law",
         "its rows to the law", "its whole map to the law", "its whole map to its rows")  # fmt: skip


def law(profile: Profile, x: Doubles, y: Doubles, aspect: float) -> Doubles:
    """Where places of a corrected picture come from, in double precision: (rows, columns, 3, 2) [px]."""
    lens, focal = profile.lens, profile.focal_length_mm
    long, short = max(SIZE) - 1, min(SIZE) - 1
    unit = short / 2 * np.hypot(long / short, 1) * profile.crop / lens.crop_factor / np.hypot(aspect, 1)
    middle = (np.array(SIZE) - 1) / 2
    at = (np.stack([x, y], axis=-1) - middle) / unit
    r = np.hypot(at[..., 0], at[..., 1])
    factor, bent = np.ones_like(r), lens.interpolate_distortion(focal)
    if bent is not None:
        a, b, c = bent.terms
        factor = {
            "PTLENS": a * r**3 + b * r**2 + c * r + 1 - a - b - c,
            "POLY3": 1 - a + a * r**2,
            "POLY5": 1 + a * r**2 + b * r**4,
        }[bent.model.name]
    found = np.repeat((at * factor[..., None])[..., None, :], 3, axis=-2)
    fringes = lens.interpolate_tca(focal)
    if fringes is not None:
        r = r * factor
        terms = [*fringes.terms, 0, 0, 0, 0] if fringes.model.name == "LINEAR" else fringes.terms
        for plane, n in ((0, 0), (2, 1)):
            v, c, b = terms[n], terms[n + 2], terms[n + 4]
            found[..., plane, :] *= (b * r**2 + c * r + v)[..., None]
    return np.asarray(found * unit + middle)


def apart(a: Doubles, b: Doubles) -> Doubles:
    return np.asarray(np.linalg.norm(a - b, axis=-1))


def of_lens(profile: Profile) -> list[Doubles]:
    """The distances of KINDS. Raises DamagedOpcodesError where we leave the lens alone."""
    table = profile.lens_for(SIZE)
    flags = lensfunpy.ModifyFlags
    made = lensfunpy.Modifier(profile.lens, profile.crop, *SIZE)
    made.initialize(profile.focal_length_mm, 8.0, FAR_M, scale=1.0, targeom=profile.lens.type,
                    pixel_format=np.float32, flags=flags.DISTORTION | flags.TCA)  # fmt: skip
    columns, rows = (np.append(np.arange(0, side - 1, SPACING), side - 1) for side in SIZE)
    x, y = np.meshgrid(columns.astype(float), rows.astype(float))
    ours = np.broadcast_to(table.sources(x, y), (*x.shape, 3, 2))
    asked = made.apply_subpixel_geometry_distortion
    single = np.array([asked(*at, 1, 1)[0, 0] for at in zip(x.flat, y.flat, strict=True)]).reshape(ours.shape)
    by_row = np.stack([asked(0.0, float(row), SIZE[0], 1)[0, columns] for row in rows])
    whole = asked()[np.ix_(rows, columns)]
    wanted = min((law(profile, x, y, aspect) for aspect in ASPECTS), key=lambda one: apart(one, single).max())
    pairs = (
        (ours, wanted), (ours, single), (ours, by_row), (ours, whole), (single, wanted), (by_row, wanted),
        (whole, wanted), (whole, by_row),
    )  # fmt: skip
    return [apart(a, b) for a, b in pairs]


def chosen(count: int, seed: int) -> list[Profile]:
    """So many lenses, focal lengths and sensors."""
    by_chance = random.Random(seed)
    lenses: list[Any] = [one for one in lensfunpy.Database().lenses if one.calib_distortion or one.calib_tca]
    found = []
    for lens in by_chance.sample(lenses, min(count, len(lenses))):
        measured = [one.focal for one in (*lens.calib_distortion, *lens.calib_tca)]
        focal, crop = by_chance.uniform(min(measured), max(measured)), by_chance.choice((1, 1.5))
        found.append(Profile(lens, crop * lens.crop_factor, str(lens.model), focal, None, FAR_M, ()))
    return found


def main(count: int = COUNT, seed: int = SEED) -> None:
    means, worst, left = [], [], 0
    for profile in chosen(count, seed):
        try:
            distances = of_lens(profile)
        except DamagedOpcodesError:
            left += 1
            continue
        means.append([one.mean() for one in distances])
        worst.append([one.max() for one in distances])
    each = np.array(worst)
    print(f"{len(worst)} lenses, {left} left alone")
    print(f"  {'':28} {'mean':>7} {'at most':>8} {'lenses beyond 0.3':>18}")
    for kind, mean, most, beyond in zip(
        KINDS, np.mean(means, axis=0), each.max(axis=0), (each > 0.3).sum(axis=0), strict=True
    ):
        print(f"  {kind:<28} {mean:7.3f} {most:8.3f} {beyond:18}")


if __name__ == "__main__":
    main()
