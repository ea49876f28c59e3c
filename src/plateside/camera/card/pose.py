"""From one frame that shows the set card: scale, tilt, roll, height and distance of the camera.

The corners of every marker seen are compared with where a pinhole camera with a little radial distortion would
see them, and the six numbers of the camera's place, its focal length in pixels and its distortion are found by
least squares (Hartley and Zisserman 2004, ch. 7; a maximum a posteriori estimate). Focal length and distortion
have priors: seen from straight above they cannot be told from one frame, seen at a slant they can.

Camera coordinates: x right, y down, z along the optical axis. Card coordinates: x right, y up, z towards the eye.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.corners import linear_light, refine_corners
from plateside.camera.card.layout import CardLayout, corners_by_id, marker_dictionary

CORNER_SPREAD_PX = 0.1
"""expected error of one corner coordinate"""
FOCAL_PRIOR = 0.04
"""relative spread of a real focal length about the engraved one, focus breathing included"""
DISTORTION_PRIOR = 0.06
"""spread of k1 (radial distortion at one focal length off the axis): 6 % there, about 1 % at a frame's edge"""
LEAST_MARKERS = 2
LARGEST_MISFIT_PX = 2.0
"""root mean square misfit above which the pose is not believed"""

Points = NDArray[np.float64]


@dataclass(frozen=True)
class CardPose:
    """Where the camera stood, as the card tells it."""

    paper: str
    back: bool
    markers_found: int
    markers_printed: int
    mm_per_px: float
    """at the card's middle, across the line of sight"""
    elevation_deg: float
    """of the camera above the table: 90 straight down, 0 at table height"""
    roll_deg: float
    """of the frame: positive when the camera leans clockwise seen from behind it. Meaningless straight above"""
    tilt_right_deg: float
    """straight above: how far the camera looks to the right of straight down"""
    tilt_up_deg: float
    """straight above: how far the camera looks towards the top of the frame"""
    distance_mm: float
    """from the card's middle to the lens (its entrance pupil)"""
    height_mm: float
    """of the lens above the card"""
    focal_length_px: float
    focal_length_certain: bool
    """True when the frame itself told the focal length, False when the engraved one had to be believed"""
    distortion_k1: float
    misfit_px: float
    centre_px: tuple[float, float]
    grey_px: Points
    """4 x 2: the corners of the place for the grey card, in pixels"""

    def magnification(self, pixel_pitch_mm: float) -> float:
        """Image size over object size at the card's middle."""
        return pixel_pitch_mm / self.mm_per_px


def find_card(grey: NDArray[np.uint8], focal_length_px: float, print_scale: float = 1.0) -> CardPose | None:
    """Find the card in a frame and work out the camera's pose; None when no card can be believed.

    grey             H x W picture, eight bits
    focal_length_px  image distance over pixel pitch: about engraved focal length x (1 + magnification) / pitch
    print_scale      the printed ruler's measured length over its true one, when the printer shrank the page
    """
    corners, ids = _detect(grey)
    side, object_mm, image_px, marker_count = _one_card(corners, ids)
    if side is None or marker_count < LEAST_MARKERS:
        return None
    centre = np.array([(grey.shape[1] - 1) / 2, (grey.shape[0] - 1) / 2])
    object_mm = (object_mm - np.array(side.centre_mm)) * print_scale
    fit = _solve(object_mm, image_px, centre, focal_length_px)
    if fit is None:
        return None
    return _describe(side, fit, centre, focal_length_px, marker_count, print_scale)


def card_corners(grey: NDArray[np.uint8]) -> tuple[CardLayout, Points, Points] | None:
    """The side of a card that is seen, and its markers' corners (n, 2): on the card [mm], in the picture [px]."""
    side, object_mm, image_px, marker_count = _one_card(*_detect(grey))
    return None if side is None or marker_count < LEAST_MARKERS else (side, object_mm, image_px)


