"""The set's four sounds are the short ones that their script makes."""

import wave
from pathlib import Path

import numpy as np

from tests.synthetic.sounds import SOUNDS, samples

FOLDER = Path(__file__).parents[3] / "src/plateside/web/static/sounds"


def test_each_is_short_and_as_its_notes_say() -> None:
    assert set(SOUNDS) == {"good", "change", "light", "taken"} == {path.stem for path in FOLDER.glob("*.wav")}
    for name, notes in SOUNDS.items():
        with wave.open(str(FOLDER / f"{name}.wav")) as file:
            assert file.getnframes() / file.getframerate() < 0.5
            frames = np.frombuffer(file.readframes(file.getnframes()), "<i2")
        assert np.abs(frames - np.array(samples(notes)) * 32767).max() <= 1
