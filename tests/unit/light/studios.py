"""Studios whose days and years are worked out."""

from datetime import date
from zoneinfo import ZoneInfo

LISBON = ZoneInfo("Europe/Lisbon")


WINTER = date(2027, 1, 15)
