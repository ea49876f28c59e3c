"""Watch the frames folder: each frame told, judged and written down as it lands.

The order of writing makes a crash harmless: first 'frame landed', then 'verdict'. Started again, frames without
a 'frame landed' row are told anew and frames without a verdict are judged; nothing is told twice. A file that cannot be
used is a 'file set aside' row: told once, and again only when it has changed.

One watcher a shoot judges; a second one (a terminal beside the pages) follows the journal and tells what the first
writes, and takes over when the first ends. The one that judges also copies to the second disk (safe_run.py).
"""

import contextlib
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from plateside.files import damage
from plateside.files.index.index import Index
from plateside.files.journal.live import LiveState
from plateside.files.settings.load import open_shoot
from plateside.files.watch_lock import WatchLock
from plateside.tasks.set.events import Event
from plateside.tasks.set.follow import Follower
from plateside.tasks.set.safe_told import SafeTold
from plateside.tasks.set.watch_report import WatchReport
from plateside.tasks.set.watch_run import WatchRun

if TYPE_CHECKING:
    from plateside.tasks.set.safe_run import SafeRun

POLL_S = 0.05
NEAR_POLL_S = 0.015625
"""While a file has been seen that is not told yet: it is told as soon as it has stood still for long enough."""
SLOW_POLL_S, LOOK_SHARE = 0.25, 0.1
"""A folder of thousands is looked at less often: no more than this share of the time goes into looking."""
COPYING_AFTER_S = 2.0
"""The copying waits for the first verdict after a start, or until nothing lands; no longer than this."""
FOLLOW_QUIET_S = 3.0
"""With `once`, a follower stops when nothing was written for this long."""


def watch(
    shoot_dir: Path,
    say: Callable[[Event], None],
    *,
    stop: Callable[[], bool] = lambda: False,
    once: bool = False,
    poll_s: float = POLL_S,
    clock: Callable[[], float] = time.monotonic,
    sleep: Callable[[float], None] = time.sleep,
) -> WatchReport:
    """Watch until `stop()` is true (or, with `once`, until all that is there has been told).

    say     called for each thing to tell, in order
    clock, sleep  exchangeable for tests
    Raises InputError when there is no shoot; the frames folder is waited for.
    """
    opened = open_shoot(shoot_dir)
    lock = WatchLock(opened.folder.root)
    live = LiveState.open(opened.folder.root)
    follower = Follower(live, say)
    run: WatchRun | None = None
    copying: SafeRun | None = None
    begun_s = 0.0
    safe = SafeTold(opened.folder.root)
    quiet_s = 0.0
    try:
        with Index.open(opened.folder.root) as index, contextlib.suppress(KeyboardInterrupt):
            # Ctrl-C is how a watch is meant to end; between the two rows of a frame it is caught up at the next start.
            while not stop():
                if run is None and lock.take():
                    follower.end()
                    run, begun_s = WatchRun(opened, live, index, say), clock()
                began = clock()
                with copying.giving_way() if copying else contextlib.nullcontext():
                    busy = run.look(clock(), stop) if run else follower.look()
                looked_s = clock() - began
                if (
                    copying is None
                    and run
                    and (not busy or run.judged or clock() - begun_s > COPYING_AFTER_S)
                ):
                    copying = _copying(run)
                for words in damage.taken():
                    say(Event("damage", words))
                if (told := safe.look()) is not None:
                    say(told)
                quiet_s = 0.0 if busy else quiet_s + poll_s
                quiet = quiet_s >= (2 * poll_s if run else FOLLOW_QUIET_S)
                if once and quiet and (copying is None or copying.idle.wait(poll_s)):
                    break
                if run is not None and not busy and not once:
                    run.prepare()
                if run is None or not run.queue:
                    sleep(_pause_s(run, busy, looked_s, poll_s))
    finally:
        if copying is not None:
            copying.stop()
        lock.free()
    if (told := safe.look()) is not None and told.words:
        say(told)
    return WatchReport(
        follower.landed + (run.landed if run else 0),
        tuple(run.judged) if run else (),
        tuple(run.refused) if run else (),
        tuple(follower.words),
    )


def _copying(run: WatchRun) -> "SafeRun":
    # loaded here: a frame that landed while nobody watched has its verdict first
    from plateside.tasks.set.safe_run import SafeRun

    copying = SafeRun(run.opened)
    copying.start()
    return copying


def _pause_s(run: WatchRun | None, busy: bool, looked_s: float, poll_s: float) -> float:
    """Until the next look [s]."""
    if run is not None and run.landing.waiting:
        return max(min(NEAR_POLL_S, poll_s), min(2 * looked_s, poll_s))
    return poll_s if busy else max(poll_s, min(looked_s / LOOK_SHARE, SLOW_POLL_S))
