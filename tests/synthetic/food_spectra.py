"""Spectra of foods, lights and sensors for colours that clip, and what a sensor counts of them; 400 to 700 nm by 5.

SENSORS  a published one of each kind (NPL's measurements, as colour-science has them); the others are invented
LIGHTS   CIE illuminants (CIE 15:2018, as colour-science has them); the two LEDs are invented: a blue peak and phosphor
FOODS    and what stands about them: invented reflectances, shaped as carotenoids, anthocyanins and fat look
TOLD     names of what the rebuilding of lost colours was built with, and of what was held out

The matrix is fitted to the 24 patches of ISO 17321-1 (colour-science), as a raw's own colour matrix is.
"""

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from plateside.ground.srgb import FROM_XYZ, WHITE_XYZ

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

NM = np.arange(400, 701, 5.0)


def _at_nm(spectra: Any) -> np.ndarray:
    """One published spectrum (n,), or several side by side (n, columns), read at NM."""
    known, values = np.asarray(spectra.wavelengths), np.asarray(spectra.values)
    columns = values.reshape(len(known), -1).T
    return np.stack([np.interp(NM, known, column) for column in columns], 1).reshape(-1, *values.shape[1:])


def _bell(peak_nm: float, below_nm: float, above_nm: float | None = None) -> np.ndarray:
    """Of height 1, with its own standard deviation to either side."""
    width_nm = np.where(peak_nm > NM, below_nm, above_nm or below_nm)
    return np.asarray(np.exp(-0.5 * ((NM - peak_nm) / width_nm) ** 2))


def _edge(middle_nm: float, width_nm: float) -> np.ndarray:
    """From 0 below to 1 above."""
    return 1 / (1 + np.exp(-(NM - middle_nm) / width_nm))


def _invented(
    red: np.ndarray, green: np.ndarray, blue: np.ndarray, leak: float, violet: float = 0.0
) -> np.ndarray:
    """Sensitivities (n, 3) whose filters let some of the others' light through; red may see violet as well."""
    through = np.array([[1, 2 * leak, leak], [2 * leak, 1, 2 * leak], [leak, 3 * leak, 1]])
    return np.asarray(np.stack([red + violet * _bell(450, 25), green, blue], 1) @ through.T)


_MOSAIC, _LAYERS = (_at_nm(one) for one in colour.MSDS_CAMERA_SENSITIVITIES.values())
SENSORS = {
    "npl-mosaic": _MOSAIC,
    "narrow": _invented(_bell(605, 22, 30), _bell(535, 30), _bell(455, 22), 0.01),
    "broad": _invented(_bell(595, 40, 45), _bell(540, 42), _bell(460, 32), 0.08),
    "leaky": _invented(_bell(610, 30, 35), _bell(525, 38), _bell(465, 28), 0.15, 0.06),
    "npl-layers": _LAYERS,
    "deep-red": _invented(_bell(620, 35, 30), _bell(545, 38), _bell(450, 25), 0.03, 0.03),
    "blue-green": _invented(_bell(600, 30, 40), _bell(520, 45), _bell(475, 30), 0.06),
    "close": _invented(_bell(580, 35, 50), _bell(545, 38), _bell(455, 35), 0.05, 0.1),
}
LIGHTS = {name: _at_nm(colour.SDS_ILLUMINANTS[name]) for name in ("D55", "A", "D65", "D75", "FL2")} | {
    f"led{kelvin}": _bell(450, 10) * (1 - 0.6 * warm) + 0.9 * _bell(560 + 25 * warm, 50, 60)
    for kelvin, warm in ((4000, 2500 / 3500), (3000, 1.0))
}
FOODS = {
    "building": {
        "cream": 0.50 + 0.38 * _edge(470, 22),
        "yolk": 0.05 + 0.80 * _edge(532, 15),
        "lemon": 0.06 + 0.74 * _edge(497, 12),
        "tomato": 0.03 + 0.55 * _edge(592, 11),
        "raspberry": 0.035 + 0.5 * _edge(605, 12) + 0.05 * _bell(430, 25),
    },
    "held out": {
        "cream": 0.42 + 0.42 * _edge(490, 30) - 0.03 * _bell(550, 20),
        "yolk": 0.06 + 0.34 * _edge(510, 10) + 0.45 * _edge(565, 18),
        "lemon": 0.10 + 0.70 * _edge(505, 16),
        "tomato": 0.045 + 0.50 * _edge(602, 14),
        "raspberry": 0.04 + 0.55 * _edge(615, 14) + 0.09 * _bell(425, 30),
    },
}
ABOUT = {
    "cloth": 0.75 + 0 * NM,
    "wood": 0.12 + 0.35 * _edge(580, 50),
    "leaf": 0.05 + 0.12 * _bell(550, 25) + 0.3 * _edge(700, 8),
    "plate": 0.85 + 0 * NM,
    "blue plate": 0.1 + 0.3 * _bell(450, 40),
    "dark": 0.03 + 0 * NM,
    "skin": 0.2 + 0.35 * _edge(580, 35),
    "mint": 0.25 + 0.35 * _bell(520, 45),
    "sauce": 0.03 + 0.25 * _edge(600, 25),
}
TOLD = {
    "building": (("npl-mosaic", "narrow", "broad", "leaky"), ("D55", "A", "led4000")),
    "held out": (("npl-layers", "deep-red", "blue-green", "close"), ("D65", "D75", "led3000", "FL2")),
}
_COOLER = (560 / NM) ** 2.2
"""What a second, bluer light has over the first."""
_PATCHES = np.stack([_at_nm(one) for one in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()])
_OBSERVER = _at_nm(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])
_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""XYZ to sharpened cones (K. Lam, "Metamerism and colour constancy", 1985)."""


@dataclass(frozen=True, eq=False)
class Camera:
    """A sensor in one light."""

    sensed: np.ndarray
    """Its sensitivities times the light (n, 3)."""
    cool: np.ndarray
    """The same in a bluer light."""

    @property
    def white(self) -> np.ndarray:
        return np.asarray(self.sensed.sum(0))

    @property
    def balance(self) -> np.ndarray:
        """Multipliers that make a white thing grey, green 1."""
        return np.asarray(self.white[1] / self.white)

    def balanced(self, reflectances: np.ndarray, cool: bool = False) -> np.ndarray:
        """What it counts of them (..., n), a white thing in the first light 1 in all channels (..., 3)."""
        return np.asarray(reflectances @ (self.cool if cool else self.sensed) / self.white)


def camera(sensor: str, light: str) -> Camera:
    sensed = SENSORS[sensor] * LIGHTS[light][:, None]
    return Camera(sensed, sensed * _COOLER[:, None])


def to_srgb(seen_by: Camera, light: str) -> np.ndarray:
    """Balanced counts to linear sRGB (3 x 3), white kept: least squares over the patches, dark ones weighed more."""
    lit = _OBSERVER * LIGHTS[light][:, None]
    cones, white = (one / lit.sum(0)[1] @ _BRADFORD.T for one in (_PATCHES @ lit, lit.sum(0)))
    wanted = cones * (_BRADFORD @ WHITE_XYZ / white) @ np.linalg.inv(_BRADFORD).T @ FROM_XYZ.T
    counted, weight = seen_by.balanced(_PATCHES), 1 / (wanted.mean(1, keepdims=True) + 0.1)
    apart = (counted[:, :2] - counted[:, 2:]) * weight
    two = np.linalg.lstsq(apart, (wanted - counted[:, 2:]) * weight, rcond=None)[0].T
    return np.concatenate([two, 1 - two.sum(1, keepdims=True)], 1)
