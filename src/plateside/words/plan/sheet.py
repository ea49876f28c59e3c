"""Labels and sentences of the call sheet and the shot sheet."""

from collections.abc import Sequence
from datetime import date

from plateside.plan.cautions import DayCautions
from plateside.plan.day_plan import DayPlan, Plate, Slot
from plateside.plan.kitchen import DAY_BEFORE, Task
from plateside.words.cautions import DAY, FOLLOW, plant_sentence
from plateside.words.counting import clock, day, listed
from plateside.words.plan.day import note_sentence, task_phrase
from plateside.words.plan.holding import ADDED_UP, holding_sentences

SIDE_VIEW = "From the side, to scale"
TOP_VIEW = "From above, to scale"
SHORT_OF_LIGHT = "If the light falls short"
TAKE_CARE = "Take care"
RUN_HEAD = ("Time", "What", "How")
RUN_SHEET = "Run sheet"
HERO = "the hero"
FOOD = "Food: two clocks"
PLATE_HEAD = ("Plate", "For", "In", "Looks fresh until", "Last frame", "Out")
PLATE_SHORT = ("Plate", "", "In", "Fresh until", "Last frame", "Out")
"""For a phone, before each cell."""
KEEPS = "keeps"
OVER_THE_LIMIT = "over the limit: throw it away"
NOTES = "Notes"
PULL_LIST = "Pull list"
ON_THE_SET = "On the set"
CROPS = "Crops"
BLANKS = ("Emergency", "Poison centre")
ALWAYS_PULLED = (
    "remote or timer, charged battery, empty memory card",
    "grey card, set card, tape measure, level, tape for marks",
    "lamps off; stabiliser off on the tripod if the maker says so",
)


def sheet_title(dish: str) -> str:
    """'Tomato soup: call sheet'."""
    return f"{dish}: call sheet"


def lead_phrase(days: Sequence[date], place: str, sky: str) -> str:
    """'Thursday 15 July 2027, Invented Bay, clear sky'; of several days, each."""
    return ", ".join(x for x in (listed([day(on) for on in days]), place, f"{sky} sky") if x)


def run_sheet_of(on: date) -> str:
    """'Run sheet, Thursday 15 July 2027'."""
    return f"{RUN_SHEET}, {day(on)}"


def head_rows(plan: DayPlan, begins: str, good: str) -> list[tuple[str, str]]:
    """The day in four facts."""
    plates = len(plan.plates)
    return [
        ("Start", begins or "nothing planned"),
        ("Good light for every shot", good),
        ("Shots", str(len(plan.slots))),
        ("Plates of the dish", f"{plates}, with stand-in and spare {plates + 2}"),
    ]


def hour_phrase(slot: Slot) -> str:
    """'12:10, hero in at 12:30'."""
    return f"{clock(slot.starts)}, hero in at {clock(slot.hero_in)}"


def cook_phrase(task: Task) -> str:
    """How a step of cooking is done: 'for pour, looks fresh until 13:10'."""
    looks = ""
    if task.looks_until is not None and task.why not in ("ahead", DAY_BEFORE):
        looks = f", looks fresh until {clock(task.looks_until)}"
    return f"{task_phrase(task)}{looks}"


def camera_phrase(lens: str, settings: str) -> str:
    """Lens and settings in one line."""
    return f"{lens}, {settings}"


def shot_and_angle(shot: str, angle: str) -> str:
    """Under a shot's title: its short name, and where the camera looks from."""
    return f"{shot}, {angle}"


def plate_cells(plate: Plate) -> tuple[str, ...]:
    """A plate's row, as PLATE_HEAD has it."""
    over = "" if plate.within_rule else f", {OVER_THE_LIMIT}"
    return (
        str(plate.number), ", ".join(plate.shots), clock(plate.plated),
        clock(plate.looks_until) if plate.looks_until else KEEPS, clock(plate.last_frame),
        f"{plate.out_min:.0f} min{over}",
    )  # fmt: skip


def lens_item(lens: str) -> str:
    """A lens on the pull list."""
    return f"lens {lens}"


def board_item(board: str) -> str:
    """A board on the pull list."""
    return f"{board} board"


def bag_item(kg: float) -> str:
    """The bag of an arm, on the pull list."""
    return f"bag of {kg:.1f} kg or more, tether for the camera"


def food_sentences(plan: DayPlan) -> str:
    """The holding rule, under the plates."""
    return f"{holding_sentences(plan.rule)} {ADDED_UP}"


def allergens_sentence(allergens: Sequence[str]) -> str:
    """What is on the set."""
    listed = ", ".join(allergens) or "none written down: list every ingredient on the set"
    return f"Allergens on the set: {listed}."


def note_lines(plan: DayPlan) -> list[str]:
    """What is to know about the day; the holding rule is under the plates already."""
    return [note_sentence(n, plan) for n in plan.notes if n.code != "holding"]


def caution_lines(day_has: DayCautions) -> list[str]:
    """The day's cautions, and whom to follow."""
    last = [DAY[c] for c in day_has.codes if c == "releases"]
    first = [DAY[c] for c in day_has.codes if c != "releases"]
    return [*first, *(plant_sentence(p) for p in day_has.plants), *last, FOLLOW]
