"""Move the fragments of changelog.d/ into CHANGELOG.md under a version: `python scripts/gather_changes.py 0.2.0`."""

import sys
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit("Say which version: python scripts/gather_changes.py 0.2.0")
    fragments = sorted(p for p in (ROOT / "changelog.d").glob("*.md") if p.name != "README.md")
    lines = [line for p in fragments for line in p.read_text(encoding="utf-8").splitlines() if line.strip()]
    rows = [line if line.startswith("- ") else f"- {line}" for line in lines]
    changelog = ROOT / "CHANGELOG.md"
    head, _, rest = changelog.read_text(encoding="utf-8").partition("\n## ")
    section = f"## {sys.argv[1]} ({date.today().isoformat()})\n\n" + "\n".join(rows) + "\n"
    changelog.write_text(f"{head.rstrip()}\n\n{section}" + (f"\n## {rest}" if rest else ""), encoding="utf-8")
    for path in fragments:
        path.unlink()


if __name__ == "__main__":
    main()
