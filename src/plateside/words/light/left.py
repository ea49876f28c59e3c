"""The light on set: what the camera reads of it, and what is predicted."""

from plateside.model.light_facts import LightLeft, Trend
from plateside.words.counting import day, day_of_year, figures, stops
from plateside.words.light.moment import left_sentence

STEADY = 0.05
"""Stops in ten minutes; less is steady."""
NOT_READ = "The camera has not read this shot's light yet: that takes a test frame, and three frames over two minutes."


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


def left_lines(left: LightLeft) -> list[str]:
    """All that is known of the light, on the sheet behind the screen."""
    another = left.planned_for is not None
    return [
        *([f"The plan is for {planned_phrase(left)}, not for today."] if another else []),
        read_sentence(left) or NOT_READ,
        f"Predicted{' for today, from this spot' if another else ''}: {predicted_sentence(left)}",
    ]


def planned_notice(left: LightLeft) -> str:
    """Once on each screen: the light that it shows is another day's than the plan's; else empty."""
    return (
        ""
        if left.planned_for is None
        else f"Planned for {day_of_year(left.planned_for)}; the light here is today's."
    )


def planned_phrase(left: LightLeft) -> str:
    """'Thursday 15 July 2027' when the shoot is planned for another day than today; else empty."""
    return "" if left.planned_for is None else day(left.planned_for)
