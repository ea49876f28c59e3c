"""The order of the shots by the newest plan, kept in the shoot's cache for the set.

`keep_order`   written when a day was planned, by the command or the page
`cached_order`   names by their hours; empty when no day was planned, or the cache is gone
`order_on_set` the shots in the order in which they are taken
`done_shots`   shots with a frame that is kept or chosen, or set aside
"""

from datetime import date
from pathlib import Path

from plateside.files.cache import Cache
from plateside.files.journal.state import ShootState
from plateside.model.shoot import Shoot, Shot
from plateside.plan.dish_order import by_days

_KEY = "order"


def _cache(root: Path) -> Cache:
    return Cache(root / ".plateside" / "plan", most=10)


def keep_order(root: Path, names: list[str]) -> None:
    """Keep the order (names by their hours); a disk that refuses is passed over."""
    if names != cached_order(root):
        _cache(root).put(_KEY, names)


def cached_order(root: Path) -> list[str]:
    """Names of the shots by the plan's hours."""
    found = _cache(root).get(_KEY)
    return [n for n in found if isinstance(n, str)] if isinstance(found, list) else []


def order_on_set(root: Path, shoot: Shoot, today: date | None = None) -> list[Shot]:
    """The shots in the order in which they are taken, each with its day; `today` left out: this machine's."""
    return by_days(shoot, cached_order(root), (today or date.today()).isoformat())


def done_shots(state: ShootState, shoot: Shoot) -> set[str]:
    """Names of the shots with a frame that is kept, or chosen and not sent back; and of those set aside on purpose."""
    done = {state.shot_of.get(f, "") for f in state.kept}
    done |= {name for name, frame in state.heroes.items() if frame not in state.again}
    return done | {shot.name for shot in shoot.shots if shot.left_out}
