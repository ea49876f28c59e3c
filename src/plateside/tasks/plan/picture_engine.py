"""Which of the renderer's variants works on this machine.

The fast variant needs an LLVM library. Some of them do not load, and one (Debian 12's LLVM 15) ends the process that
tries it: so each is tried in a process of its own, and what was found is kept beside the shoot's other caches.
"""

import glob
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from plateside.files.cache import read_sealed_json, write_sealed_json
from plateside.picture import engine
from plateside.words.files import KEPT_RENDERER
from plateside.words.plan.picture import engine_sentence

PLACES = (
    "/usr/lib/*/libLLVM*.so*", "/usr/lib/libLLVM*.so*", "/usr/lib64/libLLVM*.so*", "/usr/lib/llvm-*/lib/libLLVM*.so*",
    "/opt/homebrew/opt/llvm/lib/libLLVM*.dylib", "/usr/local/opt/llvm/lib/libLLVM*.dylib",
    "C:/Program Files/LLVM/bin/LLVM-C.dll",
)  # fmt: skip
OLDEST = 16
"""Older ones are refused or end the process."""
PROBE = (
    "import mitsuba as mi; mi.set_variant('llvm_ad_rgb'); import drjit as dr; "
    "print('sum', float(dr.sum(mi.Float([1.0, 2.0]))[0]))"
)


@dataclass(frozen=True)
class Engine:
    """The variant to draw with, and where its LLVM is."""

    variant: str
    llvm: str = ""

    @property
    def words(self) -> str:
        """Which renderer it is, as a sentence."""
        return engine_sentence(bool(self.llvm))


def find_engine(keep_in: Path) -> Engine:
    """The fastest variant that works; tried once, then remembered in `keep_in` (a file)."""
    named = os.environ.get("DRJIT_LIBLLVM_PATH", "")
    found = [named] if named else _candidates()
    marks = [f"{p}:{Path(p).stat().st_mtime_ns if Path(p).exists() else 0}" for p in found]
    known = _read(keep_in)
    if known.get("marks") == marks:
        return _set(Engine(str(known.get("variant", engine.SCALAR)), str(known.get("llvm", ""))))
    best = Engine(engine.SCALAR)
    for path in found[:3]:
        if _works(path):
            best = Engine(engine.LLVM, path)
            break
    write_sealed_json(keep_in, {"marks": marks, "variant": best.variant, "llvm": best.llvm})
    return _set(best)


def _set(found: Engine) -> Engine:
    if found.llvm:
        os.environ["DRJIT_LIBLLVM_PATH"] = found.llvm
    return found


def _candidates() -> list[str]:
    """LLVM libraries by version, newest first, each file once; those known to be too old are left out."""
    by_real_path: dict[str, tuple[int, str]] = {}
    for pattern in PLACES:
        for path in glob.glob(pattern):  # noqa: PTH207 - absolute patterns
            real = os.path.realpath(path)
            version = _version(real) or _version(path)
            if version == 0 or version >= OLDEST:
                by_real_path.setdefault(real, (version, path))
    return [path for _, path in sorted(by_real_path.values(), reverse=True)]


def _version(path: str) -> int:
    """The major version in a library's name; 0 when it has none."""
    tail = Path(path).name.replace("libLLVM", "").replace("LLVM-C", "")
    digits = ""
    for c in tail.lstrip("-.so"):
        if not c.isdigit():
            break
        digits += c
    return int(digits) if digits else 0


def _works(path: str) -> bool:
    """Whether the fast variant computes with this library, tried in a process of its own."""
    env = {**os.environ, "DRJIT_LIBLLVM_PATH": path}
    try:
        done = subprocess.run(
            [sys.executable, "-c", PROBE], env=env, capture_output=True, timeout=60, text=True
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0 and "sum 3.0" in done.stdout


def _read(path: Path) -> dict[str, object]:
    found = read_sealed_json(path, KEPT_RENDERER)
    return found if isinstance(found, dict) else {}
