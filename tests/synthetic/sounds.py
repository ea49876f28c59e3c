"""The notes of each sound, and their samples."""

import math
from collections.abc import Sequence

RATE_HZ = 22_050


Note = tuple[float, float, float]
"""Frequency [Hz], start [s], length [s]."""


SOUNDS: dict[str, Sequence[Note]] = {
    "good": ((523.25, 0.0, 0.16), (659.26, 0.12, 0.26)),
    "change": ((440.0, 0.0, 0.15), (369.99, 0.15, 0.27)),
    "light": ((261.63, 0.0, 0.46),),
    "taken": ((783.99, 0.0, 0.07),),
}


PEAK = 0.5


def samples(notes: Sequence[Note]) -> list[float]:
    """The notes added up, -1 to 1: a struck bar's fundamental and two soft overtones, no click at either end."""
    length = max(start + long for _, start, long in notes)
    out = [0.0] * math.ceil(length * RATE_HZ)
    for frequency_hz, start_s, long_s in notes:
        first, count = round(start_s * RATE_HZ), math.floor(long_s * RATE_HZ)
        for n in range(min(count, len(out) - first)):
            t = n / RATE_HZ
            rise, fall = min(t / 0.008, 1.0), math.exp(-5 * t / long_s) * min((long_s - t) / 0.02, 1.0)
            tone = sum(
                level * math.sin(2 * math.pi * frequency_hz * k * t)
                for k, level in ((1, 1.0), (2, 0.25), (3, 0.1))
            )
            out[first + n] += rise * fall * tone
    top = max(abs(v) for v in out)
    return [PEAK * v / top for v in out]
