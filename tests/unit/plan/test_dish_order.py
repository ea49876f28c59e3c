"""Whole before cut before bitten; the plan's order on set; where Next shot leads."""

from collections.abc import Sequence

import pytest

from plateside.model.shoot import Creator, Recipe, Shoot, Shot, Step
from plateside.plan.day import orders
from plateside.plan.dish_order import by_days, dish_order, following, set_order


def shots(*names: str) -> list[Shot]:
    """Names that begin with a cross leave the dish cut."""
    return [Shot(name=n.lstrip("x"), irreversible=n.startswith("x")) for n in names]


def names(of: Sequence[Shot]) -> list[str]:
    return [s.name for s in of]


def test_whole_before_cut_before_bitten() -> None:
    listed = shots("xbitten", "xcut", "sugar", "whole")
    assert names(dish_order(listed)) == ["sugar", "whole", "cut", "bitten"]
    assert all(names(o)[2:] == ["cut", "bitten"] for o in orders(listed))


def test_steps_of_the_recipe_that_belong_to_shots_say_which_comes_first() -> None:
    steps = (Step(name="dust", for_shot="sugar"), Step(name="cut", for_shot="slice"))
    assert names(dish_order(shots("xslice", "xpour", "xsugar", "whole"), steps)) == [
        "whole",
        "sugar",
        "pour",
        "slice",
    ]


@pytest.mark.parametrize(
    ("planned", "expected"),
    [
        ([], ["a", "b", "c", "cut"]),
        (["c", "a", "b", "cut"], ["c", "a", "b", "cut"]),
        # b and the cut were added after the plan; b stays behind a, the cut last
        (["c", "a"], ["c", "a", "b", "cut"]),
        # a shot of the plan was taken out, and one was made a cut after it
        (["gone", "cut", "c", "b", "a"], ["c", "b", "a", "cut"]),
    ],
)
def test_the_order_on_set(planned: list[str], expected: list[str]) -> None:
    assert names(set_order(shots("a", "b", "xcut", "c"), (), planned)) == expected


def test_next_shot_passes_what_is_kept_and_comes_back_to_what_was_skipped() -> None:
    order = shots("a", "b", "c", "xcut")
    assert following(order, set(), "") == "a"
    assert following(order, {"a", "b"}, "a") == "c"
    # b was skipped: it comes before the cut, and only once more
    assert following(order, {"a", "c"}, "c", {"b": 1}) == "b"
    assert following(order, {"a", "c"}, "b", {"b": 2}) == "cut"
    assert following(order, {"a", "c"}, "c", {"b": 2}) == "cut"
    assert following(order, {"a", "b", "c"}, "c") == "cut"
    # after the cut, what is left
    assert following(order, {"a", "c", "cut"}, "cut", {"b": 2}) == "b"
    assert following(order, {"a", "b", "c", "cut"}, "cut") == ""
    assert following([], set(), "") == ""
    assert following(order, set(), "gone") == "a"


def _several_days() -> Shoot:
    first, second = "2027-07-15", "2027-07-16"
    listed = (
        Shot(name="late", date=second), Shot(name="cut", irreversible=True),
        Shot(name="whole", date=first), Shot(name="bite", irreversible=True, date=second),
    )  # fmt: skip
    return Shoot(date=first, recipe=Recipe(title="Pie"), creator=Creator(name="A"), shots=listed)


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        ("2027-07-14", ["whole", "cut", "late", "bite"]), ("2027-07-15", ["whole", "cut", "late", "bite"]),
        # today's first; what an earlier day left comes after
        ("2027-07-16", ["late", "bite", "whole", "cut"]), ("2028-01-01", ["whole", "cut", "late", "bite"]),
    ],
)  # fmt: skip
def test_the_shots_of_today_come_first(today: str, expected: list[str]) -> None:
    order = by_days(_several_days(), [], today)
    assert names(order) == expected
    assert {s.name: s.date for s in order}["cut"] == "2027-07-15"


def test_what_another_day_has_whole_holds_up_no_cut_of_today() -> None:
    order = by_days(_several_days(), [], "2027-07-15")
    assert following(order, {"whole"}, "whole") == "cut"
    assert following(order, {"whole", "cut"}, "cut") == "late"
    # a whole dish of the same day still comes before its cut
    assert following(order, set(), "bite") == "whole"
