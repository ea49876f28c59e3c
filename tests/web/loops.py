"""Coroutines run to their end, whatever else runs in this thread."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def run(work: Coroutine[Any, Any, T]) -> T:
    """What `work` gives. In a thread of its own: a browser's tests leave a loop running in the one they share."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()
