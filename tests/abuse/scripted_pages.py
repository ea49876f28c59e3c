"""The scripted shoot (tests/shoots/scripted.py) seen: every page, and every paper that is written, in a browser.

The browser is told to let every script run (no Content-Security-Policy): a canary that is silent is silent for the
page's own sake. What would have stood in a page and not run is looked for as well: an element, a handler or an address
that nobody of ours put there.
"""

import io
import json
import re
import zlib
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote
from xml.etree import ElementTree

from PIL import Image
from playwright.sync_api import Page, Route

from plateside.files.settings.load import load_shoot
from tests.browser.resting import at_rest
from tests.browser.serving import Served
from tests.shoots.scripted import CANARY, SUM, as_name
from tests.web.requests import change, get, send, token
from tests.web.tablets import TABLET, secret_of

CALLED = f"window.{CANARY} = () => {{ (window.ran ??= []).push(location.href); }};"
SEEN = """([canary, sum]) => {
  const wrong = (window.ran || []).length ? ["a script ran"] : [];
  const address = /^(href|src|action|formaction|xlink:href|srcdoc|data|poster|background)$/i;
  const parts = [...document.querySelectorAll("*"),
    ...[...document.querySelectorAll("template")].flatMap((t) => [...t.content.querySelectorAll("*")])];
  for (const e of parts) for (const a of e.attributes) {
    if (a.name.includes(canary)) wrong.push(`an element of the script: ${e.outerHTML.slice(0, 120)}`);
    if (/^on/i.test(a.name)) wrong.push(`a handler: ${e.outerHTML.slice(0, 120)}`);
    const said = a.value.replace(/[\\u0000-\\u0020]/g, "").toLowerCase();
    if (address.test(a.name) && /^(javascript|vbscript|data:text\\/html)/.test(said))
      wrong.push(`an address that runs: ${e.outerHTML.slice(0, 160)}`);
  }
  for (const e of document.querySelectorAll("script[type='application/ld+json'], script[type='application/json']"))
    try { JSON.parse(e.textContent); } catch (error) { wrong.push(`no JSON: ${e.textContent.slice(0, 120)}`); }
  if (document.documentElement.textContent.includes(sum)) wrong.push("an expression was computed");
  return wrong;
}"""
SHOWN = """(canary) => document.documentElement.outerHTML.includes(canary)
  || [...document.querySelectorAll("input, textarea")].some((e) => e.value.includes(canary))"""
FACTS = (
    "/work", "/standing", "/set/now", "/settings/shoot", "/settings/studio", "/choose/sheets", "/finish/standing",
    "/deliver/standing", "/plan/day", "/plan/versions", "/tablet/now", "/set/folders",
)  # fmt: skip
PAGES = (
    "start", "start/new", "studio", "studio/fix", "light", "plan", "plan/call-sheet", "set", "choose", "finish",
    "deliver", "tablet",
)  # fmt: skip
TELLING = frozenset(PAGES) - {"start/new", "light"}
"""Pages that hold the shoot's or the studio's words: there the script must be found as text, or nothing was tried."""
WRITTEN = ("preview.html", "recipe.html", "contact-sheet.html")


def names_typed(served: Served, payload: str) -> list[str]:
    """The names that come over the network: of a device, and of a client's layout."""
    port = int(change(served, "/tablet/invite", {}).json["url"].rstrip("/").rsplit(":", 1)[1])
    origin = {"Origin": f"http://{TABLET}:{port}", "Content-Type": "application/json"}
    told = json.dumps({"secret": secret_of(served), "name": payload}).encode()
    paired = send(TABLET, port, "POST", "/pair", origin, told).status
    page = io.BytesIO()
    Image.new("RGB", (60, 40), "white").save(page, "PNG")
    shot = load_shoot(served.root / "shoot.toml").shots[0].name
    headers = {
        "Origin": served.url.rstrip("/"), "Cookie": served.cookie, "X-Plateside-Token": token(served),
        "Content-Type": "application/octet-stream",
    }  # fmt: skip
    path = f"/set/layout/{quote(shot)}/file?name={quote(as_name(payload, '.png'), safe='')}"
    laid = send("127.0.0.1", served.port, "POST", path, headers, page.getvalue()).status
    return [f"{what}: {status}" for what, status in (("pair", paired), ("layout", laid)) if status != 200]


