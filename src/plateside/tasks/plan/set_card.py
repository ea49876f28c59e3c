"""Print the set card, or read it from a frame."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plateside.camera.card.advice import Move, Wanted, what_to_move
from plateside.camera.card.layout import PAPERS, CardLayout, layout, marker_cells
from plateside.camera.card.pose import CardPose, find_card
from plateside.files.atomic import write_bytes
from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import display_picture, linear_picture
from plateside.files.printing import make_pdf
from plateside.files.settings.load import load_shoot, load_studio
from plateside.light.meter.iso12232 import MeasuredLight, illuminance_from_grey_card
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Settings
from plateside.model.gear import Camera
from plateside.tasks.plan.setup import set_up
from plateside.words.plan import refusals
from plateside.words.plan import set_card as words
from plateside.words.units import METRIC

LEAST_GREY_PX = 200
MOST_UNEVEN, MOST_COLOURED = 0.15, 1.25
BLANK_PAPER_SHARE = 0.6
"""An 18 % card above this share of saturation would be nearly two stops overexposed: it is the bare paper."""


@dataclass(frozen=True)
class PrintedCard:
    """A card made."""

    path: str
    paper: str
    ruler_mm: float


@dataclass(frozen=True)
class CardReport:
    """What one frame of the card says."""

    frame: str
    pose: CardPose
    sensor_width_mm: float
    magnification: float
    effective_focal_length_mm: float
    engraved_focal_length_mm: float
    to_do: tuple[Move, ...]
    light: MeasuredLight | None
    """on the grey card in its place, from a raw; None when there is none, it is not even, or the frame is a JPEG"""
    grey: str
    """why there is no light: needs raw, no settings, too small, no grey card, too bright; empty when there is"""
    print_scale: float
    units: str
    """in which lengths are shown: metric or imperial; the facts are metric"""


def print_card(paper: str, out: Path) -> PrintedCard:
    """Write the card's PDF (front and back) to `out`. Raises InputError for an unknown paper."""
    names = {p.name.lower(): p.name for p in PAPERS}
    if paper.lower() not in names:
        raise InputError(words.no_paper(paper, tuple(names.values())))
    front, back = layout(names[paper.lower()]), layout(names[paper.lower()], back=True)
    data = {
        "width_mm": front.paper.width_mm,
        "height_mm": front.paper.height_mm,
        "text_pt": 11 if front.paper.width_mm > 250 else 8,
        "sides": [_side(front, words.front_sentences(front.ruler.width_mm)), _side(back, words.BACK)],
    }
    write_bytes(out, make_pdf("card.typ", data))
    return PrintedCard(str(out), front.paper.name, front.ruler.width_mm)


def _side(side: CardLayout, said: str) -> dict[str, Any]:
    return {
        "back": side.back,
        "words": said,
        "markers": [
            {"x_mm": m.x_mm, "y_mm": m.y_mm, "side_mm": m.side_mm, "cells": marker_cells(m.id).tolist()}
            for m in side.markers
        ],
        "grey": vars(side.grey),
        "ruler": vars(side.ruler),
    }


def read_card(
    frame: Path, shoot: Path | None, ruler_mm: float | None, wanted: Wanted | None = None
) -> CardReport:
    """Read the card in a frame.

    shoot     the shoot's folder, for the camera's sensor; None: an APS-C sensor of 23.5 mm
    ruler_mm  the printed ruler as measured, when it is not true
    Raises CouldNotError when no card is seen, InputError when the frame has no focal length in it.
    """
    settings = read_settings(frame)
    if settings.focal_length_mm is None:
        raise InputError(words.no_focal_length(frame.name))
    camera, units = _camera(shoot, settings.camera_model)
    picture = display_picture(frame, 3000)
    grey = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    long_side = max(grey.shape)
    pitch = camera.sensor_width_mm / long_side
    first = find_card(grey, settings.focal_length_mm * 1.05 / pitch)
    if first is None:
        raise CouldNotError(words.no_card(frame.name))
    scale = 1.0
    if ruler_mm is not None:
        scale = ruler_mm / layout(first.paper).ruler.width_mm
        if not 0.8 < scale < 1.25:
            true = layout(first.paper).ruler.width_mm
            raise InputError(words.no_ruler(first.paper, true, ruler_mm))
    # the image distance grows with the magnification that the card itself shows
    focal = settings.focal_length_mm * (1 + pitch / (first.mm_per_px * scale))
    pose = find_card(grey, focal / pitch, scale) or first
    m = pose.magnification(pitch)
    light, why_none = _light_on_card(frame, settings, pose, grey.shape, m, camera)
    return CardReport(
        frame=frame.name,
        pose=pose,
        sensor_width_mm=camera.sensor_width_mm,
        magnification=m,
        effective_focal_length_mm=pose.focal_length_px * pitch / (1 + m),
        engraved_focal_length_mm=settings.focal_length_mm,
        to_do=() if pose.back else what_to_move(pose, wanted),
        light=light,
        grey=why_none,
        print_scale=scale,
        units=units,
    )


