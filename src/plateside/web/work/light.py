"""The light, as its page waits for it. Every function takes {"root", "choice": {...}, ...}."""

from datetime import date
from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.light.asked import Asked, asked_of
from plateside.tasks.light.choice import LightChoice, kept_year_key, light_cache
from plateside.tasks.light.drawings import plan_svg, plot_svg
from plateside.tasks.light.last_stand import LastStand
from plateside.tasks.light.moment_and_day import changes_at, light_of_day, light_of_hour
from plateside.tasks.light.place import LightStand
from plateside.tasks.light.sky_file import keep_sky_file
from plateside.tasks.light.week_and_year import light_of_week
from plateside.web.shown.light import changes_shown, day_shown, hour_shown, week_shown
from plateside.web.workers.names import Work
from plateside.words.light.meter import sky_kept_sentences

_stand_of = LastStand()


def _of(args: dict[str, Any]) -> tuple[Path, LightChoice]:
    return Path(args["root"]), LightChoice(**args["choice"])


def _stand(args: dict[str, Any]) -> tuple[Asked, LightStand]:
    return _stand_of(*_of(args))


def day(args: dict[str, Any], progress: Progress) -> Any:
    """{"day", "today", maybe "small"} -> shown.light.DayShown."""
    asked, stand = _stand(args)
    facts = light_of_day(asked, args["day"], stand)
    curve = plot_svg(facts, small=bool(args.get("small")))
    return day_shown(facts, date.fromisoformat(args["today"]), curve)


def moment(args: dict[str, Any], progress: Progress) -> Any:
    """{"at", "section"} -> shown.light.HourShown."""
    asked, stand = _stand(args)
    hour = light_of_hour(asked, stand, args["at"])
    return hour_shown(hour, plan_svg(stand, hour.light, hour.at, with_section=bool(args["section"])))


def week(args: dict[str, Any], progress: Progress) -> Any:
    """{"day"} -> shown.light.WeekShown."""
    return week_shown(light_of_week(asked_of(*_of(args)), args["day"], progress))


def what_if(args: dict[str, Any], progress: Progress) -> Any:
    """{"at"} -> shown.light.ChangesShown."""
    asked, stand = _stand(args)
    return changes_shown(changes_at(asked, stand, args["at"]))


def year(args: dict[str, Any], progress: Progress) -> Any:
    """{"year"} -> the year as shown.light.year_shown sends it, from what is kept when it is there."""
    from plateside.tasks.light.year_kept import drawn_year
    from plateside.web.shown.light import year_shown

    root, choice = _of(args)
    cache, key = light_cache(root), kept_year_key(root, choice, int(args["year"]))
    found = cache.get(key)
    if found is None:
        found = year_shown(drawn_year(root, choice, int(args["year"]), progress))
        cache.put(key, found)
    return found


def picture(args: dict[str, Any], progress: Progress) -> Any:
    """{"day", "at", "quality", "what_if"} -> where it lies and what is said under it."""
    from plateside.tasks.plan.light_picture import shown_picture

    root, choice = _of(args)
    return shown_picture(
        root, choice, day=args["day"], at=args["at"], quality=args["quality"],
        what_if=args.get("what_if") or None, progress=progress,
    )  # fmt: skip


def sky_file(args: dict[str, Any], progress: Progress) -> Any:
    """{"root", "text", "day"} -> which kind of sky was kept, and what is said of it."""
    sky = keep_sky_file(Path(args["root"]), str(args["text"]), date.fromisoformat(args["day"]))
    return {"kind": sky.kind, "words": " ".join(sky_kept_sentences(sky))}


def compile_all(args: dict[str, Any], progress: Progress) -> Any:
    """{} -> nothing: what numba compiles is kept on disk, for this child and every other."""
    from plateside.tasks.light.compile_ahead import compile_ahead

    compile_ahead(progress)


WORK: dict[str, Work] = {
    "day": day, "moment": moment, "week": week, "what_if": what_if, "year": year, "picture": picture,
    "sky_file": sky_file, "compile": compile_all,
}  # fmt: skip
