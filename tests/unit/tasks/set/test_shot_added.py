"""A shot added on the spot: its place, a name that is free, everything else in the file as it was."""

import tomllib
from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from plateside.model.errors import InputError, SettingsError
from plateside.tasks.plan.planned_order import keep_order, order_on_set
from plateside.tasks.set.shot_added import add_shot
from plateside.tasks.studio.edit import undo_change, version_of


@pytest.fixture
def root(tmp_path: Path) -> Path:
    copy_demo(tmp_path / "demo")
    return tmp_path / "demo"


def names(root: Path) -> list[str]:
    return [s.name for s in open_shoot(root).shoot.shots]


def test_it_follows_the_current_shot_and_the_file_stays_otherwise(root: Path) -> None:
    path = root / "shoot.toml"
    before = path.read_text(encoding="utf-8")
    listed = names(root)
    keep_order(root, listed)
    added = add_shot(root, "  Spoon in,  close ", "overhead", "front", listed[0])
    assert added.shot == "spoon-in-close"
    assert names(root) == [listed[0], added.shot, *listed[1:]]
    shoot = open_shoot(root).shoot
    new = next(s for s in shoot.shots if s.name == added.shot)
    base = shoot.shots[0]
    assert (new.title, new.angle, new.sharp) == ("Spoon in, close", "overhead", "front")
    # same table, same dish, same light; it spoils nothing and shows nobody
    assert (new.spot, new.camera_faces_deg, new.boards, new.surface) == (
        base.spot, base.camera_faces_deg, base.boards, base.surface,
    )  # fmt: skip
    assert not new.irreversible and not new.person
    # every line that was there is there, comments too, in its order
    after = path.read_text(encoding="utf-8").splitlines()
    kept = iter(after)
    assert all(line in kept for line in before.splitlines())
    order = [s.name for s in order_on_set(root, shoot)]
    assert order.index(added.shot) == order.index(listed[0]) + 1
    undo_change(root, "shoot", version_of(path))
    assert path.read_text(encoding="utf-8") == before


def test_a_name_is_free_among_shots_and_frames_of_shots_that_were_taken_out(root: Path) -> None:
    first = names(root)[0]
    Journal.open(root).append("frame landed", frame="a" * 32, name="a.jpg")
    Journal.open(root).append("frame belongs", frame="a" * 32, shot="spoon", guess=False)
    assert add_shot(root, "Spoon", "overhead", "hero", first).shot == "spoon-2"
    assert add_shot(root, "spoon!", "overhead", "hero", first).shot == "spoon-3"
    assert add_shot(root, first.upper(), "overhead", "hero", first).shot == f"{first}-2"
    # letters that no file name takes everywhere, and a name that Windows keeps for itself
    assert add_shot(root, "\u6599\u7406", "overhead", "hero", "").shot == "shot"
    assert add_shot(root, "con", "overhead", "hero", "").shot == "con-1"
    assert len(set(names(root))) == len(names(root))


def test_without_a_current_shot_it_comes_last(root: Path) -> None:
    added = add_shot(root, "Crumbs", "straight-on", "plane", "no such shot")
    assert names(root)[-1] == added.shot


def test_it_is_on_the_day_of_the_shot_it_follows(root: Path) -> None:
    path = root / "shoot.toml"
    first = names(root)[0]
    path.write_text(path.read_text(encoding="utf-8").replace(
        f'name = "{first}"', f'name = "{first}"\ndate = "2027-07-17"', 1), encoding="utf-8")  # fmt: skip
    add_shot(root, "Crumbs", "overhead", "hero", first)
    assert tomllib.loads(path.read_text(encoding="utf-8"))["shots"][1]["date"] == "2027-07-17"


@pytest.mark.parametrize("what", ["", "  \n "])
def test_without_words_nothing_is_written(root: Path, what: str) -> None:
    before = (root / "shoot.toml").read_bytes()
    with pytest.raises(InputError):
        add_shot(root, what, "overhead", "hero", "")
    with pytest.raises(SettingsError):
        add_shot(root, "Crumbs", "from the moon", "hero", "")
    assert (root / "shoot.toml").read_bytes() == before
