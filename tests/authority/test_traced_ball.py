"""The reading of a matt ball against a renderer that knows nothing of it (Mitsuba 3's path tracer).

Lambert's cosine law: under light from all round of radiance L, and a distant key of irradiance E across its beam, a
convex sphere of reflectance rho shows rho L + rho E / pi max(n . l, 0): its ratio is log2(1 + E / (pi L)).
"""

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.ball import find_ball
from plateside.picture.engine import renderer


def rendered(ratio_stops: float, towards: NDArray[np.float64]) -> NDArray[np.float32]:
    """A ball before a dark cloth, 360 x 240; its brightest place at 0.6."""
    mi = renderer()
    radiance = 0.6 / 0.4 / 2**ratio_stops
    scene: dict[str, Any] = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 3, "hide_emitters": True},
        "camera": {
            "type": "perspective", "fov": 4.0, "fov_axis": "x",
            "to_world": mi.ScalarTransform4f().look_at(origin=[0, 0, 10], target=[0, 0, 0], up=[0, 1, 0]),
            "film": {
                "type": "hdrfilm", "width": 360, "height": 240, "pixel_format": "rgba", "rfilter": {"type": "box"}
            },
            "sampler": {"type": "independent"},
        },
        "all round": {"type": "constant", "radiance": {"type": "rgb", "value": radiance}},
        "key": {
            "type": "directional", "direction": (-towards).tolist(),
            "irradiance": {"type": "rgb", "value": math.pi * radiance * (2**ratio_stops - 1)},
        },
        "ball": {
            "type": "sphere", "radius": 0.08,
            "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.4}},
        },
    }  # fmt: skip
    seen = np.array(mi.render(mi.load_dict(scene), spp=64, seed=1), np.float32)
    return np.ascontiguousarray(seen[..., :3] + (1 - seen[..., 3:]) * np.float32(0.05))


@pytest.mark.parametrize(
    ("ratio", "direction"), [(1.0, (-0.7, 0.5, 0.5)), (2.0, (0.8, 0.3, 0.2)), (2.5, (-0.6, 0.6, 0.1))]
)
def test_a_traced_ball_is_read_as_lambert_says(ratio: float, direction: tuple[float, float, float]) -> None:
    towards = np.array(direction) / np.linalg.norm(direction)
    ball = find_ball(rendered(ratio, towards))
    assert ball is not None
    assert ball.ratio_stops == pytest.approx(ratio, abs=0.2)
    found = np.array([ball.from_right, ball.from_above, ball.from_camera])
    assert np.degrees(np.arccos(min(float(towards @ found), 1.0))) < 12
