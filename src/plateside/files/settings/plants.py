"""Plants and stuffs that stand on sets and do not belong on plates.

A reminder by name, never a clearance: what is not on this list is not thereby safe; ask a poison centre by the
Latin name. Common names from Colorado State University Extension, *Edible Flowers: Quick Facts*, table 1, and
Barash's list of flowers not to eat; holly, mistletoe and poinsettia after the Illinois Poison Center's winter plants;
box and spurge from *Poisonous Plants around the Home* (a US poison centre's list); yew: Rutgers Cooperative
Extension, harmful plants, Taxus; rhubarb leaf: MedlinePlus, rhubarb leaves poisoning; raw
elderberry: Canadian Poisonous Plants Information System, Sambucus nigra (after Cooper and Johnson 1984).
"""

import re
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True)
class Plant:
    """One plant, or stuff, by the words it goes by."""

    name: str
    latin: str
    words: str
    """A pattern that finds it in a line of text."""
    why: str = "poisonous"
    """A key of PLANTS in words/remarks.py."""


_POISON = (
    ("oleander", "Nerium oleander", r"oleanders?"),
    ("lily of the valley", "Convallaria majalis", r"lil(?:y|ies)[- ]of[- ]the[- ]valley|muguet"),
    ("foxglove", "Digitalis purpurea", r"foxgloves?|digitalis"),
    ("delphinium, larkspur", "Delphinium, Consolida", r"delphiniums?|larkspurs?"),
    ("monkshood", "Aconitum napellus", r"monkshood|wolfsbane|aconite"),
    ("daffodil, narcissus", "Narcissus", r"daffodils?|narciss(?:us|i)|jonquils?"),
    ("hyacinth", "Hyacinthus orientalis", r"hyacinths?"),
    ("calla lily", "Zantedeschia aethiopica", r"callas?(?: lil(?:y|ies))?|arum lil(?:y|ies)"),
    ("azalea, rhododendron", "Rhododendron", r"azaleas?|rhododendrons?"),
    ("lantana", "Lantana camara", r"lantanas?"),
    ("clematis", "Clematis", r"clematis"),
    (
        "sweet pea (the flower)",
        "Lathyrus odoratus",
        r"sweet[- ]peas? (?:flowers?|blossoms?|stems?)|sweetpeas?",
    ),
    ("daphne", "Daphne", r"daphne"),
    ("autumn crocus", "Colchicum autumnale", r"autumn crocus(?:es)?|colchicum|meadow saffron"),
    ("castor bean", "Ricinus communis", r"castor beans?|ricinus"),
    ("mistletoe", "Viscum album, Phoradendron", r"mistletoe"),
    ("bleeding heart", "Lamprocapnos spectabilis", r"bleeding[- ]hearts?"),
    ("amaryllis", "Hippeastrum, Amaryllis belladonna", r"amaryllis(?:es)?"),
    ("hydrangea", "Hydrangea macrophylla", r"hydrangeas?"),
    ("wisteria", "Wisteria", r"wisterias?"),
    ("ivy", "Hedera helix", r"ivy|ivies"),
    ("iris", "Iris", r"iris(?:es)?"),
    ("lobelia", "Lobelia", r"lobelias?"),
    ("box", "Buxus sempervirens", r"boxwood|buxus|box (?:leaves|sprigs?|twigs?|hedge)"),
    ("periwinkle (the flower)", "Vinca", r"vinca|periwinkle flowers?"),
    ("privet", "Ligustrum", r"privet"),
    ("ornamental lupin", "Lupinus", r"lupin flowers?|lupins? (?:stems?|spikes?)"),
    ("holly", "Ilex aquifolium", r"holly"),
    ("yew", "Taxus baccata", r"yew"),
    ("spurge", "Euphorbia", r"euphorbias?|spurge"),
    ("rhubarb leaf", "Rheum × hybridum", r"rhubarb lea(?:f|ves)"),
    ("raw elderberry", "Sambucus nigra", r"raw elderberr(?:y|ies)|elderberry sprigs?"),
)

_OTHERS = (
    Plant(
        "poinsettia",
        "Euphorbia pulcherrima",
        r"poinsettias?",
        "irritates",
    ),
    Plant(
        "bougainvillea",
        "Bougainvillea",
        r"bougainvilleas?",
        "on no list",
    ),
    Plant(
        "florist's or nursery flowers",
        "",
        r"florists?(?:'s|’s)?|bouquets?|nursery flowers?|cut flowers?",
        "sprayed",
    ),
    Plant(
        "pine, cedar, moss, feathers, twine, shells",
        "",
        r"pine (?:cones?|twigs?|sprigs?|needles?|branch(?:es)?)|cedar (?:sprigs?|twigs?|branch(?:es)?)|moss|"
        r"feathers?|twine|raffia|sea ?shells?",
        "not clean",
    ),
    Plant(
        "glitter, spray, glue and the like",
        "",
        r"glitter|hair ?spray|glycerine|glycerin|shaving foam|craft snow|fake snow|motor oil|glue|varnish",
        "not food",
    ),
)


@cache
def plants() -> tuple[Plant, ...]:
    """Every plant and stuff of the list."""
    return tuple(Plant(*row) for row in _POISON) + _OTHERS


def plants_in(text: str) -> tuple[Plant, ...]:
    """Those whose names stand in a text, whole words only."""
    return tuple(p for p in plants() if re.search(rf"(?<![\w-])(?:{p.words})(?![\w-])", text, re.IGNORECASE))
