"""The usual cautions of a set-up and of a day: short, and deferring to maker, local code and the person in the room.

From the trade's own list (shared by studios, fire services and first-aid bodies); figures where published guidance
gives them.
"""

from plateside.camera.setup import Rig
from plateside.model.shoot import Shot
from plateside.model.studio import Support


def setup_cautions(shot: Shot, support: Support, rig: Rig | None, sensor_height_m: float) -> tuple[str, ...]:
    """Cautions of one set-up."""
    out: list[str] = []
    if support.kind == "arm" and rig is not None:
        out.append(
            "The rig: this is arithmetic, not approval. Point the arm over a leg, hang the bag low so that it cannot "
            "swing, tether the camera, nobody's head or hot pan beneath; the maker's limits decide."
        )
    if sensor_height_m > 1.6 and support.kind != "hand":
        out.append("No chair to see the screen: tilt it or view from afar; a step only on level, dry floor.")
    if shot.moves in ("silk pour", "frozen drops"):
        out.append(
            "The pour: hot glaze, oil and sugar burn deep. Pour away from yourself, camera on the far side, no hot "
            "liquid into cold glass; a burn goes under cool running water for 20 minutes."
        )
    if shot.moves == "steam":
        out.append("Steam: let it rise clear of the lens; no burner or charcoal indoors without ventilation.")
    if shot.moves == "falling sugar":
        out.append("Fine sugar and flour burn in the air: no candle or flame near.")
    if shot.person:
        out.append("A helper who can be recognised signs a release first; your own face is your choice.")
    return tuple(out)
