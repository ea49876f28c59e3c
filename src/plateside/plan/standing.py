"""Whether camera, support and person find room where a set-up puts them, and what would let them.

`CameraStand`               where a camera stands, with all that its room depends on
`lacks`               what does not fit, worst first
`ways_out`            other directions, spots and lenses of this studio at which all of it fits
`standing_findings`   both, in sentences
"""

from dataclasses import dataclass, replace

from plateside.camera.place import out_of_box_m, stand
from plateside.camera.setup import Finding, Point, SetUp
from plateside.model.gear import Lens, Support
from plateside.model.room import Spot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import OVERHEAD_FROM_DEG
from plateside.plan.footing import (
    BODY_M,
    FOOT_M,
    Short,
    block_sides,
    body_places,
    feet,
    into_table,
    leg_turn,
    point_short,
    table_places,
)
from plateside.plan.merit import CLEARANCE_M, WALL_M
from plateside.plan.rigging import stand_for
from plateside.plan.scene import room_box, spot_point, table_edge_m

_TURNS = tuple(float(t) for step in range(15, 181, 15) for t in (step, -step))
_COLUMN_M = 0.03
_SHORTEST = 0.35
"""A lens shorter than this share of the one chosen would draw another picture: not offered."""


@dataclass(frozen=True)
class CameraStand:
    """A camera before (or above) the dish."""

    studio: Studio
    spot: Spot
    support: Support
    faces_deg: float
    elevation_deg: float
    aim_above_table_m: float
    sensor_distance_m: float
    overhead: bool
    dish_radius_m: float
    column: Point | None
    """An arm's column; None: the support stands under the camera, or there is none."""

    @property
    def sensor(self) -> Point:
        """The sensor's place in the room."""
        at = spot_point(self.studio, self.spot)
        aim = (at[0], at[1], at[2] + self.aim_above_table_m)
        return stand(aim, self.faces_deg, self.elevation_deg, self.sensor_distance_m)

    @property
    def foot(self) -> Point | None:
        """Where the support's column meets the floor; None when the camera is in the hands."""
        if self.support.kind == "hand":
            return None
        return self.column or (self.sensor[0], self.sensor[1], 0.0)


@dataclass(frozen=True)
class Lack:
    """Something that does not fit."""

    words: str
    short_m: float
    of_camera: bool = False


def stand_of(
    studio: Studio, spot: Spot, support: Support, s: SetUp, column: Point | None, dish_mm: float
) -> CameraStand:
    """Where a solved set-up stands."""
    from_arm = column is not None and abs(column[0] - s.sensor_m[0]) + abs(column[1] - s.sensor_m[1]) > 1e-9
    return CameraStand(
        studio=studio,
        spot=spot,
        support=support,
        faces_deg=s.camera_faces_deg,
        elevation_deg=s.elevation_deg,
        aim_above_table_m=s.aim_m[2] - spot.height_m,
        sensor_distance_m=s.sensor_distance_m,
        overhead=from_arm or s.elevation_deg >= OVERHEAD_FROM_DEG,
        dish_radius_m=dish_mm / 2000.0,
        column=column if from_arm else None,
    )


def lacks(at: CameraStand) -> list[Lack]:
    """What does not fit: the camera itself first, then the worst."""
    found = [x for x in (_camera(at), _feet(at), _table(at), _person(at)) if x is not None]
    return sorted(found, key=lambda x: (not x.of_camera, -x.short_m))


def _camera(at: CameraStand) -> Lack | None:
    outside, side = out_of_box_m(at.sensor, room_box(at.studio).size, WALL_M)
    if outside > 1e-6:
        return Lack(f"the camera would be {outside:.2f} m into the {side}", outside, True)
    for block in at.studio.furniture:
        (x0, y0), (x1, y1) = block_sides(at.studio, block)
        z0, z1 = block.bottom_m, block.bottom_m + block.height_m
        x, y, z = at.sensor
        into = min(x - x0, x1 - x, y - y0, y1 - y, z - z0, z1 - z) + WALL_M
        if into > 0:
            return Lack(f"the camera would be {into:.2f} m into the {block.name or 'furniture'}", into, True)
    return None


def _feet(at: CameraStand) -> Lack | None:
    if at.foot is None:
        return None
    _turn, short = leg_turn(at.studio, at.foot[:2], at.support.feet_radius_m, at.faces_deg)
    if short.by_m <= 1e-6:
        return None
    return Lack(
        f"the feet of {at.support.name} would stand {short.by_m:.2f} m into the {short.what}, however it is turned",
        short.by_m,
    )


def table_shift_m(at: CameraStand) -> float:
    """How much nearer to the table's edge the dish must stand so that the column clears the table [m]."""
    if at.foot is None or at.overhead:
        return 0.0
    return max(0.0, into_table(at.studio, at.spot, at.foot[:2], _COLUMN_M))


def _table(at: CameraStand) -> Lack | None:
    """A column that comes down on the table is mended by moving the dish, as far as there is table left for it."""
    shift = table_shift_m(at)
    free = table_edge_m(at.studio, at.spot, at.faces_deg + 180.0) - at.dish_radius_m - 0.02
    if shift <= max(free, 0.0):
        return None
    return Lack(f"{at.support.name} would come down {shift:.2f} m inside the table's edge", shift)


