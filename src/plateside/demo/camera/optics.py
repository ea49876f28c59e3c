"""What lens and hand do to light before it reaches the sensor.

- Defocus: blur disc after the thin lens, b = (f/N) m |x - s| / x on the sensor (Ray,
  *Applied Photographic Optics*, 3rd ed. 2002), drawn in layers of equal blur from back to front, each covering
  what lies behind it.
- Shake and motion: the picture averaged along a straight path.
- Tilt: rotation of the camera about its entrance pupil, homography K R K^-1 (Hartley & Zisserman, *Multiple View
  Geometry*, 2nd ed. 2004, section 8.4.2); breathing: image distance v = f (1 + m).
- Distortion: radial, r' = r (1 + k1 r^2); vignetting: cos^4 and a mechanical part that goes when the lens is
  stopped down (common practice, no source).
"""

import math
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera.take import Exposure

Float = NDArray[np.float32]
Identity = NDArray[np.int16]

DISTORTION_K1 = -0.008
"""Barrel distortion at the corner, as a share of the half diagonal; the middle keeps its scale."""


def magnification(focal_length_mm: float, distance_mm: float) -> float:
    """Image over object size for an object this far from the lens [mm], in focus."""
    return focal_length_mm / (distance_mm - focal_length_mm)


def signed_disc_mm(
    depth_mm: Float | float, focal_length_mm: float, f_number: float, focus_distance_mm: float
) -> Float:
    """Blur disc on the sensor [mm]; positive behind the plane of focus, negative before it."""
    depth = np.maximum(np.asarray(depth_mm, dtype=np.float32), np.float32(focal_length_mm))
    scale = focal_length_mm / f_number * magnification(focal_length_mm, focus_distance_mm)
    disc: Float = (scale * (depth - np.float32(focus_distance_mm)) / depth).astype(np.float32)
    return disc


def disc_kernel(diameter_px: float) -> Float:
    """A uniform disc of this diameter as an odd square kernel of sum 1; each cell holds the area covered."""
    half = math.ceil(max(diameter_px, 1.0) / 2.0 - 0.5)
    fine = 8
    axis = (np.arange((2 * half + 1) * fine) + 0.5) / fine - (half + 0.5)
    inside = axis[:, None] ** 2 + axis[None, :] ** 2 <= (max(diameter_px, 1e-3) / 2.0) ** 2
    cells = inside.reshape(2 * half + 1, fine, 2 * half + 1, fine).sum(axis=(1, 3)).astype(np.float32)
    if cells.sum() == 0 or half == 0:
        cells = np.zeros_like(cells)
        cells[half, half] = 1.0
    kernel: Float = cells / cells.sum()
    return kernel


def line_kernel(length_px: float, direction_deg: float) -> Float:
    """A straight streak of this length [px], direction anticlockwise from the horizontal [deg], sum 1."""
    half = max(1, math.ceil(length_px / 2.0 + 0.5))
    kernel = np.zeros((2 * half + 1, 2 * half + 1), dtype=np.float32)
    steps = max(2, math.ceil(length_px * 16))
    along = np.linspace(-length_px / 2.0, length_px / 2.0, steps)
    x = half + along * math.cos(math.radians(direction_deg))
    y = half - along * math.sin(math.radians(direction_deg))
    x0, y0 = np.floor(x).astype(int), np.floor(y).astype(int)
    fx, fy = x - x0, y - y0
    for dx, dy, weight in (
        (0, 0, (1 - fx) * (1 - fy)), (1, 0, fx * (1 - fy)), (0, 1, (1 - fx) * fy), (1, 1, fx * fy),
    ):  # fmt: skip
        xi, yi = np.minimum(x0 + dx, 2 * half), np.minimum(y0 + dy, 2 * half)
        np.add.at(kernel, (yi, xi), weight.astype(np.float32))
    streak: Float = kernel / kernel.sum()
    return streak


def streaked(rgb: Float, length_px: float, direction_deg: float) -> Float:
    """The whole picture averaged along a straight path (camera shake)."""
    if length_px <= 0.0:
        return rgb
    kernel = line_kernel(length_px, direction_deg)
    out: Float = np.maximum(cv2.filter2D(rgb, -1, kernel, borderType=cv2.BORDER_REFLECT), 0.0)
    return out


