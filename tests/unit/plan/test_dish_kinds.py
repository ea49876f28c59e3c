"""The shape that a dish's name speaks of (words of a language's kitchen: common practice, no source)."""

import pytest

from plateside.model.shoot import Shot
from plateside.plan.dish_kinds import KINDS, kind_of
from plateside.tasks.studio.fields import schema_of


def test_every_shape_of_a_shot_is_a_kind_and_its_size_is_allowed() -> None:
    fields = {field.name: field for field in schema_of("shoot").tables["Shot"]}
    assert set(KINDS) == set(fields["stand_in"].words)
    for kind in KINDS.values():
        for name, size in (("dish_width_mm", kind.width_mm), ("dish_height_mm", kind.height_mm)):
            low, high = fields[name].low, fields[name].high
            assert low is not None and high is not None
            assert low <= size <= high
    assert Shot(name="a").stand_in in KINDS


@pytest.mark.parametrize(
    ("dish", "kind"),
    [
        ("A plum galette", "tart"), ("Lemon tart", "tart"), ("Chocolate and hazelnut tart", "tart"),
        ("Chilled cucumber, grape and almond soup", "soup"), ("Tomato soup with buns", "soup"),
        ("Cheeseburger", "stack"), ("Apfelkuchen", "loaf"), ("Rice noodle salad", "leaves"), ("Iced tea", "drink"),
        ("Green tea cake", "loaf"), ("Cinnamon buns", "buns"), ("P\u00e3o de centeio", "loaf"),
        ("G\u00c2TEAU AU CHOCOLAT", "loaf"), ("Pasta with pesto", "noodles"),
    ],
)  # fmt: skip
def test_a_dishs_name_says_its_shape(dish: str, kind: str) -> None:
    assert kind_of(dish) == kind


@pytest.mark.parametrize("dish", ["", "My dish", "Steak", "Instant", "Pumpernickel", "\u83dc", "with"])
def test_what_a_name_does_not_say_is_not_guessed(dish: str) -> None:
    assert kind_of(dish) == ""
