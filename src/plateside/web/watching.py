"""The watcher as the server's child: what it tells goes out as JSON, a line each, and it ends with its parent.

The parent holds the other end of this process's input: when that is closed, however the parent ended, nobody hears
what is told here any more, and the lock must be free for the next server. Between two rows of a frame nothing is lost:
they are caught up at the next start.
"""

import json
import os
import sys
import threading
from pathlib import Path

from plateside.jobs.held import bound_memory, end_with_parent
from plateside.model.errors import PlatesideError
from plateside.tasks.report import as_json
from plateside.tasks.set.events import Event
from plateside.tasks.set.watch import watch
from plateside.words.refused import said


def main(root: str) -> int:
    """Watch the shoot in the folder `root` until the input ends."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    end_with_parent()
    bound_memory()
    try:
        watch(Path(root), _say)
    except PlatesideError as error:
        _write({"error": said(error)})
        return error.exit_status
    return 0


def _say(event: Event) -> None:
    _write(as_json(event))


def _write(event: object) -> None:
    try:
        sys.stdout.write(json.dumps(event, ensure_ascii=True) + "\n")
        sys.stdout.flush()
    except OSError:
        os._exit(0)


def _end_with_parent() -> None:
    while os.read(sys.stdin.fileno(), 1 << 12):
        pass
    # at once, wherever the other thread is: it may be in the middle of a picture for seconds
    os._exit(0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[-1]))
