"""Compile what takes longest to compile, once, before tests run side by side: each worker would do it for itself.

What is compiled is kept beside the source (numba's cache): where nothing has changed this costs a few seconds.
"""

import contextlib
import io
from pathlib import Path

import numpy as np

from plateside.cli.main import main
from plateside.finish.develop import develop
from plateside.model.pixels import LinearPicture

DEMO = Path(__file__).resolve().parent.parent / "src" / "plateside" / "demo" / "studio.toml"


def light() -> None:
    """The light engine, with every piece that the demo's studio has."""
    with contextlib.redirect_stdout(io.StringIO()):
        main(["light", str(DEMO), "--day", "2027-07-15"])


def highlights() -> None:
    """A development in which one channel, two and all are clipped."""
    ramp = np.linspace(0.1, 1.6, 120)[:, None] * np.array([1.0, 0.8, 0.6])
    rgb = np.minimum(np.tile(ramp, (32, 1, 1)), 1).astype(np.float32)
    develop(LinearPicture(rgb=rgb, white_balance=(1.9, 1.0, 1.6), is_raw=True))


if __name__ == "__main__":
    light()
    highlights()
