"""What is said of a colour chart on the Finish page."""

GOOD_MEAN, GOOD_WORST = 1.5, 4.0
"""CIEDE2000: up to here a chart's colours come out as well as side by side can tell (common practice, no source)."""


def chart_read_sentences(mean: float, worst: float, kelvin: float) -> tuple[str, ...]:
    """The verdict, the number, the light: 'Good: its colours are 0.8 off on average, 2.1 at worst ...'"""
    verdict = "Good" if mean <= GOOD_MEAN and worst <= GOOD_WORST else "Usable"
    return (
        f"{verdict}: colours come out {mean:.1f} off on average, {worst:.1f} at worst (CIEDE2000, where 1 is the least "
        "you see side by side).",
        f"Its light is about {round(kelvin, -2):.0f} K. Pictures follow the chart nearest to them in time.",
    )