def filled(rgb: Float, hole: NDArray[np.bool_]) -> Float:
    """The picture with the hole filled from around it, by a pyramid of averages."""
    weight = (~hole).astype(np.float32)
    levels: list[tuple[NDArray[Any], NDArray[Any]]] = [(rgb * weight[..., None], weight)]
    while min(levels[-1][1].shape) > 2:
        colour, share = levels[-1]
        levels.append((cv2.pyrDown(colour), cv2.pyrDown(share)))
    below = levels[-1][0] / np.maximum(levels[-1][1], 1e-6)[..., None]
    for colour, share in reversed(levels[:-1]):
        up = cv2.resize(below, (share.shape[1], share.shape[0]), interpolation=cv2.INTER_LINEAR)
        own = np.minimum(share, 1.0)[..., None]
        below = colour + up * (1.0 - own)
    out: Float = np.where(hole[..., None], below, rgb).astype(np.float32)
    return out


def moved(rgb: Float, mask: NDArray[np.bool_], length_px: float, direction_deg: float) -> Float:
    """The masked thing moved while the shutter was open; what lay behind it shows through its trail."""
    if length_px <= 0.0 or not mask.any():
        return rgb
    kernel = line_kernel(length_px, direction_deg)
    alpha = mask.astype(np.float32)
    behind = filled(rgb, mask)
    colour = cv2.filter2D(rgb * alpha[..., None], -1, kernel, borderType=cv2.BORDER_REFLECT)
    cover = np.clip(cv2.filter2D(alpha, -1, kernel, borderType=cv2.BORDER_REFLECT), 0.0, 1.0)
    out: Float = np.maximum(behind * (1.0 - cover[..., None]) + colour, 0.0).astype(np.float32)
    return out


def blur_levels(smallest: float, largest: float) -> NDArray[np.float64]:
    """Signed diameters [px] of the layers: one pixel apart near focus, then 15 % apart; ends included."""
    out = [0.0]
    for end in (largest, smallest):
        sign, level = (1.0, 0.0) if end > 0 else (-1.0, 0.0)
        while level < abs(end) and end * sign > 0:
            level = min(level + max(1.0, 0.15 * level), abs(end))
            out.append(sign * level)
    levels = np.unique(np.asarray(out))
    between = levels[(levels >= smallest - 1e-9) & (levels <= largest + 1e-9)]
    ends = np.asarray([smallest, largest])
    return np.unique(np.concatenate([between, ends]))


def defocused(rgb: Float, disc_px: Float) -> Float:
    """Blur by signed disc diameter [px] at each pixel, layers from back to front."""
    smallest, largest = float(disc_px.min()), float(disc_px.max())
    if max(abs(smallest), abs(largest)) < 0.5:
        return rgb
    levels = blur_levels(smallest, largest)
    height, width = disc_px.shape
    total = np.zeros((height, width, 4), dtype=np.float32)
    place = np.interp(disc_px, levels, np.arange(len(levels))).astype(np.float32)
    # a table's distance runs along the frame: each layer holds a strip of it, and only that is looked at
    reach = [(place.min(axis=axis), place.max(axis=axis)) for axis in (1, 0)]
    for k in range(len(levels) - 1, -1, -1):
        rows, columns = (np.flatnonzero((low < k + 1) & (high > k - 1)) for low, high in reach)
        if rows.size == 0 or columns.size == 0:
            continue
        kernel = disc_kernel(abs(float(levels[k])))
        pad = kernel.shape[0] // 2 + 1
        top, bottom = max(0, rows[0] - pad), min(height, rows[-1] + 1 + pad)
        left, right = max(0, columns[0] - pad), min(width, columns[-1] + 1 + pad)
        w = np.clip(1.0 - np.abs(place[top:bottom, left:right] - np.float32(k)), 0.0, 1.0)
        layer: NDArray[Any] = cv2.merge([*cv2.split(rgb[top:bottom, left:right] * w[..., None]), w])
        if kernel.shape[0] > 1:
            layer = np.maximum(cv2.filter2D(layer, -1, kernel, borderType=cv2.BORDER_REFLECT), 0.0)
        cover = np.clip(layer[..., 3:], 0.0, 1.0)
        total[top:bottom, left:right] = total[top:bottom, left:right] * (1.0 - cover) + layer
    return np.asarray(total[..., :3] / np.maximum(total[..., 3:], 1e-6), dtype=np.float32)


