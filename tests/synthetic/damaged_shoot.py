"""A small whole shoot whose files may be damaged: its commands and pages run in this process, then all is put back."""

import asyncio
import contextlib
import io
import os
import shutil
import sys
import traceback
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from plateside.cli.main import main as command
from plateside.files import damage
from plateside.files.journal import journal as journal_file
from plateside.files.originals.pixels import display_picture, linear_and_levels, stated_size
from plateside.files.pictures import encode, read_picture
from plateside.files.settings.write import Put
from plateside.model.errors import InputError, PlatesideError
from plateside.tasks.finish import every_shoot, retouched_added, retouched_adding
from plateside.tasks.light.sky_file import keep_sky_file
from plateside.tasks.report import as_json
from plateside.tasks.serve.last_open import last_open, remember
from plateside.tasks.set import adding
from plateside.tasks.set.added import put_in
from plateside.tasks.set.press import press, take_back
from plateside.tasks.studio.edit import change_settings, read_settings, undo_change
from plateside.web.app import make_app
from plateside.web.guard.keys import Keys
from plateside.web.tool import Tool
from plateside.web.trouble import trouble_of
from plateside.web.workers.names import find_work
from plateside.web.workers.worker import WorkError
from tests.shoots.charted import CHART, put_raws
from tests.shoots.small import make_small_shoot, picture
from tests.synthetic.at_once import here
from tests.synthetic.dng import write_dng
from tests.synthetic.hangs import ended_when_it_hangs
from tests.synthetic.stand_ins import take_away
from tests.web import loops

HEIC = Path(__file__).resolve().parents[1] / "heic"


class _Here:
    """A hand that does its work in this process, as the child does, so that what fails is seen."""

    pid = None

    async def ask(self, work: str, args: dict[str, Any], told: Any = None) -> Any:
        try:
            return as_json(find_work(work)(args, told or (lambda _done, _total: None)))
        except PlatesideError as error:
            kind = "input" if isinstance(error, InputError) else "not done"
            words, mistakes = trouble_of(error)
            raise WorkError(words, kind, mistakes) from error

    async def close(self) -> None:
        """Nothing to end."""


def _fill_card(card: Path) -> None:
    """Beside the shoot's own frames: one of each kind that is read, as a memory card would bring it."""
    card.mkdir()
    Image.fromarray(picture(60)).save(card / "A 0001.jpg", quality=85)
    Image.fromarray(picture(61)).save(card / "A 0002.jpg", quality=70, progressive=True)
    write_dng(card / "A 0003.dng", np.full((96, 128, 3), 0.2), seed=1)
    write_dng(card / "A 0004.dng", np.full((96, 128, 3), 0.3), seed=2, lossless=True)
    for name in ("plain.heic", "p3-icc.heif"):
        shutil.copyfile(HEIC / name, card / name)


def _put_retouched(finished: Path) -> None:
    """One picture as another program saved it."""
    made = read_picture(finished / "cup.tif")
    pixels = made.pixels.copy()
    pixels[:20] //= 2
    (finished / "retouched").mkdir()
    (finished / "retouched" / "cup-Edit.png").write_bytes(encode(pixels, "png", 1, made.xmp))


