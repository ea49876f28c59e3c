"""Values and fields as lines of TOML."""

import math
from typing import Any

import tomlkit
from tomlkit.items import Item

from plateside.files.settings.grammar import Entry
from plateside.words.figures import number_text

EXAMPLES: dict[str, Any] = {
    "country": "PT", "front_bearing_deg": 20, "from_left_m": 1.5, "name": "houses across the street",
    "window": "kitchen window", "exif_model": "the name in your files", "focal_length_to_mm": 70, "load_limit_kg": 4,
    "evidence": "read at 0.6 m from the glass", "date": "2027-07-16", "description": "A cold green soup for hot days.",
    "cuisine": "Portuguese", "course": "Starter", "keywords": ["cold soup", "summer"],
    "ingredients": ["900 g cucumbers", "120 g almonds"], "allergens": ["tree nuts (almond)", "gluten (bread)"],
    "looks_fresh_for": "PT40M", "text": "Stir the crumbs in a dry pan until they are gold.",
    "credit": "Ines Valadao", "copyright": "© 2027 Ines Valadao", "licence_url": "https://example.org/licence/",
    "acquire_url": "https://example.org/ask/", "usage_terms": "Ask before using these pictures.",
    "page_url": "https://example.org/recipes/cold-soup/", "elevation_deg": 60, "background_blur_percent": 2.5,
    "spot": "by the window", "camera": "the camera", "lens": "35", "support": "tripod",
    "surface": "pale blue-grey wood", "props": ["napkin", "small bowl"], "fill_stops": 2,
    "deliberate": ["dark"], "from_time": "12:30", "to_time": "16:00", "channels": ["page-wide", "page-square"],
    "title": "Three bowls of cold soup", "caption": "Chill the bowls as long as the soup.",
    "alt_text": "Three pale green soups with halved grapes on blue-grey wood.", "largest_kb": 200,
}  # fmt: skip
"""Examples for keys whose default is nothing at all."""


def value_text(value: Any) -> str:
    """A value of the model as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, list | tuple):
        return "[" + ", ".join(value_text(v) for v in value) + "]"
    item: Item = tomlkit.item(str(value))
    return item.as_string()


def pair_line(key: str, value: Any) -> str:
    """`key = value`."""
    return f"{key} = {value_text(value)}"


def example_line(entry: Entry) -> str:
    """A line that could be pasted for this field: its example, its default, or a value of its kind."""
    if entry.example:
        return entry.example
    if entry.default in (None, "", ()) and not entry.required and entry.name in EXAMPLES:
        return pair_line(entry.name, EXAMPLES[entry.name])
    if not entry.required and entry.default is not None and not entry.is_table:
        return pair_line(entry.name, entry.default)
    return pair_line(entry.name, stand_in(entry))


def stand_in(entry: Entry) -> Any:
    """A value that is allowed, for a field that has neither example nor default."""
    if entry.words:
        return entry.words[0]
    if entry.kind in ("number", "integer", "shares"):
        low = entry.low if entry.low is not None else 0
        high = entry.high if entry.high is not None else low + 1
        return math.ceil(low) if math.ceil(low) <= high else low
    return {"text": "...", "flag": True, "texts": ["..."]}.get(entry.kind, "...")
