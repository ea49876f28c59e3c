"""Scripts in every text of a shoot, each kind by itself and all together: every page and every paper, in a browser.

    python -m bench scripts         every kind
    python -m bench scripts 3       the first three

Kinds: tests/shoots/scripted.py; what is looked at: tests/abuse/scripted_pages.py. Exit status 1 when one ran, or
stands in a page as anything but text.
"""

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.abuse import scripted_pages
from tests.browser.conftest import chromium_path, let_in_as_it_goes
from tests.browser.resting import COUNTING, NOT_MEANWHILE
from tests.browser.serving import serve
from tests.shoots.scripted import ALL, PAYLOADS, make_scripted_shoot
from tests.web.tablets import TABLET


def main(many: int = 1 + len(PAYLOADS)) -> None:
    faults: list[str] = []
    scripts = (ALL, *PAYLOADS)[:many]
    with sync_playwright() as playwright, tempfile.TemporaryDirectory(prefix="plateside-scripts-") as folder:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=["--no-sandbox"])
        for number, payload in enumerate(scripts):
            wrong = _tried(browser, Path(folder) / str(number), payload)
            print(f"{payload[:60]!r}: {len(wrong)} faults", flush=True)
            faults += [f"{payload[:60]!r}: {one}" for one in wrong]
        browser.close()
    pages = len(scripted_pages.PAGES) + 1 + len(scripted_pages.WRITTEN)
    print(f"{len(scripts)} scripts, each in every text, on {pages} pages and papers; {len(faults)} faults")
    for fault in faults[:40]:
        print(f"\n{fault}")
    if faults:
        sys.exit(1)


def _tried(browser: Browser, folder: Path, payload: str) -> list[str]:
    served = serve(make_scripted_shoot(folder, payload), "--no-watch", "--tablet-address", TABLET)
    context = browser.new_context(bypass_csp=True)
    for script in (NOT_MEANWHILE, COUNTING, scripted_pages.CALLED):
        context.add_init_script(script)
    page = let_in_as_it_goes(context.new_page())
    try:
        return [
            *scripted_pages.names_typed(served, payload[:150]),
            *scripted_pages.walk(served, page),
            *scripted_pages.broken(served, page, payload),
        ]
    finally:
        context.close()
        served.stop()


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
