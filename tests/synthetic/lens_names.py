"""Cameras and lenses as the profiles' own database names them: no name of a maker stands here."""

from functools import cache
from typing import Any

import pytest


@cache
def database() -> Any:
    """Of the extra `lens`; the test is passed over where it is not installed."""
    return pytest.importorskip("lensfunpy").Database()


def camera_for(lens: Any) -> Any:
    """A camera of that mount whose lens can be changed, with a sensor as the lens was measured on; None: none."""
    fit = (c for c in database().cameras if c.mount in lens.mounts and not c.mount[:1].islower())
    return next((c for c in fit if abs(c.crop_factor - lens.crop_factor) < 0.02), None)


@cache
def two_versions() -> tuple[Any, Any, Any]:
    """A lens, its second version, and a camera that takes both."""
    by_name = {lens.model: lens for lens in database().lenses if lens.calib_distortion and lens.calib_tca}
    for name, lens in by_name.items():
        before, _, after = name.rpartition(" ")
        later = by_name.get(f"{before} II {after}")
        camera = None if later is None else camera_for(lens)
        if camera is not None and later is not None and camera.mount in later.mounts:
            return lens, later, camera
    raise AssertionError("no lens of two versions")


@cache
def takes_several(name: str) -> Any:
    """A camera for which more than one lens is like that name."""
    for camera in database().cameras:
        found = database().find_lenses(camera, None, name) if not camera.mount[:1].islower() else ()
        if len({lens.model for lens in found}) > 1:
            return camera
    raise AssertionError("no such camera")
