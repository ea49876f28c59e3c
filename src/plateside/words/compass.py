"""A bearing in words."""

POINTS = ("north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east",
          "south-south-east", "south", "south-south-west", "south-west", "west-south-west", "west",
          "west-north-west", "north-west", "north-north-west")  # fmt: skip


def wind(bearing_deg: float) -> str:
    """The nearest of sixteen points of the compass: 20 degrees is 'north-north-east'."""
    return POINTS[round((bearing_deg % 360) / 22.5) % 16]
