"""Files of the camera that cannot be used, or not yet: what is wrong with each, and the fix. Names come as shown."""

AGAIN = "copy it again from the memory card."


def empty(name: str) -> str:
    return f"{name} is empty (0 bytes); {AGAIN}"


def incomplete(name: str, size_bytes: int) -> str:
    return f"{name} stops in the middle ({size_bytes:,} bytes); {AGAIN}"


def still_copying(name: str, size_bytes: int) -> str:
    return f"{name} is still being copied, it seems: {size_bytes:,} bytes so far."


def damaged(name: str, said: str) -> str:
    return f"{name} is damaged and cannot be decoded ({said}); {AGAIN}"


def damaged_raw(name: str, said: object) -> str:
    return f"{name} is not a raw that can be read, or is damaged ({said}); {AGAIN}"


def too_few_bytes(name: str, width_px: int, height_px: int, size_bytes: int) -> str:
    return f"{name} is damaged: {size_bytes:,} bytes cannot hold its {width_px} x {height_px} pixels; {AGAIN}"


def not_judged(name: str, error: str) -> str:
    return f"{name} could not be judged ({error}); {AGAIN}"


def no_permission(name: str, said: object) -> str:
    return f"{name} cannot be read ({said}); check the file's permissions and the memory card."


def not_a(name: str, wanted: str, found: str = "") -> str:
    """`wanted`: JPEG, HEIC or raw; `found`: what it is, when that is known."""
    is_a = f": it is a {found}" if found else ""
    named = f"{name} is not a {wanted} that can be read, whatever its name says"
    return f"{named}{is_a}; remove it or give it its right name."


def neither_by_name(name: str) -> str:
    return f"{name} is neither a JPEG nor a raw by its name; frames are JPEG, HEIC or raw."


def other_kind(name: str, kind: str, ending: str = "") -> str:
    """`ending`: what it should end in, when it may be a frame."""
    hint = f" Give it the ending {ending} if it is a frame." if ending else ""
    return f"{name} is not read ({kind}); frames are JPEG, HEIC or raw.{hint}"


def too_large(name: str, width_px: int, height_px: int, most_px: int) -> str:
    most = most_px // 1_000_000
    return f"{name} is {width_px} x {height_px} pixels; a frame has at most {most} megapixels. Export it smaller."


def too_small(name: str, width_px: int, height_px: int) -> str:
    return f"{name} is {width_px} x {height_px} pixels: too small to be a photograph."


def too_slow(name: str, passes: int) -> str:
    return f"{name} is built up in more than {passes} passes and takes minutes to open; save it again in an editor."


def copy_of(name: str, other: str) -> str:
    return f"{name} is a copy of {other}; it counts once."


def no_folder(folder: str) -> str:
    return f"There is no folder {folder}; make it and put the camera's files there."


def no_file(name: str) -> str:
    return f"{name} is no file but a pipe, a socket or a device; it is left alone."


def unwritable_name(name: str) -> str:
    return f"{name}: this name cannot be written down as it is; give the file another name."


def dangling_link(name: str) -> str:
    return f"{name} is a link to a file that is not there; copy the file itself here."


def link_outside(name: str) -> str:
    return f"{name} is a link to something outside the frames folder; copy the file itself here."


def link_to_folder(name: str) -> str:
    return f"{name} is a link to a folder inside the frames folder; its frames are found there."