def _places(at: CameraStand) -> dict[str, Short]:
    """The places at which somebody could stand, each with what is short there."""
    if at.overhead:
        where = table_places(at.studio, at.spot, at.faces_deg, ("near", "left", "right", "far"))
    else:
        where = body_places(at.sensor, at.faces_deg, in_hand=at.support.kind == "hand")
    out = {}
    for name, p in where.items():
        short = point_short(at.studio, p, BODY_M)
        table = into_table(at.studio, at.spot, p, BODY_M)
        if not at.overhead and at.support.kind != "hand" and name != "behind" and table > short.by_m:
            short = Short(table, "table")
        if at.overhead and at.foot is not None:
            away = ((p[0] - at.foot[0]) ** 2 + (p[1] - at.foot[1]) ** 2) ** 0.5
            if BODY_M + _COLUMN_M - away > short.by_m:
                short = Short(BODY_M + _COLUMN_M - away, at.support.name)
        out[name] = short
    return out


def _person(at: CameraStand) -> Lack | None:
    places = _places(at)
    best = min(places.values(), key=lambda s: s.by_m)
    if best.by_m <= 1e-6:
        return None
    if at.overhead:
        said = (
            f"nobody finds room at the table: {best.by_m:.2f} m short even at its freest side ({best.what})"
        )
    elif at.support.kind == "hand":
        said = f"nobody finds room behind the camera: {best.by_m:.2f} m short ({best.what})"
    else:
        said = f"nobody finds room behind or beside the camera: {best.by_m:.2f} m short at best ({best.what})"
    return Lack(said, best.by_m)


def ways_out(at: CameraStand, focal_length_mm: float, lenses: tuple[Lens, ...]) -> list[str]:
    """What of this studio would let it stand, in words; empty when nothing does alone."""
    out = []
    for turn in _TURNS:
        faces = (at.faces_deg + turn) % 360.0
        if not lacks(_again(replace(at, faces_deg=faces))):
            out.append(f"turn the camera to face {faces:.0f}° instead of {at.faces_deg:.0f}°")
            break
    shorter = _shorter(at, focal_length_mm, lenses)
    if shorter:
        out.append(shorter)
    free = [s.name for s in at.studio.spots if s != at.spot and not lacks(_again(replace(at, spot=s)))]
    if free:
        out.append(f"shoot at the table spot “{free[0]}”")
    return out


def _again(at: CameraStand) -> CameraStand:
    """The same with the arm's column where it then would stand."""
    if at.column is None:
        return at
    _side, column = stand_for(at.studio, at.spot, at.support, at.faces_deg, at.sensor, None)
    return replace(at, column=column)


def _shorter(at: CameraStand, focal_length_mm: float, lenses: tuple[Lens, ...]) -> str:
    """The longest focal length at which it fits with the same frame: distance goes with it."""
    for share in range(98, int(100 * _SHORTEST), -2):
        f = focal_length_mm * share / 100.0
        near = replace(at, sensor_distance_m=at.sensor_distance_m * share / 100.0)
        if lacks(_again(near)):
            continue
        able = [
            x for x in lenses
            if x.focal_length_mm <= f
            and max(x.closest_focus_m, x.length_mm / 1000.0 + CLEARANCE_M + at.dish_radius_m) * x.focal_length_mm
            <= near.sensor_distance_m * min(f, x.focal_length_to_mm or x.focal_length_mm)
        ]  # fmt: skip
        if not able:
            return ""
        best = max(able, key=lambda x: min(f, x.focal_length_to_mm or x.focal_length_mm))
        at_mm = min(f, best.focal_length_to_mm or best.focal_length_mm)
        zoom = f" at {at_mm:.0f} mm" if best.focal_length_to_mm else ""
        return f"use the lens “{best.name}”{zoom}, from nearer"
    return ""


def standing_findings(at: CameraStand, focal_length_mm: float, lenses: tuple[Lens, ...]) -> list[Finding]:
    """What camera, support and person find at their place, each with how to mend it."""
    missing = lacks(at)
    out: list[Finding] = []
    if missing:
        ways = ways_out(at, focal_length_mm, lenses)
        mend = (
            ", or ".join(ways)
            or "no direction, spot or lens here helps alone: frame tighter, or move the table"
        )
        # a camera in the wall needs no word about who stands behind it
        said = missing[:1] if missing[0].of_camera else missing
        out.append(Finding(kind="room", ok=False, words=f"{'; '.join(x.words for x in said)}: {mend}"))
    shift = table_shift_m(at)
    if shift > 0.005 and _table(at) is None:
        out.append(
            Finding(
                kind="stand",
                ok=True,
                words=f"{at.support.name} comes down {shift:.2f} m inside the table's edge: set the dish that much "
                "nearer to that edge",
            )
        )
    out += _notes(at)
    return out


def _notes(at: CameraStand) -> list[Finding]:
    """How to turn the legs, and where to look from, when the usual way has no room."""
    out = []
    if at.foot is not None:
        turn, short = leg_turn(at.studio, at.foot[:2], at.support.feet_radius_m, at.faces_deg)
        if short.by_m <= 1e-6 and abs((turn - at.faces_deg + 180.0) % 360.0 - 180.0) > 1.0:
            usual = max(
                (
                    point_short(at.studio, p, FOOT_M, on_floor=True)
                    for p in feet(at.foot[:2], at.support.feet_radius_m, at.faces_deg)
                ),
                key=lambda s: s.by_m,
            )
            out.append(
                Finding(
                    kind="stand",
                    ok=True,
                    words=f"turn the legs of {at.support.name} clear of the {usual.what}",
                )
            )
    places = _places(at)
    if not at.overhead and places["behind"].by_m > 1e-6:
        beside = [name for name, short in places.items() if short.by_m <= 1e-6]
        if beside:
            out.append(
                Finding(
                    kind="stand",
                    ok=True,
                    words=f"no room to stand behind the camera ({places['behind'].what}): stand {beside[0]} it, and "
                    "tilt the screen or look at it from afar",
                )
            )
    return out
