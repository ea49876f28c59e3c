"""Durations as ISO 8601 writes them and as people say them."""

import re

from plateside.model.errors import RefusedError

_FORM = re.compile(r"^P(?:(\d+)D)?(?:T(?:(\d+(?:\.\d+)?)H)?(?:(\d+(?:\.\d+)?)M)?(?:(\d+(?:\.\d+)?)S)?)?$")


def seconds(iso: str) -> float:
    """Length [s] of a duration such as PT1H30M or P1DT2H. Raises RefusedError for anything else."""
    found = _FORM.match(iso.strip())
    if found is None or not any(found.groups()):
        raise RefusedError("no duration", got=iso)
    days, hours, minutes, secs = (float(v or 0) for v in found.groups())
    return ((days * 24 + hours) * 60 + minutes) * 60 + secs


def iso(length_s: float) -> str:
    """As PT1H30M, to the second."""
    whole = round(length_s)
    hours, minutes, secs = whole // 3600, whole % 3600 // 60, whole % 60
    parts = (f"{hours}H" if hours else "") + (f"{minutes}M" if minutes else "") + (f"{secs}S" if secs else "")
    return "PT" + (parts or "0S")


def spoken(length_s: float) -> str:
    """As '1 h 30 min'; under a minute in seconds."""
    if length_s < 60:
        return f"{round(length_s)} s"
    minutes = round(length_s / 60)
    hours, rest = divmod(minutes, 60)
    return " ".join(p for p in (f"{hours} h" if hours else "", f"{rest} min" if rest else "") if p)
