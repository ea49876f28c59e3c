"""Packing over an earlier package, killed before each change on disk: run by test_bags.py in a program of its own."""

import shutil
from pathlib import Path

from plateside.files.bags import bring_back, check_bag, write_bag
from tests.killed import kill_everywhere


def main(folder: str) -> dict[str, int]:
    """Kill everywhere; every check must hold. Returns how many kills there were of each kind."""
    source, place = Path(folder) / "source", Path(folder) / "packages"
    bag = place / "bag"
    source.mkdir()
    told = {"old": 0, "new": 0, "brought back": 0}

    def write(text: str) -> None:
        for name in ("a", "b"):
            (source / name).write_text(text, encoding="utf-8")
        write_bag(bag, {"a": source / "a", "deep/b": source / "b"}, {})

    def prepare() -> None:
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        (place / ".plateside-work-notes").write_text("hers", encoding="utf-8")
        write("old")

    def check(n: int) -> None:
        there = bag.is_dir()
        bring_back(bag)
        assert check_bag(bag).faults == (), n
        whole = {(bag / "data" / name).read_text(encoding="utf-8") for name in ("a", "deep/b")}
        assert whole in ({"old"}, {"new"}), (n, whole)
        # nothing of ours is left, and nothing of hers is gone
        assert {p.name for p in place.iterdir()} == {"bag", ".plateside-work-notes"}, (
            n,
            list(place.iterdir()),
        )
        (Path(folder) / f"told-{n}").write_text("new" if whole == {"new"} else "old", encoding="utf-8")
        if not there:
            (Path(folder) / f"back-{n}").touch()
        # and the next run goes through
        write("newer")
        assert (bag / "data" / "a").read_text(encoding="utf-8") == "newer"
        assert {p.name for p in place.iterdir()} == {"bag", ".plateside-work-notes"}, n

    kills = kill_everywhere(place, prepare, lambda: write("new"), check)
    for path in Path(folder).glob("told-*"):
        told[path.read_text(encoding="utf-8")] += 1
    told["brought back"] = len(list(Path(folder).glob("back-*")))
    return {"kills": kills, **told}
