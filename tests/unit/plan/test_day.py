"""The day: hours in the good light, irreversible last, kitchen planned back, both clocks."""

import random
import re
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.files.settings.places import country_name
from plateside.model.errors import RefusedError
from plateside.model.shoot import Recipe, Shot, Step
from plateside.plan.clocks import minutes_of, rule_of
from plateside.plan.day import plan_day
from plateside.plan.day_plan import DayPlan, LightOfShot
from plateside.plan.kitchen import back_plan, split_steps
from plateside.words.plan.holding import body_phrase, holding_sentences

ZONE = ZoneInfo("Europe/Lisbon")
NINE, SIX = datetime(2027, 7, 15, 9, 0, tzinfo=ZONE), datetime(2027, 7, 15, 18, 0, tzinfo=ZONE)


def light(good_from: int = 9, good_to: int = 18, peak: int = 13) -> LightOfShot:
    """Light that is good between two hours and brightest at a third."""
    times = tuple(NINE + timedelta(minutes=5 * i) for i in range(109))
    hours = np.array([t.hour + t.minute / 60 for t in times])
    return LightOfShot(
        times, 1000.0 * 2.0 ** (-abs(hours - peak) / 2), (hours >= good_from) & (hours < good_to)
    )


def plan(shots: list[Shot], recipe: Recipe | None = None, **lights: LightOfShot) -> DayPlan:
    every = {s.name: lights.get(s.name, light()) for s in shots}
    return plan_day(shots, recipe or Recipe(title="soup"), every, rule_of("US"), NINE, SIX)


STEPS = (
    Step(name="soak", takes="PT2H", hands=False, looks_fresh_for="PT24H"),
    Step(name="blend", takes="PT15M"),
    Step(name="chill", takes="PT1H", hands=False),
    Step(name="crumbs", takes="PT8M", looks_fresh_for="PT40M"),
    Step(name="plate", takes="PT2M", looks_fresh_for="PT6M"),
)


def test_shots_lie_in_the_good_light_and_do_not_overlap() -> None:
    shots = [Shot(name=n, angle="overhead") for n in ("a", "b", "c")]
    day = plan(shots, a=light(11, 14), b=light(11, 14), c=light(11, 14))
    assert all(s.good_light for s in day.slots)
    for one, two in pairwise(day.slots):
        assert one.starts < one.hero_in < one.ends <= two.starts


def test_irreversible_shots_come_last_and_angles_keep_together() -> None:
    shots = [
        Shot(name="cut", angle="straight-on", irreversible=True),
        Shot(name="top-1", angle="overhead"),
        Shot(name="side", angle="three-quarter"),
        Shot(name="top-2", angle="overhead"),
        Shot(name="eaten", angle="overhead", irreversible=True),
    ]
    order = [s.shot for s in plan(shots).slots]
    assert order[-2:] == ["cut", "eaten"]
    assert abs(order.index("top-1") - order.index("top-2")) == 1


def test_a_shots_own_hours_are_kept() -> None:
    shots = [Shot(name="late", from_time="16:00"), Shot(name="early", to_time="10:00", angle="overhead")]
    slots = {s.shot: s for s in plan(shots).slots}
    assert slots["late"].hero_in.hour >= 16
    assert slots["early"].ends <= NINE.replace(hour=10)


def test_a_day_without_good_light_is_said() -> None:
    day = plan([Shot(name="a")], a=light(0, 0))
    assert not day.slots[0].good_light
    assert [r.code for r in day.slots[0].remarks] == ["light"]
    assert day.good_light == ()


def test_good_light_for_every_shot_is_the_common_part() -> None:
    day = plan([Shot(name="a"), Shot(name="b")], a=light(10, 14), b=light(12, 16))
    assert day.good_light == ((NINE.replace(hour=12), NINE.replace(hour=14)),)


def test_the_kitchen_ends_when_the_hero_goes_in() -> None:
    day = plan([Shot(name="a", minutes=30)], Recipe(title="soup", steps=STEPS))
    slot = day.slots[0]
    done = {t.name: t for t in day.kitchen}
    assert done["plate"].ends == slot.hero_in
    assert done["crumbs"].ends == done["plate"].starts
    # steps for the hands never overlap the setting up, and the order of the recipe is kept
    assert done["blend"].ends <= slot.starts
    assert done["soak"].ends <= done["blend"].starts
    assert done["blend"].ends <= done["chill"].starts
    # a step without hands may run beside the set-up, up to the finishing
    assert done["chill"].ends <= done["crumbs"].starts
    hands = sorted((t for t in day.kitchen if t.hands), key=lambda t: t.starts)
    for one, two in pairwise(hands):
        assert one.ends <= two.starts


