"""When a page is at rest: nothing that it asked for is still to come, and nothing that it put off for a moment.

A test that looks at what a press has done waits for that, never for seconds: on a busy machine the same page takes ten
times as long. Counted are answers (with their bodies), timers of a second at most, and what the page does by a given
moment at the latest when it is idle; news from the server, long work, and what is built ahead while nobody does
anything are not, as they come when they come: a test waits for what they change.

Words that the page takes away by themselves stay for half a minute at least, and every sentence of its foot is written
down: the next one may come before a test has looked (told()). A test that needs their place free has read them:
read_all().
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any

from playwright.sync_api import APIResponse, Error, Page, Route

from tests.browser.serving import until

SOON_MS = 1000
"""Timers of at most this are the page's own hesitation (a field that saves when typing stops, a press held down)."""
READ_MS = 30_000
"""Words that go by themselves stay this long: a loaded machine reads slowly."""

COUNTING = """(() => {
  const later = window.setTimeout.bind(window), never = window.clearTimeout.bind(window);
  const frame = window.requestAnimationFrame.bind(window), soon = new Set(), coming = new Set();
  const waiting = new Map(), going = new Map();
  let hesitating = false;
  const counted = (from, name) => {
    const plain = from[name];
    from[name] = function (...given) {
      const one = {}, promise = plain.apply(this, given), over = () => later(() => coming.delete(one), 0);
      coming.add(one);
      promise.then(over, over);
      return promise;
    };
  };
  counted(window, "fetch");
  for (const name of ["json", "text", "blob", "arrayBuffer"]) counted(Response.prototype, name);
  const empties = (action) => String(action).includes("replaceChildren()");
  window.setTimeout = (action, ms = 0, ...given) => {
    const goes = ms > SOON_MS && empties(action), late = goes ? Math.max(ms, READ_MS) : ms;
    const go = () => { soon.delete(number); going.delete(number); action(...given); };
    const number = later(() => {
      if (hesitating && ms > 0 && ms <= SOON_MS) waiting.set(number, go); else go();
    }, late);
    if (ms <= SOON_MS) soon.add(number);
    if (goes) going.set(number, go);
    return number;
  };
  window.clearTimeout = (number) => {
    for (const all of [soon, waiting, going]) all.delete(number);
    never(number);
  };
  window.readAll = () => { for (const [number, go] of [...going]) { never(number); go(); } };
  window.hesitate = (now) => {
    hesitating = now;
    const over = now ? [] : [...waiting.values()];
    if (!now) waiting.clear();
    for (const go of over) go();
  };
  const idle = window.requestIdleCallback?.bind(window);
  if (idle) window.requestIdleCallback = (action, options) => {
    const one = {};
    if (options?.timeout) soon.add(one);
    return idle((left) => { soon.delete(one); action(left); }, options);
  };
  const base = () => document.querySelector('script[type="module"][src]').src.replace(/js[/].*/, "");
  window.own = (path) => import(base() + path);
  window.everSaid = [];
  new MutationObserver(() => {
    const words = document.getElementById("say")?.textContent;
    if (words && words !== window.everSaid.at(-1)) window.everSaid.push(words);
  }).observe(document, { subtree: true, childList: true, characterData: true });
  window.atRest = async (kept = 0) => {
    const painted = () => new Promise((done) => frame(() => frame(done)));
    await document.fonts?.ready;
    do {
      while (coming.size > kept || soon.size) await new Promise((done) => later(done, 10));
      await painted();
    } while (coming.size > kept || soon.size);
    return true;
  };
})();""".replace("SOON_MS", str(SOON_MS)).replace("READ_MS", str(READ_MS))
"""Put into every page before its own code (conftest.new_page)."""

NO_RENDERER = "Planned pictures need the renderer. Install it once: pip install 'plateside[picture]'"

