"""The set page: from a row on disk to its word on the screen, and from a file in the folder to the verdict's word.

    python -m bench pages_set

The page notes the moment at which its word changes, by the same machine's clock as the journal's rows.
"""

import os
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from plateside.files.journal.journal import Journal
from tests.browser.conftest import chromium_path
from tests.browser.serving import frame_pixels, serve, until, write_frame
from tests.browser.set_page import TABLET, judge, open_set, put_frame, wait_word
from tests.shoots.judged import make_judged_shoot

ROWS = 20
FILES = 6

_NOTE = """() => { window.noted = [];
new MutationObserver(() => window.noted.push([Date.now(), document.querySelector("#word").textContent]))
  .observe(document.querySelector("#word"), { childList: true, characterData: true, subtree: true }); }"""


def rows_to_words(page: Page, root: Path) -> None:
    """Rows written one by one, as the watcher writes them."""
    waits, words = [], []
    for number in range(ROWS):
        frame = put_frame(root, f"row-{number}.jpg")
        wait_word(page, "Wait")
        waits.append(_late(page, root, "Wait"))
        word = ("good", "adjust", "again")[number % 3]
        judge(root, frame, word)
        wait_word(page, word.capitalize())
        words.append(_late(page, root, word.capitalize()))
    _say("row 'frame landed' to 'Wait' on the screen (aim 100)", waits)
    _say("row 'verdict' to its word on the screen (aim 200)", words)


def files_to_words(page: Page, root: Path) -> None:
    """Files put into the folder of a watched shoot: the whole way."""
    whole, after = [], []
    for number in range(FILES):
        before = page.get_attribute("#picture", "data-frame")
        page.evaluate("() => { window.noted.length = 0; }")
        write_frame(root / "frames" / f"file-{number}.jpg", frame_pixels(0.02 * number + 0.013, number + 11))
        start = datetime.now(UTC).timestamp() * 1000
        page.wait_for_function(
            """(before) => document.querySelector('#picture').dataset.frame !== before
            && document.querySelector('#word').textContent !== 'Wait'""",
            arg=before,
            timeout=120_000,
        )
        noted = page.evaluate("() => window.noted")
        whole.append(noted[-1][0] - start)
        after.append(noted[-1][0] - _row_ms(root, "verdict"))
    _say("file whole in the folder to the verdict's word, 1200 x 800 px", whole)
    _say("of it, from the verdict's row to its word (aim 200)", after)


def _late(page: Page, root: Path, word: str) -> float:
    at = next(ms for ms, seen in reversed(page.evaluate("() => window.noted")) if seen == word)
    return float(at - _row_ms(root, "frame landed" if word == "Wait" else "verdict"))


def _row_ms(root: Path, kind: str) -> float:
    row = next(r for r in reversed(Journal.open(root).rows()) if r.kind == kind)
    return row.at.timestamp() * 1000


def _say(what: str, ms: list[float]) -> None:
    ordered = sorted(ms)
    print(
        f"{what}: {ordered[len(ordered) // 2]:.0f} ms median, {ordered[-1]:.0f} ms longest of {len(ordered)}"
    )


def main() -> None:
    """Print the figures."""
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    print(f"the set page (load of the machine {load:.1f} on {os.cpu_count()} cores)")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        root = make_judged_shoot(Path(folder) / "small")
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for watched in (False, True):
            served = serve(root, *(() if watched else ("--no-watch",)))
            page = browser.new_page(viewport=TABLET)  # type: ignore[arg-type]
            served.let_in(page.context)
            page.set_default_timeout(60_000)
            open_set(page, served.url)
            page.evaluate(_NOTE)
            if watched:
                # the first frame waits for the watcher's own start
                write_frame(root / "frames" / "first.jpg", frame_pixels(0.3, 3))
                first = len(Journal.open(root).rows())
                until(lambda n=first: "verdict" in [r.kind for r in Journal.open(root).rows(n)], 120)
                files_to_words(page, root)
            else:
                rows_to_words(page, root)
            page.close()
            served.stop()
        browser.close()


if __name__ == "__main__":
    main()