def test_looks_that_run_out_are_made_again() -> None:
    shots = [Shot(name="a", minutes=20), Shot(name="b", minutes=20), Shot(name="c", minutes=60)]
    day = plan(shots, Recipe(title="soup", steps=STEPS))
    assert len(day.plates) == 3
    assert [t.why for t in day.kitchen if t.name == "plate"] == [s.shot for s in day.slots]
    for task in day.kitchen:
        if task.name != "plate" or task.looks_until is None:
            continue
        assert task.looks_until - task.ends == timedelta(minutes=6)
    # at every frame every look still holds
    for slot in day.slots:
        for name, fresh in (("crumbs", 40), ("plate", 6)):
            last = max(t.ends for t in day.kitchen if t.name == name and t.ends <= slot.hero_in)
            assert slot.hero_in - last <= timedelta(minutes=fresh)


def test_a_cut_is_made_for_its_own_shot_only() -> None:
    steps = (*STEPS[:4], Step(name="plate", takes="PT2M"), Step(name="cut", takes="PT3M", for_shot="slice"))
    shots = [Shot(name="whole"), Shot(name="slice", irreversible=True)]
    day = plan(shots, Recipe(title="tart", steps=steps))
    assert [t.why for t in day.kitchen if t.name == "cut"] == ["slice"]
    assert len(day.plates) == 1


def test_food_that_stands_out_too_long_is_told() -> None:
    steps = (Step(name="plate", takes="PT5M"),)
    shots = [Shot(name=n, minutes=110) for n in ("a", "b", "c")]
    day = plan(shots, Recipe(title="stew", steps=steps))
    assert any(not p.within_rule for p in day.plates)
    assert {n.count for n in day.notes if n.code == "over the limit"} == {
        p.number for p in day.plates if not p.within_rule
    }
    assert day.notes[-1].code == "holding"
    dry = plan(shots, Recipe(title="biscuits", steps=steps, perishable=False))
    assert all(p.within_rule for p in dry.plates)
    assert not any(n.code in ("over the limit", "holding") for n in dry.notes)


def test_an_early_start_is_told() -> None:
    steps = (Step(name="prove", takes="PT3H", hands=False), Step(name="bake", takes="PT40M", hands=False))
    day = plan([Shot(name="a", to_time="10:00")], Recipe(title="loaf", steps=steps))
    (early,) = [n for n in day.notes if n.code == "early"]
    assert (early.name, early.when) == ("prove", day.begins)
    assert day.begins is not None
    assert day.begins < NINE


def test_what_keeps_overnight_is_made_the_day_before_when_the_morning_is_short() -> None:
    shots = [Shot(name="a", from_time="11:30", to_time="12:00", minutes=20)]
    day = plan(shots, Recipe(title="soup", steps=STEPS))
    before = [t for t in day.kitchen if t.why == "the day before"]
    assert [t.name for t in before] == ["soak"]
    assert before[0].ends.date() == NINE.date() - timedelta(days=1)
    (said,) = [n for n in day.notes if n.code == "day before"]
    assert (said.names, said.when) == (("soak",), before[0].starts)
    assert day.begins is not None
    assert day.begins >= NINE
    # with time enough nothing is moved
    late = plan([Shot(name="a", from_time="15:00")], Recipe(title="soup", steps=STEPS))
    assert not any(t.why == "the day before" for t in late.kitchen)


def test_finishing_starts_with_the_first_short_look() -> None:
    ahead, finishing = split_steps(STEPS)
    assert [s.name for s in ahead] == ["soak", "blend", "chill"]
    assert [s.name for s in finishing] == ["crumbs", "plate"]


def test_all_hands_off_steps_may_run_into_the_finishing() -> None:
    steps = (Step(name="chill", takes="PT1H", hands=False),)
    tasks = back_plan(steps, NINE, NINE + timedelta(minutes=30))
    assert tasks[0].ends == NINE + timedelta(minutes=30)


