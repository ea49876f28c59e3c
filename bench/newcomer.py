"""How long the machine takes of a newcomer's first minutes, by touch, from an empty folder.

    python -m bench newcomer

To 'when is my light' (aim: 5 minutes with the reading and measuring, which are hers), and to the first verdict on a
photograph that was added on the page (aim: 10). What is printed is the machine's part, with typing as fast as it goes.
"""

import os
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.conftest import chromium_path
from tests.browser.gestures import Touch
from tests.browser.resting import COUNTING
from tests.browser.serving import frame_pixels, serve, write_frame
from tests.browser.test_whole_job import add_photograph, begin, go, light

VERDICT = "() => ['good', 'adjust', 'again'].includes(document.querySelector('#main').dataset.state)"


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        home = Path(folder) / "shoots"
        home.mkdir()
        served = serve(home)
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        try:
            context = browser.new_context(
                viewport={"width": 1180, "height": 820}, has_touch=True, is_mobile=True
            )
            context.add_init_script(COUNTING)
            served.let_in(context)
            hands = Touch(context.new_page())
            hands.page.set_default_timeout(300_000)
            begun = time.monotonic()
            root = begin(hands, served)
            light(hands)
            print(
                f"from an empty folder to 'when is my light': {time.monotonic() - begun:.0f} s (aim 300 with her part)"
            )
            go(hands, "Set")
            photograph = Path(folder) / "phone" / "first.jpg"
            write_frame(photograph, frame_pixels(0, 3), "2027:07:15 11:40:00")
            pressed = time.monotonic()
            add_photograph(hands, photograph)
            hands.page.wait_for_function(VERDICT)
            print(
                f"to the first verdict: {time.monotonic() - begun:.0f} s (aim 600 with her part), "
                f"{time.monotonic() - pressed:.1f} s of it after the press on Add photographs"
            )
        finally:
            browser.close()
            served.stop()
        assert root.is_dir()
        print(f"load of the machine at the end {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


if __name__ == "__main__":
    main()
