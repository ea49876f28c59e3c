"""Pages in Debian's Chromium: any console error, failed own request or request to elsewhere fails the test."""

import contextlib
import os
import shutil
import time
import weakref
from collections.abc import Callable, Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import (
    APIRequestContext,
    Browser,
    BrowserContext,
    Error,
    Page,
    Playwright,
    expect,
    sync_playwright,
)

from tests.browser.contexts import Contexts
from tests.browser.serving import PATIENT_MS, PAUSE_S, Served, copy_shoot, let_in, let_pages_go_on
from tests.browser.shared import SharedServer
from tests.programs import BROWSERS
from tests.shoots.judged import make_judged_shoot
from tests.shoots.once import copied

LAPTOP = {"width": 1440, "height": 900}

SWITCHED_OFF = (
    # a window's own pop-ups under its address line: half a second of processor for each window, and nobody sees them
    "WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup",
    # a process started ahead for a page after this one: most tests have one page
    "SpareRendererForSitePerProcess",
    # what Playwright switches off by itself: of two such lists Chromium takes the last
    "AimEnabled", "AvoidCorsURLLoaderRestartOnRedirect", "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose", "HttpsFirstBalancedModeAutoEnable", "HttpsUpgrades", "LensOverlay", "MediaRouter",
    "NetworkTimeServiceQuerying", "OptimizationHints", "PaintHolding", "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
)  # fmt: skip
"""Features of Chromium that a page's test does without."""

# a machine under load is slow, not wrong
expect.set_options(timeout=PATIENT_MS)


def chromium_path() -> str:
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if found is None and not os.environ.get("CI"):
        pytest.skip("no Chromium on this machine (Debian: chromium-headless-shell)")
    assert found, "Chromium is not installed (Debian: chromium-headless-shell)"
    return found


@pytest.fixture(scope="session")
def _playwright() -> Iterator[Playwright]:
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(_playwright: Playwright) -> Iterator[Browser]:
    browser = _playwright.chromium.launch(
        executable_path=chromium_path(),
        args=[
            "--no-sandbox",
            "--disable-dev-shm-usage",
            "--disable-gpu",
            "--autoplay-policy=no-user-gesture-required",
            f"--disable-features={','.join(SWITCHED_OFF)}",
            # what is asked for elsewhere is never found, and the browser complains of it
            "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.*, EXCLUDE localhost",
        ],
    )

    def go_on() -> None:
        # a page's request that a test answers itself is answered only while this process listens to the browser
        for context in browser.contexts:
            for page in context.pages:
                with contextlib.suppress(Error):
                    page.wait_for_timeout(1000 * PAUSE_S)
                    return
        time.sleep(PAUSE_S)

    let_pages_go_on.append(go_on)
    yield browser
    let_pages_go_on.remove(go_on)
    browser.close()


@pytest.fixture(scope="session")
def _contexts(browser: Browser) -> Contexts:
    return Contexts(browser)


@pytest.fixture(scope="session")
def _made_shoot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copied(tmp_path_factory.mktemp("made") / "small-shoot", make_judged_shoot)


@pytest.fixture
def shoot(_made_shoot: Path, tmp_path: Path) -> Path:
    """A shoot of its own for this test: the demo's settings, six judged frames of two shots."""
    return copy_shoot(_made_shoot, tmp_path / "small-shoot")


@pytest.fixture(scope="session")
def _shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SharedServer]:
    shared = SharedServer(tmp_path_factory.getbasetemp())
    yield shared
    shared.stop()


@pytest.fixture
def opened_on(_shared: SharedServer) -> Iterator[Callable[[Path], Served]]:
    """Opens a shoot of this test on the server that the tests share, without the watcher.

    Tests of landing, of what a server keeps and of damage, which it tells for as long as it runs, start their own:
    serve(root).
    """
    yield _shared.open
    _shared.leave()


