"""Make .venv and install Plateside with the named extras, at the versions in constraints.txt.

    python3 scripts/make_venv.py demo,picture

Needs only Python 3.11 to 3.13. When the `test` extra is asked for and this is root on a Debian system, the
few programs that the tests drive (tests/programs.py: a browser, exiftool, Java for the HTML checker, pdftoppm,
openssl) come from Debian where they are missing.
"""

import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

sys.path.insert(0, str(ROOT))
from tests.programs import missing_packages  # noqa: E402


def in_debian(package: str) -> bool:
    return subprocess.run(["apt-cache", "show", package], capture_output=True).returncode == 0


def install_programs() -> None:
    """Install the programs the tests drive, when that can be done without asking anyone."""
    missing = missing_packages(shutil.which, lambda _package: True)
    if missing and hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-qq"], check=True, env=env)
        missing = missing_packages(shutil.which, in_debian)
        command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *missing]
        subprocess.run(command, check=True, env=env, stdout=subprocess.DEVNULL)
    elif missing:
        print("For the whole test run these programs are wanted as well: " + ", ".join(missing))


def main() -> None:
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        sys.exit(f"Plateside needs Python 3.11, 3.12 or 3.13; this is {sys.version.split()[0]}.")
    extras = sys.argv[1] if len(sys.argv) > 1 else "demo,picture"
    target = ROOT / ".venv"
    python = target / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        print("Making .venv ...", flush=True)
        venv.create(target, with_pip=True)
    print(f"Installing Plateside with {extras} (a few minutes the first time) ...", flush=True)
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*pip, "-c", "constraints.txt", "-e", f".[{extras}]"], check=True, cwd=ROOT)
    if "test" in extras.split(","):
        install_programs()


if __name__ == "__main__":
    main()
