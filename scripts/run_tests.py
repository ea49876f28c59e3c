"""Every check of the project, in one go: style, types, import contracts, tests.

python scripts/run_tests.py            all
python scripts/run_tests.py --static   style, types and contracts only; and of the pages' JavaScript, where Node is
python scripts/run_tests.py --pages    the pages' JavaScript only
"""

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent

STATIC = [
    ("style", ["ruff", "check", "."]),
    ("format", ["ruff", "format", "--check", "."]),
    ("types", ["mypy"]),
    ("import contracts", ["lint-imports"]),
]
PAGES = [
    ("page types", ["node", "node_modules/typescript/bin/tsc", "-p", "."]),
    ("page style", ["node", "node_modules/eslint/bin/eslint.js", "src/plateside/web/static/js"]),
]
"""The pages' JavaScript: checkers for developers, named in package.json with their exact versions."""
NO_NODE = (
    "NOT CHECKED: the pages' JavaScript, because Node is missing. Nobody needs it to run or to test Plateside. "
    "To check the pages, install Node 20 or newer, with npm, and run this again."
)
TESTS = [
    # once for both workers and all the programs that tests start
    ("kernels", ["python", "scripts/compile_kernels.py"]),
    ("tests", ["pytest", "-q", "-n", "2", "--dist", "worksteal"]),
]


def has_node() -> bool:
    return shutil.which("node") is not None and shutil.which("npm") is not None


def installed() -> bool:
    """Whether node_modules holds the versions that package.json names."""
    wanted = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))["devDependencies"]
    there = {name: ROOT / "node_modules" / name / "package.json" for name in wanted}
    return all(
        path.is_file() and json.loads(path.read_text(encoding="utf-8"))["version"] == wanted[name]
        for name, path in there.items()
    )


def page_steps() -> list[tuple[str, list[str]]]:
    """The checks of the pages; none where Node is missing."""
    if not has_node():
        return []
    npm = shutil.which("npm") or "npm"
    quiet = ["--no-package-lock", "--ignore-scripts", "--no-audit", "--no-fund"]
    return PAGES if installed() else [("page checkers", [npm, "install", *quiet]), *PAGES]


def processor_s() -> float:
    """Processor time [s] of every program that was started and has ended, with those that it started; 0 on Windows.

    Not in it: what a browser's own processes took that nobody waits for when it is closed.
    """
    times = os.times()
    return times.children_user + times.children_system


def main() -> int:
    pages, static = "--pages" in sys.argv, "--static" in sys.argv
    steps = page_steps() if pages else STATIC + page_steps() if static else STATIC + TESTS
    env = {**os.environ, "PATH": f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"}
    failed = []
    for name, command in steps:
        print(f"== {name}: {' '.join(command)}", flush=True)
        started, used = time.monotonic(), processor_s()
        if subprocess.run(command, cwd=ROOT, env=env).returncode != 0:
            failed.append(name)
        print(
            f"== {name}: {time.monotonic() - started:.0f} s, of processor time {processor_s() - used:.0f} s",
            flush=True,
        )
    if (pages or static) and not has_node():
        print(NO_NODE)
    print(f"Processor time of all: {processor_s() / 60:.1f} minutes")
    if failed:
        print("FAILED: " + ", ".join(failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
