"""Photographs added on the Set page: chosen in the browser's dialog, gone on with when the connection comes back."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.serving import Served
from tests.browser.set_page import TABLET, open_set
from tests.unit.files.jpegs import jpeg

pytestmark = pytest.mark.browser


def write(folder: Path, *seeds: int) -> list[Path]:
    folder.mkdir()
    for seed in seeds:
        (folder / f"new-{seed}.jpg").write_bytes(jpeg(seed))
    return sorted(folder.iterdir())


def test_many_at_once_each_said_and_nothing_else_let_in(
    served: Served, new_page: Callable[..., Page], tmp_path: Path
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    files = write(tmp_path / "card", 1, 2, 3, 4)
    (tmp_path / "card/notes.jpg").write_text("<script>alert(1)</script>" * 100)
    page.locator("#add-files").set_input_files([*files, tmp_path / "card/notes.jpg"])
    expect(page.locator("#arriving")).to_contain_text("4 of 5 in, 1 not added")
    for path in files:
        assert (served.root / "frames" / path.name).read_bytes() == path.read_bytes()
    assert not (served.root / "frames/notes.jpg").exists()
    page.locator("#about").click()
    expect(page.locator("#not-added li")).to_have_count(1)
    expect(page.locator("#not-added li")).to_contain_text("notes.jpg")


def test_a_broken_connection_goes_on_where_it_stopped(
    served: Served, new_page: Callable[..., Page], tmp_path: Path
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    broken: list[str] = []

    def breaks(route: Route) -> None:
        if len(broken) < 2:
            broken.append(route.request.url)
            route.abort("connectionreset")
        else:
            route.continue_()

    page.route("**/set/add/*", breaks)
    [path] = write(tmp_path / "card", 9)
    page.locator("#add-files").set_input_files(path)
    expect(page.locator("#arriving")).to_contain_text("1 of 1 in")
    assert len(broken) == 2
    assert (served.root / "frames" / path.name).read_bytes() == path.read_bytes()


def test_before_the_first_frame_the_way_in_stands_on_the_page(
    served: Served, new_page: Callable[..., Page], tmp_path: Path
) -> None:
    for path in (served.root / "frames").iterdir():
        path.unlink()
    (served.root / "journal.jsonl").unlink(missing_ok=True)
    page = new_page(viewport=TABLET)
    open_set(page, served.url)
    with page.expect_file_chooser() as chosen:
        page.locator("#ways .choose-files").click()
    chosen.value.set_files(write(tmp_path / "card", 7))
    expect(page.locator("#arriving")).to_contain_text("1 of 1 in")