def shows_back(grey: NDArray[np.uint8]) -> bool:
    """Whether a picture shows a card's back: two of its markers or more, and no more of a front.

    Quick: no pose is worked out. A card held to the camera fills enough of a picture 750 px wide.
    """
    parameters = cv2.aruco.DetectorParameters()
    # one threshold instead of three: a card that is shown is lit and large
    parameters.adaptiveThreshWinSizeMin = parameters.adaptiveThreshWinSizeMax = 13
    parameters.minMarkerPerimeterRate = 0.05
    found, ids, _rejected = cv2.aruco.ArucoDetector(marker_dictionary(), parameters).detectMarkers(grey)
    if not found:
        return False
    table = corners_by_id()
    sides = [table[int(i)][0].back for i in ids.ravel() if int(i) in table]
    return sides.count(True) >= LEAST_MARKERS and sides.count(True) >= sides.count(False)


def _detect(grey: NDArray[np.uint8]) -> tuple[list[Points], list[int]]:
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    parameters.minMarkerPerimeterRate = 0.01
    detector = cv2.aruco.ArucoDetector(marker_dictionary(), parameters)
    found, ids, _rejected = detector.detectMarkers(grey)
    if not found:
        return [], []
    light = linear_light(grey)
    corners, refined_ids = [], []
    for guess, marker_id in zip(found, ids.ravel(), strict=True):
        exact = refine_corners(light, np.asarray(guess, dtype=np.float64).reshape(4, 2))
        if exact is not None:
            corners.append(exact)
            refined_ids.append(int(marker_id))
    return corners, refined_ids


def _one_card(corners: list[Points], ids: list[int]) -> tuple[CardLayout | None, Points, Points, int]:
    """The side of a card with most markers in sight, its corners in mm and in px, and how many markers."""
    table = corners_by_id()
    sides: dict[tuple[str, bool], list[int]] = {}
    for place, marker_id in enumerate(ids):
        if marker_id in table:
            side = table[marker_id][0]
            sides.setdefault((side.paper.name, side.back), []).append(place)
    if not sides:
        return None, np.empty((0, 2)), np.empty((0, 2)), 0
    places = max(sides.values(), key=len)
    side = table[ids[places[0]]][0]
    object_mm = np.concatenate([table[ids[p]][1] for p in places])
    return side, object_mm, np.concatenate([corners[p] for p in places]), len(places)


@dataclass(frozen=True)
class _Fit:
    rotation: Points
    translation: Points
    focal_px: float
    k1: float
    misfit_px: float
    focal_spread: float


def _project(
    object_mm: Points, rvec: Points, tvec: Points, focal: float, k1: float, centre: Points
) -> Points:
    rotation, _ = cv2.Rodrigues(rvec)
    in_camera_mm = np.column_stack([object_mm, np.zeros(len(object_mm))]) @ np.asarray(rotation).T + tvec
    flat = in_camera_mm[:, :2] / in_camera_mm[:, 2:]
    radial = 1 + k1 * (flat**2).sum(axis=1, keepdims=True)
    return np.asarray(flat * radial * focal + centre)


def _solve(object_mm: Points, image_px: Points, centre: Points, focal_px: float) -> _Fit | None:
    camera = np.array([[focal_px, 0, centre[0]], [0, focal_px, centre[1]], [0, 0, 1.0]])
    flat = np.column_stack([object_mm, np.zeros(len(object_mm))])
    # a plane seen from afar has two likely poses: start from both, keep the better
    count, rvecs, tvecs, _err = cv2.solvePnPGeneric(flat, image_px, camera, None, flags=cv2.SOLVEPNP_IPPE)
    best: _Fit | None = None
    for i in range(int(count)):
        start = np.concatenate([np.ravel(rvecs[i]), np.ravel(tvecs[i]), [0.0, 0.0]])
        fit = _refine(object_mm, image_px, centre, focal_px, start)
        if best is None or fit.misfit_px < best.misfit_px:
            best = fit
    if best is None or best.misfit_px > LARGEST_MISFIT_PX or best.translation[2] <= 0:
        return None
    return best


