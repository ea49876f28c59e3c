"""Irradiances of a cloudless sky: the simplified Solis model.

P. Ineichen, A broadband simplified version of the Solis clear sky model, Solar Energy 82 (2008) 758-762, with the
coefficients of its worksheet for low aerosol as used by pvlib (against which tests hold this). Valid for aerosol
optical depth 0 to 0.45 at 700 nm and 0.2 to 10 cm of water.
"""

import numpy as np

from plateside.model.light_answers import Array

SEA_LEVEL_HPA = 1013.25
LEAST_WATER_CM = 0.2


def solis_irradiances(
    elevation_deg: Array,
    aerosol: float,
    water_cm: float,
    pressure_hpa: float,
    extraterrestrial_wm2: Array | float,
) -> tuple[Array, Array]:
    """Direct normal and diffuse horizontal irradiance [W/m2] for elevations of the sun [deg], with refraction.

    aerosol  optical depth at 700 nm
    """
    w, a = max(water_cm, LEAST_WATER_CM), aerosol
    log_w, log_p = np.log(w), np.log(pressure_hpa / SEA_LEVEL_HPA)
    enhanced = extraterrestrial_wm2 * (
        0.12 * w**0.56 * a**2 + 0.97 * w**0.032 * a + 1.08 * w**0.0051 + 0.071 * log_p
    )
    tau_b = (
        (1.82 + 0.056 * log_w + 0.0071 * log_w**2) * a
        + (0.33 + 0.045 * log_w + 0.0096 * log_w**2)
        + (0.0089 * w + 0.13) * log_p
    )
    b = (0.00925 * a**2 + 0.0148 * a - 0.0172) * log_w - 0.7565 * a**2 + 0.5057 * a + 0.4557
    if a < 0.05:
        t = (0.0042 * w + 3.12, 0.092 * w - 8.86, -0.23 * w + 74.8, -3.11 * w + 79.4, 86 * w - 13800)
        t_p = -0.83 * (1 + a) ** -17.2
    else:
        t = (0.0057 * w + 2.94, 0.0554 * w - 5.71, -0.134 * w + 15.5, 0.27 * w - 20.7, -0.21 * w + 11.6)
        t_p = -0.71 * (1 + a) ** -15.0
    tau_d = t[4] * a**4 + t[3] * a**3 + t[2] * a**2 + t[1] * a + t[0] + t_p * log_p
    d = -0.337 * a**2 + 0.63 * a + 0.116 + log_p / (18 + 152 * a)
    sine = np.maximum(1e-30, np.sin(np.radians(elevation_deg)))
    return np.asarray(enhanced * np.exp(-tau_b / sine**b)), np.asarray(enhanced * np.exp(-tau_d / sine**d))
