"""Figures of the frame checks: kinds of blur, exposure, changes, lamps (times: frame_speed).

    python -m bench.frames [cases]      (default 120; docs/measured.md states the run that it shows)
    python -m bench.frames traced [cases [seed [tables]]]     only the blur tables of traced scenes (default 180), on
                                                              tables from that number on
    python -m bench.frames flat [cases [seed]]                only those of flat scenes
    python -m bench.frames sauces [cases [seed]]              plates of sauce, still and moving, alone

All frames are made (tests/synthetic), in two families, neither of which had a part in fitting: flat scenes of the TEST
photographs, and traced tables of TEST dishes where the renderer is installed (twelve tables, traced once: some
minutes). Between the reference and the later frame the light, a prop and the camera's place change a little. Blur
radii are 3 to 9 px, shakes 6 to 22 px and movements 7 to 26 px of a 1200 px wide picture.
"""

import sys
from collections import Counter
from collections.abc import Callable, Sequence
from importlib.util import find_spec

import cv2
import numpy as np

from plateside.frames.changes import changes
from plateside.frames.compare import light_change
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.kinds import BlurKind, kind_of
from plateside.frames.register import register
from plateside.frames.second_light import settled
from plateside.frames.sharpness import focus_of, streak_px
from tests.synthetic.blur_cases import blur_cases
from tests.synthetic.faults import changed, composed, frame_of
from tests.synthetic.measured import Measured, measured
from tests.synthetic.sauces import sauce
from tests.synthetic.scenes import TEST, TRAIN, Scene, flat, make_scene
from tests.synthetic.told import told_against, told_alone
from tests.synthetic.traced_scenes import FRESH, traced_scene

WIDTH, TRACED = 900, 180
FLAT_SEED, TRACED_SEED, TRACED_FROM = 29, 25, FRESH
SAUCES_FROM = 9200
"""Those from 9100 were looked at when the rule was made."""
"""Looked at before the weights and the limit were settled: flat seeds 22 and 26, the traced tables from 0 on."""
SIX = ("good", "shallow", "defocus", "shake", "motion", "elsewhere")
WORD = {
    BlurKind.SHARP: "good", BlurKind.SHALLOW: "shallow", BlurKind.DEFOCUS: "defocus", BlurKind.SHAKE: "shake",
    BlurKind.MOTION: "motion", BlurKind.ELSEWHERE: "elsewhere", BlurKind.UNSURE: "unsure", BlurKind.DEPTH: "defocus",
}  # fmt: skip


def confusion(rows: Sequence[Measured], told: Callable[[Measured], BlurKind], title: str) -> None:
    """Print a table of six kinds (rows: the truth) and the three figures that matter."""
    table = np.zeros((6, 7), int)
    for row in rows:
        table[SIX.index(row.truth.kind), (*SIX, "unsure").index(WORD[told(row)])] += 1
    print(f"\n{title}: {len(rows)} frames")
    print(f"{'truth':12}" + "".join(f"{name:>11}" for name in (*SIX, "unsure")))
    for name, line in zip(SIX, table, strict=True):
        print(f"{name:12}" + "".join(f"{n:11d}" for n in line))
    good, bad = table[:2], table[2:]
    apart, refused = np.trace(table) / len(rows), good[:, 2:6].sum() / max(good.sum(), 1)
    kept = bad[:, :2].sum() / max(bad.sum(), 1)
    unsure = table[:, 6].sum() / len(rows)
    print(f"told apart {apart:.1%}; good frames refused {refused:.1%}; faulty frames kept without a word {kept:.1%}; "
          f"left to a look of her own {unsure:.1%}")  # fmt: skip


def shakes(rows: Sequence[Measured]) -> None:
    """Direction and length of shakes against the truth."""
    shaken = [r for r in rows if r.truth.kind == "shake"]
    if not shaken:
        return
    turns = [abs((r.softening.subject_direction_deg - r.truth.direction_deg + 90) % 180 - 90) for r in shaken]
    lengths = [streak_px(r.softening.subject_along) / (r.truth.length * 0.75) for r in shaken]
    print(f"\nshake, {len(shaken)} frames: direction off by {np.median(turns):.1f} deg (median), "
          f"{np.percentile(turns, 90):.1f} (90 %); length over truth {np.median(lengths):.2f} "
          f"({np.percentile(lengths, 10):.2f} to {np.percentile(lengths, 90):.2f})")  # fmt: skip


def exposure_and_colour(number: int) -> None:
    """Exposure against the reference, with a prop moved and the light tilted, to the tenth of a stop."""
    errors = []
    for i in range(number):
        rng = np.random.default_rng([5, i])
        scene = make_scene(TEST, int(rng.integers(1 << 31)), 600, 400)
        stops = float(rng.uniform(-1.3, 0.7))
        before = composed(scene, None, None) * np.float32(0.7)
        after = composed(changed(scene, rng, TEST, 1.0), None, None) * np.float32(0.7)
        # what the changed light itself does is part of the truth
        truth = stops + float(np.median(np.log2((after.mean(axis=2) + 1e-4) / (before.mean(axis=2) + 1e-4))))
        a, b = frame_of(before, rng), frame_of(after, rng, stops=stops)
        got = light_change(small_linear(a), small_linear(b), register(grey(a), grey(b)), 600)[0]
        errors.append(abs(got - truth))
    print(f"\nexposure against the reference, {number} frames: off by {np.median(errors):.3f} stop (median), "
          f"{np.percentile(errors, 95):.3f} (95 %)")  # fmt: skip


