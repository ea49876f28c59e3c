"""The shot sheet: settings large, lengths for the tape, drawings, what to mind."""

from plateside.camera.setup import SetUp
from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.paper.sections import (
    Beside,
    Drawing,
    Drawings,
    Facts,
    Heading,
    Item,
    Items,
    Section,
    Settings,
    Text,
)
from plateside.plan.day_plan import Slot
from plateside.words.plan import sheet as said
from plateside.words.plan.set_up import (
    cautions,
    crops,
    fact_rows,
    frame_failures,
    lens_phrase,
    minds,
    more_light,
    on_the_set,
)
from plateside.words.units import Units, units_of


def shot_sheet(
    studio: Studio, shot: Shot, s: SetUp, slot: Slot | None, *, level: int = 1
) -> tuple[Section, ...]:
    """A shot's sheet. level: of its heading, 1 alone and 2 within the call sheet."""
    units = units_of(studio.place.units)
    out: list[Section] = [Heading(shot.title or shot.name, level)]
    if shot.title:
        out.append(Text(said.shot_and_angle(s.shot, s.angle), "soft"))
    if slot is not None:
        out.append(Text(said.hour_phrase(slot), "lead"))
    out += [Text(w, "caution") for w in frame_failures(s, units)]
    return (
        *out,
        Settings((lens_phrase(s), s.f_number_words, s.exposure_words, s.iso_words)),
        Facts(tuple((r.name, r.value) for r in fact_rows(s, units))),
        Drawings((
            Drawing(side_view(studio, shot, s), said.SIDE_VIEW),
            Drawing(top_view(studio, shot, s), said.TOP_VIEW),
        )),
        _lists(s, units, level + 1),
        *(Text(c, "caution") for c in cautions(s)),
    )  # fmt: skip


def _lists(s: SetUp, units: Units, level: int) -> Beside:
    """What to mind on the set; beside it crops, and what would help."""
    known = [*(Item(w, mind=True) for w in minds(s, units)), *(Item(w) for w in on_the_set(s, units))]
    left = (Heading(said.ON_THE_SET, level, small=True), Items(tuple(known)))
    right: list[Section] = []
    for title, lines in ((said.CROPS, crops(s, units)), (said.SHORT_OF_LIGHT, more_light(s, units))):
        if lines:
            right += [Heading(title, level, small=True), Items(tuple(Item(w) for w in lines))]
    return Beside(left, tuple(right))
