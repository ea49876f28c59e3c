"""The set's screen from the journal: the same read at once or row by row; words short enough for large letters."""

from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from plateside.files.settings.write import Put, update_shoot
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.set.now import OnSet, set_now
from plateside.tasks.set.shot import go_on

CHANGE = {
    "code": "expose", "kind": "exposure", "stops": -1.0, "way": "highlights",
    "dial": {"name": "shutter", "now": 0.25, "to": 0.125},
}  # fmt: skip
ROWS: list[tuple[str, dict[str, object]]] = [
    ("shot current", {"shot": "three-bowls"}),
    ("frame landed", {"frame": "a" * 32, "name": "a.jpg"}),
    ("verdict", {"frame": "a" * 32, "word": "adjust", "act": "Darker.", "change": CHANGE, "confidence": 1}),
    ("kept", {"frame": "a" * 32}),
    ("undo", {"row": 4}),
    ("layer", {"shot": "three-bowls", "frame": "a" * 32}),
    ("shot current", {"shot": "one-bowl"}),
    ("frame landed", {"frame": "b" * 32, "name": "b.jpg"}),
    ("set card", {"frame": "b" * 32}),
    ("frame landed", {"frame": "c" * 32, "name": "c.jpg"}),
    ("again", {"frame": "c" * 32}),
]  # fmt: skip


@pytest.fixture
def root(tmp_path: Path) -> Path:
    copy_demo(tmp_path / "demo")
    return tmp_path / "demo"


def test_row_by_row_is_the_same_as_all_at_once(root: Path) -> None:
    on_set = OnSet(root)
    for kind, data in ROWS:
        Journal.open(root).append(kind, **data)
        one, other = on_set.now(), set_now(root)
        assert (one.frame, one.shots, one.current, one.undo, one.row) == (
            other.frame, other.shots, other.current, other.undo, other.row,
        )  # fmt: skip


def test_what_the_screen_speaks_of(root: Path) -> None:
    journal = Journal.open(root)
    for kind, data in ROWS[:3]:
        journal.append(kind, **data)
    now = set_now(root)
    assert now.frame is not None
    # said from the row's facts, whatever sentence stands in it
    assert (now.frame.word, now.frame.short_act) == ("adjust", "One stop darker: 1/4 s to 1/8 s")
    assert now.frame.act.startswith(f"{now.frame.short_act} (")
    assert (now.place, now.next_shot, now.left) == (1, "one-bowl", len(now.shots))
    journal.append("kept", frame="a" * 32)
    now = set_now(root)
    assert (now.undo, now.left) == ("Keep", len(now.shots) - 1)
    for kind, data in ROWS[6:9]:
        journal.append(kind, **data)
    # the set card's frame is of no shot: the new shot has none yet, and says what to mind
    now = set_now(root)
    assert now.frame is None
    assert now.caution
    journal.append("frame landed", frame="c" * 32, name="c.jpg")
    now = set_now(root)
    assert now.frame is not None
    assert (now.frame.id, now.frame.word) == ("c" * 32, "")


def test_next_shot_begins_after_the_shot_that_a_frame_was_filed_under(root: Path) -> None:
    assert set_now(root).next_shot == "three-bowls"
    journal = Journal.open(root)
    journal.append("frame landed", frame="a" * 32, name="a.jpg")
    journal.append("frame belongs", frame="a" * 32, shot="three-bowls", guess=True)
    journal.append("kept", frame="a" * 32)
    assert (set_now(root).current, set_now(root).next_shot) == ("", "one-bowl")


def test_a_hero_that_was_sent_back_leaves_its_shot_to_be_taken(root: Path) -> None:
    journal = Journal.open(root)
    journal.append("frame landed", frame="a" * 32, name="a.jpg")
    journal.append("frame belongs", frame="a" * 32, shot="pour", guess=False)
    before = set_now(root).left
    journal.append("select", shot="pour", frame="a" * 32)
    assert set_now(root).left == before - 1
    journal.append("again", frame="a" * 32)
    assert set_now(root).left == before


def test_a_shot_that_nobody_has_said_is_a_guess_until_somebody_does(root: Path) -> None:
    journal = Journal.open(root)
    journal.append("frame landed", frame="a" * 32, name="a.jpg")
    journal.append("frame belongs", frame="a" * 32, shot="pour", guess=True)
    frame = set_now(root).frame
    assert frame is not None
    assert (frame.shot, frame.guessed) == ("pour", True)
    journal.append("frame belongs", frame="a" * 32, shot="pour", guess=False)
    frame = set_now(root).frame
    assert frame is not None
    assert (frame.shot, frame.guessed) == ("pour", False)


