"""Browser contexts that are used again: nothing of one test is left in them but scripts and letters read already."""

from collections import defaultdict
from dataclasses import dataclass, field

from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.resting import COUNTING, NOT_MEANWHILE
from tests.browser.serving import PATIENT_MS


@dataclass
class Contexts:
    """Those that no test has now, by what they were made with.

    A page in a context of its own reads some thirty files of ours anew: a fifth of what loading it costs.
    """

    browser: Browser
    _free: dict[str, list[BrowserContext]] = field(default_factory=lambda: defaultdict(list))
    _made_with: dict[BrowserContext, str] = field(default_factory=dict)

    def page(self, meanwhile: bool, options: dict[str, object]) -> Page:
        """A page in a context that nobody else has, as new: no cookie, nothing kept by another test's pages."""
        name = repr((meanwhile, sorted(options.items())))
        if not self._free[name]:
            return self._made(name, meanwhile, options).new_page()
        context = self._free[name].pop()
        page = context.new_page()
        link = context.new_cdp_session(page)
        link.send("Storage.clearDataForOrigin", {"origin": "*", "storageTypes": "all"})
        link.detach()
        return page

    def _made(self, name: str, meanwhile: bool, options: dict[str, object]) -> BrowserContext:
        context = self.browser.new_context(**options)  # type: ignore[arg-type]
        if not meanwhile:
            context.add_init_script(NOT_MEANWHILE)
        context.add_init_script(COUNTING)
        context.set_default_timeout(PATIENT_MS)
        self._made_with[context] = name
        return context

    def give_back(self, context: BrowserContext) -> None:
        """The test is over."""
        for page in context.pages:
            page.close()
        context.clear_cookies()
        context.set_offline(False)
        self._free[self._made_with[context]].append(context)
