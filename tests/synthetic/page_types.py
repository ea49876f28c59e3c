"""Types of what the pages are sent, from the dataclasses and typed dicts that are sent: static/js/core/facts.d.ts.

python -m scripts.page_types    writes the file; a test holds it equal to what this writes

TypeScript's checker reads it beside the pages' JavaScript (make check); browsers never do. A field is written as
plateside.tasks.report.as_json sends it: dates and paths as texts, tuples as lists, numbers that are not finite as null.
"""

import inspect
import types
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from pathlib import Path, PurePath
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints, is_typeddict

ROOT = Path(__file__).resolve().parents[2]
OUT = ROOT / "src" / "plateside" / "web" / "static" / "js" / "core" / "facts.d.ts"
HEAD = """\
// What the server sends, as scripts/page_types.py takes it from the types that are sent. Not written by hand.
"""
_PLAIN = {
    str: "string", int: "number", float: "number", bool: "boolean", type(None): "null",
    datetime: "string", date: "string", Any: "any", object: "unknown",
    dict: "Record<string, any>", list: "any[]", tuple: "any[]",
}  # fmt: skip


def roots() -> list[type]:
    """The answers, a page's after the other's."""
    from plateside.tasks.plan.shown import PlannedDay
    from plateside.tasks.set.close_pictures import CloseSize, LevelsShown
    from plateside.tasks.set.closer import CloserFacts
    from plateside.tasks.set.folders import Offered
    from plateside.tasks.set.grey_card import CardTouched
    from plateside.tasks.set.layout import LayoutShown
    from plateside.tasks.set.marks import Changed, Marks
    from plateside.tasks.studio.first_place import PlacesFor, PlaceTyped
    from plateside.tasks.studio.first_sketched import Sketched
    from plateside.web.pages.light import YearNotKept
    from plateside.web.shown import chart, choose, deliver, finish, light, plan, start, studio
    from plateside.web.shown import set as on_set
    from plateside.web.work.start import DemoMade
    from plateside.web.workers.jobs import JobsShown

    return [
        JobsShown,
        start.StartShown, start.FirstRunShown, start.Begun, start.Wrong, start.KindSaid, start.LetIn, start.TabletShown,
        PlacesFor, PlaceTyped, Sketched, DemoMade,
        studio.StudioShown, studio.WorthShown, studio.PlanDrawn, studio.VersionShown, studio.ToFix, studio.LinesLeft,
        studio.CardFrames, studio.CardRead, studio.BearingShown, studio.FitShown,
        light.DayShown, light.HourShown, light.ChangesShown, light.WeekShown, light.LeftShown,
        light.YearShown, YearNotKept,
        PlannedDay, plan.DayAnswer,
        on_set.SetScreen, Marks, Changed, CardTouched, on_set.LayersShown, on_set.ClearingShown, Offered,
        CloserFacts, CloseSize, LevelsShown, LayoutShown,
        choose.SheetsShown, choose.ProposalShown,
        finish.FinishShown, chart.ChartShown,
        deliver.DeliverShown, deliver.CropsShown,
    ]  # fmt: skip


def written(kinds: Sequence[type]) -> str:
    """The file's text: every dataclass and typed dict that these reach, by name."""
    found: dict[str, type] = {}
    for kind in kinds:
        _gather(kind, found)
    return HEAD + "".join(f"\n{_interface(found[name])}" for name in sorted(found))


def _gather(kind: Any, found: dict[str, type]) -> None:
    """All dataclasses and typed dicts within a type."""
    for part in get_args(kind):
        _gather(part, found)
    if not _has_fields(kind) or found.get(kind.__name__) is kind:
        return
    if kind.__name__ in found:
        raise SystemExit(
            f"Two types that are sent are called {kind.__name__}: {kind}, {found[kind.__name__]}"
        )
    found[kind.__name__] = kind
    for hint in _hints(kind).values():
        _gather(hint, found)


def _has_fields(kind: Any) -> bool:
    return isinstance(kind, type) and (is_dataclass(kind) or is_typeddict(kind))


def _hints(kind: Any) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return hints if is_typeddict(kind) else {field.name: hints[field.name] for field in fields(kind)}


def _interface(kind: type) -> str:
    about = (inspect.getdoc(kind) or "").split("\n")[0]
    optional = getattr(kind, "__optional_keys__", ())
    body = [f"  {name}{'?' * (name in optional)}: {typed(hint)};" for name, hint in _hints(kind).items()]
    return "\n".join([f"/** {about} */", f"export interface {kind.__name__} {{", *body, "}", ""])


def typed(hint: Any) -> str:
    """A Python type as TypeScript has it."""
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Literal:
        return " | ".join(f'"{part}"' for part in parts)
    if origin in (Union, types.UnionType):
        return " | ".join(dict.fromkeys(typed(part) for part in parts))
    if origin is tuple and parts[-1] is not Ellipsis:
        return f"[{', '.join(typed(part) for part in parts)}]"
    if origin in (tuple, list, set, frozenset, Sequence):
        inside = typed(parts[0])
        return f"({inside})[]" if " | " in inside else f"{inside}[]"
    if origin in (dict, Mapping):
        return f"Record<string, {typed(parts[1])}>"
    if _has_fields(hint):
        return str(hint.__name__)
    if isinstance(hint, type) and issubclass(hint, PurePath):
        return "string"
    if hint in _PLAIN:
        return _PLAIN[hint]
    raise TypeError(f"No type is known for {hint}: add it here")
