"""A server that ends in the middle of work and is started again: every page goes on by itself, none is loaded again."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.serving import Served, lasting_port, serve

pytestmark = pytest.mark.browser

BEGIN = """async () => {
  const { work } = await own("js/core/ask.js");
  const seen = window.seen = { jobs: [], came: "" };
  window.running = work("/light/year", { day: "2027-07-15" }, (job) => {
    if (job.state !== "running" || seen.jobs.includes(job.job)) return;
    seen.jobs.push(job.job);
    // begun again: stopped at once, before it can end by itself
    if (seen.jobs.length === 2) { seen.came = seen.came || "nothing yet"; window.running.stop(); }
  });
  window.running.then(() => { seen.came += " done"; }, (error) => { seen.came += ` ${error.status}`; });
}"""
"""Every page's long work goes through this one function."""


def _end(server: Served, how: str) -> None:
    if how == "stopped":
        server.stop()
    else:
        server.kill()


@pytest.mark.parametrize("how", ["stopped", "killed"])
def test_a_plan_and_long_work_under_way_are_begun_again_after_a_restart(
    shoot: Path, new_page: Callable[..., Page], how: str
) -> None:
    # their consoles may tell that a server went away
    page, working = new_page(quiet=True), new_page(quiet=True, meanwhile=True)
    server = serve(shoot, "--no-watch", port=lasting_port())
    working.goto(server.url + "choose")
    working.evaluate(BEGIN)
    working.wait_for_function("() => window.seen.jobs.length === 1")
    with page.expect_request("**/plan/day"):
        page.goto(server.url + "plan")
    page.evaluate("() => { window.never_loaded_again = true; }")
    _end(server, how)
    again = serve(shoot, "--no-watch", port=server.port)
    try:
        # the second time it is stopped
        working.wait_for_function("() => window.seen.jobs.length === 2")
        working.wait_for_function("() => window.seen.came === 'nothing yet 409'")
        expect(page.locator("#day-chart .curve")).to_be_visible()
        expect(page.locator("#day")).not_to_have_class(re.compile("stale"))
        expect(page.locator("#mend")).to_be_hidden()
        assert page.evaluate("() => window.never_loaded_again")
    finally:
        again.stop()
