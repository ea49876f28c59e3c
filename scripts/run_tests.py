"""Every check of the project, in one go: style, types, import contracts, tests.

python scripts/run_tests.py            all: the tests, and beside them what only reads the code, told at the end
python scripts/run_tests.py --static   style, types and contracts only; and of the pages' JavaScript, where Node is
python scripts/run_tests.py --pages    the pages' JavaScript only
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent

STATIC = [
    ("style", ["ruff", "check", "."]),
    ("format", ["ruff", "format", "--check", "."]),
    ("types", ["python", "scripts/check_types.py"]),
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
    # once for all workers and all the programs that tests start
    ("kernels", ["python", "scripts/compile_kernels.py"]),
    # one more than a small laptop has cores: tests of pages often wait
    ("tests", ["pytest", "-q", "-n", "3", "--dist", "worksteal"]),
]
KEEP_MEMORY = {
    "MALLOC_MMAP_THRESHOLD_": str(1 << 30), "MALLOC_TRIM_THRESHOLD_": str(1 << 30), "MALLOC_TOP_PAD_": str(1 << 26),
}  # fmt: skip
"""glibc keeps what tests gave back, picture after picture: a tenth of their time went into having it emptied anew."""


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


@dataclass
class Step:
    """One check as it went."""

    name: str
    command: list[str]
    exit_status: int
    seconds: float
    processor_s: float
    """Processor time [s] of the program and of all that it started and waited for; 0 on Windows.

    Not in it: what a browser's own processes took that nobody waits for when it is closed.
    """

    def line(self) -> str:
        return f"== {self.name}: {self.seconds:.0f} s, of processor time {self.processor_s:.0f} s"


def run(name: str, command: list[str], into: IO[bytes] | None = None) -> Step:
    """Run one check; what it prints goes to the screen, or into a file."""
    env = {**os.environ, "PATH": f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"}
    # tests start hundreds of programs: each would read the whole source anew, where what was read is kept nowhere
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    env = KEEP_MEMORY | env
    started, used = time.monotonic(), 0.0
    with subprocess.Popen(
        command, cwd=ROOT, env=env, stdout=into, stderr=subprocess.STDOUT if into else None
    ) as process:
        if hasattr(os, "wait4"):
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
            used = usage.ru_utime + usage.ru_stime
    return Step(name, command, process.returncode, time.monotonic() - started, used)


def begin(steps: list[tuple[str, list[str]]]) -> Callable[[], list[Step]]:
    """Run checks one after the other beside what comes next; the answer waits for them and prints what they said."""
    done: list[tuple[Step, bytes]] = []

    def all_of_them() -> None:
        for name, command in steps:
            with tempfile.TemporaryFile() as said:
                step = run(name, command, said)
                said.seek(0)
                done.append((step, said.read()))

    thread = threading.Thread(target=all_of_them)
    thread.start()

    def wait() -> list[Step]:
        thread.join()
        for step, said in done:
            print(f"== {step.name}: {' '.join(step.command)}", flush=True)
            sys.stdout.buffer.write(said)
            print(step.line(), flush=True)
        return [step for step, _ in done]

    return wait


def main() -> int:
    pages, static = "--pages" in sys.argv, "--static" in sys.argv
    steps = page_steps() if pages else STATIC + page_steps() if static else TESTS
    done, beside = [], None
    for name, command in steps:
        if name == "tests":
            # they often wait for a page: what only reads the code is done meanwhile
            beside = begin(STATIC)
        print(f"== {name}: {' '.join(command)}", flush=True)
        done.append(run(name, command))
        print(done[-1].line(), flush=True)
    done += beside() if beside else []
    failed = [step.name for step in done if step.exit_status != 0]
    if (pages or static) and not has_node():
        print(NO_NODE)
    print(f"Processor time of all: {sum(step.processor_s for step in done) / 60:.1f} minutes")
    if failed:
        print("FAILED: " + ", ".join(failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
