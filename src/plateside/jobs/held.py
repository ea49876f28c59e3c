"""What holds a child process: it ends with its parent, and takes no more than its share of the memory.

A file that asks for all of it ends that child, and nothing else: the system refuses what is asked for, and the file is
told as damaged. Where a system cannot refuse (macOS and Windows have no such limit), what a file may ask for is held by
its number of pixels alone.
"""

import contextlib
import ctypes
import os
import signal
import sys

_PR_SET_PDEATHSIG = 1
"""linux/prctl.h"""
SHARE = 0.75
"""Of the machine's memory."""
LEAST_BYTES = 4 << 30
"""A 200-megapixel picture as numbers takes 2.4 GB, and is read beside another."""


def end_with_parent() -> None:
    """Where the system can do it (Linux), it ends this process with the thread that began it, whatever runs here.

    Every child also reads its input's end, which says the same everywhere, but not while a decoder holds Python.
    """
    if sys.platform == "linux":
        with contextlib.suppress(OSError, AttributeError):
            ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)


def machine_bytes() -> int:
    """The machine's memory; LEAST_BYTES where the system does not tell (Windows)."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, OSError, ValueError):
        return LEAST_BYTES


def bound_memory() -> None:
    """From now on this process and what it starts may hold no more than its share."""
    with contextlib.suppress(ImportError, OSError, ValueError, AttributeError):
        import resource

        most = max(int(machine_bytes() * SHARE), LEAST_BYTES)
        _soft, hard = resource.getrlimit(resource.RLIMIT_DATA)
        if hard != resource.RLIM_INFINITY:
            most = min(most, hard)
        resource.setrlimit(resource.RLIMIT_DATA, (most, hard))
