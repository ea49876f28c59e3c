"""Names: each written once, and each that is pointed at is there."""

from typing import Any

from plateside.files.settings.forms import FORMS, a_time
from plateside.files.settings.grammar import entries
from plateside.files.settings.guesses import folded, nearest
from plateside.files.settings.lines import pair_line
from plateside.files.settings.positions import Where
from plateside.files.settings.reader import ReadFile
from plateside.files.settings.values import wrong
from plateside.model.mistakes import Mistake
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio


def check_forms(reading: ReadFile[Any]) -> None:
    """Every text that must have a form has it."""
    _walk(reading, reading.cls, reading.value, ())


def _walk(reading: ReadFile[Any], cls: type, thing: Any, where: Where) -> None:
    for entry in entries(cls).values():
        here = (*where, entry.name)
        value = getattr(thing, entry.name)
        if entry.kind == "table" and entry.table is not None:
            _walk(reading, entry.table, value, here)
        elif entry.kind == "tables" and entry.table is not None:
            for n, item in enumerate(value):
                _walk(reading, entry.table, item, (*here, n))
        elif (cls, entry.name) in FORMS:
            form, may_be_empty = FORMS[(cls, entry.name)]
            if value == "" and may_be_empty:
                continue
            judged = form(value)
            if judged is not None:
                form_name, meant = judged
                line, quoted = (pair_line(entry.name, meant), f'"{meant}"') if meant else ("", "")
                reading.complain(here, wrong(entry, value, "form", fix=line, meant=quoted, form=form_name))
        elif entry.name == "name" and entry.required and not value.strip():
            reading.complain(here, Mistake("no name", fix=entry.example, example=True))


def check_unique(reading: ReadFile[Any]) -> None:
    """No two items of one array bear the same name, capitals and accents apart."""
    root: type = reading.cls
    for entry in entries(root).values():
        if entry.kind != "tables" or entry.table is None or "name" not in entries(entry.table):
            continue
        first_at: dict[str, int] = {}
        for n, item in enumerate(getattr(reading.value, entry.name)):
            name = folded(item.name)
            if name and name in first_at:
                first = reading.positions.line((entry.name, first_at[name], "name"))
                other = f"{item.name}{'-' if entry.name in ('shots', 'channels') else ' '}2"
                reading.complain(
                    (entry.name, n, "name"),
                    Mistake("name taken", fix=pair_line("name", other), facts={"line_of_first": first}),
                )
            first_at.setdefault(name, n)


def _look_up(
    reading: ReadFile[Any], where: Where, name: str, known: list[str], table: str, home: str
) -> None:
    if not name or name in known:
        return
    key = str(where[-1]) if isinstance(where[-1], str) else str(where[-2])
    near = nearest(name, known)
    mistake = Mistake(
        "not there",
        got=name,
        meant=f'"{near}"' if near else "",
        fix=pair_line(key, near) if near and isinstance(where[-1], str) else "",
        facts={"table": table, "known": known, "home": home},
    )
    reading.complain(where, mistake)


def check_studio_names(reading: ReadFile[Studio]) -> None:
    """Diffusers hang on windows that are there; readings were taken at spots that are there."""
    studio = reading.value
    windows, spots = [w.name for w in studio.windows], [s.name for s in studio.spots]
    for n, sheet in enumerate(studio.diffusers):
        _look_up(reading, ("diffusers", n, "window"), sheet.window, windows, "windows", reading.file)
    for n, taken in enumerate(studio.readings):
        _look_up(reading, ("readings", n, "spot"), taken.spot, spots, "spots", reading.file)


def check_shoot_alone(reading: ReadFile[Shoot]) -> None:
    """What shoot.toml must get right without looking at the studio."""
    shoot = reading.value
    channels = [c.name for c in shoot.channels]
    for n, shot in enumerate(shoot.shots):
        for k, name in enumerate(shot.channels):
            where: Where = ("shots", n, "channels", k)
            _look_up(reading, where, name, channels, "channels", reading.file)
        _in_time(reading, ("shots", n), shot.from_time, shot.to_time)
    _in_time(reading, (), shoot.from_time, shoot.to_time)


def _in_time(reading: ReadFile[Shoot], where: Where, start: str, end: str) -> None:
    if start and end and not a_time(start) and not a_time(end) and start >= end:
        reading.complain(
            (*where, "to_time"),
            Mistake("ends before start", got=end, facts={"start": start, "end": end}),
            rests_on=((*where, "from_time"),),
        )


def check_against_studio(reading: ReadFile[Shoot], studio: Studio, studio_name: str) -> None:
    """Every spot, camera, lens, support, surface, prop and board that a shot names is in the studio."""
    for n, shot in enumerate(reading.value.shots):
        here: Where = ("shots", n)
        for key, name, items, table in (
            ("spot", shot.spot, studio.spots, "spots"),
            ("camera", shot.camera, studio.cameras, "cameras"),
            ("lens", shot.lens, studio.lenses, "lenses"),
            ("support", shot.support, studio.supports, "supports"),
            ("surface", shot.surface, studio.surfaces, "surfaces"),
        ):
            known = [item.name for item in items]
            _look_up(reading, (*here, key), name, known, table, studio_name)
        props = [p.name for p in studio.props]
        for k, name in enumerate(shot.props):
            _look_up(reading, (*here, "props", k), name, props, "props", studio_name)
        boards = [b.name for b in studio.boards]
        for k, placed in enumerate(shot.boards):
            _look_up(reading, (*here, "boards", k, "board"), placed.board, boards, "boards", studio_name)
