"""judge and watch on a shoot folder with frames made in linear light, the truth known."""

import itertools
from pathlib import Path

import cv2
import numpy as np
import pytest

from plateside.cli.big_words import large, small
from plateside.cli.main import main
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.model.errors import InputError
from plateside.tasks.report import as_json
from plateside.tasks.set.events import Event
from plateside.tasks.set.judge import JudgeReport, judge_frames
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import save, shoot_folder
from tests.synthetic.dng import write_dng
from tests.synthetic.faults import Truth, composed, frame_of, kernels
from tests.synthetic.scenes import TEST, Scene, make_scene


@pytest.fixture(scope="module")
def scene() -> Scene:
    return make_scene(TEST, 5, 900, 600)


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory, scene: Scene) -> tuple[Path, JudgeReport, JudgeReport]:
    """A shoot judged without, then with its reference."""
    root = shoot_folder(tmp_path_factory.mktemp("shoot"))
    rng = np.random.default_rng(0)
    linear = composed(scene, None, None)
    linear = linear * np.float32(0.6 / np.percentile(linear @ np.array([0.2126, 0.7152, 0.0722]), 99))

    def blurred(truth: Truth) -> np.ndarray:
        got = composed(scene, *kernels(truth, 0.75, 0.0))
        return got * np.float32(float(linear.mean()) / float(got.mean()))

    save(root, "1-reference.jpg", frame_of(linear, rng), 0)
    save(root, "2-same.jpg", frame_of(linear, rng), 1)
    save(root, "3-dark.jpg", frame_of(linear, rng, stops=-2 / 3), 2)
    save(root, "4-defocus.jpg", frame_of(blurred(Truth("defocus", 6.0, 6.0)), rng), 3)
    save(root, "5-shaken.jpg", frame_of(blurred(Truth("shake", 0, 0, 16.0, 30.0)), rng), 4)
    save(root, "6-warm.jpg", frame_of(linear, rng, colour=(1.12, 1.0, 0.85)), 5)
    turned = cv2.warpAffine(
        linear, np.array([[1, 0, 40], [0, 1, 10]], np.float32), (900, 600), borderMode=cv2.BORDER_REFLECT
    )
    save(root, "7-moved.jpg", frame_of(np.asarray(turned, np.float32), rng), 6)
    (root / "frames" / "8-empty.jpg").touch()
    alone = judge_frames(root)
    reference = next(j.frame.id for j in alone.frames if j.frame.name == "1-reference.jpg")
    Journal.open(root).append("test frame", shot="bowl", frame=reference)
    return root, alone, judge_frames(root)


def of(report: JudgeReport, start: str) -> tuple[str, str]:
    (one,) = [j for j in report.frames if j.frame.name.startswith(start)]
    return one.verdict.word, one.verdict.first.code


