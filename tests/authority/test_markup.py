"""The page and its structured data, read by others: the Nu HTML checker, lxml's HTML parser, and PyLD (JSON-LD 1.1).

Rules: published guidance for recipe pictures (16:9, 4:3, 1:1, 50,000 pixels; searchenginenews.com), schema.org Recipe
(ISO 8601 times), the IPTC mapping of licence fields (getpmd.iptc.org), WCAG 2.2, 1.1.1. PyLD is given the context
offline: schema.org's own says no more for these terms than `@vocab`.
"""

import json
import os
import re
from pathlib import Path
from typing import Any
from urllib.parse import urlparse

import pytest
from lxml import html
from pyld import jsonld

from plateside.deliver.renditions import ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.words import words_for
from plateside.model.shoot import Recipe, Shot
from plateside.paper.contact_sheet import SheetShot, contact_sheet
from plateside.paper.page_style import RECIPE as STYLE
from plateside.paper.recipe_page import preview_page, recipe_part
from plateside.paper.structured import LEAST_PIXELS, Structured, recipe_object
from tests.nu_checker import NoCheckerError, complaints
from tests.unit.deliver.samples import AWKWARD, RECIPE, RIGHTS, SHOTS, SQUARE, WIDE, rendition, shot_files

PAGE_URL = "https://example.org/recipes/soup"
SCHEMA = "https://schema.org/"
PLAIN_RIGHTS = Rights("A. Cook", "A. Cook", "© 2027 A. Cook", "", "", "All rights reserved", "en")


def pages() -> dict[str, str]:
    """Pages of every sort: full, awkward, bare, in another language, without pictures."""
    full = recipe_object(RECIPE, SHOTS, RIGHTS, PAGE_URL)
    bare = Recipe(title="Soup")
    sheet = [SheetShot(s, "IMG_1.dng", ("Developed.", AWKWARD)) for s in SHOTS]
    return {
        "full.html": preview_page(RECIPE, recipe_part(RECIPE, SHOTS, RIGHTS, full), RIGHTS, STYLE, AWKWARD),
        "bare.html": preview_page(
            bare, recipe_part(bare, [], PLAIN_RIGHTS, recipe_object(bare, [], PLAIN_RIGHTS, "")), PLAIN_RIGHTS, STYLE
        ),
        "one.html": preview_page(
            bare, recipe_part(bare, SHOTS[2:3], PLAIN_RIGHTS, recipe_object(bare, SHOTS[2:3], PLAIN_RIGHTS, "")),
            PLAIN_RIGHTS, STYLE,
        ),
        "sheet.html": contact_sheet(AWKWARD, "2027-07-15", sheet, "pt-PT"),
        "sheet-empty.html": contact_sheet("Soup", "2027-07-15", [], "en"),
    }  # fmt: skip


def test_pages_are_valid_html(tmp_path: Path) -> None:
    """The Nu HTML checker (HTML Living Standard) has nothing to say: no error, no warning."""
    files = []
    for name, text in pages().items():
        (tmp_path / name).write_text(text, encoding="utf-8")
        files.append(tmp_path / name)
    (tmp_path / "wrong.html").write_text(
        "<!DOCTYPE html><html><body><img src=a><p><div></p>", encoding="utf-8"
    )
    try:
        found = complaints([*files, tmp_path / "wrong.html"])
    except NoCheckerError as reason:
        if os.environ.get("CI"):
            raise
        pytest.skip(f"the Nu checker cannot run here: {reason}")
    assert [str(c) for c in found if c.page != "wrong.html"] == []
    assert [c for c in found if c.page == "wrong.html"], "the checker must be able to complain"


def embedded(page: str) -> list[dict[str, Any]]:
    """The JSON-LD of a page as a browser or crawler sees it: by an HTML parser, not by our own cutting."""
    scripts = html.fromstring(page).xpath('//script[@type="application/ld+json"]')
    return [json.loads(s.text) for s in scripts]


def recipe_of(page: str) -> dict[str, Any]:
    (data,) = embedded(page)
    return data


def expanded(data: dict[str, Any]) -> dict[str, Any]:
    def offline(url: str, options: Any) -> dict[str, Any]:
        assert url.rstrip("/") == "https://schema.org"
        context = {
            "@vocab": SCHEMA,
            "license": {"@type": "@id"},
            "url": {"@type": "@id"},
            "image": {"@type": "@id"},
        }
        return {
            "document": {"@context": context},
            "documentUrl": url,
            "contextUrl": None,
            "contentType": "application/ld+json",
        }

    (node,) = jsonld.expand(data, {"documentLoader": offline})
    assert isinstance(node, dict)
    return node


def test_pyld_reads_the_recipe_as_it_was_written() -> None:
    node = expanded(recipe_of(pages()["full.html"]))
    assert node["@type"] == [SCHEMA + "Recipe"]
    assert node[SCHEMA + "name"] == [{"@value": RECIPE.title}]
    assert [v["@value"] for v in node[SCHEMA + "recipeIngredient"]] == list(RECIPE.ingredients)
    steps = node[SCHEMA + "recipeInstructions"]
    assert [s["@type"] for s in steps] == [[SCHEMA + "HowToStep"]] * 3
    assert steps[2][SCHEMA + "text"] == [{"@value": AWKWARD}]
    # 2 h + 15 min + 20 s
    assert node[SCHEMA + "totalTime"] == [{"@value": "PT2H15M20S"}]
    assert node[SCHEMA + "author"][0][SCHEMA + "name"] == [{"@value": RIGHTS.creator}]
    assert "http://" not in json.dumps(node)


