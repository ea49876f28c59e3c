"""The light engine against Radiance: a fixed seeded sample of the stored references, and one small live comparison.

References: tests/authority/data/radiance_rooms.json, made by scripts/radiance_references.py with the Radiance tracer
(G. Ward; through pyradiance) as a plain Monte Carlo tracer, noise stated beside each value. All of them, by group and
kind: `python -m bench.light_radiance`. Aims: mean under 1.5 %, worst under 6 %.
"""

import json
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bench.light_radiance import FACES, deviations, engine_lux
from scripts.radiance_rooms import cases, objects

STORED: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "radiance_rooms.json").read_text())
BY_ID = {one["case"]["id"]: one for one in STORED["cases"]}
MEAN, WORST = 0.015, 0.06
SAMPLE = 4
"""Cases of each group."""


def sampled(group: str) -> list[dict[str, Any]]:
    ours = sorted(name for name, one in BY_ID.items() if one["case"]["group"] == group)
    return [BY_ID[name] for name in random.Random(20270715).sample(ours, SAMPLE)]


def test_the_table_is_whole() -> None:
    """At least 200 values, none missing, each with its noise, and the same rooms as in the script."""
    assert json.loads(json.dumps(cases())) == [one["case"] for one in STORED["cases"]]
    values = [value for one in STORED["cases"] for value in one["reference"]["lux"].values()]
    noise = [value for one in STORED["cases"] for value in one["reference"]["noise"].values()]
    assert len(values) == len(noise) >= 200
    assert min(values) > 0
    assert np.mean(noise) < 0.006
    assert max(noise) < 0.015
    assert {one["case"]["group"] for one in STORED["cases"]} == {"building", "held-out"}


@pytest.mark.parametrize("group", ["building", "held-out"])
def test_sample_of_the_stored_references(group: str) -> None:
    off = np.abs(np.concatenate([deviations(one) for one in sampled(group)]))
    assert off.size == SAMPLE * len(FACES)
    assert off.mean() < MEAN
    assert off.max() < WORST


def test_live_comparison() -> None:
    """One case traced here and now, coarsely: both agree within 2 % and three times the tracer's own noise, and the
    tracer agrees with what it said when the table was made."""
    pytest.importorskip("pyradiance")
    from scripts.radiance_references import sensors, sun_place
    from scripts.radiance_scene import build
    from scripts.radiance_trace import trace

    one = BY_ID["dark flat, tenement opposite / a"]
    made = objects(one["case"])
    elevation, azimuth = sun_place(made)
    assert [elevation, azimuth] == pytest.approx(one["reference"]["sun"], abs=2e-4)
    scene = build(made.studio, made.spot, made.sky, elevation, azimuth, made.boards, made.hung)
    got = trace(scene, sensors(made), aim=0.02, first=4, most=8)
    ours = engine_lux(one["case"])
    for face, lux, noise in zip(FACES, got.lux, got.noise, strict=True):
        kept = one["reference"]["lux"][face]
        assert abs(ours[face] / lux - 1) < 0.02 + 3 * noise
        assert abs(lux / kept - 1) < 5 * float(np.hypot(noise, one["reference"]["noise"][face])) + 0.005