def test_the_best_of_a_burst_is_told_by_its_place_and_her_choice_wins(root: Path) -> None:
    journal = Journal.open(root)
    frames = [letter * 32 for letter in "abcdef"]
    for frame in frames:
        journal.append("frame landed", frame=frame, name=f"{frame[0]}.jpg")
        journal.append("frame belongs", frame=frame, shot="pour", guess=False)

    def told() -> tuple[str, str]:
        frame = set_now(root).frame
        assert frame is not None
        return frame.burst, frame.burst_reason

    assert told() == ("", "")
    journal.append("burst", shot="pour", frames=frames[:5], best=frames[2], reason="Sharpest.")
    assert told() == ("", "")  # the sixth is not of it yet
    journal.append("burst", shot="pour", frames=frames, best=frames[2], reason="Sharpest.")
    assert told() == ("best of 6: 3rd", "Sharpest.")
    journal.append("best", frame=frames[5])
    assert told() == ("best of 6: 6th, this one", "")
    journal.append("undo", row=journal.last_number())
    assert told() == ("best of 6: 3rd", "Sharpest.")


def test_next_shot_follows_the_plan_once_a_day_is_planned(root: Path) -> None:
    """The demo's plan by its slots; the list in shoot.toml is turned round, so that the two differ."""
    opened = open_shoot(root)
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    first, *blocks = text.split("[[shots]]\n")
    last, rest = blocks[-1].split("[[channels]]", 1)
    turned = [last, *reversed(blocks[:-1])]
    (root / "shoot.toml").write_text(
        "[[shots]]\n".join([first, *turned]) + "[[channels]]" + rest, encoding="utf-8"
    )
    listed = [s.name for s in open_shoot(root).shoot.shots]
    assert listed == [s.name for s in reversed(opened.shoot.shots)]
    # no plan yet: the pour, after which the dish is not whole, is listed first and comes last all the same
    assert [s.name for s in set_now(root).shots] == [*listed[1:], "pour"]
    plan = plan_shoot(root, lux=900)
    hours = [s.shot for s in sorted(plan.day.slots, key=lambda s: s.hero_in)]
    journal = Journal.open(root)
    walked = []
    while name := set_now(root).next_shot:
        walked.append(name)
        journal.append("shot current", shot=name)
        journal.append("frame landed", frame=f"{len(walked)}" * 32, name=f"{len(walked)}.jpg", shot=name)
        journal.append("kept", frame=f"{len(walked)}" * 32)
    assert walked == hours
    assert walked[-1] == "pour"
    assert go_on(root).current == "pour"


def test_a_whole_shot_without_a_frame_is_told_at_the_cut(root: Path) -> None:
    Journal.open(root).append("shot current", shot="pour")
    now = set_now(root)
    assert "three-bowls" in now.caution
    assert now.next_shot != "pour"


def test_of_several_days_the_shots_of_the_first_come_first_and_the_others_say_theirs(root: Path) -> None:
    update_shoot(root / "shoot.toml", [Put(("shots", "three-bowls", "date"), "2027-07-17")])
    now = set_now(root)
    last = now.shots[-1]
    # 17 July 2027 is a Saturday (ISO 8601 calendar)
    assert (last.name, last.day, last.day_words) == ("three-bowls", "2027-07-17", "Saturday 17 July")
    assert {s.day_words for s in now.shots[:-1]} == {""}
    assert (now.left, now.left_of_day) == (len(now.shots), len(now.shots) - 1)


def test_where_the_verdict_asks_for_a_look(root: Path) -> None:
    """A place to enlarge goes with what is only looked at or probable, and with nothing that is sure."""
    asks = {
        "look at hero": (
            {"code": "look at hero", "kind": "focus", "at": [0.4, 0.6], "way": "soft"},
            (0.4, 0.6),
        ),
        "probable": ({"code": "shake", "kind": "shake", "probably": True, "at": [0.5, 0.3]}, (0.5, 0.3)),
        "sure": ({"code": "focus elsewhere", "kind": "focus", "at": [0.1, 0.1]}, None),
        "keep": ({"code": "keep"}, None),
    }
    journal = Journal.open(root)
    journal.append("shot current", shot="three-bowls")
    for n, (change, at) in enumerate(asks.values()):
        frame = f"{n}" * 32
        journal.append("frame landed", frame=frame, name=f"{n}.jpg")
        journal.append("verdict", frame=frame, word="good", act="", change=change, confidence=0.5)
        seen = set_now(root).frame
        assert seen is not None and seen.id == frame and seen.look_at == at
