"""Packages after RFC 8493, checked with coreutils' sha512sum and by breaking them."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from plateside.files.bags import check_bag, write_bag
from plateside.model.errors import Cancelled, CouldNotError, InputError


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
    faults = check_bag(bag).faults
    assert "data/a.txt is missing." in faults
    assert "data/deep/ü b.jpg has changed since it was packed." in faults
    assert "data/new.txt is not in manifest-sha512.txt: it came later." in faults
    assert "bag-info.txt has changed since it was packed." in faults


def test_a_cut_file_shows_in_the_oxum_as_well(tmp_path: Path, payload: dict[str, Path]) -> None:
    bag = made(tmp_path, payload)
    (bag / "data" / "deep" / "ü b.jpg").write_bytes(b"")
    (fault,) = [f for f in check_bag(bag).faults if "promises" in f]
    total = sum(p.stat().st_size for p in payload.values())
    cut = payload["deep/ü b.jpg"].stat().st_size
    assert f"promises {total:,} bytes in".replace(",", " ") in fault
    assert f"there are {total - cut:,} bytes in".replace(",", " ") in fault


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
    assert any("leads out of the package" in fault for fault in check_bag(bag).faults)


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
    with pytest.raises(InputError, match="no package"):
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
