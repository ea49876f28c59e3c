"""The sheets of Choose: 200 pictures on the screen, and 2,000 frames scrolled, with the processor throttled four times.

    python -m bench pages_choose

The server has been up and the small pictures are there (a page draws them only once), joined by the strip as the first
page that is opened leaves them. The window is 1920 x 2400 with small pictures, so that more than 200 stand in it.
Fresh: a browser that was just started, its cache empty. Reopened: the same browser again. Timed by the page's own clock
from the moment it was asked for until every picture in the window is loaded, decoded and two pictures of the screen
have been made since. At the end the screen itself is looked at: each of these places must show a photograph.

The throttle slows the page's own thread; decoding, the browser's other processes and the server share what is left of
the two cores with it and with whatever else runs: the load stands beside the figures.
"""

import hashlib
import io
import os
import statistics
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from tests.browser.conftest import chromium_path
from tests.browser.serving import Served, frame_pixels, serve

FRAMES = 2000
SHOTS = ("three-bowls", "one-bowl", "bowl-at-an-angle", "straight-on", "pour")
THROTTLE = 4
AIM = 200
RUNS = 5
_FLAT = 6.0
"""Standard deviation [of 255] below which a place shows a plain colour and no photograph."""

_WATCH = """
window.seen = new Promise((done) => {
  const inside = () => [...document.querySelectorAll("button.frame .picture")].filter((p) => {
    const box = p.getBoundingClientRect();
    return box.bottom > 0 && box.top < innerHeight;
  });
  const address = (p) => {
    const own = p.querySelector("img");
    if (own) return own.complete && own.naturalWidth ? own.src : "";
    return (getComputedStyle(p).backgroundImage.match(/url\\("(.*)"\\)/) || [])[1] || "";
  };
  const look = async () => {
    const places = inside(), addresses = new Set(places.map(address).filter(Boolean));
    const shown = places.filter(address).length;
    if (shown < AIM) { setTimeout(look, 50); return; }
    const decoded = (src) => { const image = new Image(); image.src = src; return image.decode(); };
    await Promise.all([...addresses].map(decoded));
    await new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(next)));
    const opened = performance.getEntriesByType("navigation")[0];
    done([performance.now(), shown, addresses.size, opened.responseStart]);
  };
  addEventListener("load", look);
});
""".replace("AIM", str(AIM))
_SCROLL = """
async () => {
  const took = [];
  let last = performance.now();
  const end = document.documentElement.scrollHeight;
  while (scrollY + innerHeight < end - 5 && took.length < 300) {
    scrollBy(0, 120);
    await new Promise(requestAnimationFrame);
    const now = performance.now();
    took.push(now - last);
    last = now;
  }
  took.sort((a, b) => a - b);
  const cards = [...document.querySelectorAll("button.frame")].filter((c) => c.getBoundingClientRect().bottom > 0);
  return [took.length, took[Math.floor(took.length / 2)], took[Math.floor(took.length * 0.95)], took.at(-1),
          document.querySelectorAll("*").length, cards.length];
}
"""
_PLACES = """
() => [...document.querySelectorAll("button.frame .picture")].map((p) => p.getBoundingClientRect())
  .filter((b) => b.top >= 0 && b.bottom <= innerHeight).map((b) => [b.left, b.top, b.right, b.bottom])
"""


def many_frames(root: Path) -> Path:
    """A shoot with 2,000 frames of five shots that have landed, each with its small picture."""
    root.mkdir()
    copy_demo(root)
    seen = root / ".plateside" / "thumbnails"
    seen.mkdir(parents=True)
    pictures = []
    for n in range(20):
        small = Image.fromarray(frame_pixels(0.1 * (n % 5) - 0.2, 40 * n)).resize((320, 213))
        small.save(seen / "one.jpg", quality=80)
        pictures.append((seen / "one.jpg").read_bytes())
    (seen / "one.jpg").unlink()
    # names as they are: hashes, which nothing packs
    ids = [hashlib.sha256(b"%d" % n).hexdigest()[:32] for n in range(FRAMES)]
    rows: list[tuple[str, dict[str, object]]] = []
    for n, frame in enumerate(ids):
        (seen / f"{frame}-thumb.jpg").write_bytes(pictures[n % 20])
        word = ("good", "adjust", "again")[n % 3]
        rows.append(("frame landed", {"frame": frame, "name": f"plate-{n:04d}.dng"}))
        # the first shot has enough to fill the screen
        shot = SHOTS[0] if n < 400 else SHOTS[n % 5]
        rows.append(("frame belongs", {"frame": frame, "shot": shot, "guess": False}))
        act = "A third of a stop brighter: 1/20 s to 1/15 s"
        rows.append(("verdict", {"frame": frame, "word": word, "act": act, "confidence": 0.9}))
    # the large picture of the first frame, beside the sheets
    (seen / f"{ids[0]}-view.jpg").write_bytes(pictures[0])
    Journal.open(root).append_many(rows)
    return root


