"""Rooms that readings are taken in, as settings files, and their moments."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from plateside.model.room import Opposite, Place, Room, Spot, Window
from plateside.model.studio import Studio


def file_studio(one: Any) -> Studio:
    """What the photographer wrote down."""
    return Studio(
        place=Place(**one["place"]),
        room=Room(**one["room"]),
        windows=tuple(
            Window(**{**w, "opposite": tuple(Opposite(**thing) for thing in w.get("opposite", ()))})
            for w in one["windows"]
        ),
        spots=(Spot(**one["spot"]),),
    )


def local_moment(at: str, zone: ZoneInfo) -> datetime:
    """A local date and time in its zone."""
    return datetime.fromisoformat(at).replace(tzinfo=zone)
