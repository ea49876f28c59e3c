"""No file grows past 400 lines unless its first lines say why."""

import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[3]
MOST = 400


def test_a_long_file_says_why() -> None:
    listed = subprocess.run(
        ["git", "ls-files", "*.py", "*.js", "*.css"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()
    texts = {name: (ROOT / name).read_text(encoding="utf-8") for name in listed if (ROOT / name).is_file()}
    assert len(texts) > 500
    long = {name: text for name, text in texts.items() if text.count("\n") > MOST}
    assert [name for name, text in long.items() if "Over 400 lines: " not in text[:2000]] == []
