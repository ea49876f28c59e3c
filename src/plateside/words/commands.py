"""A command as it can be copied and typed."""

import re
import shlex

_PLAIN = re.compile(r"[\w@%+=:,./\\~-]+")
"""What no shell splits or reads as more than itself: letters of any alphabet, and the marks of a path."""


def typed(argument: object) -> str:
    """A folder or file name as an argument: in quotes when a shell would split it.

    Double quotes, which every system's shell knows; a name with a character that is read inside them too is quoted as
    POSIX shells want it (Windows allows no " in a name).
    """
    text = str(argument)
    if _PLAIN.fullmatch(text):
        return text
    return shlex.quote(text) if re.search(r'["$`!]', text) else f'"{text}"'
