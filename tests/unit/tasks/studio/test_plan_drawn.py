"""What is dragged is drawn where it is for now, and only what can be dragged is."""

from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.model.errors import InputError
from plateside.tasks.studio.plan_drawn import Moved, drawn_plan
from tests.unit.drawing.reading import things


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("studio")
    copy_demo(found)
    return found


def test_what_is_dragged_is_drawn_where_it_is_for_now(root: Path) -> None:
    before = (root / "studio.toml").read_bytes()
    moved = Moved(("spots", 0), {"from_left_m": 1.23})
    assert "1.23 m" in things(drawn_plan(root, 900, 700, moved=[moved]))['["spots",0]']
    wider = Moved(("room",), {"width_m": 5.5})
    assert "5.5 m" in things(drawn_plan(root, 900, 700, moved=[wider]))['["room","width_m"]']
    turned = Moved(("windows", 0, "opposite", 0), {"bearing_from_deg": 300, "bearing_to_deg": 20})
    assert "300" in things(drawn_plan(root, 900, 700, moved=[turned]))['["windows",0,"opposite",0]']
    # several on their way: a thing moved twice stands where it was moved to last
    again = Moved(("spots", 0), {"from_left_m": 1.31})
    both = things(drawn_plan(root, 900, 700, moved=[moved, wider, again]))
    assert "1.31 m" in both['["spots",0]'] and "5.5 m" in both['["room","width_m"]']
    board = Moved((0,), {"side": "far", "distance_m": 0.77})
    found = things(drawn_plan(root, 900, 700, chosen=("spots", 0), shot="bowl-at-an-angle", placed=[board]))
    assert "0.77 m" in found['["placed",0]']
    assert (root / "studio.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("at", "values"),
    [
        (("spots", 9), {"from_left_m": 1}), (("spots", -1), {"from_left_m": 1}), (("spots", 0), {"from_left_m": -1}),
        (("spots", 0), {"from_left_m": "1"}), (("spots", 0), {"height_m": 1}), (("room",), {"width_m": 0}),
        (("room",), {"width_m": True}), (("lenses", 0), {"mass_kg": 1}), ((), {}), (("windows", 0, "opposite", 7), {}),
    ],
)  # fmt: skip
def test_what_cannot_be_dragged_is_refused(
    root: Path, at: tuple[str | int, ...], values: dict[str, object]
) -> None:
    with pytest.raises(InputError):
        drawn_plan(root, 900, 700, moved=[Moved(at, values)])


def test_other_refusals(root: Path) -> None:
    with pytest.raises(InputError):
        drawn_plan(root, 10, 700)
    for placed in (
        Moved((7,), {}),
        Moved(("x",), {}),
        Moved((0,), {"side": "above"}),
        Moved((0,), {"board": "black"}),
    ):
        with pytest.raises(InputError):
            drawn_plan(root, 900, 700, chosen=("spots", 0), shot="bowl-at-an-angle", placed=[placed])
    # a shot that is not there, and a plan that is one all the same
    assert '["placed",0]' not in things(drawn_plan(root, 900, 700, chosen=("spots", 0), shot="none"))
