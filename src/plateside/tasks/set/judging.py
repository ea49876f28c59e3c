"""Judging one frame of a shoot: its facts, its comparison with the reference, its verdict; each taken once."""

import contextlib
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.index.index import Index
from plateside.files.journal.state import ShootState
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import OpenShoot
from plateside.finish.chart_seen import CHART_VERSION, chart_seen
from plateside.frames.assign import guess_shots
from plateside.frames.compare import (
    COMPARE_VERSION,
    Comparison,
    Reference,
    compare,
    comparison_from_json,
    reference_of,
)
from plateside.frames.exposure import by_reference
from plateside.frames.facts import Box, CardInFrame, FrameFacts, facts_from_json
from plateside.frames.lamp_check import with_lamp
from plateside.frames.measure import FACTS_VERSION, facts_of
from plateside.frames.set_up_acts import card_in_frame, focus_side, orientation_acts, set_up_acts
from plateside.frames.subject import subject_box, wants_shallow
from plateside.frames.verdict import not_compared, verdict_against, verdict_of
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.gear import Camera
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json
from plateside.tasks.set.frame_view import FrameView
from plateside.tasks.set.judged import Judged, lamp_of
from plateside.tasks.set.known_fill import known_fill
from plateside.tasks.set.wanted import WantedOfShot, wanted_of


