"""What was found damaged, for whoever faces the person: a page shows it while it lasts, a command says it once."""

from plateside.files import damage


def damage_now() -> list[str]:
    """A sentence for each thing that is damaged now, the oldest first."""
    return damage.noted()


def damage_to_say() -> list[str]:
    """The same, and they count as said."""
    return damage.taken()


def heard_of_damage(words: str) -> None:
    """Another process of ours has found something damaged: its sentence is told here, once."""
    damage.note(words, words)
