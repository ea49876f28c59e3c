"""Who may be connected: strangers apart from those that are known, each with places of their own; no time for ever.

All by the rule that guard/door.py states; the clock is the test's own.
"""

import random

from plateside.web.guard.door import Door, Guest, Limits, limits_for

FEW = Limits(in_all=12, strangers=6, per_address=3, per_known=4)


class Hall:
    """A door, its clock, and who was sent out."""

    def __init__(self, limits: Limits = FEW) -> None:
        self.now = 0.0
        self.door = Door(limits, lambda: self.now)
        self.out: list[str] = []

    def come(self, name: str, address: str = "10.0.0.9") -> Guest:
        self.now += 0.001
        return self.door.come(address, lambda: self.out.append(name))


def test_an_address_has_few_places_and_the_newest_stranger_gets_in() -> None:
    hall = Hall()
    guests = [hall.come(f"s{n}") for n in range(10)]
    assert list(hall.door) == guests[-3:]
    assert hall.out == [f"s{n}" for n in range(7)]


def test_who_says_who_it_is_keeps_its_place_behind_the_same_address() -> None:
    hall = Hall()
    tablet = hall.come("tablet")
    tablet.meet("device 1")
    for n in range(1100):
        hall.come(f"s{n}")
    again = hall.come("again")
    again.meet("device 1")
    assert {tablet, again} <= set(hall.door)
    assert len(hall.door) == 2 + 2, (
        "the two, and two strangers: the third place was the one that said who it is"
    )


def test_many_addresses_have_together_no_more_than_the_strangers_places() -> None:
    hall = Hall()
    for n in range(100):
        hall.come(f"s{n}", f"10.0.{n}.1")
    assert len(hall.door) == 6
    lone = hall.come("lone", "10.1.1.1")
    for n in range(3):
        hall.come(f"many{n}", "10.2.2.2")
    assert lone in set(hall.door), "the address with most goes first"


def test_a_known_one_replaces_its_own_idle_connections_and_nobody_elses() -> None:
    hall = Hall()
    other = hall.come("other")
    other.meet("device 2")
    stream = hall.come("stream")
    stream.meet("device 1")
    stream.busy = True
    for n in range(6):
        hall.come(f"own{n}").meet("device 1")
    assert {other, stream} <= set(hall.door)
    assert hall.out == ["own0", "own1", "own2"]


def test_whatever_comes_the_numbers_hold() -> None:
    rng = random.Random(14)
    hall = Hall()
    for n in range(3000):
        guest = hall.come(f"{n}", f"10.0.0.{rng.randrange(8)}")
        guest.busy = rng.random() < 0.5
        if rng.random() < 0.4:
            guest.meet(f"device {rng.randrange(5)}")
        if rng.random() < 0.1:
            hall.door.gone(guest)
        everyone = list(hall.door)
        assert len(everyone) <= FEW.in_all
        assert len(hall.door.strangers()) <= FEW.strangers
        for k in range(8):
            assert len(hall.door.strangers(f"10.0.0.{k}")) <= FEW.per_address
        for k in range(5):
            assert sum(g.who == f"device {k}" for g in everyone) <= FEW.per_known


def test_time_runs_on_for_the_same_head_and_anew_for_the_next() -> None:
    hall = Hall()
    guest = hall.come("slow")
    guest.meet("device 1")
    hall.now = 9.0
    guest.waits("head", None, hall.now)
    hall.door.sweep()
    assert hall.out == [], "drops of the same head"
    hall.now = 10.5
    hall.door.sweep()
    assert hall.out == ["slow"]
    keen = hall.come("keen")
    keen.meet("device 1")
    for request in range(20):
        hall.now += 6
        keen.waits("head", request, hall.now)
        hall.door.sweep()
    assert hall.out == ["slow"]


def test_what_is_not_read_or_never_ends_is_let_go_and_a_stream_is_not() -> None:
    hall = Hall()
    names = ("stream", "unread", "ending")
    stream, unread, ending = (hall.come(name) for name in names)
    for guest in (stream, unread, ending):
        guest.meet("desk")
        guest.busy = True
        guest.waits("", 1, hall.now)
    unread.unread_since = ending.ending_since = hall.now
    hall.now += 24 * 3600
    hall.door.sweep()
    assert sorted(hall.out) == ["ending", "unread"]


def test_both_listeners_together_stay_below_what_the_system_allows() -> None:
    for allowed in (256, 1024, 4096, 1_000_000):
        desk, tablets = limits_for(allowed)
        for limits in (desk, tablets):
            assert 0 < limits.per_address <= limits.strangers < limits.in_all
            assert limits.per_known + limits.strangers <= limits.in_all
        assert 2 * (desk.in_all + tablets.in_all) < allowed
        assert desk.in_all > tablets.in_all
