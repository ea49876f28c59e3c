"""The plan's sentences by table: facts in, sentences out. Facts are made by hand, none from the solver, but for one
set-up of each demo room that the set-up's own sentences are of."""

import re
from dataclasses import replace
from datetime import datetime
from typing import get_args, get_type_hints
from zoneinfo import ZoneInfo

import pytest

from plateside.camera.findings import Finding, Lack, Remedy, Unmet, Way
from plateside.camera.setup import LightForShot, SetUp
from plateside.model.shoot import Channel, Shot
from plateside.plan.cautions import cautions_of, day_cautions, setup_cautions
from plateside.plan.clocks import rule_of
from plateside.plan.day_plan import DayPlan, Note, Plate, Remark, Slot
from plateside.plan.kitchen import Task
from plateside.plan.setup import solve
from plateside.words import cautions
from plateside.words.plan import day, findings, holding, refusals, remedies, rig, set_up, sheet, ways
from plateside.words.units import IMPERIAL, METRIC
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON

ZONE = ZoneInfo("Europe/Lisbon")


def at(clock: str) -> datetime:
    return datetime.fromisoformat(f"2027-07-15T{clock}").replace(tzinfo=ZONE)


@pytest.fixture(scope="module")
def top() -> SetUp:
    shot = Shot(
        name="top", lens="35", frame_width_mm=560, frame_height_mm=400, moves="silk pour", person=True
    )
    return solve(LISBON, shot, CHANNELS, LIGHT)


WAYS = [
    (Way(code="frame tighter"), "frame tighter"),
    (Way(code="hold", name="portrait", size=(266.0, 400.0)), "hold the camera portrait: 266 x 400 mm"),
    (Way(code="hold", name="landscape", size=(600.0, 400.0)), "hold the camera landscape: 600 x 400 mm"),
    (Way(code="crop", size=(3000, 2000)), "crop to it: 3000 x 2000 px"),
    (
        Way(code="crop", size=(900, 600), names=("feed", "cover")),
        "crop to it: 900 x 600 px, too few for feed and cover",
    ),
    (Way(code="lens", name="60 macro"), "use the lens 60 macro"),
    (Way(code="nearer lens", name="zoom", value=28.4), "use the lens zoom at 28 mm, from nearer"),
    (Way(code="nearer lens", name="24"), "use the lens 24, from nearer"),
    (
        Way(code="macro", value=0.156),
        "use a lens that focuses to 0.16 times life size (macro, or a close-up lens)",
    ),
    (Way(code="deliver", value=1200), "deliver it 1200 px wide"),
    (Way(code="ask for", size=(600.0, 400.0)), "ask for 600 x 400 mm, which fits every channel"),
    (Way(code="aperture", value=11.0, stops=1.0), "stop down to f/11, for 1 stop of light"),
    (Way(code="stack", count=5, value=12.0), "shoot 5 frames, moving the focus 12 mm between them"),
    (Way(code="wider", value=2.8), "open up to f/2.8, with less depth of field"),
    (Way(code="background", value=0.6), "put the background 60 cm behind the dish"),
    (Way(code="shutter", value=1 / 64, stops=2.0), "use 1/60 s, for 2 stops of light"),
    (Way(code="face", value=75.0, was=90.0), "turn the camera to face 75° instead of 90°"),
    (Way(code="spot", name="by the door"), "shoot at the table spot by the door"),
]


@pytest.mark.parametrize(("way", "said"), WAYS)
def test_ways_out(way: Way, said: str) -> None:
    assert ways.way_phrase(way, METRIC) == said


def test_ways_are_joined_by_or_and_in_the_users_own_lengths() -> None:
    both = (Way(code="frame tighter"), Way(code="background", value=0.6))
    # 600 mm is 23.62 in: 23 1/2 to the half inch (1 in = 25.4 mm, 1959)
    assert (
        ways.ways_phrase(both, IMPERIAL) == "frame tighter, or put the background 23 1/2 in behind the dish"
    )
    assert ways.ways_phrase((), METRIC) == ""


