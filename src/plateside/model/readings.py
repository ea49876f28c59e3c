"""Which light readings are the same one, kept twice: it counts once."""

from collections.abc import Iterable, Sequence

from plateside.model.studio import Reading

_SAME_LX = 1e-3
"""of the value: the same patch of the same frame gives the same number, rounded once or not"""


def same_reading(one: Reading, other: Reading) -> bool:
    """Whether two entries are of one reading.

    A grey card's frame kept again is the same reading, with another patch, spot, sky or clock as well: its name and its
    day, its name and its light, or its moment and its light agree. Of typed lux everything but the note has to agree.
    """
    alike = abs(one.illuminance_lx - other.illuminance_lx) <= _SAME_LX * other.illuminance_lx
    if one.source != other.source:
        return False
    if one.source != "grey card":
        return alike and (one.at, one.spot, one.sky) == (other.at, other.spot, other.sky)
    named = bool(one.evidence) and one.evidence == other.evidence
    return (named and one.at[:10] == other.at[:10]) or (alike and (named or one.at == other.at))


def distinct(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Each reading once, as it was kept last."""
    entries_once: list[Reading] = []
    for reading in readings:
        entries_once = [k for k in entries_once if not same_reading(k, reading)]
        entries_once.append(reading)
    return tuple(entries_once)


def same_entries(readings: Sequence[Reading], reading: Reading) -> list[int]:
    """Numbers of the entries that are of this very reading, the last first: so can they be taken out in turn."""
    return [
        at for at, entries_once in reversed(list(enumerate(readings))) if same_reading(entries_once, reading)
    ]
