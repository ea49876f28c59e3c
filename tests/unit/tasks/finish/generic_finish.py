"""A shoot finished as any processor would do it: run by test_same_again.py in a program of its own."""

import json
import sys
from pathlib import Path

import numba

from plateside.tasks.finish.series import finish


def main(one: str, two: str) -> None:
    """Finish one folder by one thread, its copy by two; say what was told of the processor."""
    for root, threads in ((one, 1), (two, 2)):
        numba.set_num_threads(threads)
        finish(Path(root))
    print(
        json.dumps({"processor": getattr(numba.config, "CPU_NAME", ""), "threads": numba.get_num_threads()})
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