def processor_ms(pid: int) -> float:
    """Processor time of a process so far [ms]."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) * 1000 / os.sysconf("SC_CLK_TCK")


def started(playwright: Playwright) -> Browser:
    """A browser of its own."""
    return playwright.chromium.launch(
        executable_path=chromium_path(), args=["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"]
    )


def opened(browser: Browser, served: Served) -> Page:
    """A page that was last used with small pictures, in a window that holds more than 200."""
    page = browser.new_page(viewport={"width": 1920, "height": 2400})
    served.let_in(page.context)
    page.context.add_cookies(
        [{"name": "plateside_sheets", "value": "small.240", "url": served.url + "choose"}]
    )
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
    page.add_init_script(_WATCH)
    return page


def look(page: Page, served: Served) -> tuple[float, float, float, int, int]:
    """Open the page once: until seen [ms], first byte [ms], the server's processor time [ms], places, files."""
    before = processor_ms(served.process.pid)
    page.goto(served.url + "choose", wait_until="commit")
    seen, shown, files, first_byte = page.evaluate("window.seen")
    return seen, first_byte, processor_ms(served.process.pid) - before, shown, files


def painted(page: Page) -> tuple[int, int]:
    """Places wholly on the screen, and how many of them show a photograph."""
    screen = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("L"), float)
    places = page.evaluate(_PLACES)
    return len(places), sum(
        screen[int(y0) + 2 : int(y1) - 2, int(x0) + 2 : int(x1) - 2].std() > _FLAT
        for x0, y0, x1, y1 in places
    )


def told(name: str, runs: list[tuple[float, float, float, int, int]], loads: list[float]) -> None:
    """One line: median and range, the server's share."""
    seen, first, server = ([run[k] for run in runs] for k in range(3))
    print(
        f"{name}: {statistics.median(seen) / 1000:.2f} s in the median of {len(runs)} ({min(seen) / 1000:.2f} to "
        f"{max(seen) / 1000:.2f}; aim 1.5), {runs[0][3]} pictures in {runs[0][4]} files; first byte after "
        f"{statistics.median(first):.0f} ms, server's processor {statistics.median(server):.0f} ms; "
        f"load {min(loads):.1f} to {max(loads):.1f}"
    )


def thumbnails(playwright: Playwright, served: Served) -> None:
    """How soon 200 pictures stand on the screen, and how the 2,000 scroll."""
    browser = started(playwright)
    page = opened(browser, served)
    first = look(page, served)
    told("opened for the first time ever, no strip made yet", [first], [os.getloadavg()[0]])
    until = time.monotonic() + 120
    while len(list((served.root / ".plateside" / "strips").glob("*.jpg"))) < FRAMES // 32:
        if time.monotonic() > until:
            raise SystemExit("The strips were not made within two minutes.")
        page.wait_for_timeout(200)
    browser.close()

    fresh, again, loads = [], [], []
    for _ in range(RUNS):
        browser = started(playwright)
        page = opened(browser, served)
        fresh.append(look(page, served))
        again.append(look(page, served))
        loads.append(os.getloadavg()[0])
        whole, shown = painted(page)
        browser.close()
        if shown < AIM:
            print(f"Of {whole} places on the screen only {shown} show a photograph.")
    told(f"fresh browser, throttled {THROTTLE} times", fresh, loads)
    told(f"reopened, throttled {THROTTLE} times", again, loads)

    for wait_s in (0.5, 0.5, 5, 5):
        browser = started(playwright)
        page = opened(browser, served)
        look(page, served)
        page.wait_for_timeout(wait_s * 1000)
        before = processor_ms(served.process.pid)
        steps, median, slow, longest, elements, _cards = page.evaluate(_SCROLL)
        print(
            f"{FRAMES} frames scrolled {wait_s} s after they were seen, in {steps} steps of 120 px: {median:.0f} ms a "
            f"step in the median, {slow:.0f} ms at 95 % (aim 50), {longest:.0f} ms longest; {elements} elements; "
            f"server's processor {processor_ms(served.process.pid) - before:.0f} ms in all; "
            f"load {os.getloadavg()[0]:.1f}"
        )
        browser.close()


def main() -> None:
    """Make the shoot, look at it, print."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        served = serve(many_frames(Path(folder) / "many"), "--no-watch")
        try:
            thumbnails(playwright, served)
        finally:
            served.stop()


if __name__ == "__main__":
    main()
