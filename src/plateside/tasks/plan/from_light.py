"""What was set on the page Light, written to the shots that it is about: Plan then looks for the same light."""

from pathlib import Path

from plateside.files.settings.write import Change, Put
from plateside.model.errors import InputError
from plateside.tasks.studio.edit import change_settings, read_settings
from plateside.words.plan import refusals


def plan_by(
    root: Path,
    shot_name: str,
    spot: str,
    *,
    least_lx: float | None,
    fill_stops: float | None,
    direct_sun: bool,
) -> tuple[str, ...]:
    """Names of the shots that now ask for this least light, this softness of the shadows and this about the sun.

    A shot that is chosen there alone; for a table spot, every shot at it. What was left empty stays as the shot has
    it. One step of undo. Raises InputError when no shot stands there, SettingsError, ChangedElsewhereError.
    """
    seen = read_settings(root, "shoot")
    first = read_settings(root, "studio").value.spots[0].name
    changes: list[Change] = []
    names = []
    for number, shot in enumerate(seen.value.shots):
        if shot.name != shot_name if shot_name else (shot.spot or first) != spot:
            continue
        names.append(shot.name)
        wanted = {"least_lx": least_lx, "fill_stops": fill_stops}
        changes += [
            Put(("shots", number, field), value) for field, value in wanted.items() if value is not None
        ]
        changes.append(Put(("shots", number, "direct_sun"), direct_sun))
    if not names:
        raise InputError(refusals.no_shot_there(spot))
    change_settings(root, "shoot", changes, seen.version)
    return tuple(names)
