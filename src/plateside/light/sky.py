"""What the sky gives."""

from dataclasses import dataclass

SKY_WORDS = ("clear", "hazy", "broken", "overcast")


@dataclass(frozen=True)
class Sky:
    """The sky at one moment: how luminance is spread over it, and how much light it gives.

    Luminance follows (1 + a exp(b / sin g)) (1 + c [exp(d x) - k exp(d pi/2)] + e cos2 x), g the elevation of the
    point, x its angle from the sun; k is 1 for CIE's general skies and 0 for Perez's; or, for the traditional
    overcast sky, (1 + 2 sin g)/3. It is scaled so that the horizontal gets `diffuse_horizontal_lx`.
    """

    name: str
    kind: str
    """"cie", "perez" or "overcast" (the traditional overcast sky)."""
    a: float
    b: float
    c: float
    d: float
    e: float
    diffuse_horizontal_lx: float
    direct_normal_lx: float
    sky_cct_k: float = 6500.0
    sun_cct_k: float = 5500.0
    low: float = 1.0
    """Low end of the light, as a factor on the diffuse part; the sun's part has its own."""
    high: float = 1.0
    direct_low: float = 1.0
    direct_high: float = 1.0
