"""Kernels on all cores: each takes a span of rows and lets go of Python's lock.

numba's own parallel layer is not used: on some systems it may not be entered by two threads at once, which a
web server would do.
"""

import itertools
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numba

# as the settings say: to ask numba itself would begin its threads in every process that only imports this
THREADS = max(1, int(getattr(numba.config, "NUMBA_NUM_THREADS", 1)))


def in_rows(kernel: Callable[..., Any], count: int, *arguments: Any, even: bool = True) -> None:
    """Call `kernel(start, stop, *arguments)` for spans that together cover range(count).

    even  whether all rows cost the same; else the spans are made shorter and shared out as they are done
    """
    pieces = min(count, THREADS if even else 8 * THREADS)
    if pieces <= 1 or THREADS == 1:
        if count:
            kernel(0, count, *arguments)
        return
    bounds = [count * k // pieces for k in range(pieces + 1)]
    with ThreadPoolExecutor(THREADS) as pool:
        waiting = [pool.submit(kernel, a, b, *arguments) for a, b in itertools.pairwise(bounds) if b > a]
        for one in waiting:
            one.result()
