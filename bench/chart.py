"""How far a chart's profile is off, and with far more known still would be: two published sensors, eleven lights.

    python -m bench chart

CIEDE2000, mean and worst, of the 24 patches of ISO 17321-1 (sensitivities and lights as colour-science publishes
them): each patch by a fit to the others; all patches by a fit to all; and each patch by the sensor's own sensitivities,
which nobody knows, and all mixtures of the 23 others as examples (six terms by linear least squares).
"""

import warnings

import numpy as np

from plateside.finish import chart
from plateside.finish.ciede2000 import delta_e
from plateside.ground.srgb import to_lab
from tests.synthetic.charts import PATCHES, SHAPE

LIGHTS = ("D50", "D65", "A", "LED-B3", "D55", "D75", "LED-B1", "LED-V1", "LED-RGB1", "FL2", "FL11")


def main() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(SHAPE).values
    for name, sensor in colour.MSDS_CAMERA_SENSITIVITIES.items():
        seen_by = sensor.copy().align(SHAPE).values
        print("layers" if "SDM" in name else "mosaic")
        for light in LIGHTS:
            spectrum = colour.SDS_ILLUMINANTS[light].copy().align(SHAPE).values
            white = spectrum @ observer
            uv = colour.UCS_to_uv(colour.XYZ_to_UCS(white / white[1]))
            mired = float(1e6 / colour.temperature.uv_to_CCT(uv)[0])
            taken, wanted = (PATCHES * spectrum) @ seen_by, chart.wanted_colours(mired)
            camera = chart._balanced(taken / taken.max(), wanted)
            sensed = (spectrum[:, None] * seen_by) * (camera[0] / taken[0])
            unseen = chart._left_out(camera, wanted)
            inside = _apart(chart.expanded(camera) @ chart._fitted(camera, wanted), wanted)
            most = np.array([_known(n, camera, wanted, sensed, mired) for n in range(24)])
            figures = "   ".join(f"{e.mean():.2f} {e.max():.1f}" for e in (unseen, inside, most))
            print(f"  {light:<9} {figures}", flush=True)


def _apart(made: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    return delta_e(to_lab(made), to_lab(wanted))


def _known(left_out: int, camera: np.ndarray, wanted: np.ndarray, sensed: np.ndarray, mired: float) -> float:
    """CIEDE2000 of a patch when the sensor is known, and the others in any mixture of two."""
    others = np.delete(PATCHES, left_out, axis=0)
    a, b = np.triu_indices(len(others), 1)
    mixed = np.concatenate([others, np.sqrt(others[a] * others[b]), (others[a] + others[b]) / 2])
    terms = chart._near(mixed @ sensed, chart.wanted_colours(mired, mixed))
    made = chart.expanded(camera[left_out : left_out + 1]) @ terms
    return float(_apart(made, wanted[left_out : left_out + 1])[0])


if __name__ == "__main__":
    main()
