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
from plateside.light.answers import rounded
from plateside.light.meter.iso12232 import MeasuredLight, illuminance_from_grey_card
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Settings
from plateside.model.studio import Camera
from plateside.tasks.plan.setup import set_up
from plateside.words.set.acts import card_move_phrase

FRONT_WORDS = (
    "Lay this card flat where the dish will stand, and your own grey card here in the middle. "
    "Take one frame. Then measure the ruler below: when it is not exactly {ruler:.0f} mm long, tell the tool what you "
    "measured. Keep the card dry, flat and out of the food."
)
LEAST_GREY_PX = 200
MOST_UNEVEN, MOST_COLOURED = 0.15, 1.25
BLANK_PAPER_SHARE = 0.6
"""An 18 % card above this share of saturation would be nearly two stops overexposed: it is the bare paper."""

BACK_WORDS = "Show this side to the camera, take one frame, and the next shot is the current one."


@dataclass(frozen=True)
class PrintedCard:
    """A card made."""

    path: str
    paper: str
    ruler_mm: float

    def lines(self) -> list[str]:
        return [
            f"Set card for {self.paper}: {self.path} (front and back)",
            "Print it at 100 %, without 'fit to page', on matt paper; glue it on card so that it lies flat.",
            f"Then measure the ruler: it should be {self.ruler_mm:.0f} mm. If it is not, give what you measured: "
            "plateside card --read FRAME --ruler MM",
        ]


@dataclass(frozen=True)
class CardReport:
    """What one frame of the card told."""

    frame: str
    pose: CardPose
    sensor_width_mm: float
    magnification: float
    effective_focal_length_mm: float
    engraved_focal_length_mm: float
    to_do: tuple[Move, ...]
    light: MeasuredLight | None
    """on the grey card in its place, from a raw; None when there is none, it is not even, or the frame is a JPEG"""
    grey_words: str
    print_scale: float

    def lines(self) -> list[str]:
        p = self.pose
        if p.back:
            return [f"{self.frame}: the card's back: next shot."]
        facts = [
            f"{self.frame}: {p.markers_found} of {p.markers_printed} markers of the {p.paper} card seen",
            f"scale {p.mm_per_px:.4f} mm per pixel; magnification {self.magnification:.4f}",
            f"lens {p.distance_mm / 1000:.3f} m from the card, {p.height_mm / 1000:.3f} m above it",
        ]
        if p.elevation_deg >= 80:
            facts.append(
                f"off straight down: {p.tilt_right_deg:+.1f}° to the right, {p.tilt_up_deg:+.1f}° to the top"
            )
        else:
            facts.append(f"elevation {p.elevation_deg:.1f}°, roll {p.roll_deg:+.1f}°")
        told = (
            "told by the frame"
            if p.focal_length_certain
            else "as engraved: from straight above it cannot be told"
        )
        facts.append(f"focal length at this distance {self.effective_focal_length_mm:.1f} mm ({told})")
        if self.print_scale != 1.0:
            facts.append(
                f"the printer made the card {100 * (self.print_scale - 1):+.1f} % of its size: allowed for"
            )
        facts.append(self.grey_words)
        return facts + (
            [f"Next: {card_move_phrase(m.code, m.amount, m.way, m.now, m.wanted)}" for m in self.to_do]
            or ["Stands as wanted."]
        )


def print_card(paper: str, out: Path) -> PrintedCard:
    """Write the card's PDF (front and back) to `out`. Raises InputError for an unknown paper."""
    names = {p.name.lower(): p.name for p in PAPERS}
    if paper.lower() not in names:
        raise InputError(f"Paper {paper!r} is not known: choose one of {', '.join(names.values())}.")
    front, back = layout(names[paper.lower()]), layout(names[paper.lower()], back=True)
    data = {
        "width_mm": front.paper.width_mm,
        "height_mm": front.paper.height_mm,
        "text_pt": 11 if front.paper.width_mm > 250 else 8,
        "sides": [_side(front, FRONT_WORDS.format(ruler=front.ruler.width_mm)), _side(back, BACK_WORDS)],
    }
    write_bytes(out, make_pdf("card.typ", data))
    return PrintedCard(str(out), front.paper.name, front.ruler.width_mm)


