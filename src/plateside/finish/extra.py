"""A frame that is finished beside its shot's select: what it is for, and what its picture is called."""

import re
import unicodedata
from collections.abc import Collection

FINISHED, DELIVERED, NOT_FINISHED = "finished", "delivered", "none"
USES = (FINISHED, DELIVERED, NOT_FINISHED)
"""Finished only; delivered as well; neither any more."""
LONGEST_NAME = 60
"""Of a shot (see the settings' short names): the picture's name becomes part of file names as a shot's does."""


def extra_name(shot: str, frame: str, taken: Collection[str]) -> str:
    """The name of the picture of a frame: 'cup-img-0012', a shot's own name of a to z, digits and hyphens.

    shot   of which it is a frame; empty: of none
    frame  the frame's file name
    taken  names that shots and other pictures have
    """
    stem = frame.replace("\\", "/").rsplit("/", 1)[-1].rpartition(".")[0] or frame
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    base = "-".join([shot or "frame", *re.findall("[a-z0-9]+", plain)])[: LONGEST_NAME - 4].rstrip("-")
    names = [base, *(f"{base}-{number}" for number in range(2, 1_000))]
    return next(name for name in names if name not in taken)
