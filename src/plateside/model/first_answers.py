"""Your first answers about your room and your camera, from which the starter files are written."""

from dataclasses import dataclass

SENSORS_MM = {
    "aps-c": (23.5, 15.6),
    "full-frame": (36.0, 24.0),
    "four-thirds": (17.3, 13.0),
    "one-inch": (13.2, 8.8),
}
"""Usual sizes by trade name; bodies differ by some tenths, so the manual's figure is better."""


@dataclass(frozen=True, kw_only=True)
class Answers:
    """Your answers; the rest is a usual value, marked in the file."""

    place_name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    timezone: str
    facing_deg: float
    window_m: tuple[float, float] = (1.2, 1.2)
    """Width, height of the main window's opening [m]."""
    sill_m: float = 0.85
    from_window_m: float = 0.7
    """From the window wall to the middle of the table [m]."""
    room_m: tuple[float, float, float] = (4.0, 3.5, 2.5)
    """Width along the window wall, depth, height [m]."""
    focal_mm: float = 35.0
    lens_name: str = ""
    """What the lens is called; empty: its focal length."""
    widest_aperture: float = 1.8
    sensor_mm: tuple[float, float] = SENSORS_MM["aps-c"]
    pixels: tuple[int, int] = (6000, 4000)
    floor_above_ground_m: float = 0.5
    dish: str = "My dish"
    stand_in: str = "soup"
    dish_mm: tuple[float, float] = (220.0, 60.0)
    """Width and height of the hero [mm]."""
    glossy: bool = False
    creator: str = "Your Name"
    date: str
    studio: str = "studio.toml"
    """Path of the studio file, from the shoot's folder."""
