"""What check says without calling it wrong: plants, allergens, words and shapes."""

from dataclasses import replace

import pytest

from plateside.files.settings.allergens import GROUPS, groups_in, not_listed
from plateside.files.settings.load import parse_shoot, parse_studio
from plateside.files.settings.plants import plants, plants_in
from plateside.files.settings.remarks import Remark, shoot_remarks, studio_remarks
from plateside.model.gear import Prop
from plateside.model.shoot import Channel, Shoot
from plateside.model.studio import Studio
from plateside.words.remarks import PLANTS, said
from tests.unit.settings.sample_settings import SHOOT, STUDIO

# Colorado State University Extension, Edible Flowers: Quick Facts, table 1; Barash, Edible Flowers (as listed by a
# secondary copy); Illinois Poison Center and NC State Extension, winter plants
NOT_FOR_PLATES = (
    "oleander", "lily of the valley", "foxglove", "larkspur", "delphinium", "monkshood", "daffodil", "hyacinth",
    "calla lily", "azalea", "rhododendron", "lantana", "clematis", "sweet pea flowers", "daphne", "autumn crocus",
    "castor bean", "mistletoe", "bleeding heart", "amaryllis", "hydrangea", "wisteria", "ivy", "iris", "lobelia",
    "boxwood", "periwinkle flowers", "privet", "lupin flowers", "holly", "poinsettia",
)  # fmt: skip


@pytest.mark.parametrize("name", NOT_FOR_PLATES)
def test_plants_of_the_published_lists_are_known_with_their_latin_names(name: str) -> None:
    found = plants_in(f"a sprig of {name}, tied")
    assert len(found) == 1
    assert found[0].latin


def test_poinsettia_is_not_called_deadly() -> None:
    (plant,) = plants_in("Poinsettia")
    assert plant.why == "irritates"
    assert "poison" not in PLANTS[plant.why]


@pytest.mark.parametrize(
    "food", ["peas and mint", "pineapple", "pine nuts", "sweet peas, shelled", "a box of eggs", "elderflower",
             "tapioca", "rhubarb", "saffron", "vanilla", "chervil", "civet", "sirius", "ivory plate"],
)  # fmt: skip
def test_food_is_not_taken_for_a_plant(food: str) -> None:
    assert plants_in(food) == ()


def test_plants_are_told_once_each() -> None:
    assert len({p.name for p in plants()}) == len(plants())


def test_the_fourteen_groups() -> None:
    # Regulation (EU) 1169/2011, Annex II
    assert set(GROUPS) == {
        "gluten", "crustaceans", "egg", "fish", "peanut", "soy", "milk", "tree nuts", "celery", "mustard", "sesame",
        "sulphites", "lupin", "molluscs",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("line", "groups"),
    [
        ("220 g plain flour", {"gluten"}),
        ("120 g cold butter, cubed", {"milk"}),
        ("1 egg yolk", {"egg"}),
        ("2 aubergines or eggplants", set()),
        ("400 ml coconut milk", set()),
        ("2 tbsp peanut butter", {"peanut"}),
        ("200 ml almond milk", {"tree nuts"}),
        ("300 g rice noodles", set()),
        ("200 g wheat noodles", {"gluten"}),
        ("1 butternut squash, nutmeg", set()),
        ("3 tablespoons brown miso", {"soy"}),
        ("1 tin of butter beans", set()),
        ("180 g goat's curd", {"milk"}),
        ("tahini and lemon", {"sesame"}),
        ("100 g buckwheat flour", set()),
        ("2 tbsp soy sauce", {"soy", "gluten"}),
        ("1 tsp wholegrain mustard", {"mustard"}),
        ("2 sticks celery", {"celery"}),
        ("1 kg mussels and 200 g prawns", {"molluscs", "crustaceans"}),
        ("anchovies", {"fish"}),
        ("a glass of white wine", {"sulphites"}),
        ("lupin flour", {"lupin", "gluten"}),
        ("900 g cucumbers", set()),
    ],
)
def test_words_that_point_to_allergens(line: str, groups: set[str]) -> None:
    assert {g for g, _ in groups_in(line)} == groups


def test_only_what_is_not_named_is_told() -> None:
    assert not_listed(("120 g almonds", "80 g bread"), ("tree nuts (almond)",)) == (("gluten", "bread"),)
    assert not_listed(("120 g almonds",), ("Almonds",)) == ()


def of_kind(remarks: list[Remark], kind: str) -> list[Remark]:
    return [r for r in remarks if r.kind == kind]


def codes(remarks: list[Remark], kind: str) -> list[str]:
    return [r.code for r in of_kind(remarks, kind)]


@pytest.fixture
def studio() -> Studio:
    return parse_studio(STUDIO)


@pytest.fixture
def shoot() -> Shoot:
    return parse_shoot(SHOOT)


def test_remarks_on_allergens_never_say_free_from(shoot: Shoot) -> None:
    shoot = replace(shoot, recipe=replace(shoot.recipe, ingredients=("80 g bread",)))
    (told,) = of_kind(shoot_remarks(shoot, None), "allergens")
    assert (told.facts["word"], told.facts["group"]) == ("bread", "gluten")
    assert "free from" not in said(told)
    assert "free from" not in said(told, page=True)