@pytest.mark.parametrize(
    ("words", "minutes"),
    # ISO 8601 durations; W and D as in the standard
    [("PT25M", 25), ("PT1H30M", 90), ("P2D", 2880), ("P1W", 10080), ("PT0M20S", 1 / 3), ("P1DT2H", 1560)],
)
def test_durations(words: str, minutes: float) -> None:
    assert minutes_of(words) == pytest.approx(minutes)


@pytest.mark.parametrize("words", ["", "25", "P", "PT", "1H", "P1Y"])
def test_durations_that_are_none(words: str) -> None:
    with pytest.raises(RefusedError) as refused:
        minutes_of(words)
    assert refused.value.code == "no duration"


def test_holding_rules_are_each_countrys_own() -> None:
    # USDA Danger Zone: 2 h, 1 h above 90 F; Food Code 3-501.16: 57/5 C; FSANZ 2-hour/4-hour guide, 5-60 C;
    # Schedule 4 of the food hygiene regulations of England, Wales, Northern Ireland: 63/8 C, under 2 h hot, 4 h cold
    us, au, uk = rule_of("us"), rule_of("AU"), rule_of("GB")
    assert us.discard_after_min == 120
    assert (us.hot_holding_c, us.cold_holding_c) == (57.0, 5.0)
    assert "1 hour above 32" in holding_sentences(us)
    assert (au.country, au.warn_after_min, au.discard_after_min, au.hot_holding_c) == ("AU", 120, 240, 60.0)
    assert (uk.hot_holding_c, uk.cold_holding_c) == (63.0, 8.0)
    assert "Scotland" in holding_sentences(uk)
    assert uk.discard_after_min == 120
    assert rule_of("GB", hot=False).discard_after_min == 240
    for rule in (us, au, uk):
        assert rule.own


def test_new_zealand_is_not_told_australias_rule() -> None:
    # Food Standards Code, Standard 3.1.1: chapter 3 applies in Australia, not in New Zealand; there: Food Act 2014,
    # Ministry for Primary Industries; Ministry of Health, "Food safety": leftovers in the fridge within 2 hours
    rule = rule_of("NZ", name="New Zealand")
    assert rule.country == "NZ"
    assert "FSANZ" not in body_phrase(rule) + holding_sentences(rule)
    assert "3.2.2" not in holding_sentences(rule)
    assert "Food Act 2014" in holding_sentences(rule)
    assert "Ministry for Primary Industries" in holding_sentences(rule)
    assert rule.discard_after_min == 120  # not Australia's 240


@pytest.mark.parametrize("code", ["US", "AU", "NZ", "GB", "UK", "PT", "CH", "BR", "XX", ""])
def test_no_rule_rests_on_memory_and_each_names_its_document(code: str) -> None:
    for hot in (True, False):
        rule = rule_of(code, hot=hot, name=country_name(code))
        assert body_phrase(rule)
        assert "memory" not in holding_sentences(rule) + body_phrase(rule)


def test_elsewhere_it_is_guidance_that_says_so() -> None:
    for code in ("PT", "BR", "CH", ""):
        rule = rule_of(code, name=country_name(code))
        assert not rule.own
        assert "national food authority" in holding_sentences(rule)
        assert "As guidance only, from the United States" in holding_sentences(rule)
        assert "United States" in body_phrase(rule)  # whose minutes they are, wherever only the body is shown
        assert rule.hot_holding_c is None


def test_in_the_union_its_own_law_is_told_and_no_minutes_are_made_up_for_it() -> None:
    # Regulation (EC) No 852/2004, Annex II, chapter IX, point 5: cold chain, limited periods, no minutes
    told = holding_sentences(rule_of("pt", name="Portugal"))
    law, guidance = told.split(" As guidance only")
    assert "852/2004" in law
    assert "It names no minutes" in law
    assert not re.search(r"\d+ (minutes|min|hours?)", law)
    assert "2 hours" in guidance
    for code in ("NO", "CH", "BR", ""):
        assert "852/2004" not in holding_sentences(rule_of(code))


def test_the_country_is_called_by_its_name() -> None:
    # ISO 3166: BE is Belgium
    for code, name in (("BE", "Belgium"), ("CH", "Switzerland")):
        words = holding_sentences(rule_of(code, name=country_name(code)))
        assert f"of {name}" in words
        assert f" {code} " not in words
    assert country_name("pt") == "Portugal"
    assert (country_name(""), country_name("XX")) == ("", "XX")


