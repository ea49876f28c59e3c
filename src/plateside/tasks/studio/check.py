"""Check: both settings files read, every mistake at once, and what is worth a second look."""

from dataclasses import dataclass, replace
from pathlib import Path

from plateside.files.folder import find_shoot
from plateside.files.journal.state import read_state
from plateside.files.settings.load import judge_both, judge_studio, read_text
from plateside.files.settings.mistakes import in_order
from plateside.files.settings.remarks import Remark, shoot_remarks, studio_remarks
from plateside.model.errors import InputError
from plateside.model.mistakes import Mistake
from plateside.model.shoot import Shoot, Shot
from plateside.words.remarks import no_such_file


@dataclass(frozen=True)
class CheckReport:
    """Mistakes, remarks, and what was read."""

    files: tuple[str, ...]
    ok: bool
    mistakes: tuple[Mistake, ...]
    remarks: tuple[Remark, ...]
    counts: dict[str, int]


def _as_asked(root: Path, shoot: Shoot) -> Shoot:
    """The shoot with the words you wrote on the pages, as they will be delivered."""
    words = read_state(root).words

    def as_asked(shot: Shot) -> Shot:
        yours = words.get(shot.name, {})
        return replace(
            shot, title=yours.get("title") or shot.title, caption=yours.get("caption") or shot.caption,
            alt_text=yours.get("alt_text") or shot.alt_text,
        )  # fmt: skip

    return replace(shoot, shots=tuple(as_asked(s) for s in shoot.shots))


def check(given: Path) -> CheckReport:
    """Check the shoot in a folder, or a lone studio.toml.

    Raises InputError or CouldNotError only when a file cannot be read at all.
    """
    if _is_lone_studio(given):
        path = given / "studio.toml" if given.is_dir() else given
        studio_reading = judge_studio(read_text(path), path.name)
        mistakes = in_order(studio_reading.mistakes)
        studio = studio_reading.value
        return CheckReport(
            files=(path.name,),
            ok=not mistakes,
            mistakes=mistakes,
            remarks=() if mistakes else tuple(studio_remarks(studio)),
            counts={"windows": len(studio.windows), "spots": len(studio.spots), "lenses": len(studio.lenses)},
        )
    folder, studio_read, shoot_read = judge_both(find_shoot(given))
    mistakes = in_order([*studio_read.mistakes, *shoot_read.mistakes])
    studio, shoot = studio_read.value, shoot_read.value
    remarks: list[Remark] = []
    if not studio_read.mistakes:
        remarks += studio_remarks(studio)
    if not shoot_read.mistakes:
        remarks += shoot_remarks(_as_asked(folder.root, shoot), None if studio_read.mistakes else studio)
        if not folder.frames_dir.is_dir():
            remarks.append(Remark("no frames folder", "shots", "folder", shoot.frames))
    return CheckReport(
        files=(studio_read.file, shoot_read.file),
        ok=not mistakes,
        mistakes=mistakes,
        remarks=tuple(remarks),
        counts={
            "windows": len(studio.windows),
            "spots": len(studio.spots),
            "shots": len(shoot.shots),
            "channels": len(shoot.channels),
        },
    )


def studio_worth_a_look(root: Path) -> tuple[Remark, ...]:
    """What check says of a shoot's studio without calling it wrong, and of gear that its shots want for.

    Nothing while a file has something to fix. Raises InputError or CouldNotError when one cannot be read at all.
    """
    _folder, studio, shoot = judge_both(find_shoot(root))
    if studio.mistakes:
        return ()
    wanted = () if shoot.mistakes else shoot_remarks(shoot.value, studio.value)
    return (*studio_remarks(studio.value), *(r for r in wanted if r.kind == "gear"))


def _is_lone_studio(given: Path) -> bool:
    if given.is_dir():
        return not (given / "shoot.toml").exists() and (given / "studio.toml").exists()
    if given.suffix == ".toml" and given.name != "shoot.toml":
        if not given.exists():
            raise InputError(no_such_file(given))
        return True
    return False
