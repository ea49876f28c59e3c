"""The Plan page: from the press that ends an edit to the first changed word and until all is settled; its pictures.

    python -m bench pages_plan

The demo's shoot, five shots, in a browser. Aims on two cores that do nothing else: the first changed word in 0.3 s, all
but the pictures settled in 3 s; five pictures rough in 15 s and clean in 150 s, and a press answered within 0.2 s
while they are drawn. Processor seconds of the server and its children stand beside, as a shared machine stretches the
others.
"""

import contextlib
import os
import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError

from plateside.demo.data import copy_demo
from tests.browser import serving
from tests.browser.conftest import chromium_path
from tests.browser.serving import Served, until

EDITS = (
    ("shots.0.frame_width_mm", "760"),
    ("shots.1.frame_width_mm", "500"),
    ("shots.2.minutes", "25"),
    ("shots.4.dish_width_mm", "150"),
    ("from_time", "10:30"),
    ("shots.3.camera_faces_deg", "200"),
    ("shots.0.frame_width_mm", "700"),
)
"""Field and new value: what a shot shows, how long it takes, the whole day's hours, where the camera looks."""
NO_PICTURE = {
    "job": 10**6, "work": "plan.picture", "args": {}, "state": "failed", "done": 0, "total": 0, "words": "none here",
    "mistakes": [],
}  # fmt: skip
"""As a machine without the renderer answers: what an edit costs is measured without pictures."""
PRESS_EVERY_S = 1.5
PATIENT_MS = 300_000
SETTLED = "() => document.querySelector('.headline') && !document.querySelector('.stale, [aria-busy=true]')"

# What changes is noted by the page's own clock, from the press on: the first word that is another, and when the last
# part that was of an earlier state is so no more.
NOTED = """() => { window.noted = { pressed: 0, word: 0, settled: 0, planned: false };
const look = (records) => {
  const now = performance.now(), { noted } = window;
  if (!noted.pressed) return;
  if (!noted.word && records.some((each) => each.type !== 'attributes')) noted.word = now;
  const busy = document.querySelector('.stale, [aria-busy=true]');
  if (busy) noted.planned = true;
  if (!busy && noted.planned && !noted.settled) noted.settled = now;
};
new MutationObserver(look).observe(document.querySelector('main'),
  { childList: true, characterData: true, subtree: true, attributes: true, attributeFilter: ['class', 'aria-busy'] });
document.addEventListener('keydown', (event) => {
  if (event.key === 'Enter') Object.assign(window.noted,
    { pressed: performance.now(), word: 0, settled: 0, planned: false });
}, true); }"""


def processor_s(served: Served) -> float:
    """What the server and all its children have used so far [s of one core]; 0 where the system does not say."""
    spent, parents = {}, {}
    for each in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            told = each.read_text().rpartition(")")[2].split()
            number = int(each.parent.name)
            # proc(5): the 4th is the parent; the 14th to 17th are its own time and that of children who have ended
            parents[number], spent[number] = int(told[1]), sum(int(told[i]) for i in range(11, 15))
    of = {served.process.pid}
    while grown := {n for n, parent in parents.items() if parent in of} - of:
        of |= grown
    return sum(spent.get(n, 0) for n in of) / os.sysconf("SC_CLK_TCK") if spent else 0.0