def test_clocks_that_change_do_not_bend_the_day() -> None:
    # Lisbon puts its clocks forward on 28 March 2027 at 01:00 UTC
    from_, to = datetime(2027, 3, 28, 0, 0, tzinfo=ZONE), datetime(2027, 3, 28, 6, 0, tzinfo=ZONE)
    times = (from_, to)
    series = LightOfShot(times, np.array([100.0, 100.0]), np.array([True, True]))
    day = plan_day([Shot(name="a", minutes=60)], Recipe(title="x"), {"a": series}, rule_of("US"), from_, to)
    assert day.slots[0].ends > day.slots[0].starts


def busy_hands(day: DayPlan) -> list[tuple[datetime, datetime, str]]:
    """Every span of the day that needs the one pair of hands, in order."""
    spans = [(s.starts, s.set_by, f"set up {s.shot}") for s in day.slots]
    spans += [(s.hero_in, s.ends, f"hero {s.shot}") for s in day.slots]
    spans += [(t.starts, t.ends, f"{t.name} for {t.why}") for t in day.kitchen if t.hands]
    return sorted(spans)


def random_day(rng: random.Random) -> DayPlan:
    """A recipe, shots and light that somebody could have: mixed looks, hands, hours, clouds."""
    steps = [
        Step(
            name=f"step {i}",
            takes=f"PT{rng.choice((2, 5, 10, 25, 60, 120))}M",
            hands=rng.random() < 0.7,
            looks_fresh_for=rng.choice(("", "", "PT10M", "PT25M", "PT45M", "PT3H", "P1D")),
        )
        for i in range(rng.randint(1, 7))
    ]
    shots = [
        Shot(
            name=f"s{i}",
            angle=rng.choice(("overhead", "three-quarter", "straight-on")),
            minutes=rng.choice((5.0, 15.0, 30.0, 60.0)),
            irreversible=rng.random() < 0.2,
            from_time=rng.choice(("", "", "11:30", "14:00")),
            to_time=rng.choice(("", "", "13:00")),
        )
        for i in range(rng.randint(1, 4))
    ]
    steps += [
        Step(name=f"cut {s.name}", takes="PT5M", for_shot=s.name, looks_fresh_for=rng.choice(("", "PT10M")))
        for s in shots
        if rng.random() < 0.3
    ]
    times = tuple(NINE - timedelta(hours=4) + timedelta(minutes=5 * i) for i in range(200))
    lights = {}
    for shot in shots:
        good = np.zeros(200, dtype=bool)
        for _ in range(3):
            begins = rng.randrange(200)
            good[begins : begins + rng.randrange(4, 40)] = True
        lights[shot.name] = LightOfShot(times, np.array([rng.uniform(50, 1500) for _ in times]), good)
    return plan_day(shots, Recipe(title="x", steps=tuple(steps)), lights, rule_of("US"), NINE, SIX)


@pytest.mark.parametrize("seed", [*range(24, 42)])
def test_one_pair_of_hands_is_never_booked_twice(seed: int) -> None:
    """Law, over invented recipes and skies: what needs hands never overlaps. (Seed 26 did.)"""
    day = random_day(random.Random(seed))
    for (_, ends, first), (starts, _, second) in pairwise(busy_hands(day)):
        assert starts >= ends, (first, second)
    for slot in day.slots:
        assert slot.starts <= slot.set_by <= slot.hero_in <= slot.ends
        # what is finished for a shot is finished between its set-up and its hero
        assert all(
            slot.set_by <= t.starts and t.ends <= slot.hero_in for t in day.kitchen if t.why == slot.shot
        )


@pytest.mark.parametrize("looks_min", [9, 15, 20, 21, 30, 40, 60])
def test_a_plate_looks_right_to_the_last_frame_of_every_shot_it_stands_for(looks_min: int) -> None:
    # 20 minutes a shot: 8 of them are frames, which every plate here outlasts
    shots = [Shot(name=n, angle="overhead", minutes=20) for n in ("a", "b", "c", "d")]
    steps = (Step(name="plate", takes="PT5M", looks_fresh_for=f"PT{looks_min}M"),)
    day = plan(shots, Recipe(title="soup", steps=steps))
    assert sorted(n for p in day.plates for n in p.shots) == ["a", "b", "c", "d"]
    for plate in day.plates:
        assert plate.looks_until is not None
        assert plate.last_frame <= plate.looks_until
