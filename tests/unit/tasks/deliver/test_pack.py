"""Packing and verifying over a real delivery."""

import json
from pathlib import Path
from typing import Any

import pytest

from plateside.cli.main import main
from plateside.deliver.facts import FileFault
from plateside.model.errors import InputError
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.series import finish
from plateside.tasks.report import as_json
from tests.shoots.re_lit import make_shoot


@pytest.fixture(scope="module")
def delivered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = make_shoot(tmp_path_factory.mktemp("made") / "breakfast")
    finish(root, kind="jpeg")
    deliver(root)
    return root


def test_a_delivery_to_hand_over_holds_nothing_of_home(delivered: Path, tmp_path: Path) -> None:
    report = pack(delivered, to=tmp_path)
    assert report.path == tmp_path / "breakfast-delivery"
    inside = {
        p.relative_to(report.path / "data").as_posix()
        for p in (report.path / "data").rglob("*")
        if p.is_file()
    }
    assert inside == {
        p.relative_to(delivered / "delivery").as_posix() for p in (delivered / "delivery").rglob("*.*")
    }
    # neither originals nor the file that says where she lives, nor the place inside any picture
    assert not [n for n in inside if n.endswith((".toml", ".jsonl", ".dng", ".tif"))]
    everything = b"".join(p.read_bytes() for p in report.path.rglob("*") if p.is_file())
    assert b"Europe/Berlin" not in everything
    assert b"GPS" not in everything
    checked = verify(report.path)
    assert checked.faults == ()
    assert checked.exit_status == 0


def test_one_client_gets_only_her_pictures(delivered: Path, tmp_path: Path) -> None:
    report = pack(delivered, channels=("wide",), to=tmp_path)
    assert report.path.name == "breakfast-delivery-wide"
    inside = {
        p.relative_to(report.path / "data").as_posix()
        for p in (report.path / "data").rglob("*")
        if p.is_file()
    }
    assert inside == {
        "wide/cup.jpg",
        "wide/cup.webp",
        "wide/near.jpg",
        "wide/near.webp",
        "words.txt",
        "READ-ME.txt",
    }
    with pytest.raises(InputError, match="square, tall, wide"):
        pack(delivered, channels=("nowhere",), to=tmp_path)


def test_an_archive_holds_everything(delivered: Path, tmp_path: Path) -> None:
    report = pack(delivered, archive=True, to=tmp_path)
    inside = {
        p.relative_to(report.path / "data").as_posix()
        for p in (report.path / "data").rglob("*")
        if p.is_file()
    }
    assert {
        "shoot.toml",
        "studio.toml",
        "journal.jsonl",
        "finished/cup.jpg",
        "delivery/wide/cup.jpg",
    } <= inside
    assert {f"frames/IMG {i} é.jpg" for i in range(3)} <= inside
    assert not [n for n in inside if ".plateside" in n or n.endswith(".lock")]
    original = delivered / "frames" / "IMG 0 é.jpg"
    assert (report.path / "data" / "frames" / original.name).read_bytes() == original.read_bytes()
    assert verify(report.path).faults == ()
    assert json.loads(json.dumps(as_json(report)))["kind"] == "archive"


def test_a_fault_is_found_and_the_exit_status_says_so(delivered: Path, tmp_path: Path) -> None:
    path = pack(delivered, to=tmp_path).path
    with (path / "data" / "wide" / "cup.jpg").open("r+b") as file:
        file.seek(100)
        file.write(b"\0\0\0\0")
    checked = verify(path)
    assert checked.exit_status == 1
    assert ("changed", "data/wide/cup.jpg", "packed") in {
        (f.code, f.name, f.listed_in) for f in checked.faults
    }


