"""What a decision of several parts is, as the state keeps it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class LampCheck:
    """A check that was opened: the suspected frame, and how many frames had landed by then."""

    frame: str
    landed: int


@dataclass(frozen=True)
class Extra:
    """A frame that is finished beside its shot's select."""

    name: str
    """of its picture, as a shot has one"""
    use: str
    """FINISHED or DELIVERED"""


@dataclass(frozen=True)
class Retouched:
    """A file of hers that stands for a finished picture."""

    file: str
    """as it lies under finished/"""
    frame: str
    """of which it is a picture"""
    sha256: str
    """as it was when it was recognised"""
    made_from: str
    """key of the picture that it was made from"""
    width_px: int
    height_px: int
