"""The recipe for machines: schema.org Recipe as JSON-LD, with its pictures as ImageObject.

schema.org vocabulary; JSON-LD 1.1 (W3C). The published guidance for search asks for images of 16:9, 4:3 and 1:1 with at
least 50,000 pixels each, addresses in full, and durations in ISO 8601. Licence fields follow the IPTC mapping:
license = Web Statement of Rights, acquireLicensePage = Licensor URL.
"""

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urljoin

from plateside.deliver import times
from plateside.deliver.points import Point
from plateside.deliver.renditions import Rendition, ShotFiles
from plateside.deliver.rights import Rights
from plateside.model.shoot import Recipe, Step

LEAST_PIXELS = 50_000
WANTED_SHAPES = ((16, 9), (4, 3), (1, 1))
_SHAPE_TOLERANCE = 0.01


@dataclass(frozen=True)
class Structured:
    """The object and what is missing in it."""

    data: dict[str, Any]
    remarks: tuple[Point, ...]

    def text(self) -> str:
        """As JSON that may stand inside a script element: '<' never appears."""
        plain = json.dumps(self.data, ensure_ascii=False, indent=2)
        return plain.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def address(page_url: str, path: str) -> str:
    """Full address of a delivered file; only the path while the page's address is not known."""
    if not page_url:
        return quote(path)
    return urljoin(page_url if page_url.endswith("/") else page_url + "/", quote(path))


def page_url_missing(page_url: str) -> Point | None:
    """What is missing while nobody knows where the page will stand, or None."""
    if page_url:
        return None
    return Point("no address")


def recipe_object(recipe: Recipe, shots: list[ShotFiles], rights: Rights, page_url: str) -> Structured:
    """Recipe with name, images, times, yield, ingredients and instructions. Nothing is claimed that is not written."""
    remarks: list[Point] = []
    main = main_shot(shots)
    images = _images(main, rights, page_url, remarks) if main is not None else []
    if (missing := page_url_missing(page_url)) is not None:
        remarks.append(missing)
    total_s = sum(times.seconds(step.takes) for step in recipe.steps)
    data: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": recipe.title,
        "description": recipe.description,
        "image": images,
        "author": {"@type": "Person", "name": rights.creator},
        "inLanguage": rights.language,
        "recipeYield": recipe.serves,
        "recipeCuisine": recipe.cuisine,
        "recipeCategory": recipe.course,
        "keywords": ", ".join(recipe.keywords),
        "totalTime": times.iso(total_s) if recipe.steps else "",
        "recipeIngredient": list(recipe.ingredients),
        "recipeInstructions": [_step(step) for step in recipe.steps],
        "copyrightNotice": rights.copyright,
        "license": rights.licence_url,
    }
    if page_url:
        data["url"] = page_url
    return Structured({k: v for k, v in data.items() if v not in ("", [], None)}, tuple(remarks))


def main_shot(shots: list[ShotFiles]) -> ShotFiles | None:
    """The shot that stands for the dish: the one with the role main, else the first on the page."""
    on_page = [s for s in shots if s.on_page]
    return next((s for s in on_page if s.shot.role == "main"), on_page[0] if on_page else None)


def has_shape(rendition: Rendition, shape: tuple[int, int]) -> bool:
    """True when the delivered picture is of the shape, to one per cent."""
    ratio = rendition.width_px / rendition.height_px
    return abs(ratio / (shape[0] / shape[1]) - 1) <= _SHAPE_TOLERANCE


def _images(main: ShotFiles, rights: Rights, page_url: str, remarks: list[Point]) -> list[dict[str, Any]]:
    images = []
    for shape in WANTED_SHAPES:
        found = next((r for r in main.on_page if has_shape(r, shape)), None)
        if found is None:
            wide, high = (side * 1200 // max(shape) for side in shape)
            remarks.append(Point("no shape", main.shot.name, asked=shape, got=(wide, high)))
        elif found.width_px * found.height_px < LEAST_PIXELS:
            remarks.append(
                Point(
                    "small for search",
                    main.shot.name,
                    found.channel.name,
                    names=(found.main.path,),
                    got=(found.width_px, found.height_px),
                    asked=(LEAST_PIXELS,),
                )
            )
        else:
            images.append(_image(found, main, rights, page_url))
    return images


def _image(rendition: Rendition, shot: ShotFiles, rights: Rights, page_url: str) -> dict[str, Any]:
    data = {
        "@type": "ImageObject",
        "contentUrl": address(page_url, rendition.main.path),
        "url": address(page_url, rendition.main.path),
        "width": rendition.main.width_px,
        "height": rendition.main.height_px,
        "name": shot.words.title,
        "caption": shot.words.alt_text,
        "creator": {"@type": "Person", "name": rights.creator},
        "creditText": rights.credit,
        "copyrightNotice": rights.copyright,
        "license": rights.licence_url,
        "acquireLicensePage": rights.acquire_url,
    }
    return {k: v for k, v in data.items() if v != ""}


def _step(step: Step) -> dict[str, Any]:
    name = step.name[:1].upper() + step.name[1:]
    return {"@type": "HowToStep", "name": name, "text": step.text or name}
