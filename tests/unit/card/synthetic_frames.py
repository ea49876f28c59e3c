"""Frames of the set card with a known pose, drawn by projecting every pixel's ray on the printed card.

Independent of the code under test: the card is painted from the layout's millimetres, the camera is a pinhole
with radial distortion written here, and blur, noise, uneven light and things lying on the card are added.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.layout import CardLayout, layout, marker_cells

PX_PER_MM = 8


@dataclass(frozen=True)
class Truth:
    """How the frame was made."""

    paper: str
    back: bool
    elevation_deg: float
    heading_deg: float
    roll_deg: float
    tilt_right_deg: float
    distance_mm: float
    focal_px: float
    k1: float
    off_axis: tuple[float, float]
    """where the card's middle lies from the frame's middle, as shares of half the frame"""
    blur_px: float
    noise: float
    covered: int
    """how many dark discs lie on the card"""
    width: int = 1500
    height: int = 1000


def print_card(side: CardLayout) -> NDArray[np.float32]:
    """The card as it comes from the printer, PX_PER_MM, white 0.85 and black 0.04."""
    w, h = round(side.paper.width_mm * PX_PER_MM), round(side.paper.height_mm * PX_PER_MM)
    sheet = np.full((h, w), 0.85, np.float32)
    for marker in side.markers:
        cells = marker_cells(marker.id)
        module = marker.side_mm / len(cells) * PX_PER_MM
        left, top = marker.x_mm * PX_PER_MM, h - (marker.y_mm + marker.side_mm) * PX_PER_MM
        for row in range(len(cells)):
            for col in range(len(cells)):
                if cells[row, col]:
                    y0, y1 = round(top + row * module), round(top + (row + 1) * module)
                    x0, x1 = round(left + col * module), round(left + (col + 1) * module)
                    sheet[y0:y1, x0:x1] = 0.04
    return sheet


def rotation(truth: Truth) -> NDArray[np.float64]:
    """Card to camera: heading about the card's normal, then the camera's elevation, then its lean."""
    flip = np.diag([1.0, -1.0, -1.0])  # looking straight down: y of the card is up in the frame
    a, b, c, d = np.radians(
        [truth.heading_deg, 90 - truth.elevation_deg, truth.roll_deg, truth.tilt_right_deg]
    )
    about_normal = np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    # the camera looks up by b from straight down: the card turns the other way
    lift = np.array([[1, 0, 0], [0, np.cos(b), np.sin(b)], [0, -np.sin(b), np.cos(b)]])
    # the camera looks to the right by d
    aside = np.array([[np.cos(d), 0, -np.sin(d)], [0, 1, 0], [np.sin(d), 0, np.cos(d)]])
    # the camera leans clockwise by c: the picture turns anticlockwise
    lean = np.array([[np.cos(c), np.sin(c), 0], [-np.sin(c), np.cos(c), 0], [0, 0, 1]])
    return np.asarray(lean @ aside @ lift @ flip @ about_normal)


def make_frame(truth: Truth, seed: int) -> NDArray[np.uint8]:
    """Photograph the card on a brown table."""
    rng = np.random.default_rng(seed)
    side = layout(truth.paper, truth.back)
    sheet = print_card(side)
    for _ in range(truth.covered):
        at = (int(rng.uniform(0, sheet.shape[1])), int(rng.uniform(0, sheet.shape[0])))
        cv2.circle(sheet, at, int(rng.uniform(10, 25) * PX_PER_MM), float(rng.uniform(0.1, 0.6)), -1)
    turn = rotation(truth)
    move = np.array(
        [truth.off_axis[0] * truth.width / 2, truth.off_axis[1] * truth.height / 2, truth.focal_px]
    )
    move *= truth.distance_mm / np.linalg.norm(move)
    v, u = np.mgrid[0 : truth.height, 0 : truth.width].astype(np.float64)
    x = (u - (truth.width - 1) / 2) / truth.focal_px
    y = (v - (truth.height - 1) / 2) / truth.focal_px
    ux, uy = x.copy(), y.copy()
    for _ in range(12):  # undo the distortion by fixed point
        r2 = ux**2 + uy**2
        ux, uy = x / (1 + truth.k1 * r2), y / (1 + truth.k1 * r2)
    rays = np.stack([ux, uy, np.ones_like(ux)], axis=-1)
    normal = turn[:, 2]
    depth = (normal @ move) / (rays @ normal)
    points = (rays * depth[..., None] - move) @ turn  # in card coordinates about the middle
    card_x = (points[..., 0] + side.paper.width_mm / 2) * PX_PER_MM - 0.5
    card_y = (side.paper.height_mm / 2 - points[..., 1]) * PX_PER_MM - 0.5
    # a printed pixel may be larger or smaller than a sensor pixel: blur the print to the sensor's pitch first
    pitch = truth.distance_mm / truth.focal_px * PX_PER_MM
    sheet = cv2.GaussianBlur(sheet, (0, 0), max(0.3, 0.4 * pitch)).astype(np.float32)
    table = 0.25 + 0.03 * rng.standard_normal((truth.height // 8, truth.width // 8)).astype(np.float32)
    table = np.asarray(cv2.resize(table, (truth.width, truth.height)), np.float32)
    drawn = cv2.remap(
        sheet, card_x.astype(np.float32), card_y.astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT, borderValue=-1.0,
    )  # fmt: skip
    scene = np.where(drawn < 0, table, drawn)
    fall = 1.0 + 0.35 * (u / truth.width - 0.5)  # window light falls off across the set
    scene = cv2.GaussianBlur(scene * fall, (0, 0), max(truth.blur_px, 0.3))
    scene = scene + truth.noise * rng.standard_normal(scene.shape)
    display = np.clip(scene, 0, 1) ** (1 / 2.2)
    return np.asarray(np.round(display * 255), dtype=np.uint8)


def random_truth(seed: int) -> Truth:
    """A set-up somebody could have: straight above to 60 degrees of obliquity, all three papers."""
    rng = np.random.default_rng(1000 + seed)
    overhead = seed % 3 == 0
    paper = ("A4", "A5", "Letter")[seed % 3 if seed % 2 else (seed // 3) % 3]
    elevation = 90.0 if overhead else float(rng.uniform(30, 85))
    small = 0.75 if paper == "A5" else 1.0
    focal_px = float(rng.uniform(1500, 2600))
    return Truth(
        paper=paper,
        back=bool(rng.random() < 0.15),
        elevation_deg=elevation + (float(rng.uniform(-4, 0)) if overhead else 0.0),
        heading_deg=float(rng.uniform(-180, 180)) if overhead else float(rng.uniform(-35, 35)),
        roll_deg=0.0 if overhead else float(rng.uniform(-8, 8)),
        tilt_right_deg=float(rng.uniform(-4, 4)) if overhead else 0.0,
        distance_mm=float(rng.uniform(500, 900)) * small * focal_px / 2000,
        focal_px=focal_px,
        k1=float(rng.uniform(-0.08, 0.08)),
        off_axis=(float(rng.uniform(-0.25, 0.25)), float(rng.uniform(-0.25, 0.25))),
        blur_px=float(rng.uniform(0.5, 1.6)),
        noise=float(rng.uniform(0.002, 0.02)),
        covered=int(rng.integers(0, 4)),
    )
