"""The usual cautions of a set-up and of a day: short, and deferring to maker, local code and the person in the room.

Common practice of studios, no source; figures are those of published guidance, named where they are used.

`setup_cautions`   of one set-up
`plant_cautions`   of plants among props and ingredients: Colorado State University Extension, Edible Flowers (table 1);
                   Barash's list; Illinois Poison Center on winter plants; NC Extension on florist's flowers
"""

import re
from collections.abc import Sequence

from plateside.camera.setup import Rig
from plateside.model.gear import Support
from plateside.model.shoot import Shot


def setup_cautions(shot: Shot, support: Support, rig: Rig | None, sensor_height_m: float) -> tuple[str, ...]:
    """Cautions of one set-up."""
    out: list[str] = []
    if support.kind == "arm" and rig is not None:
        out.append(
            "The rig: this is arithmetic, not approval. Point the arm over a leg, hang the bag low so that it cannot "
            "swing, tether the camera, nobody's head or hot pan beneath; the maker's limits decide."
        )
    if sensor_height_m > 1.6 and support.kind != "hand":
        out.append("No chair to see the screen: tilt it or view from afar; a step only on level, dry floor.")
    if shot.moves in ("silk pour", "frozen drops"):
        out.append(
            "The pour: hot glaze, oil and sugar burn deep. Pour away from yourself, camera on the far side, no hot "
            "liquid into cold glass; a burn goes under cool running water for 20 minutes."
        )
    if shot.moves == "steam":
        out.append("Steam: let it rise clear of the lens; no burner or charcoal indoors without ventilation.")
    if shot.moves == "falling sugar":
        out.append("Fine sugar and flour burn in the air: no candle or flame near.")
    if shot.person:
        out.append("A helper who can be recognised signs a release first; your own face is your choice.")
    return tuple(out)


_TOXIC_WORDS = (
    "oleander, lily of the valley, foxglove, larkspur, delphinium, monkshood, daffodil, hyacinth, calla lily, azalea, "
    "rhododendron, lantana, clematis, sweet pea, daphne, autumn crocus, castor bean, mistletoe, bleeding heart, "
    "amaryllis, hydrangea, wisteria, ivy, iris, lobelia, periwinkle, privet, lupin, holly, yew, euphorbia, "
    "rhubarb leaf, raw elderberry"
)
TOXIC = tuple(_TOXIC_WORDS.split(", "))
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


def plant_cautions(names: Sequence[str]) -> list[str]:
    """Cautions for plants and other natural things in the picture, by name."""
    out: list[str] = []
    for name in dict.fromkeys(names):
        low = name.lower()
        if "edible" in low:
            continue
        if any(_named(low, plant) for plant in TOXIC):
            out.append(
                f"{name}: poisonous. Not on the plate, not on the board, not near food that will be eaten."
            )
        elif any(_named(low, plant) for plant in NOT_FOOD):
            out.append(
                f"{name}: not on the list of edible plants. Keep it off the food and off what food touches."
            )
        elif any(word in low for word in FLOWERS):
            out.append(
                f"{name}: florist's flowers carry pesticides. Keep them off the food; not on the list is not safe."
            )
    return out


def _named(text: str, plant: str) -> bool:
    """Whether a plant is named as a word of its own, singular or plural: 'chives' is not 'ivy'."""
    return re.search(rf"\b{re.escape(plant)}(?:s|es)?\b", text) is not None
