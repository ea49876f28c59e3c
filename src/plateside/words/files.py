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
