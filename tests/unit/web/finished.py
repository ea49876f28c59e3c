"""The record of a finished picture, as `finish` writes it."""

import json
from pathlib import Path
from typing import Any

WIDE, HIGH = 1200, 800


def finished_row(shot: str, file: str, frame: str) -> dict[str, Any]:
    match = {
        "gains": {"red": 1.0, "green": 1.0, "blue": 1.0}, "by": "itself", "sure": 1.0, "delta_e_before": None,
        "delta_e_after": None, "stops": 0.0, "mired": 0.0,
    }  # fmt: skip
    return {
        "shot": shot, "frame": "plate.jpg", "frame_id": frame, "chosen_by": "you", "file": file, "width_px": WIDE,
        "height_px": HIGH, "sha256": "0" * 64, "by_hand": False, "made_from": "x", "match": match,
        "from_raw": False, "tone": "straight",
    }  # fmt: skip


def write_record(root: Path, *rows: dict[str, Any]) -> None:
    record = {"made_by": "test", "match_to": "one-bowl", "pictures": list(rows)}
    (root / "finished" / "adjustments.json").write_text(json.dumps(record), encoding="utf-8")
