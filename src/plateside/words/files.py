"""Files and folders that cannot be read or written, in sentences."""

from plateside.words.commands import typed


def not_a_settings_file(path: object) -> str:
    """For a folder or a pipe where a settings file should be."""
    return f"{path} is not a file. Put your settings there as plain text, or name another file."


def settings_file_too_large(name: str) -> str:
    """For a settings file of many megabytes."""
    return f"{name} is far too large for a settings file. Put a good copy in its place."


def no_settings_file(name: str, folder: object) -> str:
    """For a studio.toml or shoot.toml that is not there."""
    return f"There is no {name} in {folder}. Write a starter with: plateside new {typed(folder)}"


def unread(path: object, why: str) -> str:
    """For a file that the system refuses to read."""
    return f"{path} could not be read: {why}."


def not_utf8(name: str, line: int) -> str:
    """For a settings file that is not text."""
    return f"{name}, line {line}: this is not UTF-8 text. Save the file as plain text in UTF-8 and try again."


def changed_by_another(name: str) -> str:
    """For a settings file that another program holds."""
    return f"{name} is being changed by another program. Try again."


DISK_FULL = "The disk is full: {path} could not be written. Free some space, then try again."
QUOTA = "Your share of the disk is used up: {path} could not be written. Free some space, then try again."
IN_USE = "{path} is open in another program, or may not be written. Close it there, or choose another folder."
NOT_PERMITTED = "{path} may not be written: change the folder's permissions, or choose another folder."
READ_ONLY = "{path} is on a read-only disk: choose another folder."
NOT_WRITTEN = "{path} could not be written: {reason}."

KEPT_ANSWER = "An answer that was kept"
KEPT_DRAWING = "A drawn picture that was kept"
KEPT_COPY = "A small copy of a picture"
KEPT_INDEX = "The index of your frames"
KEPT_RECORD = "The record of what was made"
KEPT_PICTURE_FACTS = "What is known of a planned picture"
KEPT_RENDERER = "The choice of renderer"


def made_again(what: str, name: str) -> str:
    """For a file that only saves time, and was damaged."""
    return f"{what} was damaged ({name}) and is made again. Nothing you decided is lost."


def only_nearby(what: str, shoot_file: str) -> str:
    """For a studio or frames folder that a page puts too far away."""
    return (
        f"{what} may be in the shoot's folder, or in the folder Plateside was started in. For another place write it "
        f"into {shoot_file} with a text editor."
    )


THE_STUDIO = "The studio"
THE_FRAMES = "The frames folder"


def no_shoot(where: object, given: object) -> str:
    """For a folder that is not a shoot's."""
    start = f"plateside new {typed(given)}"
    return f"No shoot.toml in {where}. Go to the shoot's folder, name it, or start one with: {start}"


THIS_FOLDER = "this folder"
