"""watch: the newest frame first, one bad file among good ones, a raw that joins its JPEG, HEIC."""

import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.cli.main import main
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state, replay
from plateside.model.frame import Frame
from plateside.tasks.set import judging, watch_run
from plateside.tasks.set.events import Event
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.judging import Judge
from plateside.tasks.set.now import set_now
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import SHOOT, shoot_folder, taken
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient

HEIC = Path(__file__).resolve().parents[3] / "heic"


def small(root: Path, name: str, n: int) -> None:
    """A small frame of the n-th minute."""
    Image.fromarray(gradient(200 + n, 150)).save(root / "frames" / name, quality=90, exif=taken(n))


def run(root: Path, say: Callable[[Event], None] = lambda told: None) -> list[Event]:
    now = [0.0]
    told: list[Event] = []

    def step(seconds: float) -> None:
        now[0] += max(seconds, 0.3)

    def both(one: Event) -> None:
        told.append(one)
        say(one)

    watch(root, both, once=True, clock=lambda: now[0], sleep=step)
    return told


def of_kind(told: list[Event], kind: str) -> list[str]:
    return [t.name for t in told if t.kind == kind]


def test_the_newest_goes_first_then_the_order_of_landing(tmp_path: Path) -> None:
    root = shoot_folder(tmp_path / "shoot")
    for n in range(5):
        small(root, f"{n}.jpg", n)

    told: list[Event] = []

    def say(one: Event) -> None:
        told.append(one)
        # she takes another while the first of them are judged
        if one.kind == "verdict" and one.name == "0.jpg":
            small(root, "9.jpg", 9)

    # a clock that runs while frames are judged, so that the new file may count as still
    ticks = iter(range(10**6))
    watch(root, say, once=True, clock=lambda: next(ticks) * 0.3, sleep=lambda _s: None)
    assert of_kind(told, "landed") == ["0.jpg", "1.jpg", "2.jpg", "3.jpg", "4.jpg", "9.jpg"]
    verdicts = of_kind(told, "verdict")
    assert verdicts[:2] == ["4.jpg", "0.jpg"]
    assert 1 < verdicts.index("9.jpg") < 5
    assert [v for v in verdicts[1:] if v != "9.jpg"] == ["0.jpg", "1.jpg", "2.jpg", "3.jpg"]


