"""A window's bearing from the sun: corners thrown by pvlib's own sun through a window, then given back."""

from datetime import datetime
from itertools import product
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import get_solarposition

from plateside.light.meter.bearing import Grazing, PatchCorner, bearing_from_sun
from plateside.model.errors import InputError
from plateside.model.room import Place, Room, Window
from plateside.model.studio import Studio

LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon", altitude_m=77)
MELBOURNE = Place(latitude_deg=-37.8136, longitude_deg=144.9631, timezone="Australia/Melbourne")


def sun(place: Place, when: datetime) -> tuple[float, float]:
    """Outside authority: pvlib's elevation and azimuth."""
    got = get_solarposition(
        pd.DatetimeIndex([when]), place.latitude_deg, place.longitude_deg, place.altitude_m
    )
    return float(got["apparent_elevation"].iloc[0]), float(got["azimuth"].iloc[0])


def studio(place: Place, bearing: float, reveal_depth_m: float = 0.0) -> Studio:
    opening = Window(
        name="main",
        bearing_deg=bearing,
        width_m=1.2,
        height_m=1.4,
        sill_m=0.8,
        from_left_m=1.0,
        reveal_depth_m=reveal_depth_m,
    )
    return Studio(place=place, room=Room(width_m=4.0, depth_m=5.0), windows=(opening,))


def corner_on_floor(
    place: Place, when: datetime, true_bearing: float, u: float, z: float, depth: float = 0.0
) -> tuple[float, float]:
    """Where the ray through the opening's corner meets the floor: (along, from wall)."""
    elevation, azimuth = sun(place, when)
    turn = np.radians(azimuth - true_bearing)
    run = z / np.tan(np.radians(elevation))
    return u - run * np.sin(turn), run * np.cos(turn) - depth


