"""Words in an ingredient list that point to one of the fourteen allergens of EU and UK food law.

Groups after Regulation (EU) 1169/2011, Annex II (the same fourteen in the UK's Food Information Regulations
2014); the words that point to them are common practice, no source. A reminder only: nothing here, and nothing
made from it, ever says that a dish is free from anything.
"""

import re

GROUPS: dict[str, tuple[str, ...]] = {
    "gluten": (
        "wheat", "flour", "breads?", "breadcrumbs", "toast", "barley", "rye", "spelt", "semolina", "couscous", "bulgur",
        "pasta", "spaghetti", "noodles", "soba", "udon", "panko", "filo", "pastry", "seitan", "oats", "oatmeal",
        "crackers", "biscuits", "beer", "soy sauce", "malt",
    ),
    "crustaceans": ("prawns?", "shrimps?", "crabs?", "lobsters?", "crayfish", "langoustines?"),
    "egg": ("eggs?", "yolks?", "egg whites?", "mayonnaise", "meringues?", "aioli"),
    "fish": (
        "fish", "fish sauce", "anchov(?:y|ies)", "salmon", "cod", "tuna", "trout", "mackerel", "sardines?",
        "haddock", "bonito", "dashi", "sea bass", "sea bream",
    ),
    "peanut": ("peanuts?", "groundnuts?", "satay"),
    "soy": ("soya?", "soybeans?", "tofu", "miso", "edamame", "tempeh", "tamari"),
    "milk": (
        "milk", "butter", "cream", "cheese", "yogh?urt", "curd", "ghee", "mozzarella", "ricotta", "mascarpone",
        "feta", "parmesan", "halloumi", "buttermilk", "kefir", "custard", "creme fraiche", "crème fraîche", "burrata",
    ),
    "tree nuts": (
        "almonds?", "hazelnuts?", "walnuts?", "cashews?", "pecans?", "brazil nuts?", "pistachios?", "macadamias?",
        "praline", "marzipan", "frangipane",
    ),
    "celery": ("celery", "celeriac"),
    "mustard": ("mustard",),
    "sesame": ("sesame", "tahini", "halva", "hummus", "za'?atar"),
    "sulphites": ("wine", "sherry", "sherry vinegar", "wine vinegar", "sultanas", "dried apricots"),
    "lupin": ("lupin",),
    "molluscs": (
        "mussels?", "oysters?", "oyster sauce", "squid", "calamari", "clams?", "scallops?", "octopus", "snails?",
    ),
}  # fmt: skip

_NOT_THOSE = (
    "coconut milk", "coconut cream", "coconut yoghurt", "oat milk", "soy milk", "soya milk", "almond milk",
    "rice milk", "peanut butter", "almond butter", "cashew butter", "nut butter", "cocoa butter", "shea butter",
    "butter beans?", "butternut", "butter lettuce", "cream of tartar", "rice noodles", "glass noodles", "rice flour",
    "chickpea flour", "almond flour", "corn ?flour", "potato flour", "coconut flour", "buckwheat flour", "buckwheat",
    "gluten-free [a-z]+", "egg ?plants?", "flax eggs?", "vegan [a-z]+", "lemon curd", "bean curd", "milk thistle",
    "cream crackers", "ice cream scoop", "cod roe",
)  # fmt: skip
"""Names that hold a word of another group."""

_STILL_THOSE = {
    "almond": "tree nuts", "cashew": "tree nuts", "peanut": "peanut", "soy": "soy", "soya": "soy",
    "oat": "gluten", "cream crackers": "gluten", "lemon curd": "egg", "bean curd": "soy", "cod": "fish",
    "nut butter": "tree nuts",
}  # fmt: skip

_DECLARED: dict[str, tuple[str, ...]] = {
    "gluten": ("gluten", "wheat", "cereal", "rye", "barley", "oats", "spelt"),
    "crustaceans": ("crustacean", "shellfish", "prawn", "shrimp", "crab", "lobster"),
    "egg": ("egg",),
    "fish": ("fish",),
    "peanut": ("peanut", "groundnut"),
    "soy": ("soy",),
    "milk": ("milk", "dairy", "lactose", "butter", "cream", "cheese"),
    "tree nuts": (
        "tree nut",
        "almond",
        "hazelnut",
        "walnut",
        "cashew",
        "pistachio",
        "pecan",
        "macadamia",
        "nuts",
    ),
    "celery": ("celery", "celeriac"),
    "mustard": ("mustard",),
    "sesame": ("sesame",),
    "sulphites": ("sulphite", "sulfite", "sulphur", "so2"),
    "lupin": ("lupin",),
    "molluscs": ("mollusc", "mollusk", "mussel", "oyster", "squid", "clam", "scallop"),
}


def not_listed(ingredients: tuple[str, ...], allergens: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """(group, the word that points to it) for every group an ingredient points to and `allergens` does not name."""
    declared = " ; ".join(allergens).casefold()
    found: dict[str, str] = {}
    for line in ingredients:
        for group, word in groups_in(line):
            named = any(re.search(rf"\b{w}", declared) for w in _DECLARED[group])
            if not named:
                found.setdefault(group, word)
    return tuple(found.items())


def groups_in(line: str) -> list[tuple[str, str]]:
    """(group, word) for each allergen word in one line of ingredients."""
    text = line.casefold()
    found: list[tuple[str, str]] = []
    for phrase in _NOT_THOSE:
        for match in re.findall(rf"\b{phrase}\b", text):
            found += [(g, match) for start, g in _STILL_THOSE.items() if re.match(rf"{start}\b", match)]
            text = text.replace(match, " ")
    for group, words in GROUPS.items():
        if match := re.search(rf"(?<![\w-])(?:{'|'.join(words)})(?![\w-])", text):
            found.append((group, match.group()))
    return found
