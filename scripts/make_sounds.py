"""Make the set page's sounds: `python -m scripts.make_sounds`. Pure arithmetic, so that they are ours and small.

good     two notes up (a major third): keep it
change   two notes down (a minor third), twice struck: something to change
light    one low note that dies away: the light is going
taken    one short dry note: the press was taken
"""

import math
import struct
import wave
from collections.abc import Sequence
from pathlib import Path

RATE_HZ = 22_050
FOLDER = Path(__file__).parents[1] / "src/plateside/web/static/sounds"
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


def main() -> None:
    """Write the files."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, notes in SOUNDS.items():
        values = samples(notes)
        with wave.open(str(FOLDER / f"{name}.wav"), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(RATE_HZ)
            file.writeframes(struct.pack(f"<{len(values)}h", *(round(v * 32767) for v in values)))


if __name__ == "__main__":
    main()
