"""How quickly a picture of two megapixels follows a hand, as the page asks for it, the connection left out.

    python -m bench hand

One finished picture (a frame of 3 464 x 2 310), its controls moved twenty times: brightness, warmth, straightening.
Beside it the bare encoding of such a JPEG, which is in every figure. A busy machine shows in the first two figures of a
row, not in the processor's time (of all its cores).
"""

import tempfile
import time
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.files.pictures import encode_plain
from plateside.finish.hand import Hand
from plateside.tasks.finish.hand_preview import hand_preview
from plateside.tasks.finish.series import finish
from tests.photographs import photograph
from tests.shoots.re_lit import make_shoot

TURNS = 20


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = make_shoot(Path(folder) / "shoot", shots=())
        pixels = cv2.resize(photograph("coffee"), (3464, 2310), interpolation=cv2.INTER_CUBIC)
        path = root / "frames" / "cup.jpg"
        Image.fromarray(np.asarray(pixels, np.uint8)).save(path, quality=95)
        rows = [
            ("frame landed", {"frame": content_hash(path), "name": path.name}),
            ("select", {"shot": "cup", "frame": content_hash(path)}),
        ]
        Journal.open(root).append_many(rows)
        finish(root, "jpeg")
        for name in ("brighter_stops", "warmer_mired", "turned_degrees"):
            hand_preview(root, "cup", Hand(**{name: 1.0}))
            took, worked = [], time.process_time()
            for n in range(TURNS):
                started = time.perf_counter()
                hand_preview(root, "cup", Hand(**{name: n / 10}))
                took.append(time.perf_counter() - started)
            ms = np.array(took) * 1000
            cpu = (time.process_time() - worked) / TURNS * 1000
            print(
                f"{name:<16} median {np.median(ms):5.0f} ms, longest {ms.max():5.0f} ms, processor {cpu:5.0f} ms"
            )
        small = np.asarray(cv2.resize(pixels, (1732, 1155), interpolation=cv2.INTER_AREA), np.uint8)
        started = time.perf_counter()
        for _ in range(TURNS):
            encode_plain(small, 88)
        print(f"{'encoding alone':<16} mean   {(time.perf_counter() - started) / TURNS * 1000:5.0f} ms")


if __name__ == "__main__":
    main()
