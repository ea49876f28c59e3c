"""A text is kept as it was read; what is found wrong with it afterwards is not."""

from plateside.files.settings.load import judge_studio
from tests.unit.settings.sample_settings import STUDIO


def test_a_text_read_twice_is_told_of_as_the_first_time() -> None:
    wrong = STUDIO.replace("sill_m = 0.78", "sill_m = 2.4").replace("distance_m", "distance_mm")
    first = judge_studio(wrong, "studio.toml")
    told = list(first.mistakes)
    assert {m.code for m in told} == {"unknown key", "window above ceiling"}
    first.mistakes.clear()
    first.doubtful.clear()
    assert judge_studio(wrong, "studio.toml").mistakes == told
    assert {m.file for m in judge_studio(wrong, "mine.toml").mistakes} == {"mine.toml"}