def test_against_the_reference(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    _, _, report = judged
    assert of(report, "1")[0] == "good"
    assert of(report, "2") == ("good", "keep")
    assert of(report, "3") == ("adjust", "expose")
    (dark,) = [j.verdict.first for j in report.frames if j.frame.name.startswith("3")]
    assert dark.stops == pytest.approx(2 / 3, abs=0.05)
    assert dark.light_stops == pytest.approx(-2 / 3, abs=0.05)
    assert dark.dial is not None and (dark.dial.name, round(dark.dial.to, 1)) == ("shutter", 0.5)
    assert of(report, "4") == ("again", "out of focus")
    assert of(report, "5") == ("again", "shake")
    assert of(report, "6") == ("adjust", "colour changed")
    assert of(report, "7") == ("adjust", "camera moved")
    assert {j.verdict.rests_on for j in report.frames[1:]} == {("test frame",)}
    # the reference is the aim of those that are held against it, and the facts say so
    aims = {j.frame.name[0]: (j.facts.exposure.aim, j.facts.exposure.stops) for j in report.frames}
    assert aims["1"][0] == "brightest matt part"
    assert aims["3"][0] == "test frame"
    assert aims["3"][1] == pytest.approx(-0.7, abs=0.1)


def test_exposure_to_a_tenth_of_a_stop(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    (dark,) = [j for j in judged[2].frames if j.frame.name.startswith("3")]
    assert dark.comparison is not None
    assert dark.comparison.stops == pytest.approx(-2 / 3, abs=0.05)
    # the settings did not change, so it is the light that fell
    assert dark.comparison.light_stops == pytest.approx(-2 / 3, abs=0.05)


def test_alone_it_says_that_it_is_less_sure(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    _, alone, _ = judged
    assert all(j.verdict.rests_on == ("alone",) for j in alone.frames)
    assert of(alone, "4")[0] == "again"
    assert of(alone, "1")[0] == "good"


def test_lines_and_the_empty_file(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    lines = judged[2].lines()
    assert lines[2].startswith("3-dark.jpg")
    assert any("8-empty.jpg is empty" in line for line in lines)
    assert any(line.startswith("7 frames: ") for line in lines)


def test_judging_again_reads_no_picture_and_writes_no_row(
    judged: tuple[Path, JudgeReport, JudgeReport], monkeypatch: pytest.MonkeyPatch
) -> None:
    root, _, report = judged
    rows = len(Journal.open(root).rows())

    def never(*_: object) -> None:
        raise AssertionError("a frame was measured again")

    monkeypatch.setattr("plateside.tasks.set.judging.facts_of", never)
    monkeypatch.setattr("plateside.tasks.set.judging.compare", never)
    again = judge_frames(root)
    assert [j.verdict for j in again.frames] == [j.verdict for j in report.frames]
    assert len(Journal.open(root).rows()) == rows


def test_named_frames_and_wrong_names(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    root, _, _ = judged
    report = judge_frames(root, ["3-dark.jpg"])
    assert [j.frame.name for j in report.frames] == ["3-dark.jpg"]
    with pytest.raises(InputError, match=r"no frame nine\.jpg"):
        judge_frames(root, ["nine.jpg"])


def test_the_journal_holds_shot_and_verdict(judged: tuple[Path, JudgeReport, JudgeReport]) -> None:
    state = read_state(judged[0])
    assert set(state.shot_of.values()) == {"bowl"}
    assert len(state.guessed) == len(state.landed) == len(state.verdicts) == 7


def test_command(judged: tuple[Path, JudgeReport, JudgeReport], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["judge", "3-dark.jpg", "--shoot", str(judged[0])]) == 0
    assert "Two thirds of a stop brighter" in capsys.readouterr().out
    assert main(["judge", "--shoot", str(judged[0] / "nowhere")]) == 2


def test_a_large_jpeg_has_a_first_word_and_the_same_verdict(
    tmp_path: Path, scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    frame = frame_of(composed(scene, None, None)[:, ::2][::2], np.random.default_rng(1))
    told: dict[bool, list[Event]] = {False: [], True: []}
    for counts_as_large in told:
        root = shoot_folder(tmp_path / f"shoot {counts_as_large}")
        save(root, "a.jpg", frame, 0)
        if counts_as_large:
            monkeypatch.setattr("plateside.tasks.set.watch_run.LARGE_PX", frame.shape[0] * frame.shape[1])
        times = itertools.count()
        watch(
            root, told[counts_as_large].append, once=True, clock=times.__next__, sleep=lambda _seconds: None
        )
    assert [t.kind for t in told[False]] == ["landed", "verdict"]
    assert [t.kind for t in told[True]] == ["landed", "provisional", "verdict"]
    at_once, first, whole = told[False][-1].judged, told[True][1].judged, told[True][-1].judged
    assert at_once is not None
    assert first is not None
    assert whole is not None
    assert whole.verdict == at_once.verdict
    assert as_json(whole.facts) == as_json(at_once.facts)
    assert first.facts.provisional
    assert "first look" in first.verdict.rests_on


def test_watch_tells_each_frame_once_over_a_restart(tmp_path: Path, scene: Scene) -> None:
    root = shoot_folder(tmp_path / "shoot")
    rng = np.random.default_rng(1)
    linear = composed(scene, None, None)[:, ::2][::2]
    now = [0.0]

    def step(seconds: float) -> None:
        now[0] += max(seconds, 0.3)

    def run() -> list[Event]:
        told: list[Event] = []
        watch(root, told.append, once=True, clock=lambda: now[0], sleep=step)
        return told

    save(root, "a.jpg", frame_of(linear, rng), 0)
    write_dng(root / "frames" / "b.dng", linear[:200, :300], taken="2027:07:15 13:05:00")
    first = run()
    kinds = [(t.kind, t.judged.frame.name if t.judged else "") for t in first]
    assert kinds == [
        ("landed", ""), ("landed", ""), ("provisional", "b.dng"), ("verdict", "b.dng"), ("verdict", "a.jpg"),
    ]  # fmt: skip
    assert run() == []
    save(root, "c.jpg", frame_of(linear, rng, stops=-1), 9)
    assert [t.kind for t in run()] == ["landed", "verdict"]
    # a crash between the two rows of a frame: the verdict is made up for at the next start
    lines = (root / "journal.jsonl").read_text().splitlines(keepends=True)
    assert '"verdict"' in lines[-1]
    (root / "journal.jsonl").write_text("".join(lines[:-1]))
    assert [t.kind for t in run()] == ["verdict"]
    assert len(read_state(root).landed) == len(read_state(root).verdicts) == 3


def test_large_letters_fit_the_terminal() -> None:
    assert max(len(line) for line in large("adjust", 80)) <= 80
    assert max(len(line) for line in small("Two thirds of a stop brighter: 1/3 s to 1/2 s", 80)) <= 80
    # five rows of pixels in three lines of half blocks, three lines for each line of words
    assert len(small("Keep it.", 80)) == 3
