"""Invented rooms and shots for the plan's tests; a kitchen in Lisbon, and random ones."""

import random
from dataclasses import replace

from plateside.camera.setup import LightForShot
from plateside.model.gear import Camera, Lens, Support
from plateside.model.room import Board, Place, Room, Spot, Window
from plateside.model.shoot import Channel, PlacedBoard, Shot
from plateside.model.studio import Studio

LISBON = Studio(
    place=Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon", country="PT"),
    room=Room(width_m=4.2, depth_m=3.1, height_m=2.6),
    windows=(Window(name="kitchen window", bearing_deg=20, width_m=1.2, height_m=1.2, sill_m=0.78),),
    spots=(Spot(name="by the window", from_left_m=2.1, from_front_m=0.6, height_m=0.78),),
    boards=(Board(name="white"), Board(name="black", reflectance=0.05)),
    cameras=(Camera(name="the camera"),),
    lenses=(
        Lens(name="35", focal_length_mm=35),
        Lens(
            name="zoom", focal_length_mm=18, focal_length_to_mm=55, widest_aperture=3.5, closest_focus_m=0.25
        ),
        Lens(
            name="60", focal_length_mm=60, widest_aperture=2.8, closest_focus_m=0.2, pupil_magnification=0.8
        ),
    ),
    supports=(
        Support(name="travel tripod", kind="tripod", weight_kg=1.3, highest_m=1.5),
        Support(
            name="arm",
            kind="arm",
            weight_kg=2.5,
            arm_reach_m=0.6,
            arm_weight_kg=0.5,
            highest_m=2.1,
            lowest_m=0.5,
        ),
    ),
)

CHANNELS = (
    Channel(name="page-wide", width_px=1600, height_px=900),
    Channel(name="page-square", width_px=1200, height_px=1200),
    Channel(name="tall", width_px=1080, height_px=1350),
    Channel(name="vertical", width_px=1080, height_px=1920, text_space="top"),
)

LIGHT = LightForShot(horizontal_lx=900, facing_lx=900, key_faces_deg=0)


def random_studio(rng: random.Random) -> Studio:
    """A room that is tight in its own way: low, narrow, with a short tripod or a short arm."""
    width, depth = rng.uniform(2.4, 5.0), rng.uniform(2.2, 4.5)
    tripod, arm = LISBON.supports
    return replace(
        LISBON,
        room=replace(LISBON.room, width_m=width, depth_m=depth, height_m=rng.uniform(1.95, 2.8)),
        spots=(
            Spot(
                name="here",
                from_left_m=rng.uniform(0.6, width - 0.6),
                from_front_m=rng.uniform(0.5, depth - 0.6),
                height_m=rng.uniform(0.45, 0.95),
            ),
        ),
        supports=(
            replace(tripod, highest_m=rng.uniform(1.1, 1.7)),
            replace(arm, arm_reach_m=rng.uniform(0.25, 0.7), highest_m=rng.uniform(1.5, 2.3)),
        ),
    )


def random_shot(rng: random.Random, name: str) -> tuple[Shot, LightForShot]:
    """A shot someone might ask for, and a light."""
    angle = rng.choice(("overhead", "three-quarter", "straight-on"))
    dish = rng.uniform(60, 320)
    width = dish * rng.uniform(1.3, 3.0)
    shot = Shot(
        name=name,
        angle=angle,
        elevation_deg=rng.uniform(20, 70) if angle == "three-quarter" and rng.random() < 0.5 else None,
        camera_faces_deg=rng.choice((0.0, 45.0, 90.0, 180.0, 270.0)),
        frame_width_mm=width,
        frame_height_mm=width * rng.uniform(0.6, 1.5),
        sharp=rng.choice(("plane", "front", "hero")),
        dish_width_mm=dish,
        dish_height_mm=rng.uniform(10, 140),
        background_gap_mm=rng.uniform(200, 1500),
        background_blur_percent=rng.choice((None, None, 1.5, 3.0)),
        moves=rng.choice(
            ("nothing", "nothing", "hand", "silk pour", "frozen drops", "steam", "falling sugar")
        ),
        fall_height_mm=rng.uniform(50, 250),
        boards=(PlacedBoard(board="white", side=rng.choice(("left", "right", "far"))),)
        if rng.random() < 0.5
        else (),
        glossy=rng.random() < 0.3,
    )
    lux = 10 ** rng.uniform(1.5, 3.6)
    light = LightForShot(horizontal_lx=lux, facing_lx=lux * rng.uniform(0.3, 1.2), key_faces_deg=0)
    return shot, light
