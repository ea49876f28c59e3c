"""Irradiances from cloud cover.

F. Kasten, G. Czeplak: Solar and terrestrial radiation dependent on the amount and type of cloud, Solar Energy 24
(1980) 177-189: ten years of hourly data from Hamburg. With N oktas of cloud and the sun's elevation g,

    G(0) = 910 sin g - 30 W/m2,    G(N) = G(0) (1 - 0.75 (N/8)^3.4),    D(N) = G(N) (0.3 + 0.7 (N/8)^2).

The coefficients are from memory. The authors found G(N)/G(0) not to depend on the sun's elevation, and the
spread about it to be large: the same cover can be thin or thick cloud. The light model widens its spread for it.
"""

import numpy as np
from numpy.typing import ArrayLike

from plateside.light.weather.hours import Irradiances


def irradiances_from_cloud(cloud_share: ArrayLike, sun_elevation_deg: ArrayLike) -> Irradiances:
    """Irradiances [W/m2] under a share of cloud (0 to 1) with the sun at an elevation [deg]; both shape (n,).

    All are zero with the sun below 1.9 degrees, where the formula's clear sky ends.
    """
    share, elevation = np.broadcast_arrays(
        np.atleast_1d(np.asarray(cloud_share, dtype=np.float64)),
        np.atleast_1d(np.asarray(sun_elevation_deg, dtype=np.float64)),
    )
    sine = np.sin(np.radians(elevation))
    clear = np.maximum(0.0, 910 * sine - 30)
    whole = clear * (1 - 0.75 * share**3.4)
    diffuse = whole * (0.3 + 0.7 * share**2)
    direct = np.divide(whole - diffuse, sine, out=np.zeros_like(whole), where=clear > 0)
    return Irradiances(direct, diffuse, whole, np.full(share.shape, np.nan), share.copy())
