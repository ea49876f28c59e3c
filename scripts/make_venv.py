"""Make .venv and install Plateside with the named extras, at the versions in constraints.txt.

    python3 scripts/make_venv.py demo,picture

Needs only Python 3.11 to 3.13. When the `test` extra is asked for and this is root on a Debian system, the
few programs that the tests drive (a browser, exiftool, Java for the HTML checker, pdftoppm, openssl) come from
Debian.
"""

import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

DEBIAN = {
    "chromium-headless-shell": "chromium-headless-shell",
    "exiftool": "libimage-exiftool-perl",
    "java": "default-jre-headless",
    "pdftoppm": "poppler-utils",
    "npm": "npm",
    "openssl": "openssl",
}


def install_programs() -> None:
    """Install the programs the tests drive, when that can be done without asking anyone."""
    missing = {program: package for program, package in DEBIAN.items() if shutil.which(program) is None}
    if not missing:
        return
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-qq"], check=True, env=env)
        command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *missing.values()]
        subprocess.run(command, check=True, env=env, stdout=subprocess.DEVNULL)
        return
    print("For the whole test run these programs are wanted as well: " + ", ".join(missing.values()))


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
