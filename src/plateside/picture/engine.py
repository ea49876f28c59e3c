"""The renderer, imported late: it is an optional part of the package.

Which of its variants works on a machine (LLVM found and sound, or not) is for the caller to find out (tasks):
a broken LLVM ends the process, so it has to be tried in another one.
"""

import importlib
from importlib.util import find_spec
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.model.errors import MissingExtraError

SCALAR = "scalar_rgb"
LLVM = "llvm_ad_rgb"


def renderer(variant: str = SCALAR) -> Any:
    """Mitsuba 3 with this variant set. Raises MissingExtraError where it is not installed."""
    if find_spec("mitsuba") is None:
        raise MissingExtraError("no renderer")
    mi = importlib.import_module("mitsuba")
    if mi.variant() != variant:
        mi.set_variant(variant)
    return mi


def has_denoiser() -> bool:
    """Whether the denoiser's wheel is here."""
    return find_spec("pyoidn") is not None


def denoised(
    rgb: NDArray[np.float32],
    albedo: NDArray[np.float32],
    normal: NDArray[np.float32],
    *,
    guides_by: str = "high",
) -> NDArray[np.float32]:
    """The picture with the renderer's noise taken out (Open Image Denoise), guided by colour and shape of surfaces.

    guides_by  the filter that cleans the guides: "high", or "fast" at a third of the time (they have little noise)
    """
    oidn = importlib.import_module("pyoidn")
    # the guides are cleaned first, so that the picture's filter may trust them
    colour = oidn.denoise(np.ascontiguousarray(np.clip(albedo, 0.0, 1.0)), quality=guides_by)
    turned = oidn.denoise(np.ascontiguousarray(np.clip(normal, -1.0, 1.0) * 0.5 + 0.5), quality=guides_by)
    turned = turned * 2.0 - 1.0
    clean = oidn.denoise(
        np.ascontiguousarray(rgb),
        np.ascontiguousarray(np.clip(colour, 0.0, 1.0)),
        np.ascontiguousarray(np.clip(turned, -1.0, 1.0)),
        hdr=True,
        clean_aux=True,
    )
    return np.asarray(clean, dtype=np.float32)