NOT_MEANWHILE = """(() => {
  const plain = window.fetch;
  const job = { job: 0, args: {}, done: 0, total: 0, mistakes: [], server: "", ending: false };
  const answers = {
    "/light/year": { ...job, work: "light.year", state: "stopped", words: "Stopped." },
    "/plan/picture": { ...job, work: "plan.picture", state: "failed", words: "NO_RENDERER" },
    "/plan/ready": {},
  };
  window.fetch = function (address, options) {
    const answer = options?.method === "POST" && Object.hasOwn(answers, address) && answers[address];
    return answer ? Promise.resolve(Response.json(answer)) : plain.apply(this, arguments);
  };
})();""".replace("NO_RENDERER", NO_RENDERER)
"""Put before it into every page whose test is not about what pages begin by themselves: a year that is stopped at
once, planned pictures on a machine without the renderer. Each is seconds of processor, beside the tests after it."""


LISTENING = """window.heard = 0; window.EventSource = class extends EventSource {
  constructor(...given) {
    super(...given);
    window.stream = this;
    for (const kind of ["row", "settings"]) this.addEventListener(kind, () => { window.heard += 1; });
  }
};"""
"""Put into a page whose test waits for news(): counts what has come, whether it is drawn by then or waits."""


def at_rest(page: Page, kept: int = 0) -> None:
    """Until the page has all that it asked for, but for so many answers that the test keeps back, and has drawn it."""
    page.wait_for_function("(kept) => document.readyState !== 'loading' && window.atRest(kept)", arg=kept)


@contextmanager
def news(page: Page, kept: int = 0) -> Iterator[None]:
    """What the block does elsewhere has come to the page, with all that the page asks for because of it."""
    before = page.evaluate("window.heard")
    yield
    page.wait_for_function("(before) => window.heard > before", arg=before)
    at_rest(page, kept)


@contextmanager
def late(page: Page, address: Any, answer: Any = None) -> Iterator[Callable[[], bool]]:
    """The first answer of an address is made as things stand then, and comes when the block ends: what is done in the
    block, once it is made(), is newer. answer: JSON in the place of the server's."""
    kept: list[Route] = []
    made: list[APIResponse | None] = []

    def keep(route: Route) -> None:
        if kept:
            route.fallback()
            return
        kept.append(route)
        made.append(None if answer is not None else route.fetch())

    page.route(address, keep)
    yield lambda: bool(made)
    for route, response in zip(kept, made, strict=True):
        # a page that no longer waits for it has given it up
        with suppress(Error):
            if response is None:
                route.fulfill(json=answer)
            else:
                route.fulfill(response=response)
    page.unroute(address, keep)
    at_rest(page)


def told(page: Page, words: str) -> None:
    """Until these words were said at the foot of the page, since it was loaded; others may stand there by now."""
    page.wait_for_function("(words) => window.everSaid.some((said) => said.includes(words))", arg=words)


def read_all(page: Page) -> None:
    """The seconds of what was said, and goes by itself, are over now."""
    page.evaluate("() => window.readAll()")


def saved(page: Page, true: Any) -> Any:
    """Until something is true on the disk, and the page that made it so has heard of it: the next act begins there."""
    got = until(true)
    at_rest(page)
    return got


@contextmanager
def hesitating(page: Page) -> Iterator[None]:
    """What the page puts off for a moment waits until the block ends: its acts follow each other within that moment,
    however slow the machine is."""
    page.evaluate("() => window.hesitate(true)")
    yield
    page.evaluate("() => window.hesitate(false)")


@contextmanager
def held(page: Page, address: str) -> Iterator[None]:
    """Requests to an address wait until the block ends: what is done in it comes before their answers."""
    waiting: list[Route] = []
    ended = False

    def hold(route: Route) -> None:
        if ended:
            route.continue_()
        else:
            waiting.append(route)

    page.route(address, hold)
    yield
    # let go of before the route is taken away: the browser itself answers what is still held then
    ended = True
    for route in waiting:
        route.continue_()
    page.unroute(address, hold)
