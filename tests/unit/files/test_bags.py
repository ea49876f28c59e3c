"""Packages after RFC 8493, checked with coreutils' sha512sum and by breaking them."""

import contextlib
import errno
import os
import shutil
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest

from plateside.files import bags
from plateside.files.bags import bring_back, check_bag, write_bag
from plateside.files.safe_names import safe_names
from plateside.model.errors import Cancelled, CouldNotError, InputError
from tests.killed import run_alone


@pytest.fixture
def payload(tmp_path: Path) -> dict[str, Path]:
    source = tmp_path / "source"
    (source / "deep").mkdir(parents=True)
    (source / "a.txt").write_bytes(b"one")
    (source / "deep" / "ü b.jpg").write_bytes(bytes(range(256)) * 50)
    (source / "100%.txt").write_bytes(b"")
    return {p.relative_to(source).as_posix(): p for p in sorted(source.rglob("*")) if p.is_file()}


def made(tmp_path: Path, payload: dict[str, Path]) -> Path:
    return write_bag(tmp_path / "out" / "bag", payload, {"Contact-Name": "A\nB", "Empty": ""}).path


def test_the_parts_are_as_the_standard_says(tmp_path: Path, payload: dict[str, Path]) -> None:
    bag = made(tmp_path, payload)
    # RFC 8493, 2.1.1: these two lines, UTF-8, no byte-order mark
    assert (bag / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    info = (bag / "bag-info.txt").read_text(encoding="utf-8")
    assert "Contact-Name: A B\n" in info
    assert f"Payload-Oxum: {3 + 256 * 50}.3\n" in info
    assert "Empty" not in info
    manifest = (bag / "manifest-sha512.txt").read_text(encoding="utf-8")
    # 2.1.3: the per cent sign is written %25
    assert "  data/100%25.txt\n" in manifest
    assert {p.name for p in bag.iterdir()} == {
        "bagit.txt", "bag-info.txt", "manifest-sha512.txt", "tagmanifest-sha512.txt", "data",
    }  # fmt: skip


@pytest.mark.skipif(
    shutil.which("sha512sum") is None and not os.environ.get("CI"), reason="no sha512sum here"
)
def test_coreutils_agrees_with_the_checksums(tmp_path: Path, payload: dict[str, Path]) -> None:
    del payload["100%.txt"]  # coreutils does not know the standard's per cent codes
    bag = made(tmp_path, payload)
    for manifest in ("manifest-sha512.txt", "tagmanifest-sha512.txt"):
        subprocess.run(["sha512sum", "--check", "--strict", "--quiet", manifest], cwd=bag, check=True)


def test_a_good_bag_has_no_faults(tmp_path: Path, payload: dict[str, Path]) -> None:
    got = check_bag(made(tmp_path, payload))
    assert got.faults == ()
    assert (got.files, got.bytes, got.algorithms) == (3, 3 + 256 * 50, ("sha512",))


def test_every_fault_is_named(tmp_path: Path, payload: dict[str, Path]) -> None:
    bag = made(tmp_path, payload)
    (bag / "data" / "a.txt").unlink()
    with (bag / "data" / "deep" / "ü b.jpg").open("r+b") as file:
        file.write(b"\xff")
    (bag / "data" / "new.txt").write_bytes(b"x")
    (bag / "bag-info.txt").write_text("Contact-Name: C\n", encoding="utf-8")
    faults = {(f.code, f.name, f.listed_in) for f in check_bag(bag).faults}
    assert ("missing", "data/a.txt", "") in faults
    assert ("changed", "data/deep/ü b.jpg", "packed") in faults
    assert ("added", "data/new.txt", "manifest-sha512.txt") in faults
    assert ("changed", "bag-info.txt", "packed") in faults


@pytest.mark.parametrize("what", ["folder", "link to itself", "pipe"])
@pytest.mark.parametrize(
    "name", ["tagmanifest-sha512.txt", "manifest-sha512.txt", "bag-info.txt", "data/a.txt"]
)
def test_what_is_no_file_in_the_place_of_one_is_a_fault(
    tmp_path: Path, payload: dict[str, Path], name: str, what: str
) -> None:
    info = {"Bag-Software-Agent": "Plateside 1"}
    bag = write_bag(tmp_path / "out" / "bag", payload, info).path
    (bag / name).unlink()
    if what == "folder":
        (bag / name).mkdir()
    elif what == "pipe":
        if not hasattr(os, "mkfifo"):
            pytest.skip("there are no pipes in folders here")
        os.mkfifo(bag / name)
    else:
        (bag / name).symlink_to(Path(name).name)
    assert check_bag(bag).faults


def test_a_cut_file_shows_in_the_oxum_as_well(tmp_path: Path, payload: dict[str, Path]) -> None:
    bag = made(tmp_path, payload)
    (bag / "data" / "deep" / "ü b.jpg").write_bytes(b"")
    (fault,) = [f for f in check_bag(bag).faults if f.code == "size"]
    total = sum(p.stat().st_size for p in payload.values())
    cut = payload["deep/ü b.jpg"].stat().st_size
    assert (fault.asked, fault.got) == ((total, len(payload)), (total - cut, len(payload)))


def test_older_checksums_and_other_writers_forms_are_read(tmp_path: Path) -> None:
    """md5 of RFC 1321's test suite ('abc'); a leading ./, an asterisk and upper case are met in the wild."""
    bag = tmp_path / "bag"
    (bag / "data").mkdir(parents=True)
    (bag / "bagit.txt").write_text(
        "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n", encoding="utf-8"
    )
    (bag / "data" / "abc.txt").write_bytes(b"abc")
    (bag / "manifest-md5.txt").write_text(
        "900150983CD24FB0D6963F7D28E17F72 *./data/abc.txt\r\n", encoding="utf-8"
    )
    got = check_bag(bag)
    assert got.faults == ()
    assert got.algorithms == ("md5",)


@pytest.mark.parametrize("path", ["../../secret", "/etc/hosts", "~/x", "data/../../x", "C:/x"])
def test_a_manifest_cannot_lead_out_of_the_package(
    tmp_path: Path, payload: dict[str, Path], path: str
) -> None:
    bag = made(tmp_path, payload)
    with (bag / "manifest-sha512.txt").open("a", encoding="utf-8") as file:
        file.write(f"{'0' * 128}  {path}\n")
    assert ("outside", path) in {(f.code, f.text) for f in check_bag(bag).faults}


def test_packing_again_replaces_and_something_else_is_never_replaced(
    tmp_path: Path, payload: dict[str, Path]
) -> None:
    bag = made(tmp_path, payload)
    payload["a.txt"].write_bytes(b"two")
    made(tmp_path, payload)
    assert (bag / "data" / "a.txt").read_bytes() == b"two"
    assert check_bag(bag).faults == ()
    assert [p.name for p in bag.parent.iterdir()] == ["bag"]
    other = tmp_path / "mine"
    other.mkdir()
    with pytest.raises(InputError, match="--to"):
        write_bag(other, payload, {})


def test_stopped_or_failed_it_leaves_nothing(
    tmp_path: Path, payload: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(done: int, total: int) -> None:
        if done == 2:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_bag(tmp_path / "out" / "bag", payload, {}, stop)
    assert list((tmp_path / "out").iterdir()) == []

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copystat", full)
    with pytest.raises(CouldNotError, match="disk is full"):
        write_bag(tmp_path / "out" / "bag", payload, {})
    assert list((tmp_path / "out").iterdir()) == []


def test_what_is_no_package_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"no bagit\.txt"):
        check_bag(tmp_path)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")
def test_killed_at_any_step_the_old_or_the_new_package_is_there(tmp_path: Path) -> None:
    told = run_alone("tests.unit.files.killed_pack", tmp_path)
    # in between it is the old one, after the exchange the new one; between the two renames it was nowhere
    assert told["old"] > 5
    assert told["new"] > 2
    assert told["brought back"] >= 1


def test_a_run_that_still_works_keeps_its_folder(tmp_path: Path, payload: dict[str, Path]) -> None:
    target = tmp_path / "out" / "bag"

    def meanwhile(done: int, total: int) -> None:
        if done == 3:
            write_bag(target, payload, {"Contact-Name": "another"})
            bring_back(target)

    write_bag(target, payload, {"Contact-Name": "first"}, meanwhile)
    assert "Contact-Name: first" in (target / "bag-info.txt").read_text(encoding="utf-8")
    assert check_bag(target).faults == ()
    assert [p.name for p in target.parent.iterdir()] == ["bag"]


@pytest.mark.skipif(sys.platform == "win32", reason="names that Windows cannot keep")
@pytest.mark.parametrize(
    "name", ["a\u2028b", "a\u2029b", "a\x85b", "a\x0bb", "a\x0cb", "a\x1cb", "a\x1db", "a\x1eb"]
)
def test_what_other_texts_call_a_line_end_stands_in_names(tmp_path: Path, name: str) -> None:
    """RFC 8493, 2.1.3: lines end with LF, CR or CRLF; these are ends of lines for Python's str.splitlines alone."""
    bag = tmp_path / "bag"
    (bag / "data").mkdir(parents=True)
    (bag / "data" / name).write_bytes(b"abc")
    (bag / "bagit.txt").write_text(
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n", encoding="utf-8"
    )
    for end in ("\n", "\r", "\r\n"):
        # md5 of RFC 1321's test suite ('abc')
        (bag / "manifest-md5.txt").write_bytes(f"900150983cd24fb0d6963f7d28e17f72  data/{name}{end}".encode())
        (bag / "bag-info.txt").write_bytes(f"Title: {name}{end}Payload-Oxum: 3.1{end}".encode())
        assert check_bag(bag).faults == ()
    # and one that was packed here is whole as well
    packed = write_bag(tmp_path / "own", {f"{name}.txt": bag / "data" / name}, {"Title": name})
    assert check_bag(packed.path).faults == ()


HARD = {
    "a\\b.jpg": "a_b.jpg", "12:30.jpg": "12_30.jpg", "C:/x.jpg": "C_/x.jpg", "con.jpg": "con_.jpg", "LPT1": "LPT1_",
    "end.": "end_-2", "end ": "end_", "deep/aux/x": "deep/aux_/x", "line\nend": "line_end", "what?.jpg": "what_.jpg",
    "\udcff.jpg": "_.jpg", "console.jpg": "console.jpg", ".hidden": ".hidden", "~x": "_x",
}  # fmt: skip
"""After Microsoft's "Naming Files, Paths, and Namespaces"."""


def test_names_that_another_system_cannot_keep_are_changed_and_told(tmp_path: Path) -> None:
    report = write_bag(tmp_path / "bag", {name: name.encode("utf-8", "replace") for name in HARD}, {})
    assert report.renamed == {name: kept for name, kept in HARD.items() if name != kept}
    data = tmp_path / "bag" / "data"
    for name, kept in HARD.items():
        assert (data / kept).read_bytes() == name.encode("utf-8", "replace")
    assert check_bag(tmp_path / "bag").faults == ()
    told = (tmp_path / "bag" / "renamed-files.txt").read_text(encoding="utf-8")
    assert r"data/_.jpg was '\udcff.jpg'" in told
    assert len(told.splitlines()) == len(report.renamed)


def test_names_that_are_one_on_many_disks_stay_two(tmp_path: Path) -> None:
    long = "é" * 125 + ".jpg"  # 254 bytes: a number more has to cost a letter
    names = ["A.jpg", "a.jpg", "Wide/x", "wide/x", "caf\u00e9.jpg", "cafe\u0301.jpg", long, long.upper()]
    safe = safe_names(names)
    assert len({unicodedata.normalize("NFC", kept).casefold() for kept in safe.values()}) == len(names)
    assert (safe["A.jpg"], safe["a.jpg"]) == ("A.jpg", "a-2.jpg")
    assert (safe["Wide/x"], safe["wide/x"]) == ("Wide/x", "wide-2/x")
    assert max(len(part.encode()) for kept in safe.values() for part in kept.split("/")) <= 255
    for path in ("../x", "/etc/hosts", "a//b", "a/./b", ""):
        with pytest.raises(InputError, match="file of a package"):
            safe_names([path])


def test_two_files_whose_names_differ_only_in_how_an_accent_is_put_are_two(tmp_path: Path) -> None:
    bag = tmp_path / "bag"
    (bag / "data").mkdir(parents=True)
    (bag / "bagit.txt").write_text(
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n", encoding="utf-8"
    )
    names = ("caf\u00e9", "cafe\u0301")
    for name in names:
        (bag / "data" / name).write_bytes(b"abc")
    if len(list((bag / "data").iterdir())) == 1:
        pytest.skip("this disk takes both for one")
    rows = "".join(f"900150983cd24fb0d6963f7d28e17f72  data/{name}\n" for name in names)
    (bag / "manifest-md5.txt").write_text(rows, encoding="utf-8")
    (bag / "bag-info.txt").write_text("Payload-Oxum: 6.2\n", encoding="utf-8")
    assert check_bag(bag).faults == ()


def test_an_own_package_is_checked_to_the_exact_byte(tmp_path: Path, payload: dict[str, Path]) -> None:
    """Every single bit of every tag file, capitals of a checksum and the last line end too."""
    bag = write_bag(tmp_path / "bag", {"a.txt": payload["a.txt"]}, {"Title": "T"}).path
    for path in sorted(bag.glob("*.txt")):
        whole = path.read_bytes()
        for at in range(0, len(whole), 1 if path.name.startswith("tagmanifest") else 7):
            path.write_bytes(whole[:at] + bytes([whole[at] ^ 0x20]) + whole[at + 1 :])
            assert check_bag(bag).faults, (path.name, at)
        for changed in (whole + b"\n", whole[:-1], whole.replace(b"\n", b"\r\n")):
            path.write_bytes(changed)
            assert check_bag(bag).faults, path.name
        path.unlink()
        with contextlib.suppress(InputError):
            assert check_bag(bag).faults, path.name
        path.write_bytes(whole)
    assert check_bag(bag).faults == ()
    (bag / "more.txt").write_bytes(b"")
    assert check_bag(bag).faults


def test_a_file_that_cannot_be_read_is_one_fault_among_others(
    tmp_path: Path, payload: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    bag = made(tmp_path, payload)
    (bag / "data" / "a.txt").unlink()
    real = bags._digest

    def unreadable(path: Path, algorithm: str) -> str:
        if path.name == "100%.txt":
            raise OSError(errno.EIO, "I/O error")
        return real(path, algorithm)

    monkeypatch.setattr(bags, "_digest", unreadable)
    faults = {(f.code, f.name, f.text) for f in check_bag(bag).faults}
    assert ("unread", "data/100%.txt", "I/O error") in faults
    assert ("missing", "data/a.txt", "") in faults
