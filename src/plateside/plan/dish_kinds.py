"""What a dish is like, by its name: which shape stands in for it before the first picture is rendered.

`kind_of`   the shape a name speaks of; empty when it speaks of none
`KINDS`     each shape's usual size, and whether it mirrors what is around it
`first_frames_mm`   frames to begin with, from which every usual crop holds the dish
"""

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Kind:
    """One shape of dish (sizes: common practice, no source)."""

    width_mm: float
    height_mm: float
    glossy: bool
    named: tuple[str, ...]
    """Words for it, or their beginnings, small and without accents."""


KINDS: Mapping[str, Kind] = {
    "soup": Kind(220, 60, True, (
        "soup", "broth", "stew", "chowder", "curry", "chili", "dal", "gazpacho", "bisque", "porridge", "oatmeal",
        "congee", "dip", "hummus", "sauce", "custard", "pudding", "yoghurt", "yogurt", "sopa", "suppe", "eintopf",
        "soupe", "veloute", "zuppa", "minestrone", "risotto", "caldo",
    )),
    "tart": Kind(260, 40, False, (
        "tart", "galette", "pie", "quiche", "pizza", "flan", "cheesecake", "focaccia", "clafoutis", "crostata",
        "frittata", "omelette", "tortilla", "torta", "tarte", "flammkuchen", "empada", "gratin", "lasagn", "crumble",
    )),
    "stack": Kind(150, 120, False, (
        "pancake", "burger", "stack", "sandwich", "waffle", "layer", "club", "crepe", "blini", "pfannkuchen",
        "panqueca",
    )),
    "loaf": Kind(260, 110, False, (
        "loaf", "bread", "sourdough", "cake", "brioche", "babka", "challah", "stollen", "terrine", "brot",
        "kuchen", "pain", "pane", "pao", "bolo", "gateau", "panettone", "gugelhupf", "bundt",
    )),
    "drink": Kind(80, 150, True, (
        "drink", "juice", "lemonade", "smoothie", "shake", "cocktail", "tea", "coffee", "latte", "punch", "soda",
        "spritz", "milk", "chocolate", "cordial", "kombucha", "lassi", "horchata", "sumo", "saft", "jus", "succo",
    )),
    "noodles": Kind(220, 70, False, (
        "noodle", "pasta", "spaghetti", "tagliatelle", "linguine", "ramen", "udon", "soba", "pho", "macaroni", "penne",
        "gnocchi", "nudel", "vermicelli", "fettuccine", "orecchiette", "ravioli", "massa",
    )),
    "leaves": Kind(240, 80, False, (
        "salad", "slaw", "leaves", "greens", "insalata", "salada", "salat", "salade", "ensalada", "tabbouleh", "herbs",
    )),
    "buns": Kind(240, 60, False, (
        "bun", "roll", "cookie", "biscuit", "muffin", "scone", "dumpling", "macaron", "meringue", "cupcake", "doughnut",
        "donut", "croissant", "knot", "madeleine", "brownie", "fritter", "meatball", "pastel", "pasteis", "keks",
        "brotchen", "arancini", "falafel", "truffle", "gyoza", "bao",
    )),
}  # fmt: skip
"""By the words of the shot's field `stand_in`."""

_BESIDE = re.compile(r"\b(?:with|on|over|in|from|mit|auf|com|con|avec|aux?|su)\b|[(;:]", re.IGNORECASE)
_ENDING = 4
"""From so many letters on, a word that ends in a kind's word is of that kind: 'Apfelkuchen', 'cheeseburger'."""


def kind_of(dish: str) -> str:
    """The key of KINDS that a dish's name speaks of; '' when it speaks of none.

    The last word before 'with' that is known decides: a chocolate tart is a tart, a noodle salad a salad.
    """
    plain = "".join(c for c in unicodedata.normalize("NFKD", dish.casefold()) if not unicodedata.combining(c))
    for part in _BESIDE.split(plain):
        for word in reversed(re.findall(r"[^\W\d_]+", part)):
            if found := _of_word(word):
                return found
    return ""


def _of_word(word: str) -> str:
    known = [(len(name), kind) for kind, what in KINDS.items() for name in what.named if _is(word, name)]
    return max(known)[1] if known else ""


def _is(word: str, name: str) -> bool:
    if word in (name, f"{name}s", f"{name}es"):
        return True
    if len(name) < _ENDING:
        return False
    return word.endswith((name, f"{name}s")) or (len(name) > _ENDING and word.startswith(name))


_ROOM = 1.10
"""`camera_needs.HERO_ROOM`, without its numpy: the first run's questions begin at once."""


def first_frames_mm(width_mm: float, height_mm: float) -> tuple[tuple[int, int], tuple[int, int]]:
    """Frames to begin with, width x height [mm]: landscape (3:2, 45 degrees down) and portrait (2:3, 5 degrees down).

    They hold the dish with that room, the landscape one in crops from 16:9 to 4:5, the portrait one from 16:9 to 9:16.
    """
    whole = 30 * _steps(width_mm / (2 / 3 * 4 / 5), _seen_mm(width_mm, height_mm, 45) / (9 / 16), 30)
    close = 20 * _steps(width_mm / (3 / 2 * 9 / 16), _seen_mm(width_mm, height_mm, 5) / (9 / 16), 20)
    return (whole, whole * 2 // 3), (close, close * 3 // 2)


def _seen_mm(width_mm: float, height_mm: float, down_deg: float) -> float:
    """The dish's height as the picture shows it."""
    e = math.radians(down_deg)
    return width_mm * math.sin(e) + height_mm * math.cos(e)


def _steps(across_mm: float, up_mm: float, step_mm: int) -> int:
    return math.ceil(_ROOM * max(across_mm, up_mm) / step_mm)