def test_plants_in_props_are_told_with_their_latin_name(shoot: Shoot, studio: Studio) -> None:
    studio = replace(studio, props=(Prop(name="ivy garland"),))
    told = of_kind(shoot_remarks(shoot, studio), "plants")
    assert told[0].facts["plant"] == "ivy (Hedera helix)"
    assert told[-1].code == "plants not listed"
    assert of_kind(shoot_remarks(shoot, None), "plants") == []


def test_light(studio: Studio) -> None:
    assert of_kind(studio_remarks(studio), "light") == []
    bare = replace(studio, boards=(), windows=(replace(studio.windows[0], bearing_deg=45),))
    assert codes(studio_remarks(bare), "light") == ["no white board", "round bearing"]


@pytest.mark.parametrize(
    ("change", "wall"),
    [
        ({"from_left_m": 4.1}, "right"),  # a table of 1 m in a room 4.2 m wide
        ({"from_left_m": 0.3}, "left"),
        ({"from_front_m": 0.2}, "front"),
        ({"from_front_m": 3.0}, "back"),
        ({"table_width_m": 5.0}, "left"),
    ],
)
def test_a_table_through_a_wall_is_told_and_the_file_still_read(
    studio: Studio, change: dict[str, float], wall: str
) -> None:
    made = replace(studio, spots=(replace(studio.spots[0], **change),))  # type: ignore[arg-type]
    told = of_kind(studio_remarks(made), "light")[0]
    assert (told.code, told.facts["wall"]) == ("table through a wall", wall)
    assert (told.table, told.name) == ("spots", "by the window")


@pytest.mark.parametrize("change", [{"from_left_m": 3.7}, {"from_left_m": 0.5}, {"from_front_m": 0.4}])
def test_a_table_that_stands_at_a_wall_is_not_told(studio: Studio, change: dict[str, float]) -> None:
    made = replace(studio, spots=(replace(studio.spots[0], **change),))  # type: ignore[arg-type]
    assert of_kind(studio_remarks(made), "light") == []


def test_a_longitude_with_the_wrong_sign_is_noticed(studio: Studio) -> None:
    # Melbourne at 145 W instead of 145 E: ten hours by the clock, minus ten by the sun
    place = replace(studio.place, timezone="Australia/Melbourne", latitude_deg=-37.8, longitude_deg=-145.0)
    assert codes(studio_remarks(replace(studio, place=place)), "place") == ["zone and longitude"]
    right = replace(place, longitude_deg=145.0)
    assert of_kind(studio_remarks(replace(studio, place=right)), "place") == []


def test_page_shapes(shoot: Shoot) -> None:
    # 16:9, 4:3, 1:1 of at least 50 000 pixels: 298 x 167 = 49 766 is too few, 299 x 169 = 50 531 enough
    def told(*sizes: tuple[int, int]) -> list[str]:
        channels = tuple(Channel(name=f"c{n}", width_px=w, height_px=h) for n, (w, h) in enumerate(sizes))
        made = replace(shoot, channels=channels, shots=tuple(replace(s, channels=()) for s in shoot.shots))
        return [shape for r in of_kind(shoot_remarks(made, None), "page") for shape in r.facts["shapes"]]

    assert told((1600, 900), (1600, 1200), (1200, 1200)) == []
    assert told((1600, 900), (1600, 1200)) == ["1:1"]
    assert told((298, 167), (1600, 1200), (1200, 1200)) == ["16:9"]
    assert told((299, 169), (1600, 1200), (1200, 1200)) == []


def test_alt_text(shoot: Shoot) -> None:
    def told(alt: str) -> list[str]:
        made = replace(shoot, shots=(replace(shoot.shots[0], alt_text=alt),))
        return [r.code for r in of_kind(shoot_remarks(made, None), "words") if r.table == "shots"]

    assert told("") == ["no alt text"]
    assert told("Image of a soup.") == ["alt text begins"]
    assert told("x" * 251) == ["long alt text"]
    assert told("A green soup in a white bowl.") == []


def test_shots_against_the_studio(shoot: Shoot, studio: Studio) -> None:
    overhead = replace(shoot, shots=(replace(shoot.shots[0], angle="overhead", alt_text="Soup."),))
    tripod = parse_studio(
        STUDIO
        + '\n[[supports]]\nname = "tripod"\n\n[[surfaces]]\nname = "slate"\nwidth_m = 0.4\ndepth_m = 0.3\n'
    )
    told = [r.code for r in shoot_remarks(overhead, tripod)]
    assert {"overhead without arm", "frame over surface"} <= set(told)


def test_pack_s_refusal_is_told_beforehand(shoot: Shoot) -> None:
    def told(**creator: str) -> list[str]:
        changed = replace(shoot, creator=replace(shoot.creator, **creator))
        return [r.code for r in shoot_remarks(changed, None) if r.table == "creator"]

    assert told(usage_terms="", licence_url="") == ["no terms"]
    assert told(usage_terms="All rights reserved", licence_url="") == []
    assert told(usage_terms="", licence_url="https://example.org/licence/") == []


@pytest.mark.parametrize("key", ["description", "ingredients", "steps"])
def test_what_a_recipe_lacks_is_said_of_one_and_of_many_alike(key: str) -> None:
    lacking = Remark("recipe incomplete", "words", "recipe", facts={"key": key})
    assert said(lacking) == f"The recipe has no {key} yet, so its page has less to show."
