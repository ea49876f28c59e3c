"""Every check of the project, in one go: style, types, import contracts, tests.

python scripts/run_tests.py            all
python scripts/run_tests.py --static   style, types and contracts only
"""

import os
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
TESTS = [
    # once for both workers and all the programs that tests start
    ("kernels", ["python", "scripts/compile_kernels.py"]),
    ("tests", ["pytest", "-q", "-n", "2", "--dist", "worksteal"]),
]


def main() -> int:
    steps = STATIC if "--static" in sys.argv else STATIC + TESTS
    env = {**os.environ, "PATH": f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"}
    failed = []
    for name, command in steps:
        print(f"== {name}: {' '.join(command)}", flush=True)
        started = time.monotonic()
        if subprocess.run(command, cwd=ROOT, env=env).returncode != 0:
            failed.append(name)
        print(f"== {name}: {time.monotonic() - started:.0f} s", flush=True)
    if failed:
        print("FAILED: " + ", ".join(failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
