"""Work that the Studio page waits for. Every function takes {"root", ...}."""

from datetime import date
from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.light import meter as light_meter
from plateside.tasks.light.meter import find_bearing, read_card, what_readings_teach
from plateside.tasks.report import as_json
from plateside.web.shown.studio import BearingShown, CardFrames, CardRead, FitShown
from plateside.web.workers.names import Work
from plateside.words.counting import capital
from plateside.words.light.meter import bearing_found_lines, fit_found_lines, mark_sentence


def fit(args: dict[str, Any], progress: Progress) -> FitShown:
    """{"today"} -> what the light readings teach: the sentences, and [fit] as it would be written."""
    found = what_readings_teach(Path(args["root"]), date.fromisoformat(args["today"]), progress)
    return {"lines": fit_found_lines(found), "fit": as_json(found.fit)}


def bearing(args: dict[str, Any], _progress: Progress) -> BearingShown:
    """{"window", "notes"} -> which way the window looks, by moments noted as light_meter.find_bearing takes them."""
    found = find_bearing(Path(args["root"]), args["window"], args["notes"], keep=False).found
    each = [mark_sentence(one) for one in found.marks]
    lines = [capital(line) for line in bearing_found_lines(found)] + (each if len(each) > 1 else [])
    return {"lines": lines, "bearing_deg": round(found.bearing_deg, 1), "change_deg": found.change_deg}


def card_frames(args: dict[str, Any], _progress: Progress) -> CardFrames:
    """The raws among the shoot's frames, newest first."""
    return {"frames": light_meter.card_frames(Path(args["root"]))}


def card(args: dict[str, Any], _progress: Progress) -> CardRead:
    """{"frame", "patch", "reflectance"} -> the light on a grey card, and when (local, or null when it is not said)."""
    root = Path(args["root"])
    left, top, width, height = (float(share) for share in args["patch"])
    frame = light_meter.card_frame(root, args["frame"])
    found = read_card(root, frame, "", (left, top, width, height), float(args["reflectance"]))
    return {
        "illuminance_lx": float(f"{found.illuminance_lx:.4g}"),
        "spread_stops": found.spread_stops,
        "at": found.when.replace(tzinfo=None).isoformat(timespec="minutes") if found.when else None,
        "evidence": frame.name,
    }


WORK: dict[str, Work] = {"fit": fit, "bearing": bearing, "card_frames": card_frames, "card": card}
