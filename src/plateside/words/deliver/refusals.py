"""What cannot be made, packed or checked: what to do instead, and the command or line for who works by commands."""

from collections.abc import Sequence

from plateside.words.commands import typed

NO_CHANNELS = (
    "You have no channels yet, so the pictures have nowhere to go: add one for each place.",
    'In shoot.toml:\n[[channels]]\nname = "page-wide"\nwidth_px = 1600\nheight_px = 900',
)
ARCHIVE_IS_WHOLE = (
    "An archive holds every channel, so it cannot be of some channels alone.",
    "Leave out either --archive or --channel.",
)
NO_SUCH_SHOT = "There is no such shot."
NO_SUCH_PACKAGE = "There is no such package."
CROP_IS_FOUR = "A crop is four numbers: left, top, width and height as shares of the picture."


def picture_gone(file: str, root: object) -> tuple[str, str]:
    return (
        f"The finished picture {file} is gone: make the series again.",
        f"Run: plateside finish {typed(root)}",
    )


def too_small_to_crop(width_px: int, height_px: int, least_px: int) -> str:
    return f"The picture is {width_px} x {height_px} px: too small to crop; at least {least_px} px each way."


def within_packed(folder: str) -> str:
    return f"The package cannot go into {folder}, which is packed itself: choose another folder."


def nothing_delivered(root: object) -> tuple[str, str]:
    return "Nothing is delivered yet: make the delivery first.", _again(root)


def list_unread(file: str, root: object) -> tuple[str, str]:
    return f"The delivery's list, {file}, cannot be read: make the delivery again.", _again(root)


def list_damaged_note(file: str) -> str:
    return f"The delivery's list, {file}, is damaged: make the delivery again."


def stopped_half_way(root: object) -> tuple[str, str]:
    return "Making the delivery was stopped half-way: make it again.", _again(root)


def file_changed(file: str, root: object) -> tuple[str, str]:
    return f"{file} is gone or has changed since it was delivered: make the delivery again.", _again(root)


def no_terms(root: object) -> tuple[str, str]:
    return (
        "You state no licence, so nothing is handed over: write your terms, then make the delivery again.",
        "Under [creator] in shoot.toml write usage_terms or licence_url with your own terms, then run: "
        f"plateside deliver {typed(root)}",
    )


def not_a_channel(name: str, known: Sequence[str]) -> str:
    return f"{name!r} is not a channel of this delivery. It has {', '.join(known)}."


def no_channel(name: str) -> str:
    return f"There is no channel {name!r} for this shot."


def no_shot(name: str) -> str:
    return f"There is no shot {name!r}."


def nothing_to_check(given: object, name: str, manifest: str) -> tuple[str, str]:
    return (
        f"{name} is neither a package nor a delivery: make the delivery first, or choose another.",
        f"{given} has neither bagit.txt nor {manifest}: name the folder of a package or of a delivery.",
    )


def not_a_package(path: object) -> str:
    return f"{path} is not a package: choose another folder with --to."


def no_bag(path: object) -> str:
    return f"{path} is not a package: it has no bagit.txt."


def copy_differs(name: str) -> str:
    return f"The copy of {name} differs from the original: check that disk, then pack again."


def no_path(name: str) -> str:
    return f"{name!r} cannot be a file of a package."


def unread(path: object, reason: object) -> str:
    return f"{path} could not be read: {reason}."


def _again(root: object) -> str:
    return f"Run: plateside deliver {typed(root)}"