@pytest.fixture
def served(shoot: Path, opened_on: Callable[[Path], Served]) -> Served:
    """A server on `shoot`."""
    return opened_on(shoot)


@pytest.fixture(scope="module")
def shoot_once(_made_shoot: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One shoot for a module's tests: they only look, or land frames of their own."""
    return copy_shoot(_made_shoot, tmp_path_factory.mktemp("once") / "small-shoot")


@pytest.fixture
def served_once(shoot_once: Path, opened_on: Callable[[Path], Served]) -> Served:
    """A server on `shoot_once`."""
    return opened_on(shoot_once)


_LETS_IN: "weakref.WeakSet[APIRequestContext]" = weakref.WeakSet()
"""Asks of contexts that come in first."""


def let_in_as_it_goes(page: Page) -> Page:
    """The page comes in at every server of these tests that it is sent to."""
    context = page.context

    def let_in_first(go: Callable[..., Any]) -> Callable[..., Any]:
        def going(url: str, **options: Any) -> Any:
            let_in(context, url)
            return go(url, **options)

        return going

    page.goto = let_in_first(page.goto)  # type: ignore[method-assign]
    asking = page.request
    if asking not in _LETS_IN:
        # the same of all pages of a context
        _LETS_IN.add(asking)
        asking.get = let_in_first(asking.get)  # type: ignore[method-assign]
        asking.post = let_in_first(asking.post)  # type: ignore[method-assign]
    return page


ELSEWHERE = "ERR_NAME_NOT_RESOLVED"
"""In what a page says when it has asked for anything that is not on this machine (see `browser`)."""
CONTEXTS = pytest.StashKey[list[BrowserContext]]()
TOLD = 1500
"""As many letters of a page are printed where its test fails."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Where a test fails, what its pages show then is printed with it."""
    report = yield
    if call.when == "call" and report.failed:
        for context in item.stash.get(CONTEXTS, []):
            for page in context.pages:
                shown = "(nothing)"
                with contextlib.suppress(Error):
                    shown = page.locator("body").inner_text(timeout=2000)
                report.sections.append((f"page {page.url}", shown[:TOLD]))
    return report


@pytest.fixture
def new_page(
    _contexts: Contexts, request: pytest.FixtureRequest, opened_on: Callable[[Path], Served]
) -> Iterator[Callable[..., Page]]:
    """Makes pages (viewport and context options as keywords); at the end none may have complained.

    opened_on: begun before the pages, so ended after them, in whichever order a test names the two. A server that is
    stopped because work is left on it is a complaint of every page that still listens.
    meanwhile: the page may begin what takes long by itself, as the year of the light and planned pictures.
    """
    complaints: list[str] = []
    contexts = request.node.stash.setdefault(CONTEXTS, [])

    def make(*, quiet: bool = False, meanwhile: bool = False, **options: object) -> Page:
        page = let_in_as_it_goes(_contexts.page(meanwhile, {"viewport": LAPTOP, **options}))
        contexts.append(page.context)
        told = ("error", "warning")
        page.on(
            "console",
            lambda m: (
                complaints.append(m.text) if m.type in told and (not quiet or ELSEWHERE in m.text) else None
            ),
        )
        page.on("pageerror", lambda e: complaints.append(str(e)))
        # a page that goes elsewhere itself says nothing
        page.on(
            "requestfailed", lambda r: complaints.append(r.url) if ELSEWHERE in (r.failure or "") else None
        )

        return page

    yield make
    for context in contexts:
        _contexts.give_back(context)
    assert complaints == []


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    """One page at laptop size."""
    return new_page()


@pytest.fixture
def axe() -> Callable[[Page], list[str]]:
    """axe-core over the page as it now is: its violations in words."""

    def run(page: Page) -> list[str]:
        found = Axe().run(page).response["violations"]
        return [f"{v['id']}: {v['help']} at {[n['target'] for n in v['nodes']][:4]}" for v in found]

    return run