def test_one_bad_file_among_good_ones(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = shoot_folder(tmp_path / "shoot")
    frames = root / "frames"
    small(root, "1.jpg", 1)
    small(root, "2.jpg", 2)
    small(root, "3.jpg", 3)
    (frames / "short.dng").write_bytes(b"II*")
    (frames / "clip.mov").write_bytes(b"moving")
    with open(bytes(frames) + b"/caf\xe9.jpg", "wb") as file:  # noqa: PTH123 - a name of bytes
        file.write((frames / "1.jpg").read_bytes() + b"x")
    plain = Judge.judged

    def fails(self: Judge, frame: Frame, state: ShootState, *more: object) -> object:
        if frame.name == "2.jpg":
            raise ZeroDivisionError("what nobody thought of")
        return plain(self, frame, state, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(Judge, "judged", fails)
    told = run(root)
    assert sorted(of_kind(told, "verdict")) == ["1.jpg", "3.jpg"]
    codes = {name: row["code"] for name, row in read_state(root).aside.items()}
    assert codes == {
        "2.jpg": "unjudged",
        "short.dng": "incomplete",
        "clip.mov": "other kind",
        "caf\\xe9.jpg": "name",
    }
    assert sorted(of_kind(told, "refused")) == sorted(codes)
    # on the page as well, and the screen speaks of a frame that can be judged
    screen = set_now(root)
    assert (screen.not_used_count, {f.name for f in screen.not_used}) == (4, set(codes))
    assert screen.frame is not None and screen.frame.name == "3.jpg"
    # said once: neither a restart nor judge says or writes it again
    before = len(Journal.open(root).rows())
    assert run(root) == []
    judge_frames(root)
    assert [r.kind for r in Journal.open(root).rows()[before:] if r.kind.startswith("file")] == []
    monkeypatch.setattr(Judge, "judged", plain)
    # when the file changes it is tried again, and the fact is forgotten
    small(root, "2.jpg", 22)
    (frames / "clip.mov").unlink()
    assert of_kind(run(root), "verdict") == ["2.jpg"]
    assert set(read_state(root).aside) == {"short.dng", "caf\\xe9.jpg"}


def test_judge_writes_down_once_what_it_cannot_use(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = shoot_folder(tmp_path / "shoot")
    small(root, "1.jpg", 1)
    (root / "frames" / "page.pdf").write_bytes(b"%PDF-1.7")
    with open(bytes(root / "frames") + b"/caf\xe9\x1b[2J.jpg", "wb") as file:  # noqa: PTH123 - a name of bytes
        file.write(b"x")
    assert main(["judge", "--shoot", str(root)]) == 0
    said = capsys.readouterr().out
    assert "page.pdf" in said and "\x1b" not in said
    judge_frames(root)
    rows = [r.data["name"] for r in Journal.open(root).rows() if r.kind == "file set aside"]
    assert sorted(rows) == ["caf\\xe9\\x1b[2J.jpg", "page.pdf"]


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_a_terminal_that_knows_few_characters(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, more: list[str]
) -> None:
    root = shoot_folder(tmp_path / "shoot")
    (root / "frames" / "sopa ü 汤.mov").write_bytes(b"moving")
    out = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(out, encoding="ascii", write_through=True))
    assert main(["judge", "--shoot", str(root), *more]) == 0
    said = out.getvalue()
    assert "sopa ü 汤.mov" in said.decode("utf-8") if more else b"sopa \\xfc \\u6c64.mov" in said


def test_a_raw_joins_its_jpeg_and_keeps_what_was_decided(tmp_path: Path) -> None:
    root = shoot_folder(tmp_path / "shoot")
    small(root, "a.jpg", 1)
    run(root)
    (jpeg,) = read_state(root).landed
    Journal.open(root).append_many(
        [
            ("kept", {"frame": jpeg}),
            ("test frame", {"shot": "bowl", "frame": jpeg}),
            ("select", {"shot": "bowl", "frame": jpeg}),
        ]
    )
    small(root, "b.jpg", 2)
    run(root)
    write_dng(root / "frames" / "a.dng", np.full((64, 96, 3), 0.2, np.float32), taken="2027:07:15 13:01:00")
    told = run(root)
    assert of_kind(told, "verdict") == ["a.dng"]
    state = read_state(root)
    raw = next(iter(state.landed))
    assert list(state.landed.values()) == ["a.dng", "b.jpg"]
    assert len(state.verdicts) == 2
    assert (state.references["bowl"], state.heroes["bowl"], state.kept) == (raw, raw, {raw})
    # a press of a page that still knows the JPEG counts for the raw
    Journal.open(root).append("again", frame=jpeg)
    assert read_state(root).again == {raw}
    # the same when the raw came while nobody watched, and judge finds it first
    write_dng(root / "frames" / "b.dng", np.full((64, 96, 3), 0.3, np.float32), taken="2027:07:15 13:02:00")
    judge_frames(root)
    assert list(read_state(root).landed.values()) == ["a.dng", "b.dng"]


def test_what_a_replaced_frame_was_part_of() -> None:
    rows = [
        ("frame landed", {"frame": "j1", "name": "1.jpg"}), ("frame landed", {"frame": "j2", "name": "2.jpg"}),
        ("frame belongs", {"frame": "j1", "shot": "bowl", "guess": True}), ("layer", {"shot": "bowl", "frame": "j1"}),
        ("burst", {"shot": "bowl", "frames": ["j1", "j2"], "best": "j1", "reason": ""}), ("best", {"frame": "j1"}),
        ("grey card", {"shot": "bowl", "frame": "j1", "box": [0, 0, 1, 1]}),
        ("verdict", {"frame": "j1", "word": "good"}),
        ("frame landed", {"frame": "r1", "name": "1.dng", "replaces": "j1"}),
    ]  # fmt: skip
    from datetime import UTC, datetime

    from plateside.files.journal.rows import Row

    state = replay([Row(n, datetime.now(UTC), kind, data) for n, (kind, data) in enumerate(rows, 1)])  # type: ignore[arg-type]
    assert state.landed == {"r1": "1.dng", "j2": "2.jpg"}
    assert (state.guessed, state.layers, state.bests) == ({"r1"}, {"bowl": ["r1"]}, ["r1"])
    assert state.bursts["r1"]["frames"] == ["r1", "j2"] and state.bursts["r1"]["best"] == "r1"
    assert state.grey_cards["bowl"][0] == "r1"
    assert state.verdicts == {}


def four_frames_of_two_shots(tmp_path: Path) -> Path:
    """On the first shot: frames 201 to 204 pixels wide."""
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(SHOOT + SHOOT[SHOOT.index("[[shots]]") :].replace('"bowl"', '"pour"'))
    Journal.open(root).append("shot current", shot="bowl")
    for n in range(1, 5):
        small(root, f"{n}.jpg", n)
    return root


def test_a_card_in_a_batch_moves_on_in_the_order_of_landing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = four_frames_of_two_shots(tmp_path)
    # the second is 202 pixels wide: that is the card here
    monkeypatch.setattr(watch_run, "is_card_back", lambda picture: picture.shape[1] == 202)
    run(root)
    state = read_state(root)
    of = {state.landed[frame]: shot for frame, shot in state.shot_of.items()}
    assert of == {"1.jpg": "bowl", "3.jpg": "pour", "4.jpg": "pour"}
    assert state.current_shot == "pour"
    assert [state.landed[f] for f in state.cards] == ["2.jpg"]
    assert {state.landed[f]: v["shot"] for f, v in state.verdicts.items()} == of


def test_a_chart_after_the_cards_back_is_no_dish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = four_frames_of_two_shots(tmp_path)
    # by their widths: the second is the card, the third the chart
    monkeypatch.setattr(watch_run, "is_card_back", lambda picture: picture.shape[1] == 202)
    monkeypatch.setattr(judging, "chart_seen", lambda picture: picture.shape[1] == 203)
    run(root)
    state = read_state(root)
    assert [state.landed[frame] for frame in state.charts_seen] == ["3.jpg"]
    assert {state.landed[f]: v["shot"] for f, v in state.verdicts.items()} == {
        "1.jpg": "bowl",
        "4.jpg": "pour",
    }


def test_heic_frames_from_landing_to_the_choice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = shoot_folder(tmp_path / "shoot")
    for name in ("plain.heic", "grid-p3-turned.heic", "ten-bit.HIF"):
        shutil.copy(HEIC / name, root / "frames" / name)
    told = run(root)
    assert sorted(of_kind(told, "verdict")) == ["grid-p3-turned.heic", "plain.heic", "ten-bit.HIF"]
    assert read_state(root).aside == {}
    assert main(["choose", str(root), "--json"]) == 0
    (shot,) = json.loads(capsys.readouterr().out)["shots"]
    assert shot["select"] is not None
    from plateside.files.thumbnails import thumbnail_path
    from plateside.tasks.choose.make_thumbnails import make_thumbnails

    # a browser cannot show HEIC: what the pages get is a JPEG
    state = read_state(root)
    assert make_thumbnails(root, state.landed, "thumb") == []
    for frame in state.landed:
        with Image.open(thumbnail_path(root, frame, "thumb")) as image:
            assert (image.format, image.size) == ("JPEG", (256, 192))


def test_a_heic_hero_is_finished(tmp_path: Path) -> None:
    root = shoot_folder(tmp_path / "shoot")
    shutil.copy(HEIC / "grid-p3-turned.heic", root / "frames" / "a.heic")
    assert main(["finish", str(root), "--kind", "jpeg"]) == 0
    with Image.open(root / "finished" / "bowl.jpg") as image:
        assert image.size == (256, 192)
        assert np.asarray(image)[8, 10].min() > 200  # the white mark at the upper left