FINDINGS = [
    (
        Finding(kind="ceiling", ok=False, code="ceiling", got=0.13, unit="m", ways=(Way(code="frame tighter"),)),
        "the camera would be 13 cm into the ceiling: frame tighter",
    ),
    (Finding(kind="room", ok=True, code="fits", got=0.42, unit="m"), "it fits the room, 42 cm under the ceiling"),
    (
        Finding(
            kind="room", ok=False, code="no room", lacks=(Lack("feet", 0.1, "left wall", "tripod"),),
            ways=(Way(code="move table"),),
        ),
        "the feet of tripod would be 10 cm into the left wall, however you turn it: move the table",
    ),
    (
        Finding(kind="height", ok=False, code="support too low", about="small", got=1.2, asked=0.9, unit="m"),
        "the lens must be 1.20 m up, and small reaches 90 cm",
    ),
    (
        Finding(kind="stand", ok=True, code="stand beside", about="left of", of="back wall"),
        "no room for you behind the camera (back wall): work from the left of it, and tilt the screen or use a remote "
        "view",
    ),
    (
        Finding(kind="focus", ok=False, code="focus", got=0.3, asked=0.45, unit="m"),
        "the camera is 30 cm away, and the lens focuses no nearer than 45 cm",
    ),
    (
        Finding(kind="shadow", ok=True, code="shades", about="you", got=0.5, ways=(Way(code="step aside"),)),
        "you block 50 % of the key light on the dish (1 stop): step aside for the frame",
    ),
    (
        Finding(kind="gloss", ok=True, code="mirrors", parts=(("window", 0.6), ("camera", 0.1))),
        "the glossy dish mirrors window (60 %) and the camera (10 %)",
    ),
    (
        Finding(kind="gloss", ok=True, code="window", about="window", got=0.3, clears_deg=20.0, fills_deg=55.0),
        "window is mirrored in 30 % of the dish; 20 degrees of elevation clears it and 55 degrees fills it",
    ),
    (
        Finding(kind="light", ok=False, code="assumed", got=500.0, unit="lx"),
        "the light is not known yet: shutter and ISO are for an assumed 500 lx facing the camera",
    ),
    (
        Finding(kind="rig", ok=False, code="over limit", about="arm", got=1.26, asked=0.5, unit="kg"),
        "camera and lens weigh 1.26 kg, over the maker's limit of 0.50 kg for arm: use another support",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("found", "said"), FINDINGS)
def test_findings(found: Finding, said: str, top: SetUp) -> None:
    assert findings.finding_phrase(found, top, METRIC) == said


UNMET = [
    (
        Unmet(
            code="frame", about="35", limit_m=0.45, asked=(140.0, 100.0), got=(200.0, 133.0), reason="closest focus",
            ways_out=(Way(code="longer lens"),),
        ),
        "not the frame you asked for: 200 x 133 mm instead of 140 x 100 mm, because the 35 focuses no nearer than "
        "45 cm: use a longer lens",
    ),
    (
        Unmet(code="pixels", about="feed", asked=(1080, 1350), got=(800, 1000), reason="channel shape"),
        "feed: only 800 x 1000 px of the 1080 x 1350 asked",
    ),
    (
        Unmet(code="depth", asked=(60.0,), got=(41.0,), reason="lens", ways_out=(Way(code="far soft"),)),
        "depth of field 41 mm, and 60 mm needed: let the far end go soft",
    ),
    (
        Unmet(code="stream", asked=(20.0,), got=(6.0,), reason="motion"),
        "the stream still shows drops: it streaks 6 px, 20 looks like silk",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("wish", "said"), UNMET)
def test_wishes_that_are_not_met(wish: Unmet, said: str, top: SetUp) -> None:
    assert findings.unmet_phrase(wish, top, METRIC) == said


REMEDIES = [
    (
        Remedy(
            code="aperture",
            gains_stops=1.0,
            here=5.657,
            there=4.0,
            price_here=41,
            price_there=29,
            price_limit=35,
        ),
        "+1 stop: f/4 instead of f/5.6 (depth of field 41 mm to 29 mm, 35 mm needed)",
    ),
    (
        Remedy(code="iso", gains_stops=1.0, here=800, there=1600, price_here=25.0, price_there=17.6),
        "+1 stop: ISO 1600 instead of ISO 800 (more noise: signal to noise 25 to 18)",
    ),
    (
        Remedy(code="hour", gains_stops=2.0, when=at("12:30")),
        "+2 stops: at 12:30, when the light is best (the dish must wait for it)",
    ),
    (
        Remedy(code="support", gains_stops=0.5),
        "+0.5 stop: a tripod or an arm instead of hand-held (slower to move; buy or borrow one)",
    ),
]


@pytest.mark.parametrize(("remedy", "said"), REMEDIES)
def test_remedies_with_their_price(remedy: Remedy, said: str) -> None:
    assert remedies.remedy_sentence(remedy, METRIC) == said


DAY = DayPlan(slots=(), kitchen=(), plates=(), rule=rule_of("US"), notes=())


@pytest.mark.parametrize(
    ("note", "said"),
    [
        (
            Note(code="plates", count=5),
            "Make 5 plates: each stops looking fresh before the last shot. With a stand-in and a spare, make 7.",
        ),
        (
            Note(code="plates", count=1),
            "Make 3 plates: one that stays fresh for every shot, a stand-in and a spare.",
        ),
        (
            Note(code="day before", names=("soak", "bake"), when=at("16:00")),
            "The day before, from 16:00: soak and bake.",
        ),
        (
            Note(code="early", name="prove", when=at("06:20")),
            "'prove' must start by 06:20 on 15 July, before your day begins: start then, or shoot later.",
        ),
        (
            Note(code="over the limit", count=2, minutes=130, limit_min=120),
            "Plate 2 is out 130 min, over 120 min (USDA Food Safety and Inspection Service): throw it away, nobody "
            "eats it.",
        ),
    ],
)  # fmt: skip
def test_notes(note: Note, said: str) -> None:
    assert day.note_sentence(note, DAY) == said


@pytest.mark.parametrize(
    ("remark", "said"),
    [
        (
            Remark(code="light", illuminance_lx=300, needed_lx=353),
            "the light is not good the whole time: 300 lx facing the camera, and it needs 350",
        ),
        (Remark(code="light"), "the light is not good the whole time"),
        (Remark(code="too late", limit=at("12:30")), "later than the 12:30 you asked for"),
        (Remark(code="not whole afterwards"), "the dish is not whole after this"),
    ],
)
def test_remarks(remark: Remark, said: str) -> None:
    assert day.remark_phrase(remark) == said


def test_the_hour_of_a_shot_says_where_its_light_is_measured() -> None:
    slot = Slot(
        shot="pour", angle="three-quarter", starts=at("12:10"), set_by=at("12:25"), hero_in=at("12:30"),
        ends=at("12:40"), illuminance_lx=483.0, stops_under_best=0.0, good_light=True, irreversible=False, remarks=(),
    )  # fmt: skip
    assert day.hero_line(slot, DAY) == (
        "12:30–12:40 pour: the hero in, about 480 lx facing the camera, good light"
    )
    dark = replace(DAY, unlit="no window", assumed_lx=500.0)
    assert day.hero_line(slot, dark) == "12:30–12:40 pour: the hero in"
    assert day.unlit_sentences(dark).endswith("for an assumed 500 lx facing the camera.")
    plate = Plate(
        number=1, shots=("pour", "cup"), plated=at("12:30"), last_frame=at("12:50"), looks_until=at("13:10"),
        out_min=20.0, within_rule=True,
    )  # fmt: skip
    assert day.plate_phrase(plate) == (
        "Plate 1 for pour, cup: in at 12:30, last frame 12:50, looks fresh until 13:10, out 20 min"
    )
    task = Task(name="simmer", starts=at("10:00"), ends=at("10:20"), hands=False, why="pour")
    assert day.task_line(task) == "10:00–10:20 kitchen: simmer, for pour, hands-free"


def test_a_set_up_in_the_users_own_lengths(top: SetUp) -> None:
    metric, imperial = (" ".join(set_up.setup_lines(top, u)) for u in (METRIC, IMPERIAL))
    assert "facing the camera" in metric
    assert re.search(r"\d (mm|cm|m) above the surface", metric)
    # only what the trade has in millimetres everywhere stays so: the focal length
    assert set(re.findall(r"[\d.]+ (?:mm|cm|m)\b(?!/s)", imperial)) == {"35 mm"}
    names = [row.name for row in set_up.fact_rows(top, METRIC)]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("code", ["US", "AU", "NZ", "GB", "PT", "BR", ""])
def test_a_holding_rule_says_whose_minutes_it_goes_by(code: str) -> None:
    rule = rule_of(code)
    said = holding.holding_sentences(rule)
    hours = rule.discard_after_min / 60
    assert f"{hours:.0f} hours" in said or f"under {hours:.0f}" in said
    assert rule.own or "ask" in said


def test_every_caution_code_has_its_sentence_and_the_list_ends_with_whom_to_follow() -> None:
    shots = [
        Shot(name=m, moves=m, person=True)
        for m in ("silk pour", "frozen drops", "steam", "falling sugar", "hand")
    ]
    arm = next(s for s in LISBON.supports if s.kind == "arm")
    solved = solve(
        LISBON, Shot(name="top", lens="35"), (Channel(name="c", width_px=900, height_px=600),), LIGHT
    )
    codes = {c for shot in shots for c in setup_cautions(shot, arm, solved.rig, 1.8)}
    assert codes == set(cautions.SET_UP)
    assert set(day_cautions(shots)) == set(cautions.DAY)
    assert day_cautions(shots[:0]) == ("electricity", "sun and glass", "not food")
    lines = sheet.caution_lines(
        cautions_of([replace(shots[0], props=("holly",)), *shots[1:]], ["sweet peas"])
    )
    assert lines[-1] == "Follow local codes, makers' limits and licensed practice."
    assert len(lines) == len(cautions.DAY) + 2


def test_a_rig_defers_to_its_maker(top: SetUp) -> None:
    assert top.rig is not None
    over = replace(top.rig, over_load_limit=True, load_kg=1.2, load_limit_kg=1.0)
    assert any("maker's limit of 1.00 kg" in line for line in rig.rig_phrases(over, METRIC))
    assert "arithmetic, not approval" in cautions.SET_UP["rig"]


def test_refusals_say_what_is_allowed() -> None:
    assert "13:30" in refusals.no_time("noon")
    assert refusals.no_shot("nope", ["top", "cup"]) == "No shot is named 'nope'; the shots are top, cup."
    assert "one lamp" in refusals.no_daylight("top", at("03:00"), 0.0)


def test_facts_hold_no_sentences() -> None:
    """No field of a set-up's or a day's facts is called `words`: what is said is said in words/."""
    seen: set[type] = set()

    def fields(kind: type) -> None:
        if kind in seen or not hasattr(kind, "__dataclass_fields__"):
            return
        seen.add(kind)
        assert "words" not in kind.__dataclass_fields__, kind
        hints = get_type_hints(kind, vars(__import__(kind.__module__, fromlist=["_"])))
        for hint in hints.values():
            for part in (hint, *get_args(hint), *(x for a in get_args(hint) for x in get_args(a))):
                if isinstance(part, type):
                    fields(part)

    for kind in (SetUp, DayPlan, LightForShot):
        fields(kind)
    assert {Unmet, Way, Note, Remark} <= seen
