"""What is known of a crop that is not as asked."""

from dataclasses import dataclass


@dataclass(frozen=True)
class CropRemark:
    """One thing about a crop that is not as asked."""

    code: str
    """runs out, larger, cut, text third taken, text third busy, too few pixels, too heavy, squeezed"""
    what: str = ""
    """cut: what would help (as placed, portrait, landscape, step back); text third: its side"""
    names: tuple[str, ...] = ()
    """sides of the frame, or the file"""
    got: tuple[float, ...] = ()
    asked: tuple[float, ...] = ()