class Shoot:
    """The small shoot, its pages, and a copy of all its files to put back."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "shoot"
        self.state = folder / "state"
        os.environ["PLATESIDE_STATE"] = str(self.state)
        make_small_shoot(self.root)
        _fill_card(self.root / "card")
        put_raws(self.root, "near")
        self.frame = str(journal_file.Journal.open(self.root).rows()[1].data["frame"])
        self._warm()
        self._whole = {p: p.read_bytes() for p in self._files()}
        self._stats = {p: p.stat() for p in self._whole}

    def _warm(self) -> None:
        said = []
        for line in ("judge", "choose", f"finish --chart {CHART} --for near --brighter 0.2"):
            said.append((line, *self.run(line)))
        _put_retouched(self.root / "finished")
        for line in ("finish", "deliver", "pack", "light --at 2027-05-01T12:00"):
            said.append((line, *self.run(line)))
        for act in ("CHANGE shoot", "CHANGE studio", "REOPEN", "EVERY"):
            said.append((act, *self.run(act)))
        for path in (
            "/frames/{frame}/thumb.jpg",
            "/finish/pictures/cup/view.jpg",
            "/light/day?day=2027-05-01",
            "/plan/day",
        ):
            said.append((path, *self.run(f"GET {path}")))
        if wrong := [one for one in said if one[1] not in ("exit 0", "done", "200")]:
            raise RuntimeError(f"the whole shoot does not answer: {wrong}")

    def _files(self) -> list[Path]:
        return [p for top in (self.root, self.state) for p in sorted(top.rglob("*")) if p.is_file()]

    def named(self, pattern: str) -> list[Path]:
        """Files of the shoot by a pattern of READERS."""
        base = self.state.parent if pattern.startswith("state/") else self.root
        pattern = "state/served/*/*" if pattern == "state/*" else pattern
        return sorted(p for p in base.glob(pattern) if p in self._whole)

    @property
    def files(self) -> list[Path]:
        """Every file of it, as it was made."""
        return list(self._whole)

    def put_back(self) -> None:
        """Every file as it was, times too; what came since is gone."""
        for path in self._files():
            if path not in self._whole:
                path.unlink()
        for path, data in self._whole.items():
            if (
                path.is_symlink()
                or not path.is_file()
                or path.stat().st_mtime_ns != self._stats[path].st_mtime_ns
                or path.read_bytes() != data
            ):
                path.parent.mkdir(parents=True, exist_ok=True)
                take_away(path)
                path.write_bytes(data)
                os.utime(path, ns=(self._stats[path].st_atime_ns, self._stats[path].st_mtime_ns))
        journal_file._known.clear()
        damage.taken()

    def changed_originals(self, but: str = "") -> list[str]:
        """Frames that are not as they were: there may never be any. but: the one that was damaged by hand."""
        frames = {p: d for p, d in self._whole.items() if p.parent == self.root / "frames" and p.name != but}
        return [p.name for p, d in frames.items() if not p.is_file() or p.read_bytes() != d]

    def run(self, act: str) -> tuple[str, str]:
        """(what was answered: an exit status or an HTTP one, what was said) of one command or page."""
        out, err = io.StringIO(), io.StringIO()
        with (
            _inside(self.root),
            ended_when_it_hangs(),
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(err),
        ):
            try:
                if act.startswith("GET "):
                    answer = str(self._get(act[4:], err))
                elif act.split()[0] in ACTS:
                    answer = ACTS[act.split()[0]](self, act.partition(" ")[2])
                else:
                    answer = f"exit {command(_arguments(act))}"
            except SystemExit as end:
                answer = f"exit {end.code}"
            except BaseException:
                answer = "traceback"
                traceback.print_exc(file=err)
        return answer, err.getvalue() + out.getvalue()[-2_000:]

    def tool(self) -> Tool:
        """A server's tool on this shoot, its work done in this process."""
        tool = Tool(self.root, self.root, Keys.of_this_account(), watch=False)
        tool.quick = tool.looking = tool.long = tool.drawing = _Here()  # type: ignore[assignment]
        return tool

    def _get(self, path: str, err: io.StringIO) -> int:
        return loops.run(ask(self.tool(), "GET", path.replace("{frame}", self.frame), err))


async def ask(tool: Tool, method: str, path: str, err: io.StringIO, body: bytes = b"") -> int:
    """One request to the app without a socket (and without the guard, which lets the desk in); its status."""
    where, _, query = path.partition("?")
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": method,
        "path": where,
        "raw_path": where.encode(),
        "query_string": query.replace(" ", "%20").encode(),
        "scheme": "http",
        "root_path": "",
        "headers": [
            (b"host", b"127.0.0.1"),
            (b"accept", b"text/html"),
            (b"content-type", b"application/json"),
        ],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
        "state": {"is_desk": True},
    }
    got: dict[str, Any] = {"status": 0, "body": b""}
    sent = False

    async def receive() -> dict[str, Any]:
        nonlocal sent
        if sent:
            await asyncio.sleep(3_600)
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            got["status"] = message["status"]
        elif message["type"] == "http.response.body":
            got["body"] += message.get("body", b"")

    await tool.live._look()
    await make_app(tool)(scope, receive, send)
    if got["status"] >= 500 and got["status"] != 503:
        err.write(f"{got['status']}: {got['body'][:300]!r}\n")
    return int(got["status"])


def _act_reopen(shoot: Shoot, _more: str) -> str:
    tool = shoot.tool()
    tool.devices.pair(tool.devices.invite().secret, "kitchen")
    tool.devices.set_open(True)
    tool.devices.opened_today()
    last_open(shoot.root)
    remember(shoot.root, shoot.root)
    return "done"


def _told(act: Callable[[], object]) -> str:
    try:
        act()
    except PlatesideError as error:
        print(error, file=sys.stderr)
        return f"told {error.exit_status}"
    return "done"


