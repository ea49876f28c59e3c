"""The sheets of Choose: 200 pictures on the screen, and 2,000 frames scrolled, with the processor throttled four times.

    python -m bench pages_choose

The pictures are there already (a page draws them only once); the window is 1920 x 2400 with small pictures, so that
more than 200 stand in it at once. Timed by the page's own clock from the moment it was asked for.
"""

import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from plateside.files.demo_data import copy_demo
from plateside.files.journal.journal import Journal
from tests.browser.conftest import chromium_path
from tests.browser.serving import Served, frame_pixels, serve

FRAMES = 2000
SHOTS = ("three-bowls", "one-bowl", "bowl-at-an-angle", "straight-on", "pour")
THROTTLE = 4
AIM = 200

_WATCH = """
localStorage.setItem("plateside-picture-size", "small");
window.seenAt = [];
window.allSeen = new Promise((done) => {
  const look = () => {
    const images = [...document.querySelectorAll("button.frame img")].filter((i) => i.complete && i.naturalWidth);
    for (const n of [1, 50, 100, 150, 200]) {
      if (images.length >= n && !window.seenAt.some(([m]) => m === n)) window.seenAt.push([n, performance.now()]);
    }
    if (images.length < 200) { setTimeout(look, 50); return; }
    const inside = images.map((i) => i.getBoundingClientRect()).filter((b) => b.bottom > 0 && b.top < innerHeight);
    done([window.seenAt, inside.length]);
  };
  setTimeout(look, 50);
});
"""
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
  return [took.length, took[Math.floor(took.length / 2)], took[Math.floor(took.length * 0.95)], took.at(-1),
          document.querySelectorAll("*").length];
}
"""


def many_frames(root: Path) -> Path:
    """A shoot with 2,000 frames of five shots that have landed, each with its small picture."""
    root.mkdir()
    copy_demo(root)
    seen = root / ".plateside" / "seen"
    seen.mkdir(parents=True)
    pictures = []
    for n in range(20):
        small = Image.fromarray(frame_pixels(0.1 * (n % 5) - 0.2, 40 * n)).resize((320, 213))
        small.save(seen / "one.jpg", quality=80)
        pictures.append((seen / "one.jpg").read_bytes())
    (seen / "one.jpg").unlink()
    ids = [f"{n:032x}" for n in range(FRAMES)]
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


def thumbnails(served: Served, page: Page) -> None:
    """How soon 200 pictures stand on the screen, and how the 2,000 scroll."""
    page.set_viewport_size({"width": 1920, "height": 2400})
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
    page.add_init_script(_WATCH)
    for turn in ("first", "again"):
        page.goto(served.url + "choose", wait_until="commit")
        seen, inside = page.evaluate("window.allSeen")
        told = ", ".join(f"{n} at {ms / 1000:.2f} s" for n, ms in seen) + f"; {inside} in the window"
        print(
            f"pictures on the screen, {turn} time, processor throttled {THROTTLE} times: {told} (aim {AIM} in 1.5 s)"
        )
    steps, median, slow, longest, elements = page.evaluate(_SCROLL)
    print(
        f"{FRAMES} frames scrolled in {steps} steps of 120 px: {median:.0f} ms a step in the median, {slow:.0f} ms at "
        f"95 %, {longest:.0f} ms longest; {elements} elements at the end"
    )


def main() -> None:
    """Make the shoot, look at it, print."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        served = serve(many_frames(Path(folder) / "many"), "--no-watch")
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"]
        )
        try:
            thumbnails(served, browser.new_page())
        finally:
            browser.close()
            served.stop()


if __name__ == "__main__":
    main()
