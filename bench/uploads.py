"""200 photographs of 12 megapixels added by a paired browser, while the watcher judges them.

    python -m bench.uploads [COUNT]

All there once, each judged once and in turn (the newest of the current shot, else the one that waits longest), and how
soon the server answers a separate client meanwhile. Aim: 0.2 s for 95 of 100 answers.
"""

import http.client
import os
import sys
import tempfile
import threading
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from plateside.files.journal.journal import Journal
from tests.browser.conftest import chromium_path
from tests.browser.serving import Served, serve, until
from tests.browser.set_page import TABLET as TABLET_SIZE
from tests.browser.uploading import let_paired_in, once_each, out_of_turn, verdicts, write_photographs
from tests.shoots.small import make_small_shoot
from tests.web.tablets import TABLET

COUNT = 200
SIZE_PX = (4000, 3000)
ASKED = ("/set/now", "/standing", "/start", "/static/css/set.css")
EVERY_S = 0.1
LONGEST_S = 3600.0


class Client:
    """Somebody else at the laptop, who asks all the time."""

    def __init__(self, served: Served) -> None:
        self._served = served
        self.seconds: dict[str, list[float]] = {path: [] for path in ASKED}
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._ask, daemon=True)
        self._thread.start()

    def _ask(self) -> None:
        link = http.client.HTTPConnection("127.0.0.1", self._served.port, timeout=60)
        while not self._over.is_set():
            for path in ASKED:
                begun = time.perf_counter()
                link.request("GET", path, headers={"Cookie": self._served.cookie})
                answer = link.getresponse()
                answer.read()
                assert answer.status == 200, (path, answer.status)
                self.seconds[path].append(time.perf_counter() - begun)
                self._over.wait(EVERY_S)
        link.close()

    def stop(self) -> None:
        self._over.set()
        self._thread.join()


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[-1]) if sys.argv[-1].isdecimal() else COUNT
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        root = make_small_shoot(Path(folder) / "small")
        sent = write_photographs(Path(folder) / "phone", count, SIZE_PX)
        megabytes = sum(path.stat().st_size for path in sent) / 1e6
        served = serve(root, "--tablet-address", TABLET)
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        try:
            page = browser.new_page(viewport=TABLET_SIZE)  # type: ignore[arg-type]
            journal = Journal.open(root)
            before = journal.last_number()
            page.goto(let_paired_in(served, page.context), wait_until="domcontentloaded")
            client = Client(served)
            begun = time.monotonic()
            page.locator("#add-files").set_input_files(sent)
            all_in = f"() => Number(document.querySelector('#arriving').dataset.done) === {count}"
            page.wait_for_function(all_in, timeout=1000 * LONGEST_S)
            print(
                f"{count} photographs, {megabytes:.0f} MB, in after {time.monotonic() - begun:.0f} s",
                flush=True,
            )
            names = [path.name for path in sent]
            until(lambda: all(verdicts(journal.rows(before), names).values()), LONGEST_S)
            print(f"all judged after {time.monotonic() - begun:.0f} s")
            client.stop()
        finally:
            browser.close()
            served.stop()
        rows = journal.rows(before)
        judged = verdicts(rows, names)
        print(f"all there once: {once_each(sent, root / 'frames')}")
        print(
            f"judged once: {sum(n == 1 for n in judged.values())} of {count}; out of turn: {len(out_of_turn(rows))}"
        )
        for path, seconds in client.seconds.items():
            say(path, seconds)
        say("all", [s for each in client.seconds.values() for s in each])
        print(f"load of the machine at the end {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


def say(what: str, seconds: list[float]) -> None:
    """Median, 95th percentile and longest."""
    ordered = sorted(seconds)
    middle, most = (1000 * ordered[int(share * (len(ordered) - 1))] for share in (0.5, 0.95))
    print(
        f"{what}: {middle:.0f} ms median, {most:.0f} ms for 95 of 100 (aim 200), {1000 * ordered[-1]:.0f} ms longest, "
        f"of {len(ordered)}"
    )


if __name__ == "__main__":
    main()
