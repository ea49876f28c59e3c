"""Acts that need to know what the shot's set-up wants: orientation, level and scale, focus in millimetres, fill, lux.

The table stands at distance s along the lens's axis at the picture's middle; a row that looks an angle t above the axis
meets it at s / (1 - tan t / tan e), e the camera's elevation (as the made scenes reckon). Blur of a distance x with the
focus at f is the thin lens's (Ray 2002), so the row that is sharpest tells where the focus lies.
"""

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.advice import Wanted, what_to_move
from plateside.camera.card.layout import corners_by_id, marker_dictionary
from plateside.camera.card.pose import LEAST_MARKERS, find_card
from plateside.camera.optics import blur_disc_mm
from plateside.frames.compare import Comparison
from plateside.frames.facts import CardInFrame, FocusFacts, FrameFacts
from plateside.frames.sharpness import WORK_PX
from plateside.frames.trend import CARD, illuminance_lx
from plateside.frames.weighted_act import WeightedAct
from plateside.model.frame import Act, Settings
from plateside.model.shoot import Shot

FILL_SLACK_STOPS = 0.4
BALL_SURE = 0.4
SCALE_SLACK = 0.03
LOOK_PX = 750
DISC_SPREAD = 0.25
"""Standard deviation of a uniform disc over its diameter: 1/4."""
FEWEST_BANDS = 7
LEAST_RANGE_PX2 = 0.4
"""How much more the blurriest bands must be spread than the sharpest before rows tell where the focus lies."""
SHARES = np.array([0.3, 0.42, 0.6, 0.85])
OWN_PX2 = np.array([-1.2, -0.8, -0.5, -0.25, 0.0, 0.25, 0.6, 1.2])


@dataclass(frozen=True)
class WantedGeometry:
    """What the shot's solved set-up wants, as far as a frame can be held against it."""

    orientation: str
    """portrait or landscape"""
    elevation_deg: float
    distance_mm: float
    """Lens to the aim point along the axis."""
    focus_mm: float
    """Lens to the plane of sharp focus."""
    front_mm: float
    back_mm: float
    """Depth that is sharp in front of and behind the plane of focus."""
    focal_length_mm: float
    f_number: float
    sensor_width_mm: float
    """As held, across the picture."""
    frame_width_mm: float


@dataclass(frozen=True)
class Why:
    """Why a shot's frames are landscape or portrait."""

    code: str = "fits"
    """shot (it asks for it), frame (the frame that you asked for), channel, or fits (the dish fits that way)"""
    name: str = ""
    """the channel's"""
    width: float | None = None
    height: float | None = None
    """of the channel's picture [px]"""


def orientation_acts(facts: FrameFacts, wanted: str, why: Why, *, sure: bool) -> list[WeightedAct]:
    """The act when a frame is landscape that should be portrait, or the other way; a square frame has no orientation.

    sure  False while the frame's shot is a guess: told, but nobody is sent back for it
    """
    if facts.width_px == facts.height_px or wanted not in ("portrait", "landscape"):
        return []
    orientation = "landscape" if facts.width_px > facts.height_px else "portrait"
    if orientation == wanted:
        return []
    act = Act(
        "turn camera", "level", way=wanted, by=why.code, name=why.name, amount=why.width, against=why.height,
        confidence=0.9 if sure else 0.5,
    )  # fmt: skip
    return [WeightedAct(act, 1 if sure else 0)]


def card_in_frame(
    grey: NDArray[np.uint8], focal_length_mm: float, sensor_width_mm: float
) -> CardInFrame | None:
    """The set card in a frame (H x W, eight bits); None without one.

    Looked for in a picture of a quarter first: a frame without markers costs next to nothing.
    sensor_width_mm  as held, across the picture
    """
    scale = LOOK_PX / max(grey.shape)
    small = grey
    if scale < 1:
        size = (round(grey.shape[1] * scale), round(grey.shape[0] * scale))
        small = np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), np.uint8)
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = 0.04
    parameters.adaptiveThreshWinSizeMax = 13
    _, ids, _ = cv2.aruco.ArucoDetector(marker_dictionary(), parameters).detectMarkers(small)
    if ids is None or np.count_nonzero(np.isin(ids, list(corners_by_id()))) < LEAST_MARKERS:
        return None
    pitch = sensor_width_mm / grey.shape[1]
    first = find_card(grey, focal_length_mm * 1.05 / pitch)
    if first is None:
        return None
    pose = find_card(grey, focal_length_mm * (1 + pitch / first.mm_per_px) / pitch) or first
    return CardInFrame(
        pose.paper, pose.back, round(pose.mm_per_px * grey.shape[1], 1), pose.elevation_deg, pose.roll_deg,
        pose.tilt_right_deg, pose.tilt_up_deg, pose.distance_mm, pose.markers_found,
    )  # fmt: skip


