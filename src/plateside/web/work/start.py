"""Work for the start page: places by name (the list of towns takes memory), and the whole demo."""

from pathlib import Path
from typing import Any, TypedDict

from plateside.model.progress import Progress
from plateside.web.workers.names import Work
from plateside.words.first_run import DEMO_STAGES

STAGE = 1000
"""Parts of one stage in the demo's progress."""


class DemoMade(TypedDict):
    """Where the whole demo lies."""

    shoot: Path


def cities(args: dict[str, Any], _progress: Progress) -> Any:
    """Suggestions for a town that is being typed: {"text"} -> places, and whether one of them is sure."""
    from plateside.tasks.studio.first_place import places_for

    return places_for(str(args["text"])[:100])


def choose(args: dict[str, Any], _progress: Progress) -> Any:
    """The place of a text typed to its end, or null with the names that may have been meant and what to do."""
    from plateside.tasks.studio.first_place import place_typed

    return place_typed(str(args["text"])[:100])


def demo(args: dict[str, Any], progress: Progress) -> Any:
    """Run every stage on the demo: {"target"} -> {"shoot"}; progress is told as 1000 parts for each stage."""
    from plateside.demo.run import run_demo

    stage = -1
    whole = STAGE * len(DEMO_STAGES)

    def say(_words: str) -> None:
        nonlocal stage
        stage += 1
        progress(stage * STAGE, whole)

    def within(done: int, total: int) -> None:
        # a stage may count several times over: it never passes its own thousand
        progress(stage * STAGE + int(STAGE * 0.98 * done / max(total, 1)), whole)

    report = run_demo(Path(args["target"]), say, within)
    made: DemoMade = {"shoot": report.shoot}
    return made


WORK: dict[str, Work] = {"cities": cities, "choose": choose, "demo": demo}