def added_things(number: int) -> None:
    """A prop added: intersection over union of what was outlined with the truth."""
    ious = []
    for i in range(number):
        rng = np.random.default_rng([6, i])
        scene = make_scene(TEST, int(rng.integers(1 << 31)), 900, 600)
        thing = scene.props[0]
        more = type(thing)(
            thing.colour, thing.cover, float(rng.uniform(80, 820)), float(rng.choice([70, 530]))
        )
        before = composed(scene, None, None)
        after = composed(
            type(scene)(scene.background, (*scene.props, more), scene.hero, scene.light), None, None
        )
        truth = np.abs(before - after).max(axis=2) > 0.01
        a = frame_of(before, rng)
        b = frame_of(after, rng, stops=float(rng.uniform(-0.4, 0.2)))
        found = changes(small_linear(a), small_linear(b), register(grey(a), grey(b)), 900)
        size = (found.mask.shape[1], found.mask.shape[0])
        small = cv2.resize(truth.astype(np.float32), size, interpolation=cv2.INTER_AREA) > 0.5
        ious.append(float((found.mask & small).sum() / max(int((found.mask | small).sum()), 1)))
    print(f"\nchanged regions, {number} frames: intersection over union {np.median(ious):.2f} (median)")


def lamps(number: int) -> None:
    """A lamp that gives a fifth to a half of the light somewhere on the hero: settled."""
    right, wrong = 0, 0
    for i in range(number):
        rng = np.random.default_rng([7, i])
        scene = make_scene(TEST, int(rng.integers(1 << 31)), 600, 400)
        still = flat(scene) * np.float32(0.4)
        v, u = np.mgrid[0:400, 0:600]
        x, y = rng.uniform(200, 400), rng.uniform(130, 270)
        spot = np.exp(-(((u - x) / 180) ** 2 + ((v - y) / 150) ** 2)).astype(np.float32)[..., None]
        share = float(rng.uniform(0.2, 0.5))
        lamp = 1 + spot * np.array([1.7, 0.9, 0.25], np.float32) * (share / (1 - share))
        a, b = frame_of(still, rng), frame_of(still * lamp, rng, stops=float(rng.uniform(-0.2, 0.2)))
        again = frame_of(still, rng, stops=float(rng.uniform(-0.2, 0.2)))
        right += settled(
            small_linear(b), small_linear(a), register(grey(a), grey(b)), 600, scene.subject_box
        ).lamp
        wrong += settled(
            small_linear(again), small_linear(a), register(grey(a), grey(again)), 600, scene.subject_box
        ).lamp
    print(
        f"\nlamp-off frame, {number} frames: settled in {right / number:.0%}, false in {wrong / number:.0%}"
    )


def blur_tables(rows: Sequence[Measured], family: str) -> None:
    """Both tables and the shakes."""
    confusion(rows, told_against, f"{family}, with a reference")
    confusion(rows, told_alone, f"{family}, without a reference")
    shakes(rows)


def sauces(number: int, seed: int) -> None:
    """What is told of a sauce alone, still and streaked by 35 to 55 px of 3000."""
    for moved in (False, True):
        cases = (sauce(TEST + TRAIN, seed + i, moved=moved) for i in range(number))
        named = Counter(WORD[kind_of(focus_of(frame, box))[0]] for frame, box in cases)
        print(
            f"sauce, {'moving' if moved else 'still':7} {', '.join(f'{k} {v}' for k, v in named.most_common())}"
        )


def traced_tables(number: int, seed: int = TRACED_SEED, tables: int = TRACED_FROM) -> None:
    """The blur tables of traced scenes; says so where there is no renderer."""
    if find_spec("mitsuba") is None:
        print("\ntraced tables: the renderer is not installed")
        return

    def scene_of(k: int) -> Scene:
        return traced_scene(tables + k, for_test=True, width=WIDTH)

    blur_tables([measured(case) for case in blur_cases(TEST, number, seed, WIDTH, scene_of)], "traced tables")


def main() -> None:
    """Print all tables."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    if "traced" in sys.argv[1:]:
        traced_tables(*(numbers or [TRACED]))
        return
    if "sauces" in sys.argv[1:]:
        sauces(*(numbers + [24, SAUCES_FROM][len(numbers) :]))
        return
    if "flat" in sys.argv[1:]:
        number, seed = numbers + [120, FLAT_SEED][len(numbers) :]
        blur_tables([measured(case) for case in blur_cases(TEST, number, seed, WIDTH)], "flat scenes")
        return
    number = numbers[0] if numbers else 120
    blur_tables([measured(case) for case in blur_cases(TEST, number, FLAT_SEED, WIDTH)], "flat scenes")
    traced_tables(min(number * 3 // 5, TRACED))
    exposure_and_colour(max(number // 4, 10))
    added_things(max(number // 6, 10))
    lamps(max(number // 4, 10))


if __name__ == "__main__":
    main()
