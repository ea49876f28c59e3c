"""No file grows past 400 lines unless its first lines say why."""

from pathlib import Path

ROOT = Path(__file__).parents[3]
MOST = 400


def test_a_long_file_says_why() -> None:
    paths = (p for folder in ("src", "tests", "bench", "scripts") for p in (ROOT / folder).rglob("*"))
    texts = {
        path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8")
        for path in paths
        if path.suffix in (".py", ".js", ".css")
    }
    assert len(texts) > 500
    long = {name: text for name, text in texts.items() if text.count("\n") > MOST}
    assert [name for name, text in long.items() if "Over 400 lines: " not in text[:2000]] == []
