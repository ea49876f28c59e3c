"""Run every bench, or those named: `python -m bench [NAME ...]`. Each prints its own table."""

import importlib
import pkgutil
import sys
import time

import bench


def main() -> None:
    found = sorted(m.name for m in pkgutil.iter_modules(bench.__path__) if not m.name.startswith("_"))
    names = sys.argv[1:] or found
    unknown = [n for n in names if n not in found]
    if unknown:
        sys.exit(f"No bench called {', '.join(unknown)}. There are: {', '.join(found)}.")
    for name in names:
        print(f"\n== {name}", flush=True)
        started = time.monotonic()
        module = importlib.import_module(f"bench.{name}")
        if hasattr(module, "main"):
            module.main()
        print(f"== {name}: {time.monotonic() - started:.0f} s", flush=True)


if __name__ == "__main__":
    main()
