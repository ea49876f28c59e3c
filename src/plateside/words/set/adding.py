"""Photographs added on a page: what came of each, and what cannot be added."""

from plateside.words.counting import megabytes

NO_SUCH_NAME = (
    "The photograph has no name that a file can have. Give it a name with letters or digits and add it again."
)
NOT_BEGUN = "That photograph is not on its way any more. Add it again."


def added_sentence(name: str, asked: str) -> str:
    """`asked`: the name that it was sent under."""
    if name == asked:
        return f"{name} is in."
    return f"{asked} is in as {name}: another photograph has its name."


def already_sentence(name: str) -> str:
    return f"{name} was in already."


def not_a_picture(name: str) -> str:
    return f"{name} is not a photograph that Plateside reads. Add JPEG, HEIC or raw files."


def empty(name: str) -> str:
    return f"{name} is empty. Copy it from the camera again, then add it."


def too_large(name: str, size: int, most: int) -> str:
    return f"{name} is {megabytes(size)}; at most {megabytes(most)} can be added here. Copy it into the frames folder."


def too_many(most: int) -> str:
    return f"{most} photographs are on their way. Add more when some have arrived."


def no_room(name: str, size: int, free: int) -> str:
    return f"The disk has {megabytes(free)} left: too little to add {name} ({megabytes(size)}). Free some space first."


def not_all_there(name: str) -> str:
    return f"{name} did not arrive whole. Add it again."


def names_taken(name: str) -> str:
    return f"Too many photographs are called {name}. Rename it and add it again."