class Judge:
    """Judges frames of one shoot; keeps each shot's reference frame ready."""

    def __init__(self, opened: OpenShoot, index: Index) -> None:
        self.opened, self.index = opened, index
        self.folder = opened.folder.frames_dir
        self._references: dict[tuple[str, str], Reference | None] = {}
        self._by_name = {s.name: s for s in opened.shoot.shots}
        self._last: tuple[str, FrameView] | None = None
        self._begun: tuple[tuple[object, ...], FrameView] | None = None
        self._early: tuple[str, FrameFacts] | None = None
        self._wanted: dict[str, WantedOfShot] = {}

    def begin(self, path: Path) -> None:
        """Begin to decode a file that will be judged next, while its landing is made sure of."""
        view = FrameView(path)
        self._begun = _as_it_is(path), view
        view.begin()

    def prepare(self, shot: str, state: ShootState) -> None:
        """Have ready what the shot's next frame is judged by."""
        wanted = self._by_name.get(shot)
        self._wanted_of(wanted)
        self._reference(wanted, state)

    def picture(self, frame: Frame) -> NDArray[np.uint8]:
        """The frame's display picture at working size; judging it next does not decode it again."""
        return self._opened(frame).picture

    def shot_of(self, frame: Frame, state: ShootState) -> tuple[Shot | None, bool]:
        """A frame's shot as said, as guessed before, or the best fit by itself; and whether that is a guess."""
        said = state.shot_of.get(frame.id, "")
        if said in self._by_name:
            return self._by_name[said], frame.id in state.guessed
        (name,) = guess_shots([frame], self.opened.shoot.shots, self.opened.studio)
        return self._by_name.get(name), True

    def shows_chart(self, frame: Frame, state: ShootState) -> bool:
        """Whether a frame shows a colour chart, and nothing that you said takes it for a shot's picture.

        Raises InputError or CouldNotError when the file cannot be read.
        """
        if frame.id in state.charts_seen or state.is_picture_by_you(frame.id):
            return frame.id in state.charts_seen
        known = self.index.facts(frame.id, kind="chart", version=CHART_VERSION)
        if known is None:
            known = {"seen": chart_seen(self.picture(frame))}
            self.index.put_facts(frame.id, known, kind="chart", version=CHART_VERSION)
        return known.get("seen") is True

    def judged(
        self, frame: Frame, state: ShootState, shot: Shot | None = None, guessed: bool | None = None
    ) -> Judged:
        """The full verdict. Raises InputError or CouldNotError when the file cannot be read."""
        judged = self._judged(frame, state, shot, guessed)
        lamp_row = state.lamps.get(frame.id)
        if lamp_row is None:
            return judged
        off = lamp_row["frame"] == frame.id
        return replace(judged, verdict=with_lamp(judged.verdict, lamp_of(lamp_row), lamp_is_off=off))

    def _judged(self, frame: Frame, state: ShootState, shot: Shot | None, guessed: bool | None) -> Judged:
        if guessed is None:
            shot, guessed = self.shot_of(frame, state)
        view = self._view(frame, shot, state)
        reference = self._reference(shot, state)
        wanted = self._wanted_of(shot)
        more = set_up_acts(
            view.facts, shot, frame.settings, wanted.where, why_orientation=wanted.why,
            sure_of_shot=not guessed and wanted.orientation_sure,
        )  # fmt: skip
        side = focus_side(view.facts, wanted.where, frame.settings)
        if reference is None or reference.frame == frame.id:
            verdict = verdict_of(view.facts, shot, frame.settings, more, side)
            if reference is not None:
                # she has accepted it: what is soft or dark in it is meant
                verdict = replace(verdict, word="good", acts=(), rests_on=("accepted",))
            return Judged(frame, shot.name if shot else "", guessed, verdict, view.facts)
        comparison = self._comparison(frame, reference, view, shot)
        if comparison is None:
            verdict = verdict_of(view.facts, shot, frame.settings, more, side)
            verdict = not_compared(verdict)
        else:
            verdict = verdict_against(
                view.facts, comparison, shot, frame.settings, reference.settings, more, side
            )
            if comparison.fits:
                light = by_reference(view.facts.exposure, comparison.stops)
                view.facts = replace(view.facts, exposure=light)
        return Judged(frame, shot.name if shot else "", guessed, verdict, view.facts, comparison)

    def provisional(self, frame: Frame, state: ShootState) -> Judged:
        """A first verdict from a raw's embedded preview, or from a JPEG before it is laid over its reference."""
        self._opened(frame).read_ahead()
        shot, guessed = self.shot_of(frame, state)
        facts = facts_of(
            self.picture(frame),
            shot,
            width_px=frame.width_px,
            height_px=frame.height_px,
            early=True,
        )
        self._early = frame.id, facts
        # how the camera is held is known at once; the set-up is not solved for it, that takes too long
        wanted = self._wanted.get(shot.name) if shot is not None else None
        turned = [] if wanted is None or wanted.where is None else orientation_acts(
            facts, wanted.where.orientation, wanted.why, sure=not guessed and wanted.orientation_sure
        )  # fmt: skip
        verdict = verdict_of(facts, shot, frame.settings, turned)
        return Judged(frame, shot.name if shot else "", guessed, verdict, facts)

    def _view(self, frame: Frame, shot: Shot | None, state: ShootState) -> FrameView:
        card, of_earlier = named_card(frame, shot, state)
        version = facts_version(frame, shot)
        if card is not None:
            version += f" card {' '.join(f'{v:.4f}' for v in card)} {of_earlier}"
        known = self.index.facts(frame.id, version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return FrameView(self.folder / frame.name, facts_from_json(known))
        view = self._opened(frame)
        view.facts = facts_of(
            view.picture, shot, view.linear, view.levels, width_px=frame.width_px, height_px=frame.height_px,
            grey_card=card, card_may_be_gone=of_earlier,
            before=self._early[1] if self._early is not None and self._early[0] == frame.id else None,
        )  # fmt: skip
        view.facts = replace(view.facts, card=self._card(frame, view.picture))
        self.index.put_facts(frame.id, as_json(view.facts), version=version)
        return view

    def _wanted_of(self, shot: Shot | None) -> WantedOfShot:
        """What the shot's set-up wants; solved when its first frame is judged."""
        if shot is None:
            return WantedOfShot()
        if shot.name not in self._wanted:
            self._wanted[shot.name] = wanted_of(self.opened, shot)
        return self._wanted[shot.name]

    def _card(self, frame: Frame, picture: NDArray[np.uint8]) -> CardInFrame | None:
        """The set card in the frame; a file that does not say its focal length cannot be measured by it."""
        if frame.settings.focal_length_mm is None:
            return None
        cameras = self.opened.studio.cameras
        named = [c for c in cameras if c.exif_model and c.exif_model == frame.settings.camera_model]
        camera = (named or list(cameras) or [Camera(name="unknown")])[0]
        lying = picture.shape[1] >= picture.shape[0]
        across = camera.sensor_width_mm if lying else camera.sensor_height_mm
        shown = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)
        return card_in_frame(shown, frame.settings.focal_length_mm, across)

    def _opened(self, frame: Frame) -> FrameView:
        """The frame's view; the last one is kept, for a frame is looked at several times in a row."""
        if self._last is None or self._last[0] != frame.id:
            path = self.folder / frame.name
            begun = self._begun is not None and self._begun[0] == _as_it_is(path)
            view = self._begun[1] if self._begun is not None and begun else FrameView(path)
            self._begun = None if begun else self._begun
            self._last = frame.id, view
        return self._last[1]

    def _reference(self, shot: Shot | None, state: ShootState) -> Reference | None:
        if shot is None or shot.name not in state.references:
            return None
        key = shot.name, state.references[shot.name]
        if key not in self._references:
            self._references[key] = self._load_reference(shot, key[1], state)
        return self._references[key]

    def _load_reference(self, shot: Shot, frame_id: str, state: ShootState) -> Reference | None:
        path = self.folder / state.landed.get(frame_id, "")
        if not path.is_file():
            return None
        try:
            frame = read_frame(self.folder, path, None, frame_id)
            view = FrameView(path)
            box = subject_box(shot, frame.width_px, frame.height_px)
            ball = self._view(frame, shot, state).facts.ball
            fill = known_fill(self.opened, self.index, frame, shot, ball)
            return reference_of(
                frame_id, view.picture, view.small, frame.settings, box, is_raw=view.linear is not None, fill=fill
            )  # fmt: skip
        except (InputError, CouldNotError):
            return None

    def _comparison(
        self, frame: Frame, reference: Reference, view: FrameView, shot: Shot | None
    ) -> Comparison | None:
        wants = wants_shallow(shot)
        own = f" {reference.fill.by} {reference.fill.ratio_stops:.2f}" if reference.fill else ""
        version = f"{COMPARE_VERSION} {reference.frame} {wants}{own}"
        known = self.index.facts(frame.id, kind="comparison", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return comparison_from_json(known)
        found = compare(
            reference,
            view.picture,
            view.small,
            frame.settings,
            wants_shallow=wants,
            is_raw=view.linear is not None,
        )
        if found is not None:
            self.index.put_facts(frame.id, as_json(found), kind="comparison", version=version)
        return found


def _as_it_is(path: Path) -> tuple[object, ...]:
    """Another when the file is another; its own each time where there is none."""
    try:
        stat = path.stat()
    except OSError:
        return path, object()
    return path, stat.st_size, stat.st_mtime_ns, stat.st_ino


def named_card(frame: Frame, shot: Shot | None, state: ShootState) -> tuple[Box | None, bool]:
    """Where her grey card was said to lie (x0, y0, x1, y1), for the frame it was said of and later ones of the shot;
    and whether it was said of an earlier frame, so that the card may have been taken away since."""
    if shot is None or shot.name not in state.grey_cards:
        return None, False
    named, (x, y, w, h) = state.grey_cards[shot.name]
    box = x, y, x + w, y + h
    if named == frame.id:
        return box, False
    landed = list(state.landed)
    later = named in landed and (frame.id not in landed or landed.index(frame.id) > landed.index(named))
    return (box, True) if later else (None, False)


def facts_version(frame: Frame, shot: Shot | None) -> str:
    """What cached facts depend on beside the file: the code, and where the shot expects its hero."""
    box = subject_box(shot, frame.width_px, frame.height_px)
    return f"{FACTS_VERSION} {' '.join(f'{v:.4f}' for v in box)}"
