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


def orientation_acts(facts: FrameFacts, wanted: str, why: str, *, sure: bool) -> list[WeightedAct]:
    """The act when a frame is landscape that should be portrait, or the other way; a square frame has no orientation.

    sure  False while the frame's shot is a guess: told, but nobody is sent back for it
    """
    if facts.width_px == facts.height_px or wanted not in ("portrait", "landscape"):
        return []
    seen = "landscape" if facts.width_px > facts.height_px else "portrait"
    if seen == wanted:
        return []
    words = f"Turn the camera to {wanted}: {why}"
    return [WeightedAct(Act(words, kind="level", confidence=0.9 if sure else 0.5), 1 if sure else 0)]


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
    found = [_card_act(words) for words in what_to_move(card, wanted)]
    if frame_width_mm is not None and abs(card.frame_width_mm / frame_width_mm - 1) > SCALE_SLACK:
        found.append(_card_act(f"frame is {card.frame_width_mm:.0f} mm wide, you asked {frame_width_mm:.0f}"))
    return found


def _card_act(words: str) -> WeightedAct:
    return WeightedAct(Act(f"By the set card: {words}", kind="level", confidence=0.9), 1)


def fill_acts(facts: FrameFacts, shot: Shot | None) -> list[WeightedAct]:
    """Key against fill from a ball or an egg, held against what the shot asks; a remark when it asks nothing."""
    ball = facts.ball
    if ball is None or ball.confidence < BALL_SURE or (shot is not None and "silhouette" in shot.deliberate):
        return []
    ratio_words = f"shadow side is {ball.ratio_stops:.1f} stops down"
    asked = shot.fill_stops if shot else None
    if asked is None:
        words = f"On the ball: {ratio_words}, key {ball.direction_words}"
        return [WeightedAct(Act(words, confidence=ball.confidence), 0)]
    off = ball.ratio_stops - asked
    if abs(off) <= FILL_SLACK_STOPS:
        return []
    way = "closer" if off > 0 else "further away"
    words = f"White board {way}: {ratio_words}, you asked {asked:g}"
    return [WeightedAct(Act(words, kind="light", confidence=min(ball.confidence, 0.85)), 1)]


def fill_against(facts: FrameFacts, seen: Comparison, shot: Shot | None) -> list[WeightedAct]:
    """Key against fill by the reference, where no ball in the frame tells it; what was accepted is not nagged about."""
    read = seen.fill
    by_ball = facts.ball is not None and facts.ball.confidence >= BALL_SURE
    meant = shot is not None and "silhouette" in shot.deliberate
    if read is None or by_ball or meant or seen.lamp or not seen.fits:
        return []
    if read.ratio_stops is None:
        words = "Key and fill stand to each other otherwise than in the reference: which way cannot be told"
        return [WeightedAct(Act(words, confidence=read.confidence), 0)]
    ratio_words = f"shadow side is {read.ratio_stops:.1f} stops down"
    by = "by the reference" if read.by == "the ball" else "by the reference, whose own is the plan's"
    asked = shot.fill_stops if shot else None
    off = 0.0 if asked is None else read.ratio_stops - asked
    if asked is not None and abs(off) > max(FILL_SLACK_STOPS, abs(off - read.change_stops)):
        way = "closer" if off > 0 else "further away"
        words = f"White board {way}: {ratio_words}, you asked {asked:g} ({by})"
        return [WeightedAct(Act(words, kind="light", confidence=min(read.confidence, 0.75)), 1)]
    since = "as in the reference"
    if read.change_stops:
        since = f"{abs(read.change_stops):.1f} {'more' if read.change_stops > 0 else 'less'} than in the reference"
    own = "" if read.by == "the ball" else " (its own is the plan's)"
    return [WeightedAct(Act(f"By the reference: {ratio_words}, {since}{own}", confidence=read.confidence), 0)]


def lux_acts(facts: FrameFacts, settings: Settings) -> list[WeightedAct]:
    """The light on the dish, as a remark among the rest."""
    lux, by = dish_lux(facts, settings)
    if lux is None:
        return []
    digits = max(1 - math.floor(math.log10(lux)), -4)
    return [WeightedAct(Act(f"About {round(lux, digits):g} lx on the dish ({by})", confidence=0.7), 0)]


def dish_lux(facts: FrameFacts, settings: Settings) -> tuple[float | None, str]:
    """Light on the dish [lx] and by what it was told: the grey card, else the frame's middle level taken as 18 %.

    ISO 2720's incident constant; a raw has its display levels by ISO 12232, a JPEG has its maker's tone curve on top.
    """
    level = facts.colour.card_level
    if level is not None:
        return illuminance_lx(level, settings), "grey card, within half a stop"
    return illuminance_lx(facts.exposure.middle_level, settings, CARD), "no grey card: within a stop or two"


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


def focus_words(focus_mm: float, where: WantedGeometry) -> str | None:
    """'Focus 15 mm nearer: 15 mm behind where the shot wants it'; None within half the sharp depth."""
    off = focus_mm - where.focus_mm
    if -0.5 * where.front_mm <= off <= 0.5 * where.back_mm:
        return None
    # far off, blur tells the side surely and the way to within a third: the second try is the exact one
    step = 20 if abs(off) >= 60 else 5
    size = max(step * round(abs(off) / step), step)
    side, way = ("behind", "nearer") if off > 0 else ("in front of", "further away")
    return f"Focus {'about ' if step > 5 else ''}{size} mm {way}: it lies {side} where the shot wants it"


def set_up_acts(
    facts: FrameFacts,
    shot: Shot | None,
    settings: Settings,
    where: WantedGeometry | None = None,
    *,
    why_orientation: str = "",
    sure_of_shot: bool = True,
) -> list[WeightedAct]:
    """All acts and remarks of this module that hold for a frame.

    where  what the shot's set-up wants; None when it could not be solved, then only what needs no set-up is told
    """
    found = [*fill_acts(facts, shot), *lux_acts(facts, settings)]
    if where is None:
        return found + card_acts(facts.card, None, None)
    wanted = Wanted(where.elevation_deg, where.distance_mm)
    turned = orientation_acts(facts, where.orientation, why_orientation, sure=sure_of_shot)
    found += turned
    found += card_acts(facts.card, wanted, None if turned else where.frame_width_mm)
    return found


def focus_side(facts: FrameFacts, where: WantedGeometry | None, settings: Settings) -> str | None:
    """'Focus 15 mm nearer: ...' where the rows of the table tell it, else None. For a frame that is out of focus."""
    if where is None or (facts.width_px < facts.height_px and where.orientation == "landscape"):
        return None
    as_taken = replace(
        where,
        f_number=settings.f_number or where.f_number,
        focal_length_mm=settings.focal_length_mm or where.focal_length_mm,
    )
    seen = focus_mm_of(facts.focus, as_taken, facts.width_px, facts.height_px)
    return None if seen is None else focus_words(seen, as_taken)
