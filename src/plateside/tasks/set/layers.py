"""A scene built in layers: each accepted step kept, what it added or moved, and what it measures. Not taste."""

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.scan import read_frame, scan_frames
from plateside.files.pictures import write_picture
from plateside.files.settings.load import OpenShoot, load_shoot, open_shoot
from plateside.frames.changes import Part, changes
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.layers import LAYERS_VERSION, LayerFacts, layer_facts, layer_facts_from_json
from plateside.frames.register import register
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.named import check_shot
from plateside.tasks.report import as_json
from plateside.tasks.set.judging import Judge, facts_version
from plateside.tasks.set.shot import find_frame
from plateside.words.set import layers as words
from plateside.words.set import refusals

SIDE_PX = 1200
OUTLINE_RGB = (47, 111, 99)
OUTLINE_EDGE_RGB = (250, 247, 242)
JPEG_QUALITY = 88


@dataclass(frozen=True)
class Layer:
    """One kept step of the scene."""

    number: int
    frame: str
    name: str
    facts: LayerFacts
    hero_spread_px: float | None
    """Blur of the sharpest edges on the hero, of the picture measured; None when it has none."""
    around_spread_px: float | None
    parts: tuple[Part, ...]
    """What was added, taken away or changed since the layer before; empty for the first."""
    not_compared: str = ""
    """Why nothing is known of the changes: another shape, camera moved; empty when they are known."""

    def lines(self, text_spaces: Sequence[str] = ()) -> list[str]:
        """A heading, then a line for each fact."""
        spreads = self.hero_spread_px, self.around_spread_px
        return words.layer_lines(
            self.number, self.name, self.parts, self.not_compared, spreads, self.facts, text_spaces
        )


@dataclass(frozen=True)
class LayersReport:
    """The layers of a shot, oldest first."""

    shot: str
    layers: tuple[Layer, ...]
    gone: int = 0
    """Layers whose frames are not in the frames folder any more."""
    text_spaces: tuple[str, ...] = ()
    """Thirds that the shot's channels want empty."""
    picture: str = ""
    """The side-by-side picture, when one was written."""

    def lines(self) -> list[str]:
        out = self.said()
        for layer in self.layers:
            out += layer.lines(self.text_spaces)
        return out + ([words.side_by_side_line(self.picture)] if self.picture else [])

    def said(self) -> list[str]:
        """What to know of them all."""
        gone = [words.layers_gone_sentence(self.gone)] if self.gone else []
        return gone if self.layers else [*gone, words.no_layer_sentence(self.shot)]


@dataclass(frozen=True)
class LayerReport:
    """A frame that is now a layer of its shot."""

    shot: str
    frame: str
    name: str
    number: int
    row: int

    def lines(self) -> list[str]:
        return [words.layer_kept_sentence(self.name, self.number, self.shot)]


def keep_layer(given: Path, shot: str, frame: str) -> LayerReport:
    """Keep a frame as the next layer of a shot's scene.

    shot   left empty, the shot to which the frame belongs
    frame  its id, or its file name
    Raises InputError for what is not there, or a frame of another shot. A frame that is a layer already stays one.
    """
    root = find_shoot(given)
    shoot = load_shoot(root / "shoot.toml")
    state = read_state(root)
    rows: list[tuple[str, dict[str, Any]]] = []
    frame_id, name = frame, state.landed.get(frame, "")
    if not name:
        with Index.open(root) as index:
            frames, _refused = scan_frames(shoot_folder(root, shoot).frames_dir, index=index)
        found = find_frame(frames, frame)
        frame_id, name = found.id, found.name
        if frame_id not in state.landed:
            rows.append(("frame landed", {"frame": frame_id, "name": name}))
    belongs = state.shot_of.get(frame_id, "")
    shot = check_shot(shoot, shot or belongs or state.current_shot)
    if belongs and belongs != shot and frame_id not in state.guessed:
        raise InputError(refusals.of_another_shot(name, belongs, shot, root))
    layers_there = state.layers.get(shot, [])
    if frame_id in layers_there:
        return LayerReport(shot, frame_id, name, layers_there.index(frame_id) + 1, 0)
    if belongs != shot:
        rows.append(("frame belongs", {"frame": frame_id, "shot": shot, "guess": False}))
    rows.append(("layer", {"shot": shot, "frame": frame_id}))
    written = Journal.open(root).append_many(rows)
    return LayerReport(shot, frame_id, name, len(layers_there) + 1, written[-1].number)


def layers_of(given: Path, shot: str, out: Path | None = None, beside: int = 0) -> LayersReport:
    """The layers of a shot with what each measures; facts are taken once and then read from the index.

    shot    left empty, the current one
    out     write the newest layer beside an earlier one there, as a JPEG, what changed between the two outlined
    beside  number of that earlier layer; 0: the one before the newest
    Raises InputError (unknown shot or layer), CouldNotError (nothing to put side by side, frames gone).
    """
    opened = open_shoot(given)
    state = read_state(opened.folder.root)
    wanted = check_shot(opened.shoot, shot or state.current_shot)
    the_shot = next(s for s in opened.shoot.shots if s.name == wanted)
    with Index.open(opened.folder.root) as index:
        run = _Run(opened, state, index, the_shot)
        layers: list[Layer] = []
        before: Frame | None = None
        for frame_id in state.layers.get(wanted, []):
            frame = run.frame(frame_id)
            if frame is None:
                continue
            layers.append(run.layer(len(layers) + 1, frame, before))
            before = frame
        picture = run.side_by_side(layers, out, beside) if out else ""
    channels = [c for c in opened.shoot.channels if not the_shot.channels or c.name in the_shot.channels]
    spaces = tuple(dict.fromkeys(c.text_space for c in channels if c.text_space != "none"))
    gone = len(state.layers.get(wanted, [])) - len(layers)
    return LayersReport(wanted, tuple(layers), gone, spaces, picture)


