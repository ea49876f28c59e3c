"""Thin-lens geometry at table distances: magnification, field, depth of field, blur, diffraction.

`magnification_at`, `lens_distance_mm`, `image_distance_mm`, `sensor_distance_mm`, `magnification_from_sensor`
`effective_focal_length_mm`                                  from a measured magnification
`depth_limits_mm`, `depth_front_back_mm`                     depth of field, exact
`blur_disc_mm`, `airy_mm`, `combined_blur_mm`                what a point becomes
`circle_for_delivery_mm`, `circle_of_format_mm`              circle of confusion
`equal_blur_focus_mm`                                        where to focus

Distances are from the lens's principal plane (entrance pupil) unless they say sensor. Gaussian optics;
S. F. Ray, Applied Photographic Optics, 3rd ed. 2002 (from memory), pupil terms as in the lenses FAQ, section 11.
A real lens changes its focal length a little when focused close: a measured magnification beats these formulas.
"""

import math

from plateside.ground.exposure import Number, effective_f_number
from plateside.model.errors import RefusedError

WAVELENGTH_MM = 550e-6
"""Green light, where the eye sees most [mm]."""


def magnification_at(focal_length_mm: Number, lens_distance_mm: Number) -> Number:
    """m = f / (s - f) for a lens focused at s."""
    return focal_length_mm / (lens_distance_mm - focal_length_mm)


def lens_distance_mm(focal_length_mm: Number, magnification: Number) -> Number:
    """s = f (1 + 1/m)."""
    return focal_length_mm * (1.0 + 1.0 / magnification)


def image_distance_mm(focal_length_mm: Number, magnification: Number) -> Number:
    """s' = f (1 + m)."""
    return focal_length_mm * (1.0 + magnification)


def sensor_distance_mm(focal_length_mm: Number, magnification: Number) -> Number:
    """D = f (2 + m + 1/m), subject to sensor, for a lens whose principal planes coincide."""
    return focal_length_mm * (2.0 + magnification + 1.0 / magnification)


def magnification_from_sensor(focal_length_mm: float, sensor_distance_mm: float) -> float:
    """m from subject-to-sensor distance: k = D/f - 2, m = (k - sqrt(k² - 4))/2.

    Raises RefusedError when D is under 4 f: no thin lens focuses there.
    """
    k = sensor_distance_mm / focal_length_mm - 2.0
    if k < 2.0:
        raise RefusedError(
            "too near to focus", focal_mm=focal_length_mm, distance_mm=sensor_distance_mm, least_mm=4 * focal_length_mm
        )  # fmt: skip
    # the other root's inverse: no cancellation for distant subjects, where k is large
    return 2.0 / (k + math.sqrt(k * k - 4.0))


def effective_focal_length_mm(sensor_distance_mm: float, magnification: float) -> float:
    """Focal length that explains a measured magnification at a measured sensor distance."""
    return sensor_distance_mm / (2.0 + magnification + 1.0 / magnification)


def depth_limits_mm(
    focal_length_mm: float,
    f_number: float,
    circle_mm: float,
    lens_distance_mm: float,
    pupil_magnification: float = 1.0,
) -> tuple[float, float]:
    """Near and far limit of depth of field, from the entrance pupil [mm]; far is inf at and beyond the hyperfocal.

    With P = 1 this is s(H - f)/(H + s - 2f) and s(H - f)/(H - s). With P it is the front/back form
    (`depth_front_back_mm`), whose distances are measured from the plane of focus.
    """
    front, back = depth_front_back_mm(
        focal_length_mm, f_number, circle_mm, lens_distance_mm, pupil_magnification
    )
    return lens_distance_mm - front, lens_distance_mm + back


def depth_front_back_mm(
    focal_length_mm: float,
    f_number: float,
    circle_mm: float,
    lens_distance_mm: float,
    pupil_magnification: float = 1.0,
) -> tuple[float, float]:
    """Depth in front of and behind the plane of focus, exact, with pupil magnification [mm].

    front = N_eff c / [m² (1 + N c/(f m))], back = N_eff c / [m² (1 - N c/(f m))], N_eff = N (1 + m/P).
    """
    m = magnification_at(focal_length_mm, lens_distance_mm)
    n_eff = effective_f_number(f_number, m, pupil_magnification)
    ratio = f_number * circle_mm / (focal_length_mm * m)
    front = n_eff * circle_mm / (m * m * (1.0 + ratio))
    back = math.inf if ratio >= 1.0 - 1e-12 else n_eff * circle_mm / (m * m * (1.0 - ratio))
    return front, back


def blur_disc_mm(
    focal_length_mm: Number,
    f_number: Number,
    lens_distance_mm: Number,
    other_mm: Number,
    pupil_magnification: float = 1.0,
) -> Number:
    """Blur disc on the sensor [mm] of a point at `other_mm` when the lens is focused at `lens_distance_mm`.

    b = (f/N) m |x - s| / x, with x counted from the entrance pupil, which lies f (1/P - 1) behind the principal
    plane that both distances are given from. For x infinite use `infinity_blur_mm`.
    """
    m = magnification_at(focal_length_mm, lens_distance_mm)
    from_pupil = other_mm + focal_length_mm * (1.0 / pupil_magnification - 1.0)
    return focal_length_mm / f_number * m * abs(other_mm - lens_distance_mm) / from_pupil


def infinity_blur_mm(focal_length_mm: float, f_number: float, lens_distance_mm: float) -> float:
    """Blur disc of a point infinitely far away: m f / N."""
    return magnification_at(focal_length_mm, lens_distance_mm) * focal_length_mm / f_number


def airy_mm(effective_f_number: Number, wavelength_mm: float = WAVELENGTH_MM) -> Number:
    """Diameter of the Airy disc's first dark ring on the sensor [mm]: 2.44 lambda N."""
    return 2.44 * wavelength_mm * effective_f_number


def combined_blur_mm(defocus_mm: Number, diffraction_mm: Number) -> Number:
    """Root of the sum of squares: a rule of thumb, not a law."""
    both: Number = (defocus_mm * defocus_mm + diffraction_mm * diffraction_mm) ** 0.5
    return both


CIRCLE_SHARE = 1.0 / 1500.0
"""Acceptable circle of confusion as a share of the format's diagonal (common practice)."""
CIRCLE_PIXELS = 1.5
"""The same in pixels of the picture delivered (ours)."""


def circle_of_format_mm(sensor_width_mm: float, sensor_height_mm: float) -> float:
    """Circle of confusion of the format, diagonal/1500 [mm]."""
    return math.hypot(sensor_width_mm, sensor_height_mm) * CIRCLE_SHARE


def circle_for_delivery_mm(
    crop_sensor_mm: float, delivered_px: float, pixels: float = CIRCLE_PIXELS
) -> float:
    """Circle of confusion [mm] that spans `pixels` of the picture delivered from a crop of the sensor."""
    return pixels * crop_sensor_mm / delivered_px


def equal_blur_focus_mm(near_mm: Number, far_mm: Number, pupil_offset_mm: Number) -> Number:
    """Focus at which the near and far ends are equally blurred: their harmonic mean, from the entrance pupil.

    `pupil_offset_mm` is f (1/P - 1), how far the pupil lies behind the principal plane the distances are from; 0
    when P is 1.
    """
    near, far = near_mm + pupil_offset_mm, far_mm + pupil_offset_mm
    return 2.0 * near * far / (near + far) - pupil_offset_mm
