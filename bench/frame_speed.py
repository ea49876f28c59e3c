"""How long a verdict on a 24-megapixel frame takes, beside LibRaw's own unpack of the file, and the memory it takes.

    python -m bench frame_speed

The frame is made (a scene of the TEST photographs, enlarged), as JPEG and as an uncompressed raw. Best of five, a
quiet machine with two cores is what the aims are for: first word under 0.3 s, full under 1.0 s and within 0.5 s on
top of LibRaw's unpack.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import rawpy
from PIL import Image

from plateside.files.originals.pixels import display_picture, linear_and_levels
from plateside.finish.chart_seen import chart_seen
from plateside.frames.ball import find_ball
from plateside.frames.compare import compare, reference_of
from plateside.frames.exposure import display_linear, small_linear
from plateside.frames.grey_card import find_grey_card
from plateside.frames.measure import facts_of
from plateside.frames.set_up_acts import card_in_frame
from plateside.model.frame import Settings
from plateside.tasks.set.frame_view import LONGEST_PX, FrameView
from tests.synthetic.dng import write_dng
from tests.synthetic.faults import composed
from tests.synthetic.scenes import TEST, make_scene

TIMES = 5


def _best(step: Callable[[], object]) -> tuple[float, float]:
    """Wall and processor seconds, the least of TIMES after one to warm up."""
    step()
    walls, cores = [], []
    for _ in range(TIMES):
        wall, core = time.perf_counter(), time.process_time()
        step()
        walls.append(time.perf_counter() - wall)
        cores.append(time.process_time() - core)
    return min(walls), min(cores)


def _unpacked(path: Path) -> None:
    with rawpy.imread(str(path)) as raw:
        raw.raw_image.max()


def main() -> None:
    """Print the table."""
    scene = composed(make_scene(TEST, 3, 1500, 1000), None, None)
    large = cv2.resize(scene, (6000, 4000), interpolation=cv2.INTER_CUBIC).clip(0, 1)
    with tempfile.TemporaryDirectory() as folder:
        jpeg, raw = Path(folder) / "a.jpg", Path(folder) / "a.dng"
        shown = np.where(large <= 0.0031308, large * 12.92, 1.055 * large ** (1 / 2.4) - 0.055)
        Image.fromarray((shown * 255 + 0.5).astype(np.uint8)).save(jpeg, quality=92)
        write_dng(raw, np.asarray(large, np.float32), seed=1)
        del large, shown
        picture = display_picture(jpeg, LONGEST_PX)
        small = small_linear(picture)
        reference = reference_of("r", picture, small, Settings(), (0.25, 0.25, 0.75, 0.75))
        grey = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)

        # squares of 80 px
        y, x = np.indices(picture.shape[:2]) // 80
        checked = np.asarray(np.where(((x + y) % 2)[..., None], picture, 30), np.uint8)

        def provisional(path: Path) -> object:
            return facts_of(display_picture(path, LONGEST_PX), early=True)

        def full_jpeg() -> object:
            seen = display_picture(jpeg, LONGEST_PX)
            first = facts_of(seen, early=True)
            return facts_of(seen, before=first), compare(reference, seen, small_linear(seen), Settings())

        def full_raw() -> object:
            view = FrameView(raw)
            view.read_ahead()
            seen = view.picture
            first = facts_of(seen, early=True)
            linear, levels = view.linear, view.levels
            assert linear is not None
            facts = facts_of(seen, None, linear, levels, before=first)
            return facts, compare(reference, seen, display_linear(linear), Settings(), is_raw=True)

        steps: list[tuple[str, Callable[[], object]]] = [
            ("first word, JPEG", lambda: provisional(jpeg)),
            ("first word, raw's preview", lambda: provisional(raw)),
            ("full with a reference, JPEG, the first word within it", full_jpeg),
            ("full with a reference, raw, the first word within it", full_raw),
            ("LibRaw's own unpack of it", lambda: _unpacked(raw)),
            ("  of which: a ball looked for", lambda: find_ball(small)),
            ("  of which: a grey card looked for", lambda: find_grey_card(small)),
            ("  of which: a set card looked for, none there", lambda: card_in_frame(grey, 50.0, 23.5)),
            ("before either: a colour chart looked for, none there", lambda: chart_seen(picture)),
            ("before either: the same of a checked cloth", lambda: chart_seen(checked)),
        ]
        print(f"24 megapixels, best of {TIMES} [ms]                            wall   cores")
        wall = {}
        for name, step in steps:
            wall[name], cores = _best(step)
            print(f"  {name:54}{wall[name] * 1000:8.0f}{cores * 1000:8.0f}")
        unpack, whole = (
            wall["LibRaw's own unpack of it"],
            wall["full with a reference, raw, the first word within it"],
        )
        print(
            f"full raw verdict over LibRaw's unpack: {whole / unpack:.1f} times, {whole - unpack:.2f} s on top"
        )
        # in a process of its own: making the frame takes more than judging it
        command = [sys.executable, "-m", "bench.frame_speed", "--memory", str(raw), str(jpeg)]
        told = subprocess.run(command, capture_output=True, text=True, check=True)
        print(told.stdout.strip())


def memory(raw: Path, jpeg: Path) -> None:
    """Judge one raw against a reference and say the most memory that was in use."""
    picture = display_picture(jpeg, LONGEST_PX)
    reference = reference_of("r", picture, small_linear(picture), Settings(), (0.25, 0.25, 0.75, 0.75))
    seen = display_picture(raw, LONGEST_PX)
    linear, levels = linear_and_levels(raw)
    facts_of(seen, None, linear, levels)
    compare(reference, seen, display_linear(linear), Settings(), is_raw=True)
    # ru_maxrss of a child begins with what its parent had: the kernel's own mark of this program does not
    status = Path("/proc/self/status").read_text(encoding="ascii")
    peak_kb = int(status.split("VmHWM:")[1].split()[0])
    print(f"most memory in use while a raw is judged: {peak_kb / 1e6:.2f} GB (aim 2)")


if __name__ == "__main__":
    if "--memory" in sys.argv:
        memory(Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        main()
