"""What-ifs side by side: bare, sheer, half window blocked, white and black board, nearer, each with its gain."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from math import log2

from plateside.light.boards import standing
from plateside.light.moment import CAMERA_FACES_DEG, light_at
from plateside.light.sky import Sky
from plateside.model.errors import InputError
from plateside.model.light_answers import Hung, SpotLight, StandingBoard
from plateside.model.light_facts import AS_IT_IS, WhatIf
from plateside.model.room import Board, Diffuser, Spot
from plateside.model.shoot import PlacedBoard
from plateside.model.studio import Studio

BOARD_AT_M = 0.4
NEARER_BY = 2 / 3
"""The spot's distance from the window, times this."""
NEAREST_M = 0.25
BLIND = Diffuser(name="blind", diffuse_transmittance=0.0, clear_transmittance=0.0, reflectance=0.05)
SHEER = Diffuser(name="sheer")
WHITE = Board(name="white")
BLACK = Board(name="black", reflectance=0.05)


def what_ifs(
    studio: Studio,
    spot: Spot,
    when: datetime,
    sky: str | Sky,
    *,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[StandingBoard] = (),
    hung: Sequence[Hung] | None = None,
) -> tuple[WhatIf, ...]:
    """The usual changes side by side; the first is the set as it is (gain 0).

    A change that the set already has, or that does not fit into the room, is left out. The boards stand on the side
    away from the key.
    """
    faces = CAMERA_FACES_DEG if camera_faces_deg is None else camera_faces_deg

    def light(at: Spot, sheets: Sequence[Hung] | None, more: Sequence[StandingBoard]) -> SpotLight:
        return light_at(
            studio, at, when, sky, camera_faces_deg=faces, elevation_deg=elevation_deg, boards=(*boards, *more),
            hung=sheets,
        )  # fmt: skip

    now = light(spot, hung, ())
    found = [WhatIf(AS_IT_IS, now, 0.0, 0.0)]

    def add(kind: str, changed: SpotLight, thing: str = "", side: str = "", distance_m: float = 0.0) -> None:
        before, after = now.horizontal_lx.value, changed.horizontal_lx.value
        gain = log2(after / before) if before > 0 and after > 0 else (float("-inf") if before > 0 else 0.0)
        softer = changed.key_fill_stops.value - now.key_fill_stops.value
        found.append(WhatIf(kind, changed, gain, softer, thing, side, distance_m))

    has_sheet = bool(hung) if hung is not None else any(d.window for d in studio.diffusers)
    main = studio.windows[0].name if studio.windows else ""
    if has_sheet:
        add("bare window", light(spot, (), ()))
    else:
        sheer = next((d for d in studio.diffusers if d.diffuse_transmittance > 0), SHEER)
        add("sheet", light(spot, (Hung(main, sheer, 1.0),), ()), sheer.name)
    add("half blocked", light(spot, (Hung(main, BLIND, 0.5),), ()))
    side = _shadow_side(now, faces + studio.front_bearing_deg)
    for board in (_kind(studio, white=True), _kind(studio, white=False)):
        try:
            stood = standing(
                studio, spot, PlacedBoard(board=board.name, side=side, distance_m=BOARD_AT_M), faces, board
            )
        except InputError:
            continue
        add("board", light(spot, hung, (stood,)), board.name, side, BOARD_AT_M)
    nearer = max(NEAREST_M, spot.from_front_m * NEARER_BY)
    if nearer < spot.from_front_m - 0.02:
        moved = replace(spot, from_front_m=nearer)
        add("nearer", light(moved, hung, ()), distance_m=nearer)
    return tuple(found)


def _shadow_side(now: SpotLight, looks_bearing_deg: float) -> str:
    """The side of the dish, seen from the camera, that is turned away from the key."""
    turn = (now.key_bearing_deg + 180 - looks_bearing_deg) % 360
    return ("far", "right", "near", "left")[round(turn / 90) % 4]


def _kind(studio: Studio, white: bool) -> Board:
    """The studio's own lightest or darkest board; a plain one when it has none."""

    def mean(board: Board) -> float:
        r = board.reflectance
        return float(r) if isinstance(r, int | float) else sum(r) / 3

    own = [b for b in studio.boards if (mean(b) > 0.5) == white]
    if not own:
        return WHITE if white else BLACK
    return max(own, key=mean) if white else min(own, key=mean)
