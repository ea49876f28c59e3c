"""What was compiled from other sources is never used."""

from pathlib import Path

import pytest

import plateside
from plateside.stale_kernels import FOLDERS, throw_away


def package(tmp_path: Path) -> tuple[Path, Path]:
    for folder in FOLDERS:
        (tmp_path / folder / "__pycache__").mkdir(parents=True)
        (tmp_path / folder / "a.py").write_text("x = 1\n")
    compiled = tmp_path / "light" / "__pycache__" / "a.rows-1.py311.nbi"
    throw_away(tmp_path)
    compiled.write_bytes(b"compiled")
    return tmp_path, compiled


def test_it_stays_while_nothing_changes(tmp_path: Path) -> None:
    root, compiled = package(tmp_path)
    throw_away(root)
    assert compiled.exists()


@pytest.mark.parametrize("folder", FOLDERS)
def test_it_goes_when_a_source_of_another_file_changes(tmp_path: Path, folder: str) -> None:
    root, compiled = package(tmp_path)
    (root / folder / "a.py").write_text("x = 2\n")
    throw_away(root)
    assert not compiled.exists()


def test_every_kernel_is_in_one_of_the_folders() -> None:
    src = Path(plateside.__file__).parent
    kernels = [p for p in src.rglob("*.py") if "numba." in p.read_text(encoding="utf-8")]
    assert kernels
    assert {p.relative_to(src).parts[0] for p in kernels if p.name != "stale_kernels.py"} <= set(FOLDERS)
