"""Write docs/files.md from the model: every table and key of studio.toml and shoot.toml.

Run as `python -m scripts.make_reference`. A test holds the page against the code.
"""

from dataclasses import fields
from pathlib import Path

from plateside.files.settings.forms import FORMS, form_told
from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.lines import example_line, number_text, value_text
from plateside.files.settings.mistakes import Mistake
from plateside.files.settings.reader import FORMAT
from plateside.files.settings.remarks import Remark
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.tasks.check import CheckReport
from plateside.tasks.new import NewReport

PAGE = Path(__file__).resolve().parent.parent / "docs" / "files.md"

INTRO = f"""# The two files

*Made from the code by `python -m scripts.make_reference`; a test fails when it differs. Change the model, not this
page.*

A shoot is described in two plain text files. **studio.toml** holds what stands still: place, room, windows, table
spots, boards, gear. **shoot.toml** holds what is wanted on one day: the dish, the pictures, where they go. Write
starters for your own room with `plateside new my-shoot`, and after every change run `plateside check my-shoot`.

## How they are written

- `key = value`, one to a line. `#` begins a comment; comments are yours, and stay when the tool writes back.
- `[room]` begins a table that there is once; `[[windows]]` begins one of several, in your order.
  `[[windows.opposite]]` belongs to the `[[windows]]` above it.
- Texts stand in straight quotes: `name = "kitchen window"`. Numbers have a decimal point and no unit: `width_m = 1.2`.
  The unit is in the key's name: `_m` metres, `_mm` millimetres, `_deg` degrees, `_kg` kilograms, `_s` seconds,
  `_lx` lux, `_px` pixels.
- The first line is `format = {FORMAT}`. A file of a newer format is refused, not guessed at.
- A key or table that is not on this page is a mistake, so that a slip of the pen cannot pass unseen.
- Bearings are degrees clockwise from **true** north. A needle, and many phones, show magnetic north: measure on a map.
- Stand inside and look straight out of the main window: that wall is the *front* wall; left, right and back are
  meant from there.

Every mistake in both files is told at once, each with its line, what was found, what is allowed, and the line to
paste:

```text
studio.toml, line 17, [[windows]] "kitchen window": sill_m is 78; allowed: a number from 0 to 5 m. Did you mean
0.78 (78 cm)?
    sill_m = 0.78
```

Names are told apart without regard to capitals and accents, and each is used once in its array. What a shot names
(spot, camera, lens, support, surface, props, boards) must be in the studio. What cannot be is a mistake too: a
window wider than its wall, its top above the ceiling, a spot outside the room, a sensor whose shape is not its
picture's.

When the tool writes back (readings, what they taught, a camera's clock), it changes those lines only; every other
letter of the file stays as it was, and the file is replaced in one step or not at all.
"""

JSON_WORDS: dict[type, dict[str, str]] = {
    CheckReport: {
        "files": "the files that were read, by name",
        "ok": "true when nothing is wrong; the command's exit status is then 0, else 2",
        "mistakes": "what is wrong, in the order of the files and lines",
        "remarks": "what is allowed and yet worth a second look",
        "counts": "how many windows, spots, shots, channels ... there are",
    },
    Mistake: {
        "file": "the file's name",
        "line": "line number, from 1; null when the whole file is meant",
        "where": "the table as it is headed, with the item's name",
        "said": "what was found and what is allowed",
        "paste": "the line or lines that would be right; empty when nobody can tell",
    },
    Remark: {
        "kind": "light, gear, shots, words, page, plants, allergens or place",
        "about": "what it is about",
        "said": "the remark",
    },
    NewReport: {
        "folder": "where the starters were written",
        "written": "the paths that were made",
        "place": "the place that was found; empty when a studio was there already",
        "timezone": "its IANA time zone",
        "facing_deg": "the main window's true bearing [deg]",
        "notes": "what to look at again",
    },
}


def reference_text() -> str:
    """The whole page."""
    parts = [INTRO, *_file("studio.toml", Studio), *_file("shoot.toml", Shoot), *_json()]
    return "\n".join(parts).rstrip("\n") + "\n"


def _file(name: str, root: type) -> list[str]:
    parts = [f"## {name}\n"]
    for path, cls, array in every_table(root):
        told = (cls.__doc__ or "").strip().splitlines()[0]
        if not path:
            parts += [
                "### At the top of the file\n",
                "| Key | Meaning | Allowed | Left out | Example |",
                _RULE,
            ]
            parts.append(
                f"| `format` | number of this file's format | {FORMAT} | *must be written* | `format = {FORMAT}` |"
            )
        else:
            how = " One for each." if array else ""
            parts += [f"### `{header(path, array)}`\n", f"{told}{how}\n"]
            parts += ["| Key | Meaning | Allowed | Left out | Example |", _RULE]
        parts += [_row(entry, cls) for entry in entries(cls).values() if not entry.is_table]
        parts.append("")
    return parts


_RULE = "| --- | --- | --- | --- | --- |"


def _row(entry: Entry, cls: type) -> str:
    cells = (f"`{entry.name}`", entry.doc, _allowed(entry, cls), _left_out(entry), f"`{example_line(entry)}`")
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _allowed(entry: Entry, cls: type) -> str:
    if entry.words:
        words = ", ".join(f"`{w}`" for w in entry.words)
        return f"a list of {words}" if entry.kind == "texts" else words
    if (cls, entry.name) in FORMS:
        told = form_told(cls, entry.name)
        return f'{told}; or `""`' if FORMS[(cls, entry.name)][1] else told
    if entry.kind in ("number", "integer", "shares"):
        span = ""
        if entry.low is not None and entry.high is not None:
            span = f"{number_text(entry.low)} to {number_text(entry.high)}"
        unit = f" {entry.unit}" if entry.unit else ""
        kind = {"integer": "whole number, ", "shares": "one number or `[red, green, blue]`, "}.get(
            entry.kind, ""
        )
        return f"{kind}{span}{unit}"
    return {"flag": "`true`, `false`", "text": "text", "texts": "list of texts"}[entry.kind]


def _left_out(entry: Entry) -> str:
    if entry.required:
        return "*must be written*"
    if entry.default is None:
        return "as said" if "left out" in entry.doc else "none"
    if entry.default == "":
        return "empty"
    if entry.default == ():
        return "none"
    return f"`{value_text(entry.default)}`"


def _json() -> list[str]:
    parts = [
        "## What `--json` prints\n",
        'One JSON object. When a command fails, it is `{"error": "..."}`, with exit status 2 for what must be mended '
        "by you and 1 for what could not be done.\n",
    ]
    heads = {
        CheckReport: "`plateside check --json`",
        Mistake: "each of `mistakes`",
        Remark: "each of `remarks`",
        NewReport: "`plateside new --json`",
    }
    for cls, head in heads.items():
        parts += [f"### {head}\n", "| Field | Meaning |", "| --- | --- |"]
        parts += [f"| `{f.name}` | {JSON_WORDS[cls][f.name]} |" for f in fields(cls)]
        parts.append("")
    return parts


def main() -> None:
    """Write the page."""
    PAGE.write_text(reference_text(), encoding="utf-8")
    print(f"Wrote {PAGE.name}")


if __name__ == "__main__":
    main()
