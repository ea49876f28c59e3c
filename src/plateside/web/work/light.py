"""The light, as its page waits for it. Every function takes {"root", "choice": {...}, ...}."""

from datetime import date
from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.choice import Choice
from plateside.tasks.light.last_stand import LastStand
from plateside.tasks.light.place import Stand
from plateside.tasks.light.shown import asked_of, shown_day, shown_moment, shown_what_ifs
from plateside.tasks.light.sky_file import keep_sky_file
from plateside.tasks.light.week_shown import shown_week
from plateside.web.hands.names import Work

_stand_of = LastStand()


def _of(args: dict[str, Any]) -> tuple[Path, Choice]:
    return Path(args["root"]), Choice(**args["choice"])


def _stand(args: dict[str, Any]) -> tuple[Asked, Stand]:
    return _stand_of(*_of(args))


def day(args: dict[str, Any], progress: Progress) -> Any:
    """{"day", "today", maybe "small"} -> light_shown.DayShown."""
    asked, stand = _stand(args)
    return shown_day(asked, stand, args["day"], date.fromisoformat(args["today"]), bool(args.get("small")))


def moment(args: dict[str, Any], progress: Progress) -> Any:
    """{"at", "section"} -> light_shown.MomentShown."""
    asked, stand = _stand(args)
    return shown_moment(asked, stand, args["at"], bool(args["section"]))


def week(args: dict[str, Any], progress: Progress) -> Any:
    """{"day"} -> light_week_shown.WeekShown."""
    return shown_week(asked_of(*_of(args)), args["day"], progress)


def what_if(args: dict[str, Any], progress: Progress) -> Any:
    """{"at"} -> light_shown.WhatIfsShown."""
    asked, stand = _stand(args)
    return shown_what_ifs(asked, stand, args["at"])


def year(args: dict[str, Any], progress: Progress) -> Any:
    """{"year"} -> light_year_shown.YearShown."""
    from plateside.tasks.light.year_shown import shown_year

    root, choice = _of(args)
    return shown_year(root, choice, int(args["year"]), progress)


def picture(args: dict[str, Any], progress: Progress) -> Any:
    """{"day", "at", "quality", "what_if"} -> where it lies and what stands under it."""
    from plateside.tasks.light.picture_shown import shown_picture

    root, choice = _of(args)
    return shown_picture(
        root, choice, day=args["day"], at=args["at"], quality=args["quality"],
        what_if=args.get("what_if") or None, progress=progress,
    )  # fmt: skip


def sky_file(args: dict[str, Any], progress: Progress) -> Any:
    """{"root", "text", "day"} -> light_sky_file.KeptSky."""
    return keep_sky_file(Path(args["root"]), str(args["text"]), date.fromisoformat(args["day"]))


WORK: dict[str, Work] = {
    "day": day, "moment": moment, "week": week, "what_if": what_if, "year": year, "picture": picture,
    "sky_file": sky_file,
}  # fmt: skip