def walk(served: Served, page: Page) -> Iterator[str]:
    """What is wrong on any page, in any answer, in any paper of the shoot."""
    for path in FACTS:
        got = get(served, path)
        kind = got.headers.get("content-type", ""), got.headers.get("x-content-type-options", "")
        if not kind[0].startswith("application/json") or kind[1] != "nosniff":
            yield f"{path} can be taken for a page: {got.status} {kind}"
    shot = load_shoot(served.root / "shoot.toml").shots[0].name
    for name in (*PAGES, f"plan/card/{quote(shot)}"):
        page.goto(served.url + name)
        page.wait_for_load_state("load")
        page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = true; })")
        at_rest(page)
        if name == "set":
            page.locator("#look").click()
            at_rest(page)
        yield from _seen(page, name, telling=name in TELLING)
    yield from _papers(served.root / "delivery", page, served.url)
    yield from _printed(get(served, "/plan/call-sheet.pdf").body)
    yield from _pictures(served.root)


def broken(served: Served, page: Page, payload: str) -> Iterator[str]:
    """The same for what is said of a settings file that holds a line which is none."""
    path = served.root / "shoot.toml"
    whole = path.read_bytes()
    path.write_bytes(whole + f"\n{payload}\n".encode())
    try:
        for name in ("studio/fix", "plan", "set", "start"):
            page.goto(served.url + name)
            page.wait_for_load_state("load")
            at_rest(page)
            yield from _seen(page, f"{name}, not to be read", telling=name == "studio/fix")
    finally:
        path.write_bytes(whole)


def _seen(page: Page, name: str, *, telling: bool) -> Iterator[str]:
    for wrong in page.evaluate(SEEN, [CANARY, str(SUM)]):
        yield f"{name}: {wrong}"
    if telling and not page.evaluate(SHOWN, CANARY):
        yield f"{name}: nothing of the script is there: it was not tried"


def _papers(folder: Path, page: Page, url: str) -> Iterator[str]:
    """Pages that are handed on: opened by whoever gets them, with no server's rules."""

    def hand_on(route: Route) -> None:
        file = folder / route.request.url.rpartition("/written/")[2]
        if file.suffix == ".html":
            route.fulfill(body=file.read_text("utf-8"), content_type="text/html")
        else:
            route.fulfill(status=204)

    page.route("**/written/**", hand_on)
    for name in WRITTEN:
        page.goto(f"{url}written/{name}")
        page.wait_for_load_state("load")
        yield from _seen(page, name, telling=True)
    page.unroute("**/written/**")
    markup = json.loads((folder / "recipe.jsonld").read_text("utf-8"))
    if CANARY not in json.dumps(markup):
        yield "recipe.jsonld: nothing of the script is there: it was not tried"


def _printed(pdf: bytes) -> Iterator[str]:
    """ISO 32000-1, 12.6.4: the actions of a PDF that run or open something, in it or in its packed streams."""
    if not pdf.startswith(b"%PDF"):
        yield f"the call sheet is no PDF: {pdf[:80]!r}"
    whole = pdf
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.S):
        try:
            whole += zlib.decompress(stream)
        except zlib.error:
            continue
    for action in (b"/JavaScript", b"/JS", b"/Launch", b"/OpenAction", b"/AA", b"/SubmitForm"):
        if re.search(re.escape(action) + rb"\b", whole):
            yield f"the call sheet's PDF holds {action.decode()}"
    if re.search(rb"/URI\s*\(\s*javascript", whole, re.I):
        yield "the call sheet's PDF links to a script"


def _pictures(root: Path) -> Iterator[str]:
    """XMP of what is finished and delivered: XML that is whole, with the script as text and as nothing else."""
    made = [*sorted((root / "finished").glob("*.jpg")), *sorted((root / "delivery").rglob("*.jpg"))]
    tried = False
    for path in made:
        with Image.open(path) as opened:
            xmp = opened.info.get("xmp", b"")
        if not xmp:
            continue
        for one in ElementTree.fromstring(xmp).iter():  # noqa: S314 - written by us, a moment ago
            tried |= CANARY in (one.text or "") + " ".join(one.attrib.values())
            if one.tag.rpartition("}")[2] in ("script", "img", "svg", "iframe") or CANARY in " ".join(
                one.attrib
            ):
                yield f"{path.name}: the XMP holds an element {one.tag}"
    if not tried:
        yield "XMP: nothing of the script is there: it was not tried"
