"""What readings and the sun teach, as the Studio page waits for it: the commands' own answers, and nothing written."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from plateside.demo.data import copy_demo
from plateside.files.settings.load import load_studio
from plateside.files.settings.write import Put
from plateside.model.errors import Cancelled, InputError
from plateside.model.progress import silent
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.meter import find_bearing, fit_to_readings, keep_reading
from plateside.tasks.light.moment_and_day import light_at_moment
from plateside.tasks.report import as_json
from plateside.tasks.studio.edit import change_settings, read_settings
from plateside.web.work.studio import WORK
from tests.synthetic.dng import write_dng


def test_the_pages_fit_is_the_commands(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    args = {"root": str(tmp_path), "today": "2027-07-16"}
    with pytest.raises(InputError, match="too few readings: fewest 3"):
        WORK["fit"](args, lambda _done, _total: None)
    for hour in (10, 13):
        at = f"2027-07-15T{hour}:00"
        truth = light_at_moment(Asked(tmp_path, sky="overcast"), at).light.horizontal_lx.value * 0.6
        keep_reading(tmp_path, "", at, truth, "overcast")
    before = (tmp_path / "studio.toml").read_bytes()
    steps: list[tuple[int, int]] = []

    def say(done: int, total: int) -> None:
        steps.append((done, total))

    found = WORK["fit"](args, say)
    assert (tmp_path / "studio.toml").read_bytes() == before
    assert steps[-1][0] == steps[-1][1] > 1
    assert not any("file" in line for line in found["lines"])
    command = fit_to_readings(tmp_path, date(2027, 7, 16)).found
    assert found["fit"] == as_json(command.fit)
    # kept from the page, it is what the command writes
    (tmp_path / "studio.toml").write_bytes(before)
    change_settings(
        tmp_path, "studio", [Put(("fit",), found["fit"])], read_settings(tmp_path, "studio").version
    )
    assert load_studio(tmp_path).fit == command.fit

    def stop(done: int, total: int) -> None:
        raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        WORK["fit"](args, stop)


def test_the_pages_bearing_is_the_commands(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    before = (tmp_path / "studio.toml").read_bytes()
    notes = [["2027-07-15T11:24", "right"], ["2027-07-16T11:25", "right"]]
    args = {"root": str(tmp_path), "window": "kitchen window", "notes": notes}
    found = WORK["bearing"](args, silent)
    command = find_bearing(tmp_path, "kitchen window", notes, keep=False).found
    assert found["bearing_deg"] == pytest.approx(command.bearing_deg, abs=0.05)
    assert found["change_deg"] == command.change_deg
    assert len(found["lines"]) == 3
    assert (tmp_path / "studio.toml").read_bytes() == before
    with pytest.raises(InputError, match="sun was down"):
        WORK["bearing"]({**args, "notes": [["2027-07-15T02:00", "left"]]}, silent)


def test_a_card_is_read_from_the_shoots_own_raws_only(tmp_path: Path) -> None:
    """515.5 lx by hand from ISO 12232, as in tests/unit/tasks/light/test_light.py."""
    copy_demo(tmp_path)
    frames = tmp_path / "frames"
    (frames / "card two").mkdir(parents=True)
    level = np.full((64, 96, 3), 10 / 78, np.float32)
    write_dng(frames / "card two" / "a.dng", level, taken="2027:07:15 13:30:00")
    (frames / "b.jpg").write_bytes(b"\xff\xd8")
    (tmp_path / "outside.dng").write_bytes((frames / "card two" / "a.dng").read_bytes())
    args = {"root": str(tmp_path), "patch": [0.4, 0.4, 0.2, 0.2], "reflectance": 0.18}
    assert WORK["card_frames"](args, silent)["frames"] == ["card two/a.dng"]
    found = WORK["card"]({**args, "frame": "card two/a.dng"}, silent)
    assert found["illuminance_lx"] == pytest.approx(515.5, rel=0.01)
    assert (found["at"], found["evidence"]) == ("2027-07-15T13:30", "a.dng")
    # twice the share of light given back is half the light
    grey = WORK["card"]({**args, "frame": "card two/a.dng", "reflectance": 0.36}, silent)
    assert grey["illuminance_lx"] == pytest.approx(found["illuminance_lx"] / 2, rel=1e-3)
    for name in ("../outside.dng", "b.jpg", str(tmp_path / "outside.dng"), ""):
        with pytest.raises(InputError, match="There is no raw"):
            WORK["card"]({**args, "frame": name}, silent)
