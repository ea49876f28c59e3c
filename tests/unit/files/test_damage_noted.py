"""What is damaged is said once, whoever found it, and no more when it is whole."""

from pathlib import Path

from plateside.files import damage
from plateside.tasks.serve.damage_said import damage_now, heard_of_damage


def test_a_server_and_its_child_that_found_the_same_say_it_once(tmp_path: Path) -> None:
    damage.taken()
    damage.note(tmp_path / "journal.jsonl", "Line 3 cannot be read.")
    heard_of_damage("Line 3 cannot be read.")
    heard_of_damage("Line 9 cannot be read.")
    assert sorted(damage_now()) == ["Line 3 cannot be read.", "Line 9 cannot be read."]
    damage.clear(tmp_path / "journal.jsonl")
    assert damage.taken() == ["Line 9 cannot be read."]
    assert damage_now() == []
