"""An error as pages get it: its sentence, and the mistakes it holds with their words."""

from typing import Any

from plateside.model.errors import PlatesideError, SettingsError
from plateside.tasks.report import as_json
from plateside.words.mistakes import heading, on_page
from plateside.words.refused import plain


def trouble_of(error: PlatesideError) -> tuple[str, list[dict[str, Any]]]:
    """The sentence above the mistakes, or alone; and the mistakes (a child's error has them as JSON already)."""
    if not isinstance(error, SettingsError):
        return plain(error), list(getattr(error, "mistakes", ()))
    return heading(error.mistakes, page=True) or plain(error), as_json([on_page(m) for m in error.mistakes])
