"""The server stays small: it imports nothing that computes."""

import subprocess
import sys

HEAVY = ("numpy", "scipy", "cv2", "numba", "pvlib", "pyvips", "rawpy", "mitsuba", "pandas", "PIL")


def test_the_app_imports_nothing_that_computes() -> None:
    code = (
        "import sys, plateside.web.app as a; [__import__('plateside.web.pages.' + r) for r in a.ROOMS]; "
        f"print([m for m in {HEAVY!r} if m in sys.modules])"
    )
    got = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert got.stdout.strip() == "[]"
