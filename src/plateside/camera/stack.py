"""Focus stacks: how many frames and where to focus, when one frame cannot hold the depth.

`intervals`  the plain rule: depth / (step (1 - overlap)), rounded up; frames are one more (fence posts)
`positions`  exact: each frame's depth of field overlaps the one before by the share wanted
"""

import math

from plateside.camera.optics import depth_limits_mm


def intervals(depth_mm: float, frame_depth_mm: float, overlap: float = 0.3) -> int:
    """Focus steps for a depth, each frame holding `frame_depth_mm`."""
    return math.ceil(depth_mm / (frame_depth_mm * (1.0 - overlap)) - 1e-9)


def positions(
    focal_length_mm: float,
    f_number: float,
    circle_mm: float,
    near_mm: float,
    far_mm: float,
    pupil_magnification: float = 1.0,
    overlap: float = 0.3,
    most: int = 200,
) -> tuple[float, ...]:
    """Lens distances to focus at [mm], nearest first, so that `near_mm` to `far_mm` is all within some frame's depth.

    The first frame's near limit is `near_mm`; each next one starts `overlap` of a depth before the last one's far
    limit; the last reaches `far_mm`.
    """
    out: list[float] = []
    start = near_mm
    while len(out) < most:
        s = _focus_with_near_limit(focal_length_mm, f_number, circle_mm, start, pupil_magnification)
        out.append(s)
        near, far = depth_limits_mm(focal_length_mm, f_number, circle_mm, s, pupil_magnification)
        if far >= far_mm:
            break
        start = far - overlap * (far - near)
    return tuple(out)


def _focus_with_near_limit(f: float, n: float, c: float, near: float, pupil: float) -> float:
    """Focus distance whose near limit is `near`: bisection, since the limit rises with the distance."""
    low, high = max(near, f * 1.001), near * 4.0 + f
    while depth_limits_mm(f, n, c, high, pupil)[0] < near and high < 1e9:
        high *= 2.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        if depth_limits_mm(f, n, c, middle, pupil)[0] < near:
            low = middle
        else:
            high = middle
    return high
