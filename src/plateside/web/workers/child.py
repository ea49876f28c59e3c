"""The child process: reads requests, one JSON object a line, and answers in the same way.

    in    {"id": 3, "work": "light.day", "args": {...}}     {"stop": 3}
    out   {"id": 3, "done": 4, "total": 96}
          {"id": 3, "result": {...}}
          {"id": 3, "error": "...", "kind": "input", "mistakes": [...]}

One request runs at a time; a stop takes effect at the work's next word of progress, and at once when it has
not begun. The process ends with its parent: the end of its input ends it.
"""

import contextlib
import json
import logging
import os
import queue
import sys
import threading
from typing import Any, TextIO

from plateside.jobs.held import bound_memory, end_with_parent
from plateside.model.errors import Cancelled, InputError, PlatesideError
from plateside.tasks.report import as_json
from plateside.tasks.serve.damage_said import damage_to_say
from plateside.web.log import measure_logs
from plateside.web.trouble import trouble_of
from plateside.web.workers.names import find_work
from plateside.words.commands import STOPPED
from plateside.words.serving import FAULT, STOPPED_BEFORE

_log = logging.getLogger("plateside")


class Child:
    """Requests waiting, requests to stop, and the pipe on which answers go."""

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._lock = threading.Lock()
        self._stopped: set[int] = set()
        self._waiting: queue.Queue[dict[str, Any] | None] = queue.Queue()

    def hear(self, line: str) -> None:
        """Take one line of input."""
        message = json.loads(line)
        if "stop" in message:
            self._stopped.add(int(message["stop"]))
        else:
            self._waiting.put(message)

    def end(self) -> None:
        """No more requests will come: what is running is stopped at its next word."""
        self._waiting.put(None)

    def work(self) -> None:
        """Do one request after another until the end."""
        while (request := self._waiting.get()) is not None:
            self._say({"id": request["id"], **self._answer(request), "damaged": damage_to_say()})

    def _answer(self, request: dict[str, Any]) -> dict[str, Any]:
        number = int(request["id"])

        def progress(done: int, total: int) -> None:
            if number in self._stopped:
                raise Cancelled(STOPPED)
            self._say({"id": number, "done": done, "total": total})

        try:
            if number in self._stopped:
                raise Cancelled(STOPPED_BEFORE)
            return {"result": as_json(find_work(request["work"])(request["args"], progress))}
        except PlatesideError as error:
            kind = "input" if isinstance(error, InputError) else "not done"
            kind = "stopped" if isinstance(error, Cancelled) else kind
            words, mistakes = trouble_of(error)
            return {"error": words, "kind": kind, "mistakes": mistakes}
        except Exception:  # the hand must outlive a fault in one piece of work, and tell it
            _log.exception("Plateside failed in %s", request["work"])
            return {"error": FAULT, "kind": "fault", "mistakes": []}
        finally:
            self._stopped.discard(number)

    def _say(self, message: dict[str, Any]) -> None:
        with self._lock, contextlib.suppress(BrokenPipeError):
            self._out.write(json.dumps(message, ensure_ascii=False, allow_nan=False) + "\n")
            self._out.flush()


def main() -> None:
    """Run until the parent closes the pipe."""
    out = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    # a library that prints must not break the answers
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    child = Child(out)
    measure_logs()
    end_with_parent()
    bound_memory()

    def listen() -> None:
        for line in sys.stdin:
            child.hear(line)
        # the parent is gone: nobody waits for what is being done
        os._exit(0)

    threading.Thread(target=listen, daemon=True).start()
    child.work()


if __name__ == "__main__":
    main()