class _Run:
    """One look at the layers of a shot."""

    def __init__(self, opened: OpenShoot, state: ShootState, index: Index, shot: Shot) -> None:
        self.state, self.index, self.shot = state, index, shot
        self.judge = Judge(opened, index)
        self._pictures: dict[str, NDArray[np.uint8]] = {}

    def frame(self, frame_id: str) -> Frame | None:
        folder = self.judge.folder
        path = folder / self.state.landed.get(frame_id, "")
        with contextlib.suppress(InputError, CouldNotError):
            return read_frame(folder, path, None, frame_id) if path.is_file() else None
        return None

    def layer(self, number: int, frame: Frame, before: Frame | None) -> Layer:
        facts = self._facts(frame)
        focus = self.judge.judged(frame, self.state, self.shot, False).facts.focus
        parts, not_compared = self._parts(before, frame) if before else ((), "")
        spreads = focus.subject_spread_px, focus.around_spread_px
        return Layer(number, frame.id, frame.name, facts, *spreads, parts, not_compared)

    def _picture(self, frame: Frame) -> NDArray[np.uint8]:
        if frame.id not in self._pictures:
            self._pictures[frame.id] = self.judge.picture(frame)
            # the newest two are compared; more would fill the memory of a small machine
            while len(self._pictures) > 2:
                del self._pictures[next(iter(self._pictures))]
        return self._pictures[frame.id]

    def _facts(self, frame: Frame) -> LayerFacts:
        version = f"{LAYERS_VERSION} {facts_version(frame, self.shot)}"
        known = self.index.facts(frame.id, kind="layer", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return layer_facts_from_json(known)
        picture = self._picture(frame)
        box = subject_box(self.shot, frame.width_px, frame.height_px)
        found = layer_facts(picture, small_linear(picture), box)
        self.index.put_facts(frame.id, as_json(found), kind="layer", version=version)
        return found

    def _parts(self, before: Frame, after: Frame) -> tuple[tuple[Part, ...], str]:
        version = f"{LAYERS_VERSION} {before.id}"
        known = self.index.facts(after.id, kind="layer changes", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return tuple(_part(one) for one in known["parts"]), str(known["not compared"])
        found = self._compared(before, after)
        value = {"parts": as_json(found[0]), "not compared": found[1]}
        self.index.put_facts(after.id, value, kind="layer changes", version=version)
        return found

    def _compared(self, before: Frame, after: Frame) -> tuple[tuple[Part, ...], str]:
        a, b = self._picture(before), self._picture(after)
        if a.shape != b.shape:
            return (), "another shape"
        fit = register(grey(a), grey(b))
        if not fit.fits:
            return (), "camera moved"
        return changes(small_linear(a), small_linear(b), fit, a.shape[1]).parts, ""

    def side_by_side(self, layers: Sequence[Layer], out: Path, beside: int) -> str:
        """Write the picture; returns its path."""
        if len(layers) < 2:
            raise CouldNotError(refusals.too_few_layers(self.shot.name, len(layers)))
        if not 0 <= beside < len(layers):
            raise InputError(refusals.no_such_layer(beside, len(layers) - 1))
        earlier, newest = (
            self.frame(one.frame) for one in (layers[beside - 1 if beside else -2], layers[-1])
        )
        if earlier is None or newest is None:
            raise CouldNotError(refusals.LAYER_FRAME_GONE)
        parts, _remark = self._compared(earlier, newest)
        left = _fitted(self._picture(earlier))
        right = _outlined(_fitted(self._picture(newest)), parts)
        height = max(left.shape[0], right.shape[0])
        gap = np.full((height, SIDE_PX // 50, 3), OUTLINE_EDGE_RGB, np.uint8)
        write_picture(
            out, np.hstack([_padded(left, height), gap, _padded(right, height)]), "jpeg", JPEG_QUALITY
        )
        return str(out)


def _part(value: dict[str, Any]) -> Part:
    x0, y0, x1, y1 = value["box"]
    outline = tuple((float(x), float(y)) for x, y in value["outline"])
    return Part(str(value["kind"]), (x0, y0, x1, y1), outline, float(value["share"]))


def _fitted(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = SIDE_PX / picture.shape[1]
    size = (SIDE_PX, max(round(picture.shape[0] * scale), 1))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)


def _padded(picture: NDArray[np.uint8], height: int) -> NDArray[np.uint8]:
    below = np.full((height - picture.shape[0], picture.shape[1], 3), OUTLINE_EDGE_RGB, np.uint8)
    return np.vstack([picture, below])


def _outlined(picture: NDArray[np.uint8], parts: Sequence[Part]) -> NDArray[np.uint8]:
    drawn = picture.copy()
    size = np.array([picture.shape[1], picture.shape[0]])
    lines = [np.round(np.array(part.outline) * size).astype(np.int32) for part in parts]
    # light under dark: the line is seen on cream and on slate
    cv2.polylines(drawn, lines, True, OUTLINE_EDGE_RGB, 7, cv2.LINE_AA)
    cv2.polylines(drawn, lines, True, OUTLINE_RGB, 3, cv2.LINE_AA)
    return drawn
