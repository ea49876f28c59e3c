"""The page that lists every setting, from the facts."""

from dataclasses import fields
from pathlib import Path

from plateside.files.settings.reader import FORMAT
from plateside.files.settings.reference import tables_of
from plateside.files.settings.remarks import Remark
from plateside.model.mistakes import Mistake
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.tasks.light.choice import SKY_FILES
from plateside.tasks.studio.check import CheckReport
from plateside.tasks.studio.new import NewReport

PAGE = Path(__file__).resolve().parents[2] / "docs" / "files.md"

FORECAST, YEAR = SKY_FILES["forecast"], SKY_FILES["typical year"]

INTRO = f"""# The two files

*Made from the code by `python -m scripts.make_reference`; a test fails when it differs. Change the model, not this
page.*

Two plain text files describe a shoot. **studio.toml** is what stays: place, room, windows, table spots, boards, gear.
**shoot.toml** is today's job: the dish, the shots, where the pictures go. `plateside new my-shoot` writes both for your
own room; run `plateside check my-shoot` after every change. `plateside check --fields` prints the tables of this page
anywhere, `--fields windows` just that one.

## How to write them

- `key = value`, one to a line. `#` begins a comment. Your comments stay when Plateside writes back.
- `[room]` begins a table that occurs once; `[[windows]]` begins one of several, in your order.
  `[[windows.opposite]]` belongs to the `[[windows]]` above it.
- Text is in straight quotes: `name = "kitchen window"`. Numbers have a decimal point and no unit: `width_m = 1.2`.
  The unit is in the key's name: `_m` metres, `_mm` millimetres, `_deg` degrees, `_kg` kilograms, `_s` seconds,
  `_lx` lux, `_px` pixels.
- The first line is `format = {FORMAT}`. A file of a newer format is refused.
- A key or table that is not on this page is a mistake, so that no typing slip goes unseen.
- Bearings are degrees clockwise from **true** north. A compass needle, and many phones, show magnetic north: measure on
  a map.
- Stand inside and look straight out of the main window. That wall is the *front* wall; left, right and back follow.

You get every mistake in both files at once, each with its line, what you typed, what is allowed, and the line to
paste. A file that is not TOML (a quote or bracket missing, a decimal comma) shows its first such line, the rest
once it is fixed:

```text
studio.toml, line 17, [[windows]] "kitchen window": sill_m is 78; allowed: a number from 0 to 5 m. Did you mean
0.78 (78 cm)?
    sill_m = 0.78
```

Names ignore capitals and accents, and each is used once in its list. What a shot names (spot, camera, lens, support,
surface, props, boards) must be in the studio. What is impossible is a mistake too: a window wider than its wall or
above the ceiling, a spot outside the room, a sensor of another shape than its picture.

When Plateside writes back (readings, what they taught, a camera's clock), only those lines change, and the file is
replaced in one step or not at all.

## What else is in a shoot's folder

| | |
| --- | --- |
| `frames/` | what the camera sends; never changed, moved or renamed. For another folder set `frames` in shoot.toml |
| `journal.jsonl` | every decision and verdict, one line each, only ever added to |
| `sky/{FORECAST}` | your own forecast from the Light page: `time,cloud cover in percent`, times in UTC |
| `sky/{YEAR}` | your own typical year ([EPW or TMY3](glossary.md#epw)): [which sky](light.md#which-sky) |
| `plan/`, `pictures/`, `finished/`, `delivery/` | what the commands make when you ask |
| `undo/` | your two files as they were before each change on a page: what *Undo* brings back |
| `.plateside/` | a cache; delete it whenever you like, nothing is lost |

Paired tablets do not belong to a shoot. They are kept in your own account, where nobody else on the laptop can read
them (Linux: `~/.local/state/plateside`; macOS: `~/Library/Application Support/Plateside`; Windows:
`%LOCALAPPDATA%\\Plateside`; or the folder in `PLATESIDE_STATE`). Delete that folder and you pair them again. A shoot's
folder that you move counts as another one.

A forecast or weather file is used only while its sky is chosen on the Light page, until you remove it there or delete
it. By command it can be anywhere: `plateside light --forecast FILE`, or `--weather FILE`.

## When a file is damaged

A power cut, a full disk, a flipped bit, an editor that saved half: you see once which file and which line, and
everything that is whole is still used.

| Damaged | What happens |
| --- | --- |
| a line of `journal.jsonl` | it is skipped, every other line counts; remove it with a text editor (keep a copy) |
| its last line cut short | it does not count; what is left of it is kept in `journal-torn-....txt` beside it |
| a row's number that repeats, goes back or is far off | the row counts, in its place |
| a full disk while a decision is saved | you see that it was not saved; no half line stays |
| `studio.toml`, `shoot.toml` | every mistake is listed with its line; nothing is overwritten |
| a forecast or weather file | you see the line and what is allowed; half a file is never used |
| anything under `.plateside/` | made again |
| `finished/adjustments.json` | `plateside finish` makes it again; no picture is overwritten without a word |
| `delivery/manifest.json` | `plateside deliver` makes it again |
| a step in `undo/` | that step cannot be taken back, and nothing is changed |
| the list of paired tablets | pair them again |

A journal saved as UTF-16 is not written to: save it as UTF-8.
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
        "code": "what kind of mistake it is: `out of range`, `unknown key`, `window too wide` ...",
        "file": "the file's name",
        "line": "line number, from 1; null when the whole file is meant",
        "head": "the table as it is headed",
        "name": "the name of the thing it is about",
        "path": "the field itself, as a list of keys and item numbers from 0; empty when no field is meant",
        "label": "what the pages call the field",
        "got": "what was typed, shortened",
        "lowest": "the lowest number allowed, or null",
        "highest": "the highest number allowed, or null",
        "unit": "of the two",
        "allowed": "the words allowed, when it is one of a few",
        "meant": "what was probably meant",
        "fix": "the line or lines that would be right",
        "example": "true when nobody can tell what was meant: the fix is an example only",
        "facts": "the figures that clash, and what else the sentence names",
    },
    Remark: {
        "code": "what kind of remark it is: `no white board`, `table through a wall` ...",
        "kind": "light, gear, shots, words, page, plants, allergens or place",
        "table": "where it is: windows, shots, studio ...",
        "name": "the name of the thing it is about",
        "facts": "the figures of its sentence",
    },
    NewReport: {
        "folder": "where the starters were written",
        "written": "the paths that were made",
        "place": "the place that was found; empty when a studio was there already",
        "timezone": "its time zone",
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
    for table in tables_of(root):
        parts += [f"### `{table.head}`\n", f"{table.meaning}\n"] if table.head else [f"### {table.meaning}\n"]
        parts += ["| Key | Meaning | Allowed | Left out | Example |", "| --- | --- | --- | --- | --- |"]
        for key in table.keys:
            cells = (f"`{key.name}`", key.meaning, key.allowed, key.left_out, f"`{key.example}`")
            parts.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
        parts.append("")
    return parts


def _json() -> list[str]:
    parts = [
        "## What `--json` prints\n",
        "One JSON object; `sentences` in it is what the command prints without `--json`. When a command fails, it is "
        '`{"error": "...", "mistakes": [...]}`, with exit status 2 for what you must fix and 1 for what could not be '
        "done.\n",
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