def wanted_at(distance_mm: float, elevation_deg: float | None = None) -> Wanted:
    """Where the camera is wanted: from lens to card [mm], and how steeply it looks down [deg]; None: straight down."""
    return Wanted(90.0 if elevation_deg is None else elevation_deg, distance_mm)


def wanted_for(shoot: Path, shot: str) -> Wanted:
    """Where the plan wants the camera for a shot. Raises InputError (unknown shot), CouldNotError (no set-up)."""
    report = set_up(shoot, shot)
    if not report.set_ups:
        raise CouldNotError(report.unsolved[0] if report.unsolved else refusals.no_set_up_for(shot))
    solved = report.set_ups[0]
    return Wanted(solved.elevation_deg, 1000 * solved.lens_distance_m)


def _camera(shoot: Path | None, model: str) -> tuple[Camera, str]:
    """The camera that took a frame, and in which lengths its studio shows."""
    if shoot is None:
        return Camera(name="unknown"), METRIC
    root = find_shoot(shoot)
    folder = shoot_folder(root, load_shoot(root / "shoot.toml"))
    studio = load_studio(folder.studio_file)
    cameras = studio.cameras
    named = [c for c in cameras if c.exif_model and c.exif_model == model]
    return (named or list(cameras) or [Camera(name="unknown")])[0], studio.place.units


def _light_on_card(
    frame: Path,
    settings: Settings,
    pose: CardPose,
    shape: tuple[int, ...],
    magnification: float,
    camera: Camera,
) -> tuple[MeasuredLight | None, str]:
    """The light on the grey card in its place, or the code of why there is none."""
    if pose.back:
        return None, ""
    if not is_raw(frame):
        return None, "needs raw"
    if settings.f_number is None or settings.exposure_s is None or settings.iso is None:
        return None, "no settings"
    picture = linear_picture(frame)
    mask = np.zeros(picture.rgb.shape[:2], np.uint8)
    # the middle of its place: a card laid a little askew still covers it
    middle = pose.grey_px.mean(axis=0)
    inner = (middle + 0.4 * (pose.grey_px - middle)) * (picture.rgb.shape[1] / shape[1])
    cv2.fillConvexPoly(mask, np.round(inner).astype(np.int32), 255)
    patch = picture.rgb[mask > 0]
    if len(patch) < LEAST_GREY_PX:
        return None, "too small"
    balanced = patch.mean(axis=0) * np.asarray(picture.white_balance)
    uneven = float(patch[:, 1].std() / max(float(patch[:, 1].mean()), 1e-9))
    if uneven > MOST_UNEVEN or float(balanced.max() / max(float(balanced.min()), 1e-9)) > MOST_COLOURED:
        return None, "no grey card"
    share = float(patch[:, 1].mean()) / picture.saturation[1]
    if share > BLANK_PAPER_SHARE:
        return None, "too bright"
    light = illuminance_from_grey_card(
        f_number=settings.f_number,
        exposure_s=settings.exposure_s,
        iso=settings.iso,
        raw_share=share,
        magnification=magnification,
        meter_factor=camera.meter_factor,
    )
    return light, ""
