"""Solve the set-up of a shot: lens, place, focus, f-number, shutter, ISO and support, each with its price."""

from collections.abc import Sequence

from plateside.camera.setup import LightForShot, SetUp
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio

__all__ = ["LightForShot", "SetUp", "solve"]


def solve(studio: Studio, shot: Shot, channels: Sequence[Channel], light: LightForShot) -> SetUp:
    """The set-up of lowest cost for a shot in a studio under the light predicted.

    Raises InputError when the shot names gear or a spot that the studio does not have.
    """
    raise NotImplementedError
