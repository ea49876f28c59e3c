"""Compiled ahead: whoever asks for the light afterwards waits for no compiler."""

import importlib
import pkgutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from numba.core.dispatcher import Dispatcher

from plateside import light
from plateside.files import compiled
from plateside.light.boards import all_standing
from plateside.light.day import day_light
from plateside.light.moment import light_at
from plateside.light.once_through import call_all
from plateside.model.room import Block, Board, Diffuser, Opposite
from plateside.model.shoot import PlacedBoard
from plateside.model.studio import Fit, Studio
from tests.unit.light.rooms import PLAIN, SPOT, WINDOW

AT = datetime(2027, 7, 15, 11, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
HILL = Opposite(bearing_from_deg=300, bearing_to_deg=80, distance_m=9, top_above_ground_m=12)


def kernels() -> Iterator[tuple[str, Dispatcher]]:
    for module in pkgutil.iter_modules(light.__path__, "plateside.light."):
        for name, thing in vars(importlib.import_module(module.name)).items():
            if isinstance(thing, Dispatcher):
                yield f"{module.name}.{name}", thing


def compiled_now() -> dict[str, int]:
    """For how many kinds of arguments each kernel is compiled."""
    return {name: len(kernel.signatures) for name, kernel in kernels()}


ROOMS: dict[str, Studio] = {
    "plain": PLAIN,
    "overhang and reveal": replace(
        PLAIN, windows=(replace(WINDOW, reveal_depth_m=0.3, overhang_depth_m=1.0),)
    ),
    "opposite": replace(PLAIN, windows=(replace(WINDOW, opposite=(HILL, replace(HILL, see_through=0.5))),)),
    "sheet": replace(PLAIN, diffusers=(Diffuser(name="sheer", window="window", covers_share=0.6),)),
    "furniture": replace(
        PLAIN,
        furniture=(
            Block(name="shelf", from_left_m=0, from_front_m=1, width_m=0.4, depth_m=0.5, height_m=1.8),
        ),
    ),
    "no window": replace(PLAIN, windows=()),
    "corrected": replace(PLAIN, fit=Fit(skyline_lift_deg=4.0, skyline_lift_spread_deg=2.0, readings=3)),
}


@pytest.mark.parametrize("name", ROOMS)
def test_no_kernel_is_left_to_compile(name: str) -> None:
    call_all()
    before = compiled_now()
    assert sum(before.values()) > 8, "those that numpy's side calls"
    room = replace(ROOMS[name], boards=(Board(name="white"),))
    boards = all_standing(room, SPOT, (PlacedBoard(board="white", side="right", distance_m=0.4),), 90.0)
    for sky in ("clear", "broken", "overcast"):
        day_light(room, SPOT, date(2027, 7, 15), sky, step_min=120.0, boards=boards)
        light_at(room, SPOT, AT, sky, boards=boards)
    assert compiled_now() == before


def test_it_is_known_when_all_are_compiled(tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path))
    assert not compiled.all_compiled()
    compiled.note_all_compiled()
    assert compiled.all_compiled()


def test_other_sources_are_compiled_again(tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path))
    compiled.note_all_compiled()
    monkeypatch.setattr(compiled, "mark_of", lambda _package: "another")
    assert not compiled.all_compiled()