def pointing(
    take: Exposure, size_px: tuple[int, int], pitch_mm: float, focal_length_mm: float, planned_focus_mm: float
) -> NDArray[np.float64]:
    """Homography from the finished frame's pixels to the scene's: tilt, roll, breathing and shift undone.

    A tilted camera is aimed again at the middle of the scene, and stands as much closer as keeps the scene's
    borders out of the frame.
    """
    width, height = size_px
    focus = take.focus_distance_mm or planned_focus_mm
    planned_v = focal_length_mm * (1.0 + magnification(focal_length_mm, planned_focus_mm)) / pitch_mm
    v = focal_length_mm * (1.0 + magnification(focal_length_mm, focus)) / pitch_mm
    cx, cy = (width - 1) / 2.0, (height - 1) / 2.0
    finished = np.array([[v, 0, cx + take.shift_px[0]], [0, v, cy + take.shift_px[1]], [0, 0, 1]])
    planned = np.array([[planned_v, 0, cx], [0, planned_v, cy], [0, 0, 1]])
    a, b, c = (math.radians(x) for x in (take.tilt_deg, take.yaw_deg, take.roll_deg))
    pitch = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    yaw = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
    roll = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
    turned = planned @ (pitch @ yaw @ roll) @ np.linalg.inv(finished)
    if not (take.tilt_deg or take.yaw_deg or take.roll_deg):
        return np.asarray(turned)
    middle = turned @ np.array([cx + take.shift_px[0], cy + take.shift_px[1], 1.0])
    back = np.array([[1, 0, cx - middle[0] / middle[2]], [0, 1, cy - middle[1] / middle[2]], [0, 0, 1]])
    aimed = back @ turned
    corners = aimed @ np.array([[0, width - 1, width - 1, 0], [0, 0, height - 1, height - 1], [1, 1, 1, 1]])
    reach_x = np.abs(corners[0] / corners[2] - cx).max() / (cx * (1.0 + DISTORTION_K1))
    reach_y = np.abs(corners[1] / corners[2] - cy).max() / (cy * (1.0 + DISTORTION_K1))
    closer = 1.0 / max(1.0, float(reach_x), float(reach_y))
    nearer = np.array([[closer, 0, cx * (1 - closer)], [0, closer, cy * (1 - closer)], [0, 0, 1]])
    return np.asarray(nearer @ aimed)


def sampling_maps(
    homography: NDArray[np.float64], size_px: tuple[int, int], k1: float = DISTORTION_K1
) -> tuple[Float, Float]:
    """For each pixel of the finished frame, where in the scene it looks (x and y, [px])."""
    width, height = size_px
    cx, cy = (width - 1) / 2.0, (height - 1) / 2.0
    x, y = np.meshgrid(np.arange(width, dtype=np.float32) - cx, np.arange(height, dtype=np.float32) - cy)
    # barrel distortion pulls the corners in, so the frame's corner looks further out
    scale = 1.0 - k1 * (x * x + y * y) / (cx * cx + cy * cy)
    x, y = x * scale + cx, y * scale + cy
    h = homography.astype(np.float32)
    w = h[2, 0] * x + h[2, 1] * y + h[2, 2]
    map_x = (h[0, 0] * x + h[0, 1] * y + h[0, 2]) / w
    map_y = (h[1, 0] * x + h[1, 1] * y + h[1, 2]) / w
    return map_x.astype(np.float32), map_y.astype(np.float32)


def vignetting(
    size_px: tuple[int, int], pitch_mm: float, image_distance_mm: float, f_number: float, widest: float
) -> Float:
    """Share of the middle's light at each pixel: cos^4 of the image angle, and the barrel's own edge wide open."""
    width, height = size_px
    cx, cy = (width - 1) / 2.0, (height - 1) / 2.0
    x, y = np.meshgrid(np.arange(width, dtype=np.float32) - cx, np.arange(height, dtype=np.float32) - cy)
    r2 = x * x + y * y
    natural = 1.0 / (1.0 + r2 * (pitch_mm / image_distance_mm) ** 2) ** 2
    stops_at_corner = 0.9 * (widest / f_number) ** 2
    mechanical = np.exp2(-stops_at_corner * (r2 / (cx * cx + cy * cy)) ** 1.5)
    out: Float = (natural * mechanical).astype(np.float32)
    return out