def _side(side: CardLayout, words: str) -> dict[str, Any]:
    return {
        "back": side.back,
        "words": words,
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
    Raises CouldNotError when no card is seen, InputError when the frame does not tell its focal length.
    """
    settings = read_settings(frame)
    if settings.focal_length_mm is None:
        raise InputError(
            f"{frame.name} does not say its focal length (EXIF FocalLength): use a frame as the camera wrote it."
        )
    camera = _camera(shoot, settings.camera_model)
    picture = display_picture(frame, 3000)
    grey = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    long_side = max(grey.shape)
    pitch = camera.sensor_width_mm / long_side
    first = find_card(grey, settings.focal_length_mm * 1.05 / pitch)
    if first is None:
        raise CouldNotError(
            f"No set card found in {frame.name}: at least two whole markers must be seen, sharp and not in shadow. "
            "Wipe it, turn it to the light, and take the frame again."
        )
    scale = 1.0
    if ruler_mm is not None:
        scale = ruler_mm / layout(first.paper).ruler.width_mm
        if not 0.8 < scale < 1.25:
            true = layout(first.paper).ruler.width_mm
            raise InputError(
                f"The ruler on the {first.paper} card is {true:.0f} mm long; {ruler_mm:g} mm cannot be it."
            )
    # the image distance grows with the magnification that the card itself tells
    focal = settings.focal_length_mm * (1 + pitch / (first.mm_per_px * scale))
    pose = find_card(grey, focal / pitch, scale) or first
    m = pose.magnification(pitch)
    light, grey_words = _light_on_card(frame, settings, pose, grey.shape, m, camera)
    return CardReport(
        frame=frame.name,
        pose=pose,
        sensor_width_mm=camera.sensor_width_mm,
        magnification=m,
        effective_focal_length_mm=pose.focal_length_px * pitch / (1 + m),
        engraved_focal_length_mm=settings.focal_length_mm,
        to_do=() if pose.back else what_to_move(pose, wanted),
        light=light,
        grey_words=grey_words,
        print_scale=scale,
    )


def wanted_at(distance_mm: float, elevation_deg: float | None = None) -> Wanted:
    """Where the camera is wanted: from lens to card [mm], and how steeply it looks down [deg]; None: straight down."""
    return Wanted(90.0 if elevation_deg is None else elevation_deg, distance_mm)


def wanted_for(shoot: Path, shot: str) -> Wanted:
    """Where the plan wants the camera for a shot. Raises InputError (unknown shot), CouldNotError (no set-up)."""
    report = set_up(shoot, shot)
    if not report.set_ups:
        raise CouldNotError(report.unsolved[0] if report.unsolved else f"The plan has no set-up for {shot}.")
    solved = report.set_ups[0]
    return Wanted(solved.elevation_deg, 1000 * solved.lens_distance_m)


def _camera(shoot: Path | None, model: str) -> Camera:
    if shoot is None:
        return Camera(name="unknown")
    root = find_shoot(shoot)
    folder = shoot_folder(root, load_shoot(root / "shoot.toml"))
    cameras = load_studio(folder.studio_file).cameras
    named = [c for c in cameras if c.exif_model and c.exif_model == model]
    return (named or list(cameras) or [Camera(name="unknown")])[0]


def _light_on_card(
    frame: Path,
    settings: Settings,
    pose: CardPose,
    shape: tuple[int, ...],
    magnification: float,
    camera: Camera,
) -> tuple[MeasuredLight | None, str]:
    """The light on the grey card that lies in its place, and what is said of it."""
    if pose.back:
        return None, ""
    if not is_raw(frame):
        return None, "light: a raw is needed (a camera's JPEG bends the levels)"
    if settings.f_number is None or settings.exposure_s is None or settings.iso is None:
        return None, "light: the frame does not tell f-number, time and ISO"
    picture = linear_picture(frame)
    mask = np.zeros(picture.rgb.shape[:2], np.uint8)
    # the middle of its place: a card laid a little askew still covers it
    middle = pose.grey_px.mean(axis=0)
    inner = (middle + 0.4 * (pose.grey_px - middle)) * (picture.rgb.shape[1] / shape[1])
    cv2.fillConvexPoly(mask, np.round(inner).astype(np.int32), 255)
    patch = picture.rgb[mask > 0]
    if len(patch) < LEAST_GREY_PX:
        return None, "light: the grey card's place is too small in the frame"
    balanced = patch.mean(axis=0) * np.asarray(picture.white_balance)
    uneven = float(patch[:, 1].std() / max(float(patch[:, 1].mean()), 1e-9))
    if uneven > MOST_UNEVEN or float(balanced.max() / max(float(balanced.min()), 1e-9)) > MOST_COLOURED:
        return None, "light: lay your grey card in the dashed place, and it is told too"
    share = float(patch[:, 1].mean()) / picture.saturation[1]
    if share > BLANK_PAPER_SHARE:
        return None, "light: what lies in the dashed place is too bright for an 18 % card"
    light = illuminance_from_grey_card(
        f_number=settings.f_number,
        exposure_s=settings.exposure_s,
        iso=settings.iso,
        raw_share=share,
        magnification=magnification,
        meter_factor=camera.meter_factor,
    )
    low, high = (light.illuminance_lx * 2 ** (sign * light.spread_stops) for sign in (-1, 1))
    return (
        light,
        f"light on the grey card about {rounded(light.illuminance_lx)} lx ({rounded(low)}-{rounded(high)})",
    )