@pytest.mark.parametrize(
    ("place", "when", "true", "in_file"),
    [
        (LISBON, datetime(2027, 3, 10, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon")), 200.0, 212.0),
        (LISBON, datetime(2027, 7, 15, 8, 30, tzinfo=ZoneInfo("Europe/Lisbon")), 60.0, 20.0),
        (MELBOURNE, datetime(2026, 10, 10, 15, 0, tzinfo=ZoneInfo("Australia/Melbourne")), 355.0, 10.0),
    ],
    ids=["lisbon south-west", "lisbon east", "melbourne north"],
)
def test_any_corner_gives_the_bearing(place: Place, when: datetime, true: float, in_file: float) -> None:
    room = studio(place, in_file)
    for (side, u), (upper, z) in product((("left", 1.0), ("right", 2.2)), (("top", 2.2), ("bottom", 0.8))):
        along, inwards = corner_on_floor(place, when, true, u, z)
        mark = PatchCorner(when=when, corner=f"{upper} {side}", along_m=along, from_wall_m=inwards)
        found = bearing_from_sun(place, room, room.windows[0], [mark])
        error = (found.bearing_deg - true + 180) % 360 - 180
        assert abs(error) < 0.05
        assert found.change_deg == pytest.approx((true - in_file + 180) % 360 - 180, abs=0.05)
        assert 0.5 <= found.spread_deg < 4


def test_a_thick_wall_stays_within_the_spread() -> None:
    """Bottom corner on the lee side: both its edges are the inner ones, so it is exact; the top sunward corner's
    are both the outer ones."""
    when = datetime(2027, 3, 10, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
    room = studio(LISBON, 190.0, reveal_depth_m=0.25)
    for corner, u, z, depth in (("bottom left", 1.0, 0.8, 0.0), ("top right", 2.2, 2.2, 0.25)):
        along, inwards = corner_on_floor(LISBON, when, 200.0, u, z, depth)
        mark = PatchCorner(when=when, corner=corner, along_m=along, from_wall_m=inwards)
        found = bearing_from_sun(LISBON, room, room.windows[0], [mark])
        assert found.bearing_deg == pytest.approx(200.0, abs=0.05)


@pytest.mark.parametrize(("side", "quarter"), [("left", 90), ("right", -90)])
def test_grazing_sun_stands_in_the_wall(side: str, quarter: float) -> None:
    when = datetime(2027, 7, 15, 11, 24, tzinfo=ZoneInfo("Europe/Lisbon"))
    azimuth = sun(LISBON, when)[1]
    room = studio(LISBON, 33.0)
    found = bearing_from_sun(LISBON, room, room.windows[0], [Grazing(when=when, side=side)])
    assert found.bearing_deg == pytest.approx((azimuth + quarter) % 360, abs=0.01)


def test_a_facade_from_the_hours_of_its_sun() -> None:
    """A facade at 20 degrees loses the sun at 11:24 and gets it again at 20:04 (by hand, within 2-3 minutes)."""
    zone = ZoneInfo("Europe/Lisbon")
    room = studio(LISBON, 40.0)
    marks = [
        Grazing(when=datetime(2027, 7, 15, 11, 24, tzinfo=zone), side="right"),
        Grazing(when=datetime(2027, 7, 15, 20, 4, tzinfo=zone), side="left"),
    ]
    found = bearing_from_sun(LISBON, room, room.windows[0], marks)
    assert abs(found.bearing_deg - 20.0) < 2.5 * found.spread_deg
    assert found.spread_deg < 2
    assert found.agree


def test_two_marks_that_disagree_say_so_and_widen() -> None:
    when = datetime(2027, 7, 15, 11, 24, tzinfo=ZoneInfo("Europe/Lisbon"))
    room = studio(LISBON, 33.0)
    both = bearing_from_sun(
        LISBON,
        room,
        room.windows[0],
        [Grazing(when=when, side="right"), Grazing(when=when.replace(hour=12), side="right")],
    )
    one = bearing_from_sun(LISBON, room, room.windows[0], [Grazing(when=when, side="right")])
    assert not both.agree
    assert both.spread_deg > 2 * one.spread_deg


def test_spread_is_honest() -> None:
    """Noise of the stated size on time and place: two in three answers lie within one spread (binomial, 200
    draws: from 0.55 to 0.85 holds with a chance of error under one in a thousand; the spread also allows for
    crooked walls, which are straight here, so somewhat more than 0.68 may lie inside)."""
    rng = np.random.default_rng(7)
    when = datetime(2027, 3, 10, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
    room = studio(LISBON, 212.0)
    along, inwards = corner_on_floor(LISBON, when, 200.0, 2.2, 2.2)
    hits = 0
    for _ in range(200):
        noisy = PatchCorner(
            when=when + pd.Timedelta(minutes=rng.normal(0, 4)).to_pytimedelta(),
            corner="top right",
            along_m=along + rng.normal(0, 0.06),
            from_wall_m=inwards + rng.normal(0, 0.06),
            spread_min=4.0,
            spread_m=0.06,
        )
        found = bearing_from_sun(LISBON, room, room.windows[0], [noisy])
        hits += abs(found.bearing_deg - 200.0) < found.spread_deg
    assert 0.55 < hits / 200 < 0.85


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        (
            Grazing(when=datetime(2027, 7, 15, 23, 0, tzinfo=ZoneInfo("Europe/Lisbon")), side="left"),
            "sun was down",
        ),
        (
            Grazing(when=datetime(2027, 7, 15, 11, 0, tzinfo=ZoneInfo("Europe/Lisbon")), side="east"),
            "no such side: got 'east'",
        ),
        (
            PatchCorner(
                when=datetime(2027, 3, 10, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon")),
                corner="top left",
                along_m=2.0,
                from_wall_m=0.4,
            ),
            "corner of another sun",
        ),
        (
            PatchCorner(
                when=datetime(2027, 3, 10, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon")),
                corner="upper left",
                along_m=2.0,
                from_wall_m=2.4,
            ),
            "no such corner: got 'upper left'",
        ),
    ],
)
def test_marks_that_cannot_be(mark: Grazing | PatchCorner, said: str) -> None:
    room = studio(LISBON, 200.0)
    with pytest.raises(InputError, match=said):
        bearing_from_sun(LISBON, room, room.windows[0], [mark])
    with pytest.raises(InputError, match="no moment noted"):
        bearing_from_sun(LISBON, room, room.windows[0], [])
