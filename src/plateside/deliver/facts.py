"""What is known of a delivery, a package and a check: numbers, names and codes; `words/deliver` says it."""

from dataclasses import dataclass

from plateside.deliver.points import Point
from plateside.deliver.renditions import File
from plateside.model.crop import CropRemark


@dataclass(frozen=True)
class DeliveredCrop:
    """One shot in one channel."""

    shot: str
    channel: str
    width_px: int
    height_px: int
    asked_px: tuple[int, int]
    subject_whole: bool
    files: tuple[File, ...]
    remarks: tuple[CropRemark, ...]


@dataclass(frozen=True, kw_only=True)
class DeliverFacts:
    """What was delivered, what is held back, and what is left to fix before it should be published."""

    crops: tuple[DeliveredCrop, ...]
    written: int
    """how many picture files were made now; the others were there already"""
    removed: int
    """how many files of an earlier delivery were no longer wanted"""
    documents: tuple[str, ...]
    withheld: tuple[Point, ...]
    ready: bool
    """True when there is nothing to fix first"""
    fix_first: tuple[Point, ...] = ()
    """what keeps it from being published, with what is held back"""
    remarks: tuple[Point, ...] = ()
    """what would only make it better"""


@dataclass(frozen=True)
class NotPacked:
    """Something that is not in an archive."""

    code: str
    """no journal, name, empty"""
    name: str = ""
    """the file, or the folder"""


@dataclass(frozen=True, kw_only=True)
class PackFacts:
    """What was packed."""

    kind: str
    """delivery or archive"""
    files: int
    bytes: int
    left_out: tuple[NotPacked, ...]
    renamed: tuple[tuple[str, str], ...] = ()
    """(name as it was, name in the package) where another system could not keep the name"""
    ready: bool | None = None
    """whether what was packed may be published as it is; None for an archive"""
    not_ready: tuple[Point, ...] = ()
    """what holds it back; it is not in the package"""


@dataclass(frozen=True)
class FileFault:
    """What is wrong with one file of a package or a delivery."""

    code: str
    """no version, elsewhere, no manifest, added, missing, changed, unread, size, line, outside"""
    name: str = ""
    """the file; of line and outside, the list"""
    listed_in: str = ""
    """added: the list that does not have it; changed: packed or delivered"""
    line: int = 0
    text: str = ""
    """the line as it is, the name it gives, the system's own reason, or the size as it is written"""
    got: tuple[int, ...] = ()
    """bytes and files that are there"""
    asked: tuple[int, ...] = ()
    """bytes and files as written down"""


@dataclass(frozen=True, kw_only=True)
class VerifyFacts:
    """What checking found."""

    kind: str
    """package or delivery"""
    files: int
    bytes: int
    algorithms: tuple[str, ...]
    faults: tuple[FileFault, ...]
    interrupted: bool = False
    """a delivery whose making was cut short: its files are of two times, and none of them need be damaged"""
    changed: tuple[str, ...] = ()
    """what a delivery was made from and is no longer as it was (see deliver.sources)"""
    not_ready: tuple[Point, ...] = ()
    """what keeps the delivery of a shoot from being published"""
