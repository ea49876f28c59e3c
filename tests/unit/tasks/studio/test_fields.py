"""The schema says what the model says."""

import dataclasses

import pytest

from plateside.files.settings.grammar import entries
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.tasks.studio.fields import NAMES, by_path, schema_of


@pytest.mark.parametrize(("which", "root"), [("shoot", Shoot), ("studio", Studio)])
def test_every_field_of_every_table_is_there_in_order(which: str, root: type) -> None:
    schema = schema_of(which)
    assert schema.root == root.__name__
    seen = set()

    def walk(cls: type) -> None:
        seen.add(cls.__name__)
        told = schema.tables[cls.__name__]
        assert [f.name for f in told] == [f.name for f in dataclasses.fields(cls)]
        for f, field in zip(told, dataclasses.fields(cls), strict=True):
            assert (f.doc, f.unit, f.low, f.high) == tuple(
                field.metadata[key] for key in ("doc", "unit", "low", "high")
            )
            assert f.words == field.metadata["words"]
            table = entries(cls)[f.name].table
            if table is not None:
                assert f.table == table.__name__
                walk(table)

    walk(root)
    assert set(schema.tables) == seen


def test_names_point_at_arrays_that_have_names() -> None:
    for (cls, field), home in NAMES.items():
        assert field in entries(cls)
        which, _, array = home.partition(".")
        entry = entries({"studio": Studio, "shoot": Shoot}[which])[array]
        assert entry.table is not None
        assert "name" in entries(entry.table)


def test_forms_are_told() -> None:
    fields = {f.name: f for f in schema_of("shoot").tables["Step"]}
    assert fields["takes"].form == "duration"
    assert "PT8M" in fields["takes"].form_words
    assert {f.name: f.form for f in schema_of("shoot").tables["Shoot"]}["date"] == "date"


def test_another_file_is_told() -> None:
    with pytest.raises(InputError):
        schema_of("journal")


def test_labels_are_words() -> None:
    for which in ("studio", "shoot"):
        for table in schema_of(which).tables.values():
            for field in table:
                assert field.label[:1].isupper(), field
                assert "_" not in field.label
    labels = {f.name: f.label for f in schema_of("shoot").tables["Shot"]}
    # left to its name, without the unit; and where the name would say nothing
    assert (labels["frame_height_mm"], labels["minutes"]) == ("Frame height", "Time it takes")


def test_plain_fields_stand_under_their_tables_path() -> None:
    tables = by_path("studio")
    assert {"", "room", "windows", "windows.opposite", "spots"} <= set(tables)
    room = {f.name: f for f in tables["room"]}
    assert room["width_m"].example_value == 4.2
    assert all(not f.table for fields in tables.values() for f in fields)
