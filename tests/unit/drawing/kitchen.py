"""A kitchen to draw, with whatever else a test wants of it."""

from plateside.model.room import Block, Place, Room, Spot, Window
from plateside.model.studio import Studio


def studio(**changes: object) -> Studio:
    parts: dict[str, object] = {
        "place": Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon"),
        "room": Room(width_m=4.2, depth_m=3.1, height_m=2.6),
        "windows": (
            Window(name="kitchen window", bearing_deg=20, width_m=1.2, height_m=1.2, sill_m=0.78, from_left_m=1.5),
            Window(name="door", bearing_deg=110, width_m=0.8, height_m=2.0, sill_m=0.05, from_left_m=0.4),
        ),
        "spots": (Spot(name="by the window", from_left_m=2.1, from_front_m=0.75),
                  Spot(name="back table", from_left_m=1.0, from_front_m=2.4)),
        "furniture": (Block(name="cupboard", from_left_m=0, from_front_m=0.9, width_m=0.6, depth_m=1.2, height_m=2.1),),
    }  # fmt: skip
    return Studio(**(parts | changes))  # type: ignore[arg-type]
