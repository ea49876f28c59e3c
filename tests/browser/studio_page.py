"""The studio page's things and fields, and the studio that its file now says."""

import json

from playwright.sync_api import Locator, Page

from plateside.files.settings.load import load_studio
from plateside.model.studio import Studio
from tests.browser.serving import Served


def thing(page: Page, *path: str | int) -> Locator:
    told = json.dumps(list(path), separators=(",", ":"))
    return page.locator(f".plan .thing[data-path='{told}']")


def field(page: Page, *path: str | int) -> Locator:
    return page.locator(f"#f-{'-'.join(map(str, path))}")


def studio(served: Served) -> Studio:
    return load_studio(served.root)
