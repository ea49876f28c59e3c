"""What is told of pictures as they are published, without a shot: cropped, toned, small, sharpened, compressed.

    python -m bench.published [pictures [seed]]

A third each of flat scenes, traced tables (where the renderer is installed) and photographs that come with
scikit-image; shallow focus in most, the dish beside the middle in many. Seeds from 600 on are held out.
"""

import sys
from collections import Counter
from importlib.util import find_spec

import numpy as np

from plateside.frames.grey_card import SURE
from plateside.frames.measure import facts_of
from plateside.frames.verdict import verdict_of
from plateside.model.frame import Settings
from tests.synthetic.published import published, taken
from tests.synthetic.scenes import TEST, TRAIN, Array, make_scene, photo
from tests.synthetic.traced_scenes import FRESH, traced_scene

NUMBER, HELD_OUT = 90, 600
SOFT = ("cell",)
"""A micrograph that is soft as it is: left out."""
FULL_FROM = 250
"""Code values of a pixel that is white, compression's ringing taken off."""
BLUR = ("focus", "shake", "motion")


def picture_of(i: int, rng: np.random.Generator) -> tuple[str, Array]:
    """The i-th picture before it is published, in linear light."""
    if i % 3 == 2:
        name = str(rng.choice([n for n in TEST + TRAIN if n not in SOFT]))
        linear = photo(name)
        return name, np.asarray(
            linear * np.float32(0.7 / float(np.percentile(linear.mean(axis=2), 98))), np.float32
        )
    if i % 3 == 1 and find_spec("mitsuba") is not None:
        depth, linear = taken(traced_scene(FRESH + int(rng.integers(12)), for_test=True, width=900), rng)
        return f"traced, {depth}", linear
    depth, linear = taken(make_scene(TEST + TRAIN, int(rng.integers(1 << 31)), 1500, 1000), rng)
    return f"flat, {depth}", linear


def main() -> None:
    """Print what is said of blur, highlights and grey cards, and the counts."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    number, seed = numbers + [NUMBER, HELD_OUT][len(numbers) :]
    counts: Counter[str] = Counter()
    for i in range(number):
        rng = np.random.default_rng([seed, i])
        what, linear = picture_of(i, rng)
        shown = published(linear, rng)
        facts = facts_of(shown.picture)
        verdict = verdict_of(facts, None, Settings())
        said = [a for a in verdict.acts if a.kind in BLUR and a.weight]
        gone = [a for a in verdict.acts if a.way == "highlights"]
        full = float((shown.picture.min(axis=2) >= FULL_FROM).mean())
        card = facts.colour.card_level is not None and facts.colour.card_confidence >= SURE
        counts["called blurred"] += bool(said)
        counts["again for blur"] += any(a.weight == 2 for a in said)
        counts["asked to look"] += verdict.first.code == "look at hero"
        counts["highlights"] += bool(gone)
        counts["highlights, nothing white"] += bool(gone) and full < 0.005
        counts["grey card"] += card
        if said or card:
            print(f"{i:4} {what}; {shown.made}: {said[0].code if said else 'grey card'}", flush=True)
    print(f"{number} pictures, seed {seed}: " + ", ".join(f"{k} {v}" for k, v in counts.items()))


if __name__ == "__main__":
    main()
