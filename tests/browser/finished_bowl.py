"""A shoot with one finished picture, for pages that come after Finish."""

import json

from PIL import Image

from plateside.files.journal.state import read_state
from tests.browser.serving import Served, frame_pixels


def finish_one_bowl(served: Served) -> None:
    """A finished picture and its record, as `finish` leaves them."""
    state = read_state(served.root)
    frame = next(f for f, shot in state.shot_of.items() if shot == "one-bowl")
    folder = served.root / "finished"
    folder.mkdir(exist_ok=True)
    Image.fromarray(frame_pixels()).save(folder / "one-bowl.jpg", quality=95)
    match = {
        "gains": {"red": 1.0, "green": 1.0, "blue": 1.0}, "by": "itself", "sure": 1.0, "delta_e_before": None,
        "delta_e_after": None, "stops": 0.0, "mired": 0.0,
    }  # fmt: skip
    row = {
        "shot": "one-bowl", "frame": "plate-004.jpg", "frame_id": frame, "chosen_by": "you", "file": "one-bowl.jpg",
        "width_px": 1200, "height_px": 800, "sha256": "0" * 64, "by_hand": False, "made_from": "x", "match": match,
        "from_raw": False, "tone": "straight",
    }  # fmt: skip
    record = {"made_by": "test", "match_to": "one-bowl", "pictures": [row]}
    (folder / "adjustments.json").write_text(json.dumps(record), encoding="utf-8")
