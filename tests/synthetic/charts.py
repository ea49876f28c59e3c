"""A chart of 24 patches as a camera counts it: ISO 17321-1's reflectances through published sensitivities."""

import warnings

import numpy as np

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

    SHAPE = colour.SpectralShape(400, 700, 10)
    SENSITIVITY = next(iter(colour.MSDS_CAMERA_SENSITIVITIES.values())).copy().align(SHAPE).values
    PATCHES = np.array(
        [s.copy().align(SHAPE).values for s in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()]
    )
LIGHTS = {"D50": 1e6 / 5003, "D65": 1e6 / 6504, "A": 1e6 / 2856, "LED-B3": 1e6 / 4103}
"""Mired, by the correlated colour temperatures of CIE 15:2018."""


def taken(light: str, level: float = 0.6) -> np.ndarray:
    """Camera values of the 24 patches; white reaches `level`."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        spectrum = colour.SDS_ILLUMINANTS[light].copy().align(SHAPE).values
    values = (PATCHES * spectrum) @ SENSITIVITY
    return np.asarray(values / values.max() * level)
