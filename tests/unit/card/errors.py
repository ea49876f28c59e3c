"""How far a pose found is from the pose made."""

from dataclasses import dataclass

import numpy as np

from plateside.camera.card.pose import CardPose, find_card
from tests.unit.card.synthetic_frames import Truth, make_frame, random_truth, rotation


@dataclass(frozen=True)
class PoseError:
    """Found minus made; None for a frame in which no card was found."""

    tilt_deg: float
    roll_deg: float
    scale_percent: float


def true_scale_mm_per_px(truth: Truth) -> float:
    """Across the line of sight at the card's middle."""
    move = np.array(
        [truth.off_axis[0] * truth.width / 2, truth.off_axis[1] * truth.height / 2, truth.focal_px]
    )
    return float(truth.distance_mm * move[2] / np.linalg.norm(move) / truth.focal_px)


def compare(pose: CardPose, truth: Truth) -> PoseError:
    """Tilt against the table, roll (or the second tilt, straight above), scale."""
    normal = rotation(truth)[:, 2]
    elevation = float(np.degrees(np.arcsin(-normal[2])))
    if truth.elevation_deg > 80:
        tilt = pose.tilt_up_deg - float(np.degrees(np.arcsin(-normal[1])))
        roll = pose.tilt_right_deg - float(np.degrees(np.arcsin(normal[0])))
    else:
        tilt = pose.elevation_deg - elevation
        roll = pose.roll_deg - float(np.degrees(np.arctan2(-normal[0], -normal[1])))
    return PoseError(tilt, roll, 100 * (pose.mm_per_px / true_scale_mm_per_px(truth) - 1))


def measure(seed: int) -> tuple[Truth, PoseError | None]:
    """Make frame number `seed` and read it; the focal length told to the reader is off by about 2 %."""
    truth = random_truth(seed)
    told = truth.focal_px * (1 + 0.02 * np.random.default_rng(seed).standard_normal())
    pose = find_card(make_frame(truth, seed), told)
    if pose is None:
        return truth, None
    if (pose.paper, pose.back) != (truth.paper, truth.back):
        return truth, PoseError(np.inf, np.inf, np.inf)
    return truth, compare(pose, truth)
