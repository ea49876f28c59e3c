"""Make the pictures of the pages for README and docs, from the demo shoot, in headless Chromium.

    python scripts/make_page_pictures.py DEMO_SHOOT [OUT]      (make demo; then demo-out/shoot)

The shoot is copied first: nothing in it is changed.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from plateside.files.journal.journal import Journal  # noqa: E402
from tests.browser.conftest import chromium_path  # noqa: E402
from tests.browser.serving import Served, serve  # noqa: E402

LAPTOP, TABLET = (1440, 900), (1180, 820)
UPRIGHT, PHONE = (820, 1180), (390, 844)
PAGES = {
    "start": LAPTOP, "studio": LAPTOP, "light": LAPTOP, "plan": LAPTOP, "set": TABLET, "choose": LAPTOP,
    "finish": LAPTOP, "deliver": LAPTOP,
}  # fmt: skip
GOOD = "DEMO0103.jpg"
LONGEST_MS, STEP_MS, STILL_MS = 180_000, 500, 4_000
"""Light, set-ups and verdicts are worked out while the page already stands: it is waited for until nothing changes."""
UNDER_WAY = (
    "Working it out",
    "Planning",
    "Rendering",
    "Getting cleaner",
    "Being drawn",
    "Clearing",
    "Judging",
    "Looking",
    "Developing",
)


def land(served: Served) -> None:
    """One more frame of the first shot, two thirds of a stop too dark, as the camera would send it."""
    from PIL import Image

    frames = served.root / "frames"
    good = Image.open(frames / GOOD)
    darker = good.point(
        [round(255 * ((v / 255) ** 2.2 * 2 ** (-2 / 3)) ** (1 / 2.2)) for v in range(256)] * 3
    )
    part = frames / "DEMO0199.part"
    darker.save(part, "JPEG", quality=93, exif=good.getexif())
    part.rename(frames / "DEMO0199.jpg")


def settle(page: Page) -> None:
    """Wait until nothing is under way, each picture in sight is there, and the page has stood still for a while."""
    said = """() => {
        const seen = (e) => e.checkVisibility() && e.getBoundingClientRect().top < innerHeight;
        const images = [...document.images].filter(seen);
        const words = [...document.querySelectorAll("body *")].filter((e) => !e.childElementCount && seen(e));
        return [words.map((e) => e.textContent).join("|") + images.map((e) => e.currentSrc),
            images.some((e) => !e.complete)
              || [...document.querySelectorAll(".frame .picture")].some((e) => seen(e) && !e.querySelector("img")
                && getComputedStyle(e).backgroundImage === "none")];
    }"""
    before, still = "", 0
    for _ in range(LONGEST_MS // STEP_MS):
        page.wait_for_timeout(STEP_MS)
        now, coming = page.evaluate(said)
        quiet = now == before and not coming and not any(words in now for words in UNDER_WAY)
        before, still = now, still + STEP_MS if quiet else 0
        if still >= STILL_MS:
            return
    print(f"{page.url} did not settle; the picture is taken as it is", file=sys.stderr)


def take(page: Page, served: Served, name: str, size: tuple[int, int], out: Path) -> Path:
    """One page at one size, from its top."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(served.url + name)
    settle(page)
    out.mkdir(parents=True, exist_ok=True)
    path = out / f"page-{name}.png" if size in (LAPTOP, TABLET) else out / f"page-{name}-{size[0]}.png"
    page.screenshot(path=path)
    return path


def main() -> None:
    """Every page, or with --sizes every page at all four sizes."""
    words = [w for w in sys.argv[1:] if not w.startswith("--")]
    shoot = Path(words[0])
    out = Path(words[1]) if len(words) > 1 else ROOT / "docs" / "pictures"
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        copy = Path(folder) / "three-bowls-of-soup"
        shutil.copytree(shoot, copy, ignore=shutil.ignore_patterns("*.lock"))
        served = serve(copy)
        try:
            browser = playwright.chromium.launch(executable_path=chromium_path(), args=["--no-sandbox"])
            page = browser.new_page()
            served.let_in(page.context)
            Journal.open(copy).append("shot current", shot="three-bowls")
            for name, size in PAGES.items():
                if name == "set":
                    land(served)
                sizes = (LAPTOP, TABLET, UPRIGHT, PHONE) if "--sizes" in sys.argv else (size,)
                for each in sizes:
                    folder_of = out if len(sizes) == 1 else out / f"{each[0]}"
                    print(take(page, served, name, each, folder_of), flush=True)
            browser.close()
        finally:
            served.stop()


if __name__ == "__main__":
    main()
