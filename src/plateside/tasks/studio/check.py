"""Check: both settings files read, everything wrong told at once, and what is worth a second look."""

from dataclasses import dataclass, replace
from pathlib import Path

from plateside.files.folder import find_shoot
from plateside.files.journal.state import read_state
from plateside.files.settings.load import judge_both, judge_studio, read_text
from plateside.files.settings.mistakes import Mistake, in_order, mistakes_in_words
from plateside.files.settings.remarks import Remark, shoot_remarks, studio_remarks
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot


@dataclass(frozen=True)
class CheckReport:
    """Mistakes, remarks, and what was read."""

    files: tuple[str, ...]
    ok: bool
    mistakes: tuple[Mistake, ...]
    remarks: tuple[Remark, ...]
    counts: dict[str, int]

    @property
    def exit_status(self) -> int:
        """0 when both files are right, 2 when something is wrong."""
        return 0 if self.ok else 2

    def lines(self) -> list[str]:
        """One line per fact; a mistake has the lines to paste under it."""
        found: list[str] = []
        if self.mistakes:
            found += mistakes_in_words(self.mistakes).splitlines()
        else:
            as_asked = ", ".join(
                f"{n} {name if n != 1 else name.removesuffix('s')}" for name, n in self.counts.items()
            )
            found.append(f"{' and '.join(self.files)}: nothing wrong ({as_asked}).")
        if self.remarks:
            found.append("Worth a look:")
            found += [f"  {remark.text()}" for remark in self.remarks]
        return found


def _as_asked(root: Path, shoot: Shoot) -> Shoot:
    """The shoot with the words that she wrote on the pages, as they will be delivered."""
    words = read_state(root).words

    def as_asked(shot: Shot) -> Shot:
        hers = words.get(shot.name, {})
        return replace(
            shot, title=hers.get("title") or shot.title, caption=hers.get("caption") or shot.caption,
            alt_text=hers.get("alt_text") or shot.alt_text,
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
            said = "it is not there yet: make it, or write in shoot.toml where the camera's files land."
            remarks.append(Remark("shots", f"folder {shoot.frames}", said))
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

    Nothing while a file has something to mend. Raises InputError or CouldNotError when one cannot be read at all.
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
            raise InputError(
                f"There is no {given}. Name the shoot's folder, its shoot.toml or a studio.toml."
            )
        return True
    return False
