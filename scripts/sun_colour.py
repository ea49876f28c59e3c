"""Colour of direct sun and blue sky by the sun's elevation: the table in light/sky.py.

    python -m scripts.sun_colour

Spectra: R. Bird, C. Riordan, Simple solar spectral model for direct and diffuse irradiance on horizontal and tilted
planes at the Earth's surface for cloudless atmospheres (1986), as in pvlib. Observer: CIE 1931, 2 degrees, as in
colour-science. Correlated colour temperature by Y. Ohno (Leukos 10, 2014), as in colour-science.
"""

import warnings

import colour
import numpy as np
from pvlib.atmosphere import get_relative_airmass
from pvlib.spectrum import spectrl2

ELEVATIONS_DEG = (1, 2, 3, 5, 7, 10, 15, 20, 30, 45, 60, 90)
SEA_LEVEL_PA = 101325.0


def xyz(wavelength_nm: np.ndarray, spectrum: np.ndarray) -> np.ndarray:
    """Tristimulus values of a spectrum."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    at = np.arange(380.0, 781.0)
    values = np.interp(at, wavelength_nm, np.nan_to_num(spectrum))
    rows = observer.values[np.searchsorted(observer.wavelengths, at)]
    return np.asarray(np.trapezoid(values[:, None] * rows, at, axis=0))


def cct_k(tristimulus: np.ndarray) -> float:
    x, y, z = tristimulus
    uv = np.array([4 * x, 6 * y]) / (x + 15 * y + 3 * z)
    return float(colour.temperature.uv_to_CCT_Ohno2013(uv)[0])


def main() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        print("elevation    direct sun    blue sky   [K]")
        for elevation in ELEVATIONS_DEG:
            found = spectrl2(
                apparent_zenith=90 - elevation, aoi=90 - elevation, surface_tilt=0, ground_albedo=0.2,
                surface_pressure=SEA_LEVEL_PA, relative_airmass=get_relative_airmass(90 - elevation),
                precipitable_water=1.4, ozone=0.3, aerosol_turbidity_500nm=0.08, dayofyear=172,
            )  # fmt: skip
            sun, sky = (cct_k(xyz(found["wavelength"], np.ravel(found[k]))) for k in ("dni", "dhi"))
            print(f"{elevation:9d} {sun:13.0f} {sky:11.0f}")


if __name__ == "__main__":
    main()
