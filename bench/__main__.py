"""Run every bench, or those named: `python -m bench [NAME ... [NUMBER ...] [--OPTION ...]]`.

Each prints its own table. KIT is run only by name: it takes an hour. Numbers given (how many, which seed) go to those
in NUMBERED, options and what follows them to those in OPTIONED.
"""

import importlib
import itertools
import pkgutil
import sys
import time

import bench

KIT = ("kills", "mutations", "scripts", "strangers")
"""What holds the promises of docs/reliability.md."""
NUMBERED = (*KIT, "held_out", "held_out_angle", "lenses", "noise", "noise_bound", "wishes")
OPTIONED = ("clipped",)


def main() -> None:
    found = sorted(m.name for m in pkgutil.iter_modules(bench.__path__) if not m.name.startswith("_"))
    words = list(itertools.takewhile(lambda a: not a.startswith("--"), sys.argv[1:]))
    options = sys.argv[1 + len(words) :]
    numbers = [int(a) for a in words if a.isdigit()]
    names = [a for a in words if not a.isdigit()] or [n for n in found if n not in KIT]
    unknown = [n for n in names if n not in found]
    if unknown:
        sys.exit(f"No bench called {', '.join(unknown)}. There are: {', '.join(found)}.")
    for name in names:
        print(f"\n== {name}", flush=True)
        started = time.monotonic()
        module = importlib.import_module(f"bench.{name}")
        if hasattr(module, "main"):
            module.main(*numbers if name in NUMBERED else options if name in OPTIONED else ())
        print(f"== {name}: {time.monotonic() - started:.0f} s", flush=True)


if __name__ == "__main__":
    main()
