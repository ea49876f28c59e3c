"""Several takes in a row: bracket, focus stack, burst, clouds passing."""

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np

from plateside.demo.camera.take import Exposure


def bracket(take: Exposure, stops: tuple[float, ...] = (-1.0, 0.0, 1.0)) -> tuple[Exposure, ...]:
    """The same take at other shutter times [stops]."""
    return tuple(
        replace(
            take,
            exposure_s=take.exposure_s * 2.0**s,
            exposure_bias_stops=s,
            taken_at=take.taken_at + timedelta(seconds=k),
        )
        for k, s in enumerate(stops)
    )


def focus_stack(take: Exposure, near_mm: float, far_mm: float, frames: int) -> tuple[Exposure, ...]:
    """Focus stepped from near to far [mm from the lens], evenly in image distance, as a focusing ring does."""
    inverse = np.linspace(1.0 / near_mm, 1.0 / far_mm, frames)
    return tuple(
        replace(take, focus_distance_mm=float(1.0 / v), taken_at=take.taken_at + timedelta(seconds=2 * k))
        for k, v in enumerate(inverse)
    )


def burst(
    take: Exposure, frames: int, *, seed: int = 0, largest_shake_px: float = 6.0
) -> tuple[Exposure, ...]:
    """Hand-held frames in quick succession: each with its own small shake and shift, one of them the best."""
    rng = np.random.default_rng(seed)
    out = []
    for k in range(frames):
        out.append(
            replace(
                take,
                shake_px=float(rng.gamma(1.6, largest_shake_px / 5.0)),
                shake_direction_deg=float(rng.uniform(0.0, 180.0)),
                shift_px=(float(rng.normal(0, 3)), float(rng.normal(0, 3))),
                taken_at=take.taken_at + timedelta(seconds=0.2 * k),
            )
        )
    return tuple(out)


def clouds(
    take: Exposure, frames: int, every_s: float, *, seed: int = 0, deepest_stops: float = 1.2
) -> tuple[Exposure, ...]:
    """The same take again and again while clouds pass: light falls by up to `deepest_stops`, colour with it."""
    rng = np.random.default_rng(seed)
    phase, second = rng.uniform(0, 2 * math.pi, size=2)
    out = []
    for k in range(frames):
        swing = 0.6 * math.sin(phase + 0.9 * k) + 0.4 * math.sin(second + 2.3 * k)
        drop = -deepest_stops * max(0.0, swing)
        out.append(
            replace(
                take,
                light_stops=take.light_stops + drop,
                light_mired_shift=take.light_mired_shift + 8.0 * drop,
                taken_at=take.taken_at + timedelta(seconds=every_s * k),
            )
        )
    return tuple(out)
