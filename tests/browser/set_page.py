"""What the set page's tests have in common: rows as a watcher writes them, and what stands on the screen."""

import itertools
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page, Route

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from tests.browser.serving import put_pictures, write_frame

TABLET = {"width": 1180, "height": 820}
UPRIGHT = {"width": 820, "height": 1180}
NO_LIGHT: dict[str, Any] = {
    "shot": "", "code": "", "lines": [], "until": None, "predicted_until": None, "predicted_from": None,
    "planned_for": "", "planned_notice": "", "white_k": 0,
}  # fmt: skip
_numbers = itertools.count(1)
ACT = "Two thirds of a stop brighter: 1/3 s to 1/2 s"


def put_frame(root: Path, name: str, pixels: NDArray[np.uint8] | None = None) -> str:
    """A frame in the frames folder and its 'frame landed' row; returns its id."""
    path = root / "frames" / name
    if pixels is None:
        # no two alike: a frame is named by its content
        pixels = np.full((200, 300, 3), 90, np.uint8)
        pixels[60:140, 100:200] = 40 + next(_numbers) * 3 % 200
    write_frame(path, pixels)
    frame = content_hash(path)
    put_pictures(root, frame, pixels)
    Journal.open(root).append("frame landed", frame=frame, name=name)
    return frame


def judge(root: Path, frame: str, word: str, act: str = ACT) -> None:
    """A 'verdict' row."""
    act = "Keep it." if word == "good" and act == ACT else act
    Journal.open(root).append("verdict", frame=frame, word=word, act=act, confidence=0.9)


def kinds(root: Path, after: int = 0) -> list[str]:
    """The kinds of the journal's rows."""
    return [row.kind for row in Journal.open(root).rows(after)]


def last(root: Path) -> int:
    """Number of the last row."""
    return Journal.open(root).last_number()


def open_set(
    page: Page,
    url: str,
    *,
    measured: bool = False,
    light: Callable[[Route], None] | None = None,
    closer: dict[str, Any] | None = None,
) -> None:
    """The set page, drawn and connected; with `measured`, what is measured of a frame is asked for as well.
    light: answers what is asked of a shot's light. closer: what is known of the frame that is looked at closely."""
    if not measured:
        none = {"marks": [], "acts": [], "facts": [], "judged": "", "since": "", "since_words": "",
                "frame": "", "crops": [], "lacks": []}  # fmt: skip
        page.route(re.compile(r"/set/(marks|changed|closer)/"), lambda route: route.fulfill(json=none))
        page.route(re.compile(r"/set/light/"), light or (lambda route: route.fulfill(json=NO_LIGHT)))
    if closer is not None:
        page.route(re.compile(r"/set/closer/[0-9a-f]+$"), lambda route: route.fulfill(json=closer))
    page.goto(url + "set", wait_until="domcontentloaded")
    page.wait_for_selector("#main[data-state]")


def shown(page: Page) -> dict[str, Any]:
    """Everything on the screen that decides what she does."""
    told: dict[str, Any] = page.evaluate(
        """() => ({
          state: document.querySelector("#main").dataset.state, word: document.querySelector("#word").textContent,
          act: document.querySelector("#act").textContent, shot: document.querySelector("#shot").textContent,
          picture: document.querySelector("#picture").dataset.frame || "",
          shape: document.querySelector("#shape").innerHTML, row: document.querySelector("#main").dataset.row,
          able: [...document.querySelectorAll("[data-press]")].map((b) => b.getAttribute("aria-disabled")),
        })"""
    )
    return told


def wait_word(page: Page, word: str, frame: str = "") -> None:
    """Until the screen's word is this, and of this frame: the one before may have had the same word."""
    page.wait_for_function(
        """([word, frame]) => document.querySelector('#word').textContent === word
          && (!frame || document.querySelector('#picture').dataset.frame === frame)""",
        arg=[word, frame],
    )


def luminance(page: Page, path: Path) -> float:
    """Mean relative luminance of the screen (IEC 61966-2-1, WCAG 2.2), 0 to 1."""
    page.screenshot(path=str(path))
    rgb = np.asarray(Image.open(path).convert("RGB"), float) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    return float((linear @ np.array([0.2126, 0.7152, 0.0722])).mean())


SIZES = """() => [...new Set([...document.querySelectorAll("#main *")].filter((e) =>
  e.checkVisibility() && !e.closest("dialog, .unseen")
  && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim())
).map((e) => parseFloat(getComputedStyle(e).fontSize)))].sort((a, b) => a - b)"""
"""Font sizes of all words that are seen."""

COLOURS = """(root) => [...document.querySelectorAll(root + " *")].filter((e) =>
  e.checkVisibility() && e.textContent.trim() && !e.closest(".unseen")).map((e) => getComputedStyle(e).color)"""
"""Colours of all words that are seen within an element."""