def _refine(object_mm: Points, image_px: Points, centre: Points, focal_px: float, start: Points) -> _Fit:
    # imported where a card is read: half a second of every start otherwise
    from scipy.optimize import least_squares

    def residuals(p: Points) -> Points:
        drawn = _project(object_mm, p[:3], p[3:6], focal_px * np.exp(p[6]), p[7], centre)
        off = (drawn - image_px).ravel() / CORNER_SPREAD_PX
        return np.concatenate([off, [p[6] / FOCAL_PRIOR, p[7] / DISTORTION_PRIOR]])

    scale = np.concatenate([np.full(3, 0.01), np.full(3, 1.0 + abs(start[5]) * 0.01), [0.01, 0.01]])
    # a corner under a crumb or a bent edge must not pull the whole card: a soft loss
    got = least_squares(residuals, start, x_scale=scale, loss="soft_l1", method="trf", max_nfev=60)
    p = np.asarray(got.x)
    drawn = _project(object_mm, p[:3], p[3:6], focal_px * np.exp(p[6]), p[7], centre)
    misfit = float(np.sqrt(np.median(((drawn - image_px) ** 2).sum(axis=1))))
    information = got.jac.T @ got.jac
    covariance = np.linalg.pinv(information)
    rotation, _ = cv2.Rodrigues(p[:3])
    return _Fit(
        np.asarray(rotation), p[3:6], float(focal_px * np.exp(p[6])), float(p[7]), misfit,
        float(np.sqrt(max(covariance[6, 6], 0.0))),
    )  # fmt: skip


def _describe(
    side: CardLayout, fit: _Fit, centre: Points, focal_px: float, marker_count: int, print_scale: float
) -> CardPose | None:
    normal = fit.rotation[:, 2]  # the card's z axis, towards the eye, in camera coordinates
    if normal[2] >= 0:
        return None  # the card's back side in a mirror: not a card lying on the table
    elevation = float(np.degrees(np.arcsin(np.clip(-normal[2], -1, 1))))
    depth = float(fit.translation[2])
    rvec, _ = cv2.Rodrigues(fit.rotation)
    g = side.grey
    cx, cy = side.centre_mm
    grey_mm = np.array(
        [(g.x_mm, g.y_mm + g.height_mm), (g.x_mm + g.width_mm, g.y_mm + g.height_mm),
         (g.x_mm + g.width_mm, g.y_mm), (g.x_mm, g.y_mm)]
    )  # fmt: skip
    points = np.vstack([[(0.0, 0.0)], (grey_mm - (cx, cy)) * print_scale])
    drawn = _project(points, np.ravel(rvec), fit.translation, fit.focal_px, fit.k1, centre)
    distance = float(np.linalg.norm(fit.translation))
    return CardPose(
        paper=side.paper.name,
        back=side.back,
        markers_found=marker_count,
        markers_printed=len(side.markers),
        mm_per_px=depth / fit.focal_px,
        elevation_deg=elevation,
        roll_deg=float(np.degrees(np.arctan2(-normal[0], -normal[1]))) if elevation < 88 else 0.0,
        tilt_right_deg=float(np.degrees(np.arcsin(np.clip(normal[0], -1, 1)))),
        tilt_up_deg=float(np.degrees(np.arcsin(np.clip(-normal[1], -1, 1)))),
        distance_mm=distance,
        height_mm=float(-(normal @ fit.translation)),
        focal_length_px=fit.focal_px,
        focal_length_certain=fit.focal_spread < FOCAL_PRIOR / 2,
        distortion_k1=fit.k1,
        misfit_px=fit.misfit_px,
        centre_px=(float(drawn[0, 0]), float(drawn[0, 1])),
        grey_px=drawn[1:],
    )
