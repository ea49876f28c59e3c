"""What five readings teach, in two rooms of the ray tracer; all eight by `python -m bench.light_fit`.

References: tests/authority/data/radiance_fit.json, made by scripts/fit_references.py with Radiance, in rooms with
furniture, skyline and dirt that the studio file does not know. Aims: predictions for other hours and days within 0.25
stop (median) and 0.5 stop (90th percentile), and nearer than without the fit.
"""

import numpy as np

from tests.synthetic.light_fits import judge, load

ROOMS = load()
SAMPLE = ("galley under a terrace", "bakery back room")


def test_the_references_are_whole() -> None:
    assert len(ROOMS) == 8
    for one in ROOMS:
        assert 4 <= len(one["readings"]) <= 5
        assert len(one["predictions"]) >= 6
        days = {got["at"][:10] for got in one["readings"]}
        assert not days & {got["at"][:10] for got in one["predictions"]}
        assert max(got["noise"] for got in one["readings"] + one["predictions"]) < 0.02


def test_five_readings_mend_other_days() -> None:
    judged = [judge(one, seed) for seed, one in enumerate(ROOMS) if one["name"] in SAMPLE]
    assert len(judged) == len(SAMPLE)
    off = np.abs(np.concatenate([got.after_stops for got in judged]))
    unfitted = np.abs(np.concatenate([got.before_stops for got in judged]))
    assert np.median(off) < 0.25
    assert np.percentile(off, 90) < 0.5
    assert np.median(off) < 0.5 * np.median(unfitted)
    for got in judged:
        assert got.report.after_stops < got.report.before_stops
        assert np.median(np.abs(got.after_stops)) < np.median(np.abs(got.before_stops))
