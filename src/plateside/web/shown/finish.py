"""What the Finish page is sent: every shot with its finished picture, and the sentences chosen for it."""

from typing import Any

from plateside.tasks.report import as_json
from plateside.words import Said
from plateside.words import finish as words
from plateside.words.counting import megabytes


def finish_shown(now: dict[str, Any]) -> dict[str, Any]:
    """`tasks.finish.shown.finishing`, with its sentences."""
    shots = [{**shot, **_shot(shot)} for shot in now["shots"]]
    off = now["look_off"]
    shown: dict[str, Any] = {
        **now,
        "shots": shots,
        "headline": _headline(now),
        "greyed_out": "" if any(s["frames"] for s in shots) else words.NEEDS_A_FRAME,
        "like_it": words.LIKE_IT,
        "look_off": words.look_off_sentence(off, now["match_to"]) if off else "",
    }
    sent: dict[str, Any] = as_json(shown)
    return sent


def _headline(now: dict[str, Any]) -> str:
    shots = now["shots"]
    finished = [s for s in shots if s["picture"]]
    if not finished:
        return words.NOTHING_YET
    return " ".join(
        words.standing_sentences(
            len(finished),
            len(shots),
            now["match_to"],
            unmatched=[s["name"] for s in finished if not s["picture"]["match"]["matched"]],
            another=[s["name"] for s in shots if s["another_select"]],
            missing=[s["name"] for s in shots if not s["picture"]],
        )
    )


def _shot(shot: dict[str, Any]) -> dict[str, Any]:
    name, picture, doubt = shot["name"], shot["picture"], shot["doubt"]
    notes: list[Said] = []
    if picture and not picture["match"]["matched"]:
        notes.append(Said("unmatched", words.UNMATCHED))
    if shot["another_select"]:
        notes.append(Said("another select", words.another_select_sentence(shot["select"], picture["frame"])))
    again = words.again_sentence(name, doubt["by_her"], doubt["act"], doubt["kept"]) if doubt else ""
    if again:
        notes.append(Said("take again", again))
    if picture and picture["by_hand"]:
        notes.append(Said("by hand", words.kept_by_hand_sentence(picture["file"])))
    if not picture:
        code = "not finished" if shot["frames"] else "no frame"
        notes.append(Said(code, words.not_finished_sentence(shot["frames"], shot["select"])))
    return {"notes": notes, "again": again, "picture": _picture(picture) if picture else None}


def _picture(picture: dict[str, Any]) -> dict[str, Any]:
    done = picture["adjustments"]
    return {
        **picture,
        "figures": words.figure_rows(done.match),
        "said": words.adjustment_sentences(done),
        "made_from": words.made_from_sentence(picture["frame"], picture["chosen_by"] == "you"),
        "size": f"{picture['width_px']} × {picture['height_px']} pixels, {megabytes(picture['bytes'])}.",
        "before": words.BEFORE[picture["from_raw"]],
    }
