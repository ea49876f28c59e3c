"""Small rooms for the tests. All invented."""

from dataclasses import replace
from typing import Any

from plateside.light.sky import Sky, cie_sky
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Studio

LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon")
SPOT = Spot(name="table", from_left_m=2.1, from_front_m=0.6, height_m=0.78)
WINDOW = Window(name="window", bearing_deg=20, width_m=1.2, height_m=1.2, sill_m=0.78)
PLAIN = Studio(
    place=LISBON, room=Room(width_m=4.2, depth_m=3.1, height_m=2.5), windows=(WINDOW,), spots=(SPOT,)
)
UNIFORM = cie_sky(5, 10000.0)
OVERCAST = cie_sky(16, 10000.0)


def all_of(reflectance: Any) -> dict[str, Any]:
    """One reflectance for the six surfaces of a room."""
    return {
        f"{name}_reflectance": reflectance for name in ("floor", "ceiling", "front", "right", "back", "left")
    }


def black_room(window: Window, spot: Spot, width_m: float = 4.2) -> tuple[Studio, Spot]:
    """A room, table and ground that give nothing back, and a window without glass, dirt and frame."""
    hole = replace(window, glass_transmittance=1.0, dirt_factor=1.0, frame_share=0.0, ground_reflectance=0.0)
    room = Room(width_m=width_m, depth_m=3.1, height_m=2.5, **all_of(0.0))
    table = replace(spot, table_reflectance=0.0)
    return Studio(place=LISBON, room=room, windows=(hole,), spots=(table,)), table


def sky_of(number: int, diffuse_lx: float, direct_lx: float = 0.0) -> Sky:
    return cie_sky(number, diffuse_lx, direct_lx)