def card_acts(
    card: CardInFrame | None, wanted: Wanted | None, frame_width_mm: float | None
) -> list[WeightedAct]:
    """What the set card in the frame says of level, height and scale; `frame_width_mm`: what the shot wants across."""
    if card is None or card.back:
        return []
    found = [
        _card_act(f"card {move.code}", move.amount, move.way, move.now, move.wanted)
        for move in what_to_move(card, wanted)
    ]
    if frame_width_mm is not None and abs(card.frame_width_mm / frame_width_mm - 1) > SCALE_SLACK:
        found.append(_card_act("card width", card.frame_width_mm, "", None, frame_width_mm))
    return found


def _card_act(code: str, amount: float, way: str, now: float | None, wanted: float | None) -> WeightedAct:
    act = Act(code, "level", amount=amount, way=way, degrees=now, against=wanted, confidence=0.9)
    return WeightedAct(act, 1)


def fill_acts(facts: FrameFacts, shot: Shot | None) -> list[WeightedAct]:
    """Key against fill from a ball or an egg, held against what the shot asks; a remark when it asks nothing."""
    ball = facts.ball
    if ball is None or ball.confidence < BALL_SURE or (shot is not None and "silhouette" in shot.deliberate):
        return []
    asked = shot.fill_stops if shot else None
    ratio = ball.ratio_stops
    if asked is None:
        act = Act("key and fill", by="ball", amount=ratio, way=ball.key_from, confidence=ball.confidence)
        return [WeightedAct(act, 0)]
    off = ratio - asked
    if abs(off) <= FILL_SLACK_STOPS:
        return []
    return [WeightedAct(_white_board(ratio, asked, "ball", min(ball.confidence, 0.85)), 1)]


def _white_board(ratio: float, asked: float, by: str, confidence: float) -> Act:
    way = "closer" if ratio > asked else "further"
    return Act("white board", "light", amount=ratio, against=asked, way=way, by=by, confidence=confidence)


def fill_against(facts: FrameFacts, comparison: Comparison, shot: Shot | None) -> list[WeightedAct]:
    """Key against fill by the test frame, without a ball in the frame; what was accepted is not nagged about."""
    read = comparison.fill
    by_ball = facts.ball is not None and facts.ball.confidence >= BALL_SURE
    meant = shot is not None and "silhouette" in shot.deliberate
    if read is None or by_ball or meant or comparison.lamp or not comparison.fits:
        return []
    if read.ratio_stops is None:
        return [WeightedAct(Act("key and fill changed", confidence=read.confidence), 0)]
    by = "test frame" if read.by == "the ball" else "plan"
    asked = shot.fill_stops if shot else None
    off = 0.0 if asked is None else read.ratio_stops - asked
    if asked is not None and abs(off) > max(FILL_SLACK_STOPS, abs(off - read.change_stops)):
        return [WeightedAct(_white_board(read.ratio_stops, asked, by, min(read.confidence, 0.75)), 1)]
    act = Act(
        "key and fill", by=by, amount=read.ratio_stops, against=read.change_stops, confidence=read.confidence
    )
    return [WeightedAct(act, 0)]


def lux_acts(facts: FrameFacts, settings: Settings) -> list[WeightedAct]:
    """The light on the dish, as a remark among the rest."""
    lux, by = dish_lux(facts, settings)
    if lux is None:
        return []
    return [WeightedAct(Act("lux", amount=lux, by=by, confidence=0.7), 0)]


def dish_lux(facts: FrameFacts, settings: Settings) -> tuple[float | None, str]:
    """Light on the dish [lx] and by what: "grey card", else "" (the frame's middle level taken as 18 %).

    ISO 2720's incident constant; a raw has its display levels by ISO 12232, a JPEG has its maker's tone curve on top.
    """
    level = facts.colour.card_level
    if level is not None:
        return illuminance_lx(level, settings), "grey card"
    return illuminance_lx(facts.exposure.middle_level, settings, CARD), ""


