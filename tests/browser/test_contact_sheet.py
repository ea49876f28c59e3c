"""The contact sheet as laid out: pictures of every shape stand in the same columns, their captions on one line."""

from itertools import pairwise

import pytest
from playwright.sync_api import Browser

from plateside.paper.contact_sheet import SheetShot, contact_sheet
from tests.unit.deliver.samples import SHOTS

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("width", [1280, 760, 400])
def test_columns_and_captions_line_up(browser: Browser, width: int) -> None:
    long = "Exposure and white balance as taken: this sentence is as long as one of them may well become."
    shots = [SheetShot(files, "a.jpg", (long, "Nothing was retouched.")) for files in SHOTS]
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.set_content(contact_sheet("Soup", "2027-07-15", shots, "en"))
    sections = page.evaluate(
        """() => [...document.querySelectorAll('.sheet')].map(s => [...s.querySelectorAll('figure')].map(f => {
            const i = f.querySelector('img').getBoundingClientRect(), c = f.querySelector('figcaption');
            return [i.left, i.top, i.right, c.getBoundingClientRect().top] }))"""
    )
    page.close()
    columns = {round(left) for section in sections for left, *_ in section}
    most = max(len({round(left) for left, *_ in section}) for section in sections)
    assert len(columns) == most
    assert width < 1000 or most >= 4
    for section in sections:
        for (_, top, right, words), (left, next_top, _, next_words) in pairwise(section):
            if next_top == top:
                assert left >= right
                assert next_words == words
            else:
                assert next_top > words
