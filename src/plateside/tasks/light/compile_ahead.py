"""The light's kernels compiled before somebody waits for them."""

from plateside.files.compiled import note_all_compiled
from plateside.light.once_through import call_all
from plateside.model.progress import Progress, silent


def compile_ahead(progress: Progress = silent) -> None:
    """Compile what is not compiled yet, some 20 s of one core after an install, and note it. Raises Cancelled."""
    call_all(progress)
    note_all_compiled()
