"""Words: what is checked of an alternative text (WCAG 2.2 1.1.1; aim 125, at most 250 letters), and stand-ins."""

import pytest

from plateside.deliver import times
from plateside.deliver.rights import licence_gate, person_gate, rights_of
from plateside.deliver.words import (
    AIM_CHARACTERS,
    MOST_CHARACTERS,
    check_alt,
    placeholders,
    stand_in_alt,
    words_for,
)
from plateside.files.settings.load import judge_shoot
from plateside.files.settings.starter import shoot_text
from plateside.model.errors import RefusedError
from plateside.model.first_answers import Answers
from plateside.model.shoot import Creator, Recipe, Shot, Step

RECIPE = Recipe(title="Chilled cucumber soup", description="A cold soup.")
GOOD = "Three pale green chilled soups with halved grapes, mint oil and toasted crumbs on a blue-grey board."


def test_a_good_text_is_left_in_peace() -> None:
    assert check_alt(GOOD, "three-bowls", "Chilled soup") == ()


@pytest.mark.parametrize(
    ("alt", "what"),
    [
        ("Image of a bowl of soup.", "needless"),
        ("A photo of a bowl of soup.", "needless"),
        ("The picture showing a bowl.", "needless"),
        ("three-bowls", "file name"),
        ("three_bowls", "file name"),
        ("IMG_0042", "file name"),
        ("DSC01234", "file name"),
        ("soup final.jpg", "file name"),
        ("", "empty"),
        ("   ", "empty"),
        ("Chilled soup.", "title"),
        ("soup, cold, green, cucumber, grape, mint, oil, crumbs, bread, almond", "keywords"),
        ("x" * (AIM_CHARACTERS + 1), "long"),
        ("x" * (MOST_CHARACTERS + 1), "too long"),
    ],
)
def test_what_is_wrong_with_a_bad_text_is_named(alt: str, what: str) -> None:
    found = check_alt(alt, "three-bowls", "Chilled soup")
    assert what in {point.what for point in found}
    assert {(point.code, point.shot, point.blocks) for point in found} == {("words", "three-bowls", False)}


@pytest.mark.parametrize("alt", ["Imagination in a bowl.", "Photographer's hands hold a bowl."])
def test_words_that_only_begin_alike_are_fine(alt: str) -> None:
    assert check_alt(alt, "three-bowls") == ()


def test_lengths_at_the_limits_are_fine() -> None:
    assert check_alt("x" * AIM_CHARACTERS, "s") == ()
    assert len(check_alt("x" * MOST_CHARACTERS, "s")) == 1


def test_her_words_win_over_the_file_and_the_file_over_the_stand_in() -> None:
    shot = Shot(name="s", title="In the file", caption="Said in the file.", alt_text="A bowl in the file.")
    assert words_for(RECIPE, shot).title == "In the file"
    edited = words_for(RECIPE, shot, {"title": "Edited", "alt_text": "A bowl, edited."})
    assert (edited.title, edited.alt_text, edited.alt_is_hers) == ("Edited", "A bowl, edited.", True)
    plain = words_for(RECIPE, Shot(name="s"))
    assert (plain.title, plain.description, plain.alt_is_hers) == (
        "Chilled cucumber soup",
        "A cold soup.",
        False,
    )
    assert [(p.code, p.what) for p in plain.remarks] == [("words", "stand-in")]


def test_stand_in_says_dish_view_and_movement_and_passes_the_checks() -> None:
    pour = stand_in_alt(RECIPE, Shot(name="pour", angle="overhead", moves="silk pour"))
    assert pour == "Chilled cucumber soup, being poured seen from above."
    assert check_alt(pour, "pour", RECIPE.title) == ()


def test_control_characters_and_line_ends_are_taken_out() -> None:
    got = words_for(RECIPE, Shot(name="s", title="One\n two\x00\tthree", alt_text="A\x07 bowl."))
    assert (got.title, got.alt_text) == ("One two three", "A bowl.")


def test_rights_are_made_from_name_and_year_but_a_licence_is_never_made_up() -> None:
    rights = rights_of(Creator(name="Ines Valadao"), 2027)
    assert (rights.credit, rights.copyright) == ("Ines Valadao", "© 2027 Ines Valadao")
    gate = licence_gate(rights)
    assert gate is not None
    assert (gate.code, gate.blocks) == ("no licence", True)
    assert licence_gate(rights_of(Creator(name="I", usage_terms="All rights reserved"), 2027)) is None


def test_a_person_without_a_release_is_held_back() -> None:
    gate = person_gate(Shot(name="pour", person=True))
    assert gate is not None
    assert (gate.code, gate.shot, gate.blocks) == ("no release", "pour", True)
    assert person_gate(Shot(name="pour", person=True, model_release=True)) is None
    assert person_gate(Shot(name="bowl")) is None


@pytest.mark.parametrize(
    ("iso", "length_s", "spoken"),
    [("PT8M", 480, "8 min"), ("PT1H30M", 5400, "1 h 30 min"), ("PT0M20S", 20, "20 s"), ("P1DT2H", 93600, "26 h"),
     ("PT6M30S", 390, "6 min"), ("PT2H", 7200, "2 h")],
)  # fmt: skip
def test_durations(iso: str, length_s: float, spoken: str) -> None:
    assert times.seconds(iso) == length_s
    assert times.seconds(times.iso(length_s)) == length_s
    assert times.spoken(length_s) == spoken


@pytest.mark.parametrize("wrong", ["8M", "PT", "P", "PT5X", "five minutes", ""])
def test_what_is_no_duration_is_refused_with_the_form(wrong: str) -> None:
    with pytest.raises(RefusedError) as refused:
        times.seconds(wrong)
    assert refused.value.code == "no duration"


def test_every_placeholder_of_the_starter_is_told() -> None:
    """Read from the starter itself, so that a word changed there is noticed here."""
    answers = Answers(
        place_name="", country="PT", latitude_deg=38.7, longitude_deg=-9.1, timezone="Europe/Lisbon", facing_deg=20,
        date="2027-07-15",
    )  # fmt: skip
    shoot = judge_shoot(shoot_text(answers), "shoot.toml", None).value
    told = placeholders(shoot.recipe, shoot.creator.name)
    assert len(told) == 1 + len(shoot.recipe.steps) + 1


def test_words_to_be_written_are_told_and_a_recipe_s_own_are_not() -> None:
    bad = Recipe(
        title="Soup",
        ingredients=("Write the ingredients here",),
        steps=(Step(name="1", text="Write the recipe here"),),
    )
    assert len(placeholders(bad, "A. Cook")) == 2
    good = Recipe(
        title="My dishwasher salmon",
        ingredients=("3 cups of rice",),
        steps=(Step(name="cook", text="Cook the rice."), Step(name="plate the fish")),
    )
    assert placeholders(good, "A. Cook") == ()
