"""The settings' reference, printed: every key of the model is in it, and the starter says where it is."""

import json
from dataclasses import fields as dataclass_fields
from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.model.room import Window
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.tasks.studio.reference import fields


def test_every_key_of_the_model_is_told() -> None:
    studio, shoot = fields().files
    assert {k.name for t in studio.tables if t.head == "[[windows]]" for k in t.keys} == {
        f.name for f in dataclass_fields(Window)
    } - {"opposite"}
    heads = {t.head.strip("[]").split(".")[0] for t in (*studio.tables, *shoot.tables)}
    arrays = {f.name for root in (Studio, Shoot) for f in dataclass_fields(root) if "tuple" in str(f.type)}
    assert {"windows", "spots", "shots", "channels"} <= arrays & heads


def test_one_table_one_key_and_a_slip(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--fields", "sill_m"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("studio.toml  [[windows]]")
    assert "0 to 5 m" in told
    assert main(["check", "--fields", "windows", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["files"][0]["tables"][0]["head"] == "[[windows]]"
    assert main(["check", "--fields", "sil_m"]) == 2
    assert "Did you mean sill_m" in capsys.readouterr().err


def test_no_line_is_wider_than_a_terminal_takes() -> None:
    assert [line for line in fields().lines() if len(line) > 140] == []


def test_the_starter_names_the_command(tmp_path: Path) -> None:
    main(["new", str(tmp_path), "--city", "Lisbon", "--facing", "N"])
    for name in ("studio.toml", "shoot.toml"):
        assert "plateside check --fields" in (tmp_path / name).read_text(encoding="utf-8")
