"""A whole shoot whose every text that somebody may type, or a camera write, is a script: nothing of it may ever run.

By construction: each text of the two settings files is exchanged, and each field of theirs that is empty is filled, as
far as the files still load; so is a field that is added tomorrow. Then the folder's name, the frames' names, what is
written in them (Exif, XMP, IPTC-IIM), every text of the journal's rows.
"""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import tomlkit
from PIL import Image
from tomlkit.items import AoT

from plateside.files.journal.journal import Journal
from plateside.files.settings.grammar import entries, every_table
from plateside.files.settings.load import open_shoot
from plateside.model.errors import PlatesideError
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.finish.series import finish
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.studio.fields import ROOTS
from tests.shoots.small import make_small_shoot, picture

CANARY = "canary"
"""A function of the page that a script calls, and an attribute of what it would put in: both are looked for."""
SUM = 7 * 6012
"""What a template would make of the expression."""
PAYLOADS = (
    # a script of its own, after ending whatever it stands in
    f"</title></textarea></style></template></script><script>{CANARY}()</script>",
    f"\"'><img src=x {CANARY} onerror={CANARY}()>",
    f"--><svg {CANARY} onload={CANARY}()><animate onbegin={CANARY}() attributeName=x dur=1s />",
    f"' {CANARY}=1 onmouseover={CANARY}() onfocus={CANARY}() autofocus x='",
    f"\" {CANARY}=1 onmouseover={CANARY}() onfocus={CANARY}() autofocus x=\"",
    f"javascript:{CANARY}()",
    f"jav\tascript:{CANARY}()//https://example.com/",
    CANARY + " {{7*6012}}${7*6012}#{7*6012}<%=7*6012%>{%if 1%}",
    f"]]><iframe {CANARY} srcdoc=\"<script>parent.{CANARY}()</script>\"></iframe>",
    f"`;{CANARY}();//\\\";{CANARY}();//\\u003c",
)  # fmt: skip
"""Kinds after OWASP's cheat sheets on cross-site scripting and on its filters' evasion, from memory."""
ALL = f"javascript:/*{''.join(p for n, p in enumerate(PAYLOADS) if n not in (5, 6))}*/{CANARY}()"
"""Everything in one text."""
MORE = """
[[surfaces]]
name = "wood"

[[props]]
name = "bowl"

[[furniture]]
name = "shelf"
from_left_m = 1.0
from_front_m = 3.0
width_m = 0.5
depth_m = 0.3
height_m = 1.8

[[diffusers]]
name = "curtain"
window = "window"

[[readings]]
at = "2027-05-01T12:00"
spot = "table"
illuminance_lx = 800
sky = "overcast"
"""
LONGEST_NAME_BYTES = 200


def make_scripted_shoot(folder: Path, payload: str = ALL) -> Path:
    """Make the shoot in `folder`, finished and delivered; its root."""
    root = make_small_shoot(folder / as_name(payload), frames=3)
    (root / "studio.toml").write_text((root / "studio.toml").read_text("utf-8") + MORE, "utf-8")
    told = _Exchanged(root, payload)
    told.settings()
    told.frames()
    told.journal()
    judge_frames(root)
    finish(root, kind="jpeg")
    deliver(root)
    return root


def as_name(payload: str, ending: str = "") -> str:
    """The script as a name that a disk takes."""
    kept = payload.replace("/", "\u2215").replace("\t", " ")
    return kept.encode()[:LONGEST_NAME_BYTES].decode("utf-8", "ignore") + ending


