"""A year of light, made up."""

from datetime import date, timedelta

import numpy as np

from plateside.drawing.year_field import YearField


def field(
    step: int = 15, days: int = 365, thresholds: tuple[float, ...] = (100.0, 300.0), noise: float = 0.0
) -> YearField:
    """Light that rises two stops an hour from 1 lx at 05:00 to 13:00 and falls again; the same every day."""
    hours = np.arange(0, 24, step / 60)
    lux = np.where((hours >= 5) & (hours <= 21), 2.0 ** (2 * np.minimum(hours - 5, 21 - hours)), 0.0)
    lux = np.tile(np.minimum(lux, 4000), (days, 1))
    if noise:
        lux = lux * np.random.default_rng(3).uniform(1 - noise, 1 + noise, lux.shape)
    sun = np.zeros(lux.shape, bool)
    sun[100:200, (hours >= 7) & (hours < 8.5)] = True
    first = date(2027, 1, 1)
    return YearField(
        tuple(first + timedelta(days=i) for i in range(days)), step, lux, sun, (lux >= 300) & ~sun,
        np.full(days, 5.25), np.full(days, 20.75), thresholds,
    )  # fmt: skip
