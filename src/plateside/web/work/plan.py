"""The planned day, its cards, its sheets and its planned pictures.

Every function gets {"root": folder, "lux": measured light, or none}. What is planned is kept in this
process, so that an edit costs only what it changes.
"""

from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.plan.draw import draw_planned, make_ready
from plateside.tasks.plan.picture_cache import known_pictures
from plateside.tasks.plan.planned import Memory, sheet
from plateside.tasks.plan.print_pdf import print_call_sheet
from plateside.tasks.plan.set_card import print_card
from plateside.tasks.plan.shown import planned_day
from plateside.web.shown.plan import DayAnswer
from plateside.web.workers.names import Work

_memory = Memory()


def _memory_with(args: dict[str, Any]) -> Memory:
    _memory.read_lx = args.get("lux")
    return _memory


def day(args: dict[str, Any], progress: Progress) -> Any:
    """The whole day, and which planned pictures of it are drawn already: {"day", "drawn": {key: {quality: words}}}."""
    root = Path(args["root"])
    found = planned_day(root, _memory_with(args), progress)
    keys = [s.card.picture_key for s in found.shots if s.card is not None]
    return DayAnswer(found, known_pictures(root, keys))


def paper(args: dict[str, Any], progress: Progress) -> Any:
    """The call sheet, or with "shot" one shot sheet, as the inside of a page to print."""
    page = sheet(Path(args["root"]), _memory_with(args), args.get("shot", ""), progress)
    return {"title": page.title, "language": page.language, "body": page.body}


def picture(args: dict[str, Any], progress: Progress) -> Any:
    """Draw one planned picture: {"shot", "key", "quality"}."""
    return draw_planned(
        Path(args["root"]), args["shot"], args["key"], args["quality"], _memory_with(args), progress
    )


def ready(args: dict[str, Any], progress: Progress) -> Any:
    """Be ready to draw: what the first picture would wait for is loaded and worked out."""
    make_ready(Path(args["root"]), _memory_with(args), progress)


def set_card(args: dict[str, Any], progress: Progress) -> Any:
    """The set card's PDF for a paper; gives its path."""
    out = Path(args["root"]) / ".plateside" / "paper" / f"set-card-{args['paper']}.pdf"
    return print_card(args["paper"], out)


def call_sheet_pdf(args: dict[str, Any], progress: Progress) -> Any:
    """The call sheet's PDF; gives its path."""
    root = Path(args["root"])
    return print_call_sheet(
        root, _memory_with(args), root / ".plateside" / "paper" / "call-sheet.pdf", progress
    )


WORK: dict[str, Work] = {
    "day": day,
    "paper": paper,
    "picture": picture,
    "ready": ready,
    "set_card": set_card,
    "call_sheet_pdf": call_sheet_pdf,
}