def focus_mm_of(focus: FocusFacts, where: WantedGeometry, width_px: int, height_px: int) -> float | None:
    """Distance of the plane of focus from the lens [mm], by which rows are sharp; None when they do not say.

    Not told from above (every row is as far) nor when the picture has texture in too few rows.
    """
    if not 8 <= where.elevation_deg <= 72 or not focus.rows_px2:
        return None
    rows = np.asarray(focus.rows_px2)
    known = rows >= 0
    if np.count_nonzero(known) < FEWEST_BANDS:
        return None
    depth = row_depths_mm(where, len(rows), width_px, height_px)
    known &= (depth > 0.4 * where.distance_mm) & (depth < 2.5 * where.distance_mm)
    spread, x = rows[known], depth[known]
    if spread.size < FEWEST_BANDS or float(np.percentile(spread, 90) - spread.min()) < LEAST_RANGE_PX2:
        return None
    work_px = min(max(focus.measured_px or WORK_PX, 1), WORK_PX) * width_px / max(width_px, height_px)
    pixel_mm = where.sensor_width_mm / work_px
    tried = where.distance_mm * np.exp(np.linspace(np.log(0.6), np.log(1.7), 240))
    number = np.full(1, where.f_number)
    disc_mm = np.asarray(blur_disc_mm(np.full(1, where.focal_length_mm), number, tried[:, None], x[None]))
    blur = (DISC_SPREAD * np.asarray(disc_mm, float) / pixel_mm) ** 2
    # the sharpest edges of fine texture show less blur than there is, soft food shows its own on top
    drawn = np.maximum(SHARES[None, :, None, None] * blur[:, None, None] + OWN_PX2[None, None, :, None], 0.0)
    left = np.abs(np.sqrt(spread) - np.sqrt(drawn)).mean(axis=3)
    by_focus = left.min(axis=(1, 2))
    best = int(np.argmin(by_focus))
    swing = float(np.sqrt(spread).std())
    if best in (0, len(tried) - 1) or by_focus[best] > 0.45 * swing:
        return None
    return float(tried[best])


def row_depths_mm(where: WantedGeometry, rows: int, width_px: int, height_px: int) -> NDArray[np.float64]:
    """Distance of the table along the axis at the middle of each band of rows, from the top [mm]."""
    sensor_high = where.sensor_width_mm * height_px / width_px
    image_mm = where.focal_length_mm * where.distance_mm / (where.distance_mm - where.focal_length_mm)
    rise = (0.5 - (np.arange(rows) + 0.5) / rows) * sensor_high / image_mm
    fall = 1.0 - rise / math.tan(math.radians(where.elevation_deg))
    return np.asarray(where.distance_mm / np.maximum(fall, 0.2))


def focus_act(focus_mm: float, where: WantedGeometry) -> Act | None:
    """How far to move the focus, and whereto; None within half the sharp depth."""
    off = focus_mm - where.focus_mm
    if -0.5 * where.front_mm <= off <= 0.5 * where.back_mm:
        return None
    # far off, blur tells the side surely and the way to within a third: the second try is the exact one
    step = 20 if abs(off) >= 60 else 5
    size = max(step * round(abs(off) / step), step)
    return Act("focus mm", "focus", amount=size, way="nearer" if off > 0 else "further", rough=step > 5)


def set_up_acts(
    facts: FrameFacts,
    shot: Shot | None,
    settings: Settings,
    where: WantedGeometry | None = None,
    *,
    why_orientation: Why | None = None,
    sure_of_shot: bool = True,
) -> list[WeightedAct]:
    """All acts and remarks of this module that hold for a frame.

    where  what the shot's set-up wants; None when it could not be solved, then only what needs no set-up is told
    """
    found = [*fill_acts(facts, shot), *lux_acts(facts, settings)]
    if where is None:
        return found + card_acts(facts.card, None, None)
    wanted = Wanted(where.elevation_deg, where.distance_mm)
    turned = orientation_acts(facts, where.orientation, why_orientation or Why(), sure=sure_of_shot)
    found += turned
    found += card_acts(facts.card, wanted, None if turned else where.frame_width_mm)
    return found


def focus_side(facts: FrameFacts, where: WantedGeometry | None, settings: Settings) -> Act | None:
    """How far to move the focus where the rows of the table tell it, else None. For a frame that is out of focus."""
    if where is None or (facts.width_px < facts.height_px and where.orientation == "landscape"):
        return None
    as_taken = replace(
        where,
        f_number=settings.f_number or where.f_number,
        focal_length_mm=settings.focal_length_mm or where.focal_length_mm,
    )
    focus_mm = focus_mm_of(facts.focus, as_taken, facts.width_px, facts.height_px)
    return None if focus_mm is None else focus_act(focus_mm, as_taken)
