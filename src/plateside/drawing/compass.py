"""North, and the sun, as seen from above with the front wall at the top."""

import math

from plateside.drawing.kit import element, line, text
from plateside.drawing.palette import INK, SOFT, SUN


def compass(
    x: float, y: float, radius: float, front_bearing_deg: float, sun: tuple[float, float] | None
) -> str:
    """A ring with north on it, and the sun where it stands.

    front_bearing_deg  true bearing of 'up' in the drawing
    sun                (bearing, elevation) [deg]; not drawn when it is below the horizon
    """

    def on_ring(bearing: float, r: float) -> tuple[float, float]:
        turn = math.radians(bearing - front_bearing_deg)
        return x + r * math.sin(turn), y - r * math.cos(turn)

    tip, tail = on_ring(0, radius), on_ring(180, radius)
    head = [on_ring(-14, radius * 0.62), tip, on_ring(14, radius * 0.62)]
    name = on_ring(0, radius + 11)
    parts = [
        element("circle", cx=x, cy=y, r=radius, fill="none", stroke=SOFT),
        line(*tail, *tip),
        element("polyline", points=" ".join(f"{a:.1f},{b:.1f}" for a, b in head), fill="none", stroke=INK),
        text("N", name[0], name[1] + 4, size=11, anchor="middle"),
    ]
    if sun is not None and sun[1] > 0:
        sx, sy = on_ring(sun[0], radius)
        parts.append(element("circle", cx=sx, cy=sy, r=5.5, fill=SUN, stroke=INK))
    return "".join(parts)
