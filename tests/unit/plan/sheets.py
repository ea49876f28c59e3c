"""A call sheet of a made-up day."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from plateside.model.shoot import Creator, PlacedBoard, Recipe, Shoot, Shot, Step
from plateside.paper.call_sheet import call_sheet
from plateside.paper.sheet_html import page
from plateside.plan.clocks import rule_of
from plateside.plan.day import plan_day
from plateside.plan.day_plan import LightOfShot
from plateside.plan.setup import solve
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON

NASTY = "<script>alert('x')</script> & \"soup\""


SHOTS = (
    Shot(
        name="top",
        angle="overhead",
        frame_width_mm=600,
        frame_height_mm=400,
        camera_faces_deg=0,
        boards=(PlacedBoard(board="white", side="near"),),
        glossy=True,
    ),
    Shot(name="side", boards=(PlacedBoard(board="white", side="far"),), title=NASTY),
    Shot(name="front", angle="straight-on", camera_faces_deg=180, sharp="front", person=True, moves="hand"),
)


def sheet(shots: tuple[Shot, ...] = SHOTS) -> str:
    zone = ZoneInfo("Europe/Lisbon")
    start = datetime(2027, 7, 15, 9, 0, tzinfo=zone)
    recipe = Recipe(
        title=NASTY,
        allergens=(NASTY,),
        steps=(Step(name=NASTY, takes="PT10M", looks_fresh_for="PT20M"),),
    )
    shoot = Shoot(
        date="2027-07-15", recipe=recipe, creator=Creator(name=NASTY), shots=shots, channels=CHANNELS
    )
    series = LightOfShot(
        (start, start + timedelta(hours=9)), np.array([900.0, 900.0]), np.array([True, True])
    )
    day = plan_day(
        shots, recipe, {s.name: series for s in shots}, rule_of("PT"), start, start + timedelta(hours=9)
    )
    solved = {s.name: solve(LISBON, s, CHANNELS, LIGHT) for s in shots}
    studio = replace(LISBON, place=replace(LISBON.place, name=NASTY))
    return page(NASTY, call_sheet(studio, shoot, day, solved), shoot.creator.language)