class _Exchanged:
    """The settings, frames and journal of a shoot, their texts exchanged for scripts."""

    def __init__(self, root: Path, payload: str) -> None:
        self.root, self.payload = root, payload
        self.now: dict[str, str] = {}
        """text -> what stands in its place; the same text is the same in both files and in the journal"""

    def settings(self) -> None:
        whole = {which: (self.root / f"{which}.toml").read_text("utf-8") for which in ROOTS}
        texts = {text for each in whole.values() for text in _texts(tomlkit.parse(each).unwrap())}
        for number, text in enumerate(sorted(texts - {".", "studio.toml", "frames"})):
            for script in self._scripts(number):
                tried = {**self.now, text: f"{script} {number}"}
                if self._write(whole, tried):
                    self.now = tried
                    break
        assert self._write(whole, self.now)
        for which in ROOTS:
            self._fill(which)

    def _scripts(self, number: int) -> Iterator[str]:
        """The script, then shorter ones, each of them first in its turn: names are not as long as texts."""
        yield self.payload
        for n in range(len(PAYLOADS)):
            yield PAYLOADS[(number + n) % len(PAYLOADS)]

    def _write(self, whole: dict[str, str], now: dict[str, str]) -> bool:
        for which, text in whole.items():
            changed = text
            for old, new in now.items():
                changed = changed.replace(f'"{old}"', json.dumps(new))
            (self.root / f"{which}.toml").write_text(changed, "utf-8")
        return self._loads()

    def _loads(self) -> bool:
        try:
            open_shoot(self.root)
        except PlatesideError:
            return False
        return True

    def _fill(self, which: str) -> None:
        """Each text that may stand in a table, and does not, is put there, if the file then still loads."""
        path = self.root / f"{which}.toml"
        for where, owner, _several in every_table(ROOTS[which]):
            for name, entry in entries(owner).items():
                if entry.kind not in ("text", "texts") or (which, name) in (
                    ("shoot", "studio"),
                    ("shoot", "frames"),
                ):
                    continue
                self._fill_one(path, where, name, several=entry.kind == "texts")

    def _fill_one(self, path: Path, where: tuple[str, ...], name: str, *, several: bool) -> None:
        before = path.read_text("utf-8")
        for script in (self.payload, PAYLOADS[1]):
            doc = tomlkit.parse(before)
            empty = [table for table in _tables(doc, where) if name not in table]
            if not empty:
                return
            for table in empty:
                table[name] = [f"{script} {name}"] if several else f"{script} {name}"
            path.write_text(tomlkit.dumps(doc), "utf-8")
            if self._loads():
                return
            path.write_text(before, "utf-8")

    def frames(self) -> None:
        for number, frame in enumerate(sorted((self.root / "frames").iterdir())):
            name = as_name(self.payload, f" {number}.jpg")
            self.now[frame.name] = name
            write_photograph(frame.with_name(name), self.payload, number)
            frame.unlink()

    def journal(self) -> None:
        """The rows anew, as presses write them: of the same shots and frames under their new names."""
        rows = Journal.open(self.root).rows()
        (self.root / "journal.jsonl").unlink()
        judge_frames(self.root)
        landed = {
            r.data["name"]: r.data["frame"]
            for r in Journal.open(self.root).rows()
            if r.kind == "frame landed"
        }
        old = {str(r.data["frame"]): self.now[str(r.data["name"])] for r in rows if r.kind == "frame landed"}
        now = {**self.now, **{frame: str(landed[name]) for frame, name in old.items()}}
        skipped = ("frame landed", "verdict", "undo")
        told = [(r.kind, _changed(r.data, now)) for r in rows if r.kind not in skipped]
        shots = [self.now.get(shot, shot) for shot in ("cup", "near")]
        told += [
            ("words", {"shot": shot, "field": field, "text": f"{self.payload} {field}"})
            for shot in shots
            for field in ("title", "caption", "alt_text")
        ]
        told.append(("camera clock", {"camera": f"{self.payload} camera", "offset_s": 60}))
        Journal.open(self.root).append_many(told)


def write_photograph(path: Path, payload: str, seed: int) -> None:
    """A JPEG whose every text that a camera or another program writes is the script.

    Exif: CIPA DC-008, tags 010E to 8298, A434 (lens), 9286 (comment); XMP: Adobe's specification, part 1; IPTC-IIM:
    records 2:05 to 2:120 in the block of APP13 that holds them (IIM 4.2), from memory.
    """
    exif = Image.Exif()
    for tag in (0x010E, 0x010F, 0x0110, 0x0131, 0x013B, 0x8298):
        exif[tag] = payload
    values: dict[int, Any] = {
        0xA434: payload,
        0xA430: payload,
        0x9286: b"ASCII\0\0\0" + payload.encode("ascii", "replace"),
    }
    values |= {0x829A: 1 / 60, 0x829D: 8.0, 0x8827: 100, 0x920A: 35.0, 0x9003: f"2027:05:01 12:0{seed}:00"}
    exif[0x8769] = values
    escaped = payload.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    xmp = (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" '
        'xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/"><dc:title><rdf:Alt><rdf:li xml:lang="x-default">'
        f"{escaped}</rdf:li></rdf:Alt></dc:title><photoshop:Headline>{escaped}</photoshop:Headline>"
        "</rdf:Description></rdf:RDF></x:xmpmeta>"
    )
    Image.fromarray(picture(seed)).save(path, "JPEG", quality=90, exif=exif, xmp=xmp.encode())
    data = path.read_bytes()
    path.write_bytes(data[:2] + _iptc(payload) + data[2:])


def _iptc(payload: str) -> bytes:
    text = payload.encode()
    records = b"".join(
        bytes([0x1C, 2, kind]) + len(text).to_bytes(2, "big") + text for kind in (5, 80, 105, 116, 120)
    )
    block = b"8BIM\x04\x04\0\0" + len(records).to_bytes(4, "big") + records + b"\0" * (len(records) % 2)
    whole = b"Photoshop 3.0\0" + block
    return b"\xff\xed" + (len(whole) + 2).to_bytes(2, "big") + whole


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from _texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from _texts(one)


def _tables(doc: Any, where: tuple[str, ...]) -> list[Any]:
    found: list[Any] = [doc]
    for name in where:
        below: list[Any] = []
        for table in found:
            one = table.get(name)
            below += list(one) if isinstance(one, AoT | list) else [] if one is None else [one]
        found = below
    return found


def _changed(row: Mapping[str, Any], now: Mapping[str, str]) -> dict[str, Any]:
    """A row's data with the new names in it."""

    def change(value: Any) -> Any:
        if isinstance(value, str):
            return now.get(value, value)
        return [change(one) for one in value] if isinstance(value, list) else value

    return {name: change(value) for name, value in row.items()}
