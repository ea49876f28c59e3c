"""Compile what takes longest to compile, once, before tests run side by side: each worker would do it for itself.

The light's kernels and the pictures' have none in common: each half has a process of its own. What is compiled is kept
beside the source (numba's cache): where nothing has changed this costs a few seconds.
"""

import contextlib
import gc
import io
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from plateside.cli.main import main  # noqa: E402
from plateside.files.journal.journal import Journal  # noqa: E402
from plateside.files.originals.identity import content_hash  # noqa: E402
from plateside.finish.develop import develop  # noqa: E402
from plateside.finish.hand import Hand  # noqa: E402
from plateside.frames.edges import find_edges, smoothed, spread_at  # noqa: E402
from plateside.model.pixels import LinearPicture  # noqa: E402
from plateside.tasks.finish.hand_preview import hand_preview  # noqa: E402
from plateside.tasks.finish.series import finish  # noqa: E402
from plateside.tasks.set.judge import judge_frames  # noqa: E402
from tests.shoots.folder import shoot_folder  # noqa: E402
from tests.synthetic.dng import write_dng  # noqa: E402

DEMO = ROOT / "src" / "plateside" / "demo" / "studio.toml"
TWO_SHOTS = """format = 1
date = "2027-05-01"
[recipe]
title = "Cup"
[creator]
name = "A. Cook"
[[shots]]
name = "clipped"
role = "main"
[[shots]]
name = "noisy"
role = "detail"
[[channels]]
name = "wide"
width_px = 160
height_px = 90
"""


def light() -> None:
    """The light engine, with every piece that the demo's studio has."""
    with contextlib.redirect_stdout(io.StringIO()):
        main(["light", str(DEMO), "--day", "2027-07-15"])


def highlights() -> None:
    """A development in which one channel, two and all are clipped."""
    ramp = np.linspace(0.1, 1.6, 120)[:, None] * np.array([1.0, 0.8, 0.6])
    rgb = np.minimum(np.tile(ramp, (32, 1, 1)), 1).astype(np.float32)
    develop(LinearPicture(rgb=rgb, white_balance=(1.9, 1.0, 1.6), is_raw=True))


def raws() -> None:
    """Raws from their files to finished pictures: one that clips, one with noise; and one more turned by hand."""
    y, x = np.mgrid[0:240, 0:360]
    dish = np.clip((70 - np.hypot(x - 180, y - 120)) / 5, 0, 1)[..., None]
    bright = x[..., None] / 180 * np.array([1.0, 0.8, 0.6])
    picture = (1 - dish) * np.array([0.12, 0.08, 0.05]) + dish * bright
    with tempfile.TemporaryDirectory() as folder:
        root = shoot_folder(Path(folder) / "shoot", TWO_SHOTS)
        rows: list[tuple[str, dict[str, Any]]] = []
        for shot, share in (("clipped", 1.0), ("noisy", 0.2)):
            path = root / "frames" / f"{shot}.dng"
            noise = None if share == 1 else (4e-4, 1e-6)
            write_dng(path, share * picture, seed=1, lossless=True, noise_profile=noise)
            frame = content_hash(path)
            rows.append(("frame landed", {"frame": frame, "name": path.name}))
            rows.append(("select", {"shot": shot, "frame": frame}))
        Journal.open(root).append_many(rows)
        judge_frames(root)
        finish(root, kind="jpeg")
        hand_preview(root, "noisy", Hand(brighter_stops=0.2))
    pair = smoothed((picture.clip(0, 1) * 255).astype(np.uint8))
    edges = find_edges(pair)
    spread_at(pair, edges.x.astype(np.float32), edges.y.astype(np.float32), edges.angle)


def pictures() -> None:
    """What finds, judges and develops frames."""
    highlights()
    raws()


if __name__ == "__main__":
    # numba's types live as long as the process does: going through them again and again finds next to nothing to free
    with ProcessPoolExecutor(2, initializer=gc.disable) as pool:
        for half in [pool.submit(light), pool.submit(pictures)]:
            half.result()