def vocabulary() -> dict[str, set[str]]:
    lines = (
        (Path(__file__).parent / "data" / "schema_org_properties.txt")
        .read_text(encoding="utf-8")
        .splitlines()
    )
    return {
        kind: set(names.split())
        for kind, _, names in (line.partition(": ") for line in lines if line[0] != "#")
    }


def nodes(value: Any) -> list[dict[str, Any]]:
    """Every object in the data."""
    if isinstance(value, list):
        return [n for v in value for n in nodes(v)]
    return [value, *nodes(list(value.values()))] if isinstance(value, dict) else []


def test_every_property_is_in_the_vocabulary_of_its_type() -> None:
    known = vocabulary()
    objects = nodes(recipe_of(pages()["full.html"]))
    assert {o["@type"] for o in objects} == set(known)
    for one in objects:
        assert {name for name in one if not name.startswith("@")} <= known[one["@type"]]


def test_images_have_the_three_shapes_the_area_and_the_licence() -> None:
    node = expanded(recipe_of(pages()["full.html"]))
    images = node[SCHEMA + "image"]
    shapes = []
    for image in images:
        assert image["@type"] == [SCHEMA + "ImageObject"]
        width, height = (image[SCHEMA + k][0]["@value"] for k in ("width", "height"))
        assert width * height >= LEAST_PIXELS
        shapes.append(round(width / height, 2))
        address = urlparse(image[SCHEMA + "contentUrl"][0]["@value"])
        assert (address.scheme, address.netloc) == ("https", "example.org")
        assert address.path.startswith("/recipes/soup/page-")
        # the IPTC mapping: license = Web Statement of Rights, acquireLicensePage = Licensor URL
        assert image[SCHEMA + "license"] == [{"@id": RIGHTS.licence_url}]
        assert image[SCHEMA + "acquireLicensePage"] == [{"@value": RIGHTS.acquire_url}]
        assert image[SCHEMA + "creditText"] == [{"@value": RIGHTS.credit}]
        assert image[SCHEMA + "copyrightNotice"] == [{"@value": RIGHTS.copyright}]
        assert image[SCHEMA + "creator"][0][SCHEMA + "name"] == [{"@value": RIGHTS.creator}]
    assert shapes == [1.78, 1.33, 1.0]


def test_a_missing_shape_a_small_picture_and_a_missing_address_are_said() -> None:
    small = ShotFiles(
        Shot(name="s", alt_text="A bowl."), words_for(RECIPE, Shot(name="s")),
        (rendition("s", WIDE, 298, 167), rendition("s", SQUARE)),
    )  # fmt: skip
    got = recipe_object(RECIPE, [small], RIGHTS, "")
    assert len(got.data["image"]) == 1
    found = [(r.code, tuple(r.asked), tuple(r.got)) for r in got.remarks]
    # 298 x 167 = 49,766, under the 50,000 of the guidance
    assert ("small for search", (50_000,), (298, 167)) in found
    assert ("no shape", (4, 3), (1200, 900)) in found
    assert ("no address", (), ()) in found


def test_nothing_ends_the_script_early_and_no_claim_is_made() -> None:
    full = pages()["full.html"]
    assert len(embedded(full)) == 1
    assert "alert(1)" in json.dumps(embedded(full))  # as text inside the data, not as a script of its own
    assert len(html.fromstring(full).xpath("//script")) == 1
    text = Structured({"a": AWKWARD}, ()).text()
    assert "<" not in text
    assert "\u2028" not in text
    assert json.loads(text) == {"a": AWKWARD}
    for page in pages().values():
        assert not re.search(r"free from|free of|suitableForDiet", page, re.I)
    assert "Contém:" in full  # allergens are named in the page's language
    assert "tree nuts (almond), gluten." in full


def test_every_picture_has_its_words_room_and_formats() -> None:
    tree = html.fromstring(pages()["full.html"])
    pictures = tree.xpath("//picture")
    assert len(pictures) == 3  # the vertical one is not for the page
    for picture in pictures:
        (image,) = picture.xpath(".//img")  # lxml, an HTML 4 parser, nests sources: hence .//
        assert image.get("alt").strip()
        assert int(image.get("width")) > 0
        assert int(image.get("height")) > 0
        for node in picture.xpath(".//source | .//img"):
            widths = [int(w) for w in re.findall(r" (\d+)w", node.get("srcset"))]
            assert widths == sorted(set(widths))
            assert max(widths) == int(node.get("width"))
            assert node.get("sizes")
        plain = [s.get("type") for s in picture.xpath(".//source[not(@media)]")]
        assert plain == [t for t in ("image/avif", "image/webp") if t in plain]
        assert image.get("src").endswith(".jpg")
    assert tree.xpath("//picture//img/@fetchpriority") == ["high"]
    assert tree.xpath("//html/@lang") == ["pt-PT"]
    (first,) = tree.xpath("//figure[@class='main']//img/@alt")
    assert first == SHOTS[0].words.alt_text


def test_without_a_page_channel_there_is_no_picture_element() -> None:
    story = shot_files(Shot(name="story"))
    part = recipe_part(RECIPE, [story], RIGHTS, recipe_object(RECIPE, [story], RIGHTS, PAGE_URL))
    assert "<picture>" not in part
