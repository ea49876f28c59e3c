"""A chart in one raw makes the colours of the series: patches of known reflectance through published sensitivities."""

import json
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.files.cache import BuildRecord
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.one_decode import one_decode
from plateside.files.settings.load import open_shoot
from plateside.finish.chart import wanted_colours
from plateside.finish.chart_found import patches_at
from plateside.finish.ciede2000 import delta_e
from plateside.finish.develop import develop
from plateside.finish.hand import UNTOUCHED
from plateside.ground.srgb import to_lab, to_linear
from plateside.model.errors import InputError
from plateside.model.pixels import LinearPicture
from plateside.tasks.finish.chart_shown import read_chart
from plateside.tasks.finish.charts import mark_chart, marked_charts, profile_by
from plateside.tasks.finish.finished_list import finished_now
from plateside.tasks.finish.hand_preview import hand_preview
from plateside.tasks.finish.preview import make_plain_preview
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import plain_preview, profile_of
from plateside.tasks.set.press import press, take_back
from plateside.words.finish import finish_lines
from tests.shoots.re_lit import make_shoot, scene
from tests.synthetic import dng
from tests.synthetic.charts import LIGHTS, taken

WIDTH, HEIGHT = 720, 480


def charted(turn: float = 0.0, share: float = 0.5, shade: float = 0.0, gain: float = 1.0) -> np.ndarray:
    """Counts of a frame with a chart, turned [degrees], so much of its width; one side darker by `shade` stops."""
    patches = taken("D50") * gain
    # as a camera whose as-shot balance is right: the fourth grey gives NEUTRAL
    patches = patches / patches[21] * np.asarray(dng.NEUTRAL) * patches[21, 1]
    large = np.full((2 * HEIGHT, 2 * WIDTH, 3), 0.02)
    side = share * 2 * WIDTH / 5.9
    step = np.array([side, 0]), np.array([0, side])
    turned = cv2.getRotationMatrix2D((WIDTH, HEIGHT), turn, 1.0)
    for n, colour in enumerate(patches):
        y, x = divmod(n, 6)
        first = np.array([WIDTH, HEIGHT]) + (x - 2.95) * step[0] + (y - 1.95) * step[1]
        corners = first + 0.9 * side * np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
        corners = corners @ turned[:, :2].T + turned[:, 2]
        darker = colour * 2.0 ** (-shade * x / 5)
        cv2.fillConvexPoly(large, np.rint(corners).astype(np.int32), [float(v) for v in darker])
    camera = cv2.resize(large, (WIDTH, HEIGHT), interpolation=cv2.INTER_AREA)
    level = np.empty(camera.shape[:2])
    for (y, x), colour in {(0, 0): 0, (0, 1): 1, (1, 0): 1, (1, 1): 2}.items():
        level[y::2, x::2] = camera[y::2, x::2, colour]
    return np.clip(np.round(dng.BLACK + level * (dng.WHITE - dng.BLACK)), 0, dng.WHITE).astype(np.uint16)


Make = Callable[..., Path]


@pytest.fixture
def shoot(tmp_path: Path) -> Make:
    def make(**how: float) -> Path:
        root = make_shoot(tmp_path / "shoot", shots=())
        path = root / "frames" / "chart.dng"
        counts = charted(**how)
        dng.write_dng(path, np.zeros((*counts.shape, 3)), preview=False, counts=counts)
        frame = content_hash(path)
        rows = [
            ("frame landed", {"frame": frame, "name": path.name}),
            ("select", {"shot": "cup", "frame": frame}),
        ]
        Journal.open(root).append_many(rows)
        return root

    return make


def marked(root: Path, corners: tuple[float, ...] | None = None, name: str = "chart.dng") -> None:
    with one_decode() as raws:
        mark_chart(open_shoot(root), name, corners, raws)  # type: ignore[arg-type]


