"""Layers of a scene: kept, told with what was added, put side by side."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.set.layers import keep_layer, layers_of
from plateside.tasks.set.shot import undo_last
from tests.shoots.bowl import save, shoot_folder
from tests.synthetic.faults import composed, frame_of
from tests.synthetic.scenes import TEST, Scene, make_scene

CHANNEL = '[[channels]]\nname = "wide"\nwidth_px = 800\nheight_px = 500\ntext_space = "top"\n'


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three steps: the dish alone, a prop at the upper left, and nothing but a third of a stop less light."""
    root = shoot_folder(tmp_path_factory.mktemp("built"))
    with (root / "shoot.toml").open("a") as file:
        file.write(CHANNEL)
    scene: Scene = make_scene(TEST, 21, 900, 600)
    prop = replace(scene.props[0], x=150.0, y=120.0)
    rng = np.random.default_rng(0)
    with_prop = composed(replace(scene, props=(*scene.props, prop)), None, None)
    save(root, "1.jpg", frame_of(composed(scene, None, None), rng, noise=0.003), 0)
    save(root, "2.jpg", frame_of(with_prop, rng, noise=0.003), 1)
    save(root, "3.jpg", frame_of(with_prop, rng, noise=0.003, stops=-1 / 3), 2)
    return root


def test_layers_are_kept_told_and_put_side_by_side(
    built: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    root = built
    assert "No layer of bowl is kept yet" in layers_of(root, "bowl").lines()[0]
    assert main(["judge", "1.jpg", "--layer", "--shoot", str(root)]) == 2, "of no shot yet: it must be said"
    assert keep_layer(root, "bowl", "1.jpg").number == 1
    with pytest.raises(CouldNotError, match="takes two"):
        layers_of(root, "bowl", tmp_path / "x.jpg")
    for name in ("2.jpg", "3.jpg"):
        kept = keep_layer(root, "bowl", name)
    assert (kept.number, kept.name) == (3, "3.jpg")
    assert keep_layer(root, "bowl", kept.frame).row == 0, "kept once"

    report = layers_of(root, "bowl", tmp_path / "side.jpg", beside=1)
    assert [layer.name for layer in report.layers] == ["1.jpg", "2.jpg", "3.jpg"]
    assert [[p.kind for p in layer.parts] for layer in report.layers] == [[], ["added"], []]
    (added,) = report.layers[1].parts
    assert added.box[2] < 0.45 and added.box[3] < 0.55
    lines = report.lines()
    assert "   Nothing changed since the layer before but light and exposure." in lines
    assert any(line.startswith("   Added at the upper left") for line in lines)
    assert any("Where the text goes (top third)" in line for line in lines)
    # a third of a stop is a third of a stop: L* falls by the CIE 1976 formula, the rest of the layer stays
    darker = report.layers[2].facts.hero_lightness
    light = ((report.layers[1].facts.hero_lightness + 16) / 116) ** 3
    assert darker == pytest.approx(116 * (light * 2 ** (-1 / 3)) ** (1 / 3) - 16, abs=1.0)

    with Image.open(tmp_path / "side.jpg") as picture:
        assert picture.size == (2 * 1200 + 24, 800)

    # told again, nothing is measured again
    def never(*_: object) -> None:
        raise AssertionError("a layer was measured again")

    monkeypatch.setattr("plateside.tasks.set.layers.layer_facts", never)
    monkeypatch.setattr("plateside.tasks.set.layers.changes", never)
    assert layers_of(root, "bowl").layers == report.layers
    assert main(["judge", "--layers", "bowl", "--shoot", str(root)]) == 0
    assert "3. 3.jpg" in capsys.readouterr().out

    undo_last(root)
    assert len(read_state(root).layers["bowl"]) == 2


def test_what_is_not_there(built: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no frame 9"):
        keep_layer(built, "bowl", "9.jpg")
    with pytest.raises(InputError, match="no shot called"):
        layers_of(built, "cup")
    assert main(["judge", "--layer", "--shoot", str(built)]) == 2
