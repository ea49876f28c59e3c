"""Make the set page's sounds: `python -m scripts.make_sounds`. Pure arithmetic, so that they are ours and small.

good     two notes up (a major third): keep it
change   two notes down (a minor third), twice struck: something to change
light    one low note that dies away: the light is going
taken    one short dry note: the press was taken
"""

import struct
import wave
from pathlib import Path

from tests.synthetic.sounds import RATE_HZ, SOUNDS, samples

FOLDER = Path(__file__).parents[1] / "src/plateside/web/static/sounds"


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