@pytest.mark.parametrize(("turn", "share"), [(0.0, 0.5), (7.0, 0.55), (-14.0, 0.4), (180.0, 0.5)])
def test_a_chart_is_found_and_its_patches_come_out_as_they_are(
    shoot: Make, turn: float, share: float
) -> None:
    root = shoot(turn=turn, share=share)
    marked(root)
    (corners,) = read_state(root).charts.values()
    angle = np.degrees(np.arctan2((corners[3] - corners[1]) * HEIGHT, (corners[2] - corners[0]) * WIDTH))
    assert abs((angle + turn + 180) % 360 - 180) < 2
    assert np.hypot((corners[3] - corners[1]) * HEIGHT, (corners[2] - corners[0]) * WIDTH) == pytest.approx(
        share * WIDTH, rel=0.06
    )


def test_corners_given_the_wrong_way_round_are_turned(shoot: Make) -> None:
    root = shoot()
    marked(root)
    (found,) = read_state(root).charts.values()
    marked(root, (*found[4:], *found[:4]))
    assert tuple(read_state(root).charts.values()) == (found,)


def test_the_series_is_made_by_it_and_says_so_until_it_is_taken_back(shoot: Make) -> None:
    root = shoot()
    before = finish(root).finished[0]
    assert before.chart == ""
    done = finish(root, chart=("chart.dng", None)).finished[0]
    assert (done.chart, done.sha256 != before.sha256) == ("chart.dng", True)
    assert 0 < done.chart_delta_e <= 1.0
    assert done.rendering is not None
    assert done.rendering.profile is not None
    rows = json.loads((root / "finished" / "adjustments.json").read_text(encoding="utf-8"))["pictures"]
    assert any("chart.dng" in line for line in rows[0]["adjustments"][2:])
    assert finished_now(open_shoot(root).folder, read_state(root))["cup"].one.adjustments.chart == "chart.dng"
    assert hand_preview(root, "cup", UNTOUCHED).jpeg[:2] == b"\xff\xd8"
    assert finish(root).written == 0
    again = finish(root, chart=("none", None)).finished[0]
    assert (again.chart, again.sha256) == ("", before.sha256)


def test_the_profile_is_nearer_to_the_patches_than_the_cameras_matrix(shoot: Make) -> None:
    root = shoot()
    marked(root)
    opened = open_shoot(root)
    (chart,) = marked_charts(opened, read_state(root))
    record = BuildRecord(root / ".plateside" / "chart-test.json")
    with one_decode() as raws:
        picture = raws.small(chart.path)
        profile = profile_by(chart, raws, record)
        assert profile is not None
        assert profile_by(chart, raws, record) == profile  # from the record
        wanted = wanted_colours(LIGHTS["D50"])
        apart = []
        for by in (None, profile):
            colours = patches_at(LinearPicture(develop(picture, None, by)), chart.corners)
            colours = colours * (wanted[21, 1] / colours[21, 1])
            apart.append(delta_e(to_lab(colours), to_lab(wanted)).mean())
    assert apart[1] < 1.0
    assert apart[1] < apart[0]


def test_the_picture_before_is_made_by_the_same_chart_as_the_master(shoot: Make) -> None:
    """The picture that the series is matched to has nothing else done to it: both are one, patch by patch.

    CIEDE2000 at most 0.5 in the mean of the patches and 1.5 at worst (common practice, no source: half of what is seen
    side by side; in the darkest patches one code of the JPEG's 255 in one channel is already up to 1).
    """
    root = shoot()
    made = dict[str, tuple[Path, np.ndarray]]()
    for chart in ("none", "chart.dng"):
        done = finish(root, chart=(chart, None) if chart != "none" else None).finished[0]
        profile = profile_of(root, done.frame_id)
        assert (profile is not None) == (chart != "none")
        make_plain_preview(root, done.frame_id, "full")
        path = plain_preview(root, done.frame_id, "full", profile)
        before = np.asarray(Image.open(path), np.float32) / 255
        master = np.asarray(tifffile.imread(root / "finished" / done.file), np.float32) / 65535
        corners = (
            next(iter(read_state(root).charts.values()), None) or read_chart(root, "chart.dng", None).corners
        )
        one, two = (to_lab(patches_at(LinearPicture(to_linear(p)), corners)) for p in (before, master))
        apart = delta_e(one, two)
        assert apart.mean() < 0.5
        assert apart.max() < 1.5
        made[chart] = path, two
    (without, plain), (_, by_chart) = made["none"], made["chart.dng"]
    assert delta_e(plain, by_chart).mean() > 0.5  # or nothing was shown
    assert not without.exists()


