"""The light on set: what the camera reads of it, and what is predicted."""

from plateside.model.light_facts import LightLeft, Trend
from plateside.words.counting import day, figures, stops
from plateside.words.light.moment import left_sentence

STEADY = 0.05
"""Stops in ten minutes; less is steady."""


def trend_sentence(trend: Trend) -> str:
    """'Light falls 0.3 stop in 10 minutes, 23 minutes left.'"""
    lux = f"; about {figures(trend.lux)} lx on the dish" if trend.lux and trend.lux > 0 else ""
    if abs(trend.stops_per_10_min) < STEADY:
        return f"Light is steady{lux}."
    way = "falls" if trend.stops_per_10_min < 0 else "rises"
    left = "" if trend.minutes_left is None else f", {trend.minutes_left:.0f} minutes left"
    return f"Light {way} {stops(trend.stops_per_10_min)} in 10 minutes{left}{lux}."


def read_sentence(left: LightLeft) -> str:
    """What the camera's readings say; empty when they are too few."""
    return "" if left.trend is None else trend_sentence(left.trend)


def predicted_sentence(left: LightLeft) -> str:
    """What is predicted for today."""
    return left_sentence(left.predicted)


def planned_phrase(left: LightLeft) -> str:
    """'Thursday 15 July 2027' when the shoot is planned for another day than today; else empty."""
    return "" if left.planned_for is None else day(left.planned_for)
