"""Long work as the pages see it: begun, how far, done or stopped, and what came of it."""

import asyncio
import itertools
import secrets
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal, NotRequired, TypedDict

from plateside.web.asker import DESK, asker
from plateside.web.workers.worker import Worker, WorkError
from plateside.words.commands import STOPPED
from plateside.words.serving import too_much_work

MOST_JOBS = 40
"""Jobs that are over and still told of."""
SAID_EVERY_S = 0.2
_PLACES = ("root", "target")
"""Arguments that are folders."""
MOST_OF_DESK, MOST_OF_TABLET, MOST_OF_TABLETS = 60, 6, 18
"""Jobs of the desk, of one tablet and of all tablets that wait or run at once: no page begins more than three."""


State = Literal["waiting", "running", "done", "stopped", "failed"]


class JobShown(TypedDict):
    """A piece of long work as pages are told of it."""

    job: int
    work: str
    args: dict[str, Any]
    state: State
    done: int
    total: int
    words: str
    mistakes: list[dict[str, Any]]
    server: str
    ending: bool
    result: NotRequired[Any]
    """Only where it is asked for."""


class JobsShown(TypedDict):
    """All that are known, oldest first."""

    jobs: list[JobShown]


@dataclass
class Job:
    """One piece of long work."""

    number: int
    work: str
    args: dict[str, Any]
    state: State = "waiting"
    done: int = 0
    total: int = 0
    words: str = ""
    result: Any = None
    mistakes: list[dict[str, Any]] = field(default_factory=list)
    task: asyncio.Task[None] | None = None
    said_at: float = 0.0
    who: str = DESK
    """Who began it."""
    server: str = ""
    """Which running server began it: its number counts there only."""
    ending: bool = False
    """Stopped because that server ends: it is to be begun again at the next."""

    def status(self, with_result: bool = False) -> JobShown:
        """The job as JSON, its result only where it is asked for; where its files are is nobody's to know."""
        args = {name: value for name, value in self.args.items() if name not in _PLACES}
        out: JobShown = {
            "job": self.number, "work": self.work, "args": args, "state": self.state, "done": self.done,
            "total": self.total, "words": self.words, "mistakes": self.mistakes,
            "server": self.server, "ending": self.ending,
        }  # fmt: skip
        if with_result:
            out["result"] = self.result
        return out


class Jobs:
    """All jobs since the server started, in order; the same work with the same arguments runs once."""

    def __init__(self, say: Callable[[str, Any], None]) -> None:
        self._say = say
        self.server = secrets.token_hex(8)
        # another server's numbers begin elsewhere: a page that was away never takes another work's result for its own
        self._numbers = itertools.count(secrets.randbelow(2**40) + 1)
        self._jobs: dict[int, Job] = {}

    def begin(self, worker: Worker, work: str, args: dict[str, Any]) -> Job:
        """Begin, or give back the one that is already under way for the same thing.

        Raises WorkError ("busy") when whoever asks has too many of them waiting.
        """
        for job in self._jobs.values():
            if job.work == work and job.args == args and job.state in ("waiting", "running"):
                return job
        who = asker.get()
        waiting = Counter(j.who for j in self._jobs.values() if j.state in ("waiting", "running"))
        of_tablets = waiting.total() - waiting[DESK]
        if waiting[who] >= (MOST_OF_DESK if who == DESK else MOST_OF_TABLET):
            raise WorkError(too_much_work(waiting[who]), "busy", [])
        if who != DESK and of_tablets >= MOST_OF_TABLETS:
            raise WorkError(too_much_work(of_tablets), "busy", [])
        job = Job(next(self._numbers), work, args, who=who, server=self.server)
        self._jobs[job.number] = job
        job.task = asyncio.create_task(self._run(worker, job))
        self._forget()
        return job

    def get(self, number: int) -> Job | None:
        """A job by its number."""
        return self._jobs.get(number)

    def all(self) -> list[Job]:
        """Oldest first."""
        return list(self._jobs.values())

    def stop(self, number: int) -> Job | None:
        """Stop a job; nothing half-done is left behind."""
        job = self._jobs.get(number)
        if job and job.task and job.state in ("waiting", "running"):
            job.task.cancel()
        return job

    async def _run(self, worker: Worker, job: Job) -> None:
        def status(done: int, total: int) -> None:
            job.state, job.done, job.total = "running", done, total
            if time.monotonic() - job.said_at > SAID_EVERY_S or done >= total > 0:
                job.said_at = time.monotonic()
                self._say("work", job.status())

        self._say("work", job.status())
        try:
            job.result = await worker.ask(job.work, job.args, status)
            job.state = "done"
        except asyncio.CancelledError:
            job.state, job.words = "stopped", STOPPED
        except WorkError as error:
            job.ending = error.kind == "ending"
            job.state = "stopped" if error.kind in ("stopped", "ending") else "failed"
            job.words, job.mistakes = error.words, error.mistakes
        self._say("work", job.status())

    def _forget(self) -> None:
        over = [n for n, j in self._jobs.items() if j.state in ("done", "stopped", "failed")]
        for number in over[: max(0, len(over) - MOST_JOBS)]:
            del self._jobs[number]
