"""The usual cautions of a set-up and of a day, as codes: `words/cautions.py` says them.

`setup_cautions`   of one set-up
`day_cautions`     of the whole set; `cautions_of` with those of its plants
`plant_cautions`   of plants among props and ingredients: Colorado State University Extension, Edible Flowers (table 1);
                   Barash's list; Illinois Poison Center on winter plants; NC Extension on florist's flowers
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from plateside.camera.setup import Rig
from plateside.model.gear import Support
from plateside.model.shoot import Shot


def setup_cautions(shot: Shot, support: Support, rig: Rig | None, sensor_height_m: float) -> tuple[str, ...]:
    """Codes of one set-up's cautions: rig, no chair, pour, steam, flour, helper."""
    out: list[str] = []
    if support.kind == "arm" and rig is not None:
        out.append("rig")
    if sensor_height_m > 1.6 and support.kind != "hand":
        out.append("no chair")
    if shot.moves in ("silk pour", "frozen drops"):
        out.append("pour")
    if shot.moves == "steam":
        out.append("steam")
    if shot.moves == "falling sugar":
        out.append("flour")
    if shot.person:
        out.append("helper")
    return tuple(out)


def day_cautions(shots: Sequence[Shot]) -> tuple[str, ...]:
    """Codes of the whole set's cautions: electricity, sun and glass, not food, releases."""
    people = ("releases",) if any(s.person for s in shots) else ()
    return ("electricity", "sun and glass", "not food", *people)


@dataclass(frozen=True)
class PlantCaution:
    """A plant, or another natural thing, that must not touch food."""

    name: str
    code: str
    """poisonous; not food: on no list of edible plants; florist: grown for looks"""


TOXIC = (
    "oleander",
    "lily of the valley",
    "foxglove",
    "larkspur",
    "delphinium",
    "monkshood",
    "daffodil",
    "hyacinth",
    "calla lily",
    "azalea",
    "rhododendron",
    "lantana",
    "clematis",
    "sweet pea",
    "daphne",
    "autumn crocus",
    "castor bean",
    "mistletoe",
    "bleeding heart",
    "amaryllis",
    "hydrangea",
    "wisteria",
    "ivy",
    "iris",
    "lobelia",
    "periwinkle",
    "privet",
    "lupin",
    "holly",
    "yew",
    "euphorbia",
    "rhubarb leaf",
    "raw elderberry",
)
NOT_FOOD = (
    "poinsettia",
    "bougainvillea",
    "pine cone",
    "pine sprig",
    "cedar",
    "moss",
    "feather",
    "twine",
    "shell",
)
FLOWERS = ("florist", "flower", "blossom", "bouquet", "petal")


def plant_cautions(names: Sequence[str]) -> list[PlantCaution]:
    """Cautions for plants and other natural things in the picture, by name."""
    out: list[PlantCaution] = []
    for name in dict.fromkeys(names):
        low = name.lower()
        if "edible" in low:
            continue
        if any(_named(low, plant) for plant in TOXIC):
            out.append(PlantCaution(name, "poisonous"))
        elif any(_named(low, plant) for plant in NOT_FOOD):
            out.append(PlantCaution(name, "not food"))
        elif any(word in low for word in FLOWERS):
            out.append(PlantCaution(name, "florist"))
    return out


@dataclass(frozen=True)
class DayCautions:
    """What can hurt somebody on the day."""

    codes: tuple[str, ...]
    """Those of day_cautions."""
    plants: tuple[PlantCaution, ...]


def cautions_of(shots: Sequence[Shot], ingredients: Sequence[str]) -> DayCautions:
    """The day's cautions, with those of plants among props and ingredients. Sweet peas to eat are no flower."""
    names = [p for s in shots for p in s.props]
    names += [i for i in ingredients if "sweet pea" not in i.lower()]
    return DayCautions(day_cautions(shots), tuple(plant_cautions(names)))


def _named(text: str, plant: str) -> bool:
    """Whether a plant is named as a word of its own, singular or plural: 'chives' is not 'ivy'."""
    return re.search(rf"\b{re.escape(plant)}(?:s|es)?\b", text) is not None
