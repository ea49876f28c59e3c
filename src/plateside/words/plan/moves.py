"""What moves in a shot, against the shutter."""

from plateside.camera.motion import SILK_PX
from plateside.camera.setup import Motion
from plateside.ground.exposure import shutter_words

MOVES = {
    "nothing": "the hands", "hand": "the hand", "silk pour": "the stream and the hand that pours",
    "frozen drops": "the drops", "steam": "the steam", "falling sugar": "the falling grains",
}  # fmt: skip
"""What reaches above the dish."""
HOLDS_STILL = {**MOVES, "silk pour": "the pouring hand"}
"""What must hold still."""
STREAMS = ("silk pour",)


def motion_phrase(m: Motion) -> str:
    """'the hand at 0.10 m/s streaks 4 px of 6 allowed (1/60 s or faster)'; empty when all is at rest on a support."""
    parts = []
    if m.limit_s is not None:
        parts.append(
            f"{HOLDS_STILL[m.moves]} at {m.speed_m_s:.2f} m/s streaks {m.streak_px:.0f} px of {m.allowed_px:.0f} "
            f"allowed ({shutter_words(m.limit_s)} or faster)"
        )
    if m.moves in STREAMS:
        silk = "silk" if m.stream_px >= SILK_PX else "drops still show: use a slower shutter speed"
        parts.append(f"the stream {m.stream_px:.0f} px, {silk}")
    if m.hand_limit_s is not None:
        parts.append(f"hand-held limit {shutter_words(m.hand_limit_s)}")
    return "; ".join(parts)
