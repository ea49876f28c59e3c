"""A shoot with one raw of dots, by code: what its file says of its lens is told."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import tifffile
from numpy.typing import NDArray

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.ground.srgb import to_linear
from tests.shoots.re_lit import make_shoot
from tests.synthetic import dng, opcodes

Make = Callable[..., Path]


def dotted_shoot(
    root: Path, picture: NDArray[np.float64], lists: dict[int, bytes] | None = None, **texts: str
) -> Path:
    """The select of the shot cup. `texts`: make, model and lens; `lists`: of opcodes."""
    make_shoot(root, shots=())
    path = root / "frames" / "IMG_1.dng"
    dng.write_dng(path, picture, preview=False)
    codes = {"make": 271, "model": 272, "lens": 42036}
    opcodes.add_texts(path, {codes[name]: text for name, text in texts.items()})
    opcodes.add_lists(path, lists or {})
    selected(root, path)
    return root


def selected(root: Path, path: Path) -> None:
    """A frame as it is now is the select of cup."""
    frame = content_hash(path)
    Journal.open(root).append_many(
        [("frame landed", {"frame": frame, "name": path.name}), ("select", {"shot": "cup", "frame": frame})]
    )


def written(root: Path) -> NDArray[np.float64]:
    """Green of its finished picture, linear."""
    return np.asarray(to_linear(tifffile.imread(root / "finished" / "cup.tif") / 65535.0)[..., 1])


def last(root: Path) -> int:
    """Number of the last row of the journal."""
    return Journal.open(root).rows()[-1].number