def plan_opened(browser: Browser, served: Served) -> tuple[Page, float]:
    """The Plan page of a server, settled, without its pictures; and how long that took [s]."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    served.let_in(context)
    page = context.new_page()
    page.route("**/plan/picture", lambda route: route.fulfill(json=NO_PICTURE))
    begun = time.monotonic()
    page.goto(served.url + "plan")
    page.wait_for_function(SETTLED, timeout=PATIENT_MS)
    return page, time.monotonic() - begun


def opened(page: Page, path: str) -> None:
    """The shot of a field stands open, with all its fields: they are made when it is first opened."""
    if not path.startswith("shots."):
        return
    shot = page.locator(".shot").nth(int(path.split(".")[1]))
    if shot.locator(".shot-open").get_attribute("aria-expanded") == "false":
        shot.locator(".shot-open").click()
    if not shot.locator("details.rest").evaluate("(rest) => rest.open"):
        shot.locator("details.rest > summary").click()


def edits(page: Page, served: Served) -> None:
    """Each edit by its press: first changed word, all settled."""
    words, wholes = [], []
    for path, value in EDITS:
        opened(page, path)
        spent = processor_s(served)
        box = page.locator(f'[data-path="{path}"] input').first
        box.fill(value)
        box.press("Enter")
        page.wait_for_function("() => window.noted.settled", timeout=PATIENT_MS)
        noted = page.evaluate("() => window.noted")
        words.append((noted["word"] - noted["pressed"]) / 1000)
        wholes.append((noted["settled"] - noted["pressed"]) / 1000)
        print(
            f"{path} = {value:4}: first changed word {words[-1]:.2f} s, settled {wholes[-1]:.2f} s,"
            f" processor {processor_s(served) - spent:.2f} s",
            flush=True,
        )
    print(
        f"one edit of five shots: first changed word {statistics.median(words):.2f} s median, {max(words):.2f} longest"
        f" (aim 0.3); settled {statistics.median(wholes):.2f} s median, {max(wholes):.2f} longest (aim 3)"
    )


def pictures(page: Page, served: Served, begun: float) -> None:
    """All pictures, rough and clean, with a press now and then meanwhile."""
    answers, done = [], {}
    spent = processor_s(served)
    for quality in ("rough", "clean"):
        drawn = f"""() => [...document.querySelectorAll('.test-picture')].every((each) =>
          {["clean"] if quality == "clean" else ["rough", "clean"]}.includes(each.dataset.quality))"""
        while not page.evaluate(drawn):
            if page.locator(".test-picture.failed").count():
                print("pictures:", page.locator(".test-picture.failed .picture-words").first.inner_text())
                return
            answers.append(page.evaluate(
                """async () => { const at = performance.now(); await (await fetch('/plan/versions')).json();
                return (performance.now() - at) / 1000; }"""
            ))  # fmt: skip
            # no longer than until all are there
            with contextlib.suppress(PlaywrightTimeoutError):
                page.wait_for_function(drawn, timeout=1000 * PRESS_EVERY_S)
        done[quality] = time.monotonic() - begun
        used = processor_s(served) - spent
        print(f"five pictures {quality}: {done[quality]:.1f} s, processor {used:.1f} s", flush=True)
    answers.sort()
    print(
        f"a question while they are drawn: {answers[len(answers) // 2] * 1000:.0f} ms median, "
        f"{answers[-1] * 1000:.0f} ms longest of {len(answers)} (aim 200)"
    )


def first_look(browser: Browser, root: Path) -> None:
    """As after an install: nothing is compiled, and Plan is opened as soon as the server answers; then once more."""
    with tempfile.TemporaryDirectory() as empty:
        mine = {"NUMBA_CACHE_DIR": f"{empty}/kernels", "PLATESIDE_STATE": f"{empty}/state"}
        before = {name: os.environ.get(name) for name in mine}
        os.environ.update(mine)
        serving.STATE = mine["PLATESIDE_STATE"]
        try:
            for when in ("nothing compiled yet", "compiled before"):
                served = serving.serve(root, "--no-watch")
                try:
                    page, took = plan_opened(browser, served)
                    told = f"{took:.1f} s, processor {processor_s(served):.1f} s"
                    print(f"the first look, {when}: {told}", flush=True)
                    if when == "nothing compiled yet":
                        until((Path(empty) / "state/kernels.txt").is_file, PATIENT_MS / 1000)
                    page.context.close()
                finally:
                    served.stop()
        finally:
            for name, value in before.items():
                os.environ.pop(name) if value is None else os.environ.update({name: value})


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        root = Path(folder) / "five-shots"
        root.mkdir()
        copy_demo(root)
        browser = play.chromium.launch(
            executable_path=chromium_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        first_look(browser, root)
        served = serving.serve(root, "--no-watch")
        try:
            page, took = plan_opened(browser, served)
            print(f"the page anew, engine loaded: {took:.1f} s")
            page.evaluate(NOTED)
            edits(page, served)
            page.unroute("**/plan/picture")
            begun = time.monotonic()
            page.reload()
            pictures(page, served, begun)
            browser.close()
        finally:
            served.stop()


if __name__ == "__main__":
    main()
