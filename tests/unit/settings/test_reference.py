"""The reference page is the code's; the demo's files and the starters are right by it."""

import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from plateside.files.settings.grammar import entries, every_table
from plateside.files.settings.lines import example_line
from plateside.files.settings.load import open_shoot
from plateside.files.settings.remarks import shoot_remarks
from plateside.files.settings.values import converted
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from tests.synthetic.reference import PAGE, reference_text

DEMO = Path(str(files("plateside.demo")))


def test_the_reference_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == reference_text(), "run: python -m scripts.make_reference"


@pytest.mark.parametrize("root", [Studio, Shoot])
def test_every_key_says_its_meaning_and_has_an_example_that_is_allowed(root: type) -> None:
    page = PAGE.read_text(encoding="utf-8")
    for path, cls, _ in every_table(root):
        assert cls.__doc__
        for entry in entries(cls).values():
            assert entry.doc, (path, entry.name)
            if entry.is_table:
                continue
            assert f"| `{entry.name}` |" in page
            example = tomllib.loads(example_line(entry))
            assert list(example) == [entry.name]
            value, mistake = converted(entry, example[entry.name])
            assert mistake is None, mistake
            assert value is not None
            if entry.kind == "number" and (entry.low is None) != (entry.high is None):
                raise AssertionError(f"{entry.name}: a range has two ends")


@pytest.mark.parametrize("where", ["", "melbourne", "edinburgh"])
def test_demo_files_are_right_and_complete(where: str) -> None:
    opened = open_shoot(DEMO / where)
    assert len(opened.shoot.shots) == 5
    for shot in opened.shoot.shots:
        assert 20 <= len(shot.alt_text) <= 125
        assert shot.title
        assert shot.caption
    kinds = {r.kind for r in shoot_remarks(opened.shoot, opened.studio)}
    assert kinds <= {"plants"}


def test_the_demo_tells_of_the_florists_flowers() -> None:
    opened = open_shoot(DEMO)
    told = [r.facts["plant"] for r in shoot_remarks(opened.shoot, opened.studio) if r.code == "plant"]
    assert any("Bougainvillea" in plant for plant in told)


def test_nobody_real_and_no_address_but_example_stands_in_the_demo() -> None:
    for path in DEMO.rglob("*.toml"):
        for line in path.read_text(encoding="utf-8").splitlines():
            if "http" in line:
                assert "https://example.org/" in line