def test_a_delivery_folder_is_verified_by_its_manifest(delivered: Path, tmp_path: Path) -> None:
    for given in (delivered, delivered / "delivery"):
        assert verify(given).faults == ()
    picture = delivered / "delivery" / "wide" / "near.jpg"
    kept = picture.read_bytes()
    try:
        picture.write_bytes(kept[:-1])
        assert verify(delivered).faults == (FileFault("changed", "wide/near.jpg", "delivered"),)
        with pytest.raises(InputError, match=r"wide/near\.jpg"):
            pack(delivered, to=tmp_path)
        picture.unlink()
        assert verify(delivered).faults == (FileFault("missing", "wide/near.jpg"),)
    finally:
        picture.write_bytes(kept)
    with pytest.raises(InputError, match="neither a package") as told:
        verify(tmp_path)
    # the page's words: no name of a file that she never sees
    assert "bagit" not in told.value.words
    assert "manifest" not in told.value.words


def test_nothing_is_handed_over_without_a_licence_or_before_delivering(
    delivered: Path, tmp_path: Path
) -> None:
    shoot = delivered / "shoot.toml"
    kept = shoot.read_text(encoding="utf-8")
    try:
        shoot.write_text(kept.replace('usage_terms = "Ask first"\n', ""), encoding="utf-8")
        with pytest.raises(InputError, match="licence"):
            pack(delivered, to=tmp_path)
        assert pack(delivered, archive=True, to=tmp_path).files > 0
    finally:
        shoot.write_text(kept, encoding="utf-8")
    with pytest.raises(InputError, match="plateside deliver"):
        pack(make_shoot(tmp_path / "new"), to=tmp_path)


def test_a_name_that_other_computers_refuse_does_not_stop_an_archive(delivered: Path, tmp_path: Path) -> None:
    odd = delivered / "frames" / "con.txt"
    odd.write_text("note", encoding="utf-8")
    try:
        report = pack(delivered, archive=True, to=tmp_path)
    finally:
        odd.unlink()
    assert report.renamed == (("frames/con.txt", "frames/con_.txt"),)
    assert (report.path / "data" / "frames" / "con_.txt").read_text(encoding="utf-8") == "note"
    assert verify(report.path).faults == ()
    assert json.loads(json.dumps(as_json(report)))["renamed"]


@pytest.mark.parametrize("within", ["delivery", "delivery/sub", "finished", "frames"])
def test_no_package_is_put_among_what_is_handed_on_or_packed(delivered: Path, within: str) -> None:
    before = set(delivered.rglob("*"))
    with pytest.raises(InputError):
        pack(delivered, to=delivered / within)
    assert set(delivered.rglob("*")) == before


def test_verify_brings_a_package_back_that_a_killed_run_had_set_aside(
    delivered: Path, tmp_path: Path
) -> None:
    path = pack(delivered, to=tmp_path).path
    # as a run killed between its two renames leaves it (see files.working)
    work = tmp_path / ".plateside-work-0123456789abcdef"
    (work / "old").mkdir(parents=True)
    (work / "new" / path.name).mkdir(parents=True)
    work.with_suffix(".lock").touch()
    path.rename(work / "old" / path.name)
    assert verify(path).faults == ()
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_the_commands_answer_with_facts_and_with_sentences(
    delivered: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def answered(*arguments: str) -> tuple[int, dict[str, Any]]:
        status = main([*arguments, "--json"])
        return status, json.loads(capsys.readouterr().out)

    status, made = answered("deliver", str(delivered))
    assert (status, made["written"], made["ready"]) == (0, 0, False)
    assert {"no release", "too few pixels"} <= {p["code"] for p in made["fix_first"]}
    assert "no shape" in {p["code"] for p in made["remarks"]}
    assert {r["code"] for crop in made["crops"] for r in crop["remarks"]}
    status, packed = answered("pack", str(delivered), "--to", str(tmp_path))
    assert (status, packed["kind"], packed["ready"]) == (0, "delivery", False)
    (tmp_path / "breakfast-delivery" / "data" / "words.txt").unlink()
    status, checked = answered("verify", str(tmp_path / "breakfast-delivery"))
    assert status == 1
    assert ("missing", "data/words.txt") in {(f["code"], f["name"]) for f in checked["faults"]}
    status, finished = answered("finish", str(delivered), "--kind", "jpeg", "--match-to", "cup")
    assert (status, finished["match_to"], finished["written"]) == (0, "cup", 0)
    for answer in (made, packed, checked, finished):
        assert answer["sentences"]