@pytest.mark.parametrize(
    ("how", "corners", "name"),
    [
        ({"gain": 1.9}, None, "chart.dng"),
        ({"shade": 0.6}, None, "chart.dng"),
        ({}, (0.0, 0.0, 0.2, 0.0, 0.2, 0.2, 0.0, 0.2), "chart.dng"),
        ({}, (0.9, 0.9, 1.4, 0.9, 1.4, 1.4, 0.9, 1.4), "chart.dng"),
        ({"share": 0.05}, None, "chart.dng"),
        ({}, None, "no such.dng"),
    ],
)
def test_what_is_no_proof_is_refused_and_nothing_is_written(
    shoot: Make, how: dict[str, float], corners: tuple[float, ...] | None, name: str
) -> None:
    root = shoot(**how)
    before = read_state(root).last_row
    with pytest.raises(InputError):
        marked(root, corners, name)
    assert read_state(root).last_row == before


def test_a_page_reads_a_chart_without_writing_and_a_press_uses_it_or_takes_it_away(shoot: Make) -> None:
    root = shoot()
    before = read_state(root)
    found = read_chart(root, "chart.dng", None)
    assert read_state(root).last_row == before.last_row
    again = read_chart(root, found.frame, found.corners)
    assert again.corners == found.corners
    assert 0 < again.mean_delta_e <= again.worst_delta_e
    with pytest.raises(InputError):
        read_chart(root, found.frame, (0.0, 0.0, 0.1, 0.0, 0.1, 0.1, 0.0, 0.1))
    corners = [round(v, 6) for v in found.corners]
    press(root, "colour chart", {"frame": found.frame, "corners": corners}, before.last_row)
    assert read_state(root).charts[found.frame] == tuple(corners)
    take_back(root, read_state(root).last_row)
    assert found.frame not in read_state(root).charts
    press(root, "colour chart", {"frame": found.frame, "corners": corners}, read_state(root).last_row)
    press(root, "colour chart", {"frame": found.frame, "corners": []}, read_state(root).last_row)
    assert found.frame not in read_state(root).charts


@pytest.mark.parametrize(
    "corners", [[0.1] * 7, [0.1] * 7 + ["1"], [0.1] * 7 + [9.0], "none", [float("nan")] * 8]
)
def test_what_are_no_four_corners_is_refused(shoot: Make, corners: object) -> None:
    root = shoot()
    state = read_state(root)
    frame = next(f for f, name in state.landed.items() if name == "chart.dng")
    with pytest.raises(InputError):
        press(root, "colour chart", {"frame": frame, "corners": corners}, state.last_row)


def test_a_chart_in_a_frame_that_no_run_has_seen_counts_and_is_said(tmp_path: Path) -> None:
    """On a shoot just copied off the memory card, and with its file name's mistakes answered by the nearest."""
    root = make_shoot(tmp_path / "new", shots=())
    counts = charted()
    dng.write_dng(
        root / "frames" / "CHART.dng", np.zeros((*counts.shape, 3)), preview=False, counts=counts,
        taken="2027:05:01 11:00:00",
    )  # fmt: skip
    dng.write_dng(root / "frames" / "IMG_1.dng", scene(), seed=1, taken="2027:05:01 11:05:00")
    with pytest.raises(
        InputError, match=r"There is no frame CHRT\.dng in the frames folder\. Nearest names: CHART"
    ):
        finish(root, chart=("CHRT.dng", None))
    report = finish(root, chart=("CHART.dng", None))
    # what was taken for its chart is never the shot's picture
    assert {one.frame for one in report.finished} == {"IMG_1.dng"}
    assert all(one.chart == "CHART.dng" for one in report.finished)
    (said,) = [
        line for line in finish_lines(report, report.folder) if line.startswith("Colours by the chart")
    ]
    assert said.startswith("Colours by the chart in CHART.dng: ") and said.endswith("(cup)")
