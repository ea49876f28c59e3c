"""How much memory a child process may take: a file that asks for all of it ends that child, and nothing else.

The system then refuses what is asked for, and the file is told as damaged. Where a system cannot refuse (macOS and
Windows have no such limit), what a file may ask for is held by its number of pixels alone.
"""

import contextlib
import os

SHARE = 0.75
"""Of the machine's memory."""
LEAST_BYTES = 4 << 30
"""A 200-megapixel picture as numbers takes 2.4 GB, and is read beside another."""


def bound_memory() -> None:
    """From now on this process and what it starts may hold no more than its share."""
    with contextlib.suppress(ImportError, OSError, ValueError, AttributeError):
        import resource

        machine = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
        most = max(int(machine * SHARE), LEAST_BYTES)
        _soft, hard = resource.getrlimit(resource.RLIMIT_DATA)
        if hard != resource.RLIM_INFINITY:
            most = min(most, hard)
        resource.setrlimit(resource.RLIMIT_DATA, (most, hard))
