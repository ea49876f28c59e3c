"""Reading a drawing back as XML, apart from the code that wrote it."""

import re
from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def parse(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - our own output


def texts(root: ET.Element) -> list[str]:
    return [e.text or "" for e in root.iter(f"{SVG}text")]


def text_at(root: ET.Element, words: str) -> tuple[float, float]:
    for e in root.iter(f"{SVG}text"):
        if e.text == words:
            return float(e.attrib["x"]), float(e.attrib["y"])
    raise AssertionError(f"{words!r} is not drawn; drawn are {texts(root)}")


def path_points(d: str) -> list[list[tuple[float, float]]]:
    """Every subpath of a path of straight lines."""
    parts = [p for p in re.split(r"M", d) if p]
    return [[(float(a), float(b)) for a, b in re.findall(r"(-?[\d.]+) (-?[\d.]+)", part)] for part in parts]


def things(svg: str) -> dict[str, str]:
    """Path and what is read out of every thing on a plan of the Studio page."""
    found = (e for e in parse(svg).iter(f"{SVG}g") if "thing" in e.attrib.get("class", "").split())
    return {e.attrib["data-path"]: e.attrib["aria-label"] for e in found}
