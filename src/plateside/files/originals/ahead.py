"""Decoding begun before it is asked for, in one thread beside whoever asks: what was begun first is done first."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")

_reader = ThreadPoolExecutor(1, "decoding ahead")


def begin(work: Callable[[], T]) -> Callable[[], T]:
    """Begin; what is returned waits for the end and gives what `work` gave, or raises what it raised."""
    return _reader.submit(work).result
