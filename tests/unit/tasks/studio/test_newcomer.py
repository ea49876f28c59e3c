"""A newcomer with the README alone: two files by hand, a dozen camera JPEGs, from light to a folder to publish."""

import json
from pathlib import Path

import pytest

from plateside.cli.main import main
from tests.shoots.newcomer import FRAMES, make_kitchen


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("made") / "green soup"
    make_kitchen(root, share=1 / 2)
    return root


def said(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, object]:
    """Run a command and read its JSON."""
    assert main([*command, "--json"]) == 0
    got: dict[str, object] = json.loads(capsys.readouterr().out)
    return got


@pytest.mark.slow
def test_from_two_files_and_a_dozen_jpegs_to_a_folder_to_publish(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = str(kitchen)
    originals = {p.name: p.read_bytes() for p in (kitchen / "frames").iterdir()}
    assert main(["check", root]) == 0
    capsys.readouterr()
    assert main(["light", root, "--day", "2027-05-08"]) == 0
    assert "lx" in capsys.readouterr().out
    plan = said(capsys, "plan", root)
    assert len(plan["set_ups"]) == 2  # type: ignore[arg-type]
    names = [f"P{n:04d} é.jpg" for n in range(FRAMES)]
    said(capsys, "shot", root, "from-above", "--frames", *names[:4])
    said(capsys, "shot", root, "at-an-angle", "--frames", *names[4:])
    judged = said(capsys, "judge", root)
    frames = {f["frame"]["name"]: f for f in judged["frames"]}  # type: ignore[attr-defined]
    assert len(frames) == FRAMES
    assert {u["name"] for u in judged["unreadable"]} == {"notes.jpg", "empty.jpg"}  # type: ignore[attr-defined]
    words = {name: f["verdict"]["word"] for name, f in frames.items()}
    sharp = [words[names[n]] for n in range(2, FRAMES, 4)]
    spoilt = [words[names[n]] for n in range(FRAMES) if n % 4 != 2]
    assert sharp == ["good"] * len(sharp)
    assert "good" not in spoilt
    chosen = said(capsys, "choose", root)
    heroes = {c["shot"]: c["select"]["name"] for c in chosen["shots"]}  # type: ignore[attr-defined]
    assert heroes["from-above"] == names[2]
    assert int(heroes["at-an-angle"][1:5]) % 4 == 2
    finished = said(capsys, "finish", root)
    # two angles share no detail, and nobody shot a grey card: nothing proves the match, until she has looked
    series = {p["shot"]: p["match"] for p in finished["finished"]}  # type: ignore[attr-defined]
    unproven = series["at-an-angle"]
    # the surroundings are as bright and of the same colour: no change, and not the rounding of none either
    assert (unproven["by"], unproven["stops"], unproven["mired"]) == ("surroundings", 0, 0)
    assert said(capsys, "deliver", root)["ready"] is False
    said(capsys, "finish", root, "--accept", "at-an-angle")
    delivered = said(capsys, "deliver", root)
    assert delivered["ready"] is True
    crops = {(c["shot"], c["channel"]): c for c in delivered["crops"]}  # type: ignore[attr-defined]
    assert len(crops) == 6
    assert all(c["subject_whole"] for c in crops.values())
    assert {(c["width_px"], c["height_px"]) for (_s, ch), c in crops.items() if ch == "wide"} == {(800, 450)}
    for crop in crops.values():
        for file in crop["files"]:
            assert (kitchen / "delivery" / file["path"]).stat().st_size == file["bytes"]
    assert (kitchen / "delivery" / "preview.html").exists()
    assert {p.name: p.read_bytes() for p in (kitchen / "frames").iterdir()} == originals