def _act_undo(shoot: Shoot, which: str) -> str:
    def undo() -> None:
        for _ in range(2):
            undo_change(shoot.root, which, read_settings(shoot.root, which).version)

    return _told(undo)


def _act_change(shoot: Shoot, which: str) -> str:
    changes = {
        "shoot": [Put(("recipe", "title"), "Another cup")],
        "studio": [Put(("boards", 0, "name"), "another board")],
    }[which]
    return _told(
        lambda: change_settings(shoot.root, which, changes, read_settings(shoot.root, which).version)
    )


def _act_press(shoot: Shoot, _more: str) -> str:
    def both() -> None:
        rows = journal_file.Journal.open(shoot.root).rows()
        for row in rows:
            if row.kind == "frame landed":
                press(shoot.root, "kept", {"frame": row.data["frame"]}, 10**9)
                return

    return _told(both)


def _act_take(shoot: Shoot, _more: str) -> str:
    return _told(lambda: [take_back(shoot.root, 10**13) for _ in range(6)])


def _act_stream(shoot: Shoot, _more: str) -> str:
    async def first() -> None:
        tool = shoot.tool()
        await tool.live._look()
        async for event in tool.live.stream(0):
            if event.startswith(b"event: beat"):
                return

    return _told(lambda: loops.run(first()))


def _act_decode(shoot: Shoot, _more: str) -> str:
    """Every photograph of the shoot and of its card, as the judging reads them; the first that is refused is told."""

    def decode() -> None:
        for folder in ("frames", "card"):
            # what is no file is listed for nobody
            for path in sorted(p for p in (shoot.root / folder).iterdir() if p.is_file()):
                stated_size(path)
                display_picture(path)
                linear_and_levels(path)

    return _told(decode)


def _act_add(shoot: Shoot, _more: str) -> str:
    """Every photograph of the card, added as a page adds it."""

    def add() -> None:
        for path in sorted((shoot.root / "card").iterdir()):
            data = path.read_bytes() if path.is_file() else b""
            if not data:
                continue
            begun = adding.begin(shoot.root, "desk", path.name, len(data), 1)
            adding.add_part(shoot.root, begun.key, begun.have, len(data), data)
            put_in(shoot.root, begun.key, len(data))

    try:
        return _told(add)
    finally:
        # what was added is no frame of the other acts
        for path in (shoot.root / "frames").iterdir():
            if path not in shoot._whole:
                path.unlink()


def _act_every(shoot: Shoot, _more: str) -> str:
    """Every shoot of the folder finished, its one job done in this process."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(every_shoot, "pool", here)
        report = every_shoot.finish_every(shoot.root)
    for fault in (one.fault for one in report.shoots):
        if fault:
            print(fault, file=sys.stderr)
    return "done"


def _act_retouched(shoot: Shoot, _more: str) -> str:
    """The retouched file once more under another name, as the page sends it."""
    path = shoot.root / "finished" / "retouched" / "cup-Edit.png"

    def send() -> None:
        data = path.read_bytes()
        begun = retouched_adding.begin(shoot.root, "desk", "cup-Edit-2.png", len(data), 1)
        retouched_adding.add_part(shoot.root, begun.key, begun.have, len(data), data)
        retouched_added.put_in(shoot.root, begun.key, len(data), 1)

    return _told(send) if path.is_file() and path.stat().st_size else "done"


def _act_sky(shoot: Shoot, name: str) -> str:
    path = shoot.root / "sky" / name
    if not path.is_file():
        return "done"  # a browser sends none
    text = path.read_bytes().decode("latin-1")
    return _told(lambda: keep_sky_file(shoot.root, text, date(2027, 5, 1)))


ACTS: dict[str, Callable[[Shoot, str], str]] = {
    "REOPEN": _act_reopen,
    "UNDO": _act_undo,
    "CHANGE": _act_change,
    "PRESS": _act_press,
    "TAKE": _act_take,
    "STREAM": _act_stream,
    "SKY": _act_sky,
    "DECODE": _act_decode,
    "ADD": _act_add,
    "EVERY": _act_every,
    "RETOUCHED": _act_retouched,
}


def _arguments(act: str) -> list[str]:
    """The words of a command; where it names no folder it is the one it is run in."""
    verb, *rest = act.split()
    return [verb, *rest] if verb in ("judge", "verify") or rest[:1] == ["studio.toml"] else [verb, ".", *rest]


@contextlib.contextmanager
def _inside(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)
