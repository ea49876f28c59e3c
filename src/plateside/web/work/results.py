"""Work behind the pages Choose, Finish and Deliver."""

import base64
from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.deliver.crops_shown import Cropped, crop_said, crops_of
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.chart_shown import read_chart
from plateside.tasks.finish.hand_preview import hand_of, hand_preview
from plateside.tasks.finish.preview import make_finished_preview, make_plain_preview
from plateside.tasks.finish.retouched_added import put_in
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.set_square import square_by_card, square_by_corners
from plateside.tasks.report import as_json
from plateside.web.shown.chart import chart_shown
from plateside.web.shown.choose import proposal
from plateside.web.shown.deliver import crop_shown, crops_shown
from plateside.web.workers.names import Work
from plateside.words import finish as words
from plateside.words import lens as lens_words
from plateside.words import retouched as retouched_words
from plateside.words.deliver.checks import checked_sentences, packed_sentences
from plateside.words.deliver.report import made_sentence


def choose_all(args: dict[str, Any], progress: Progress) -> Any:
    """What Plateside would choose, and why: {"root"} -> what the page shows. Asking writes nothing down."""
    return proposal(choose_frames(Path(args["root"]), progress=progress, record=False))


def finish_all(args: dict[str, Any], progress: Progress) -> Any:
    """The series: {"root", "kind", "match_to"} -> what came of it."""
    report = finish(Path(args["root"]), args["kind"], args["match_to"], progress=progress)
    said = [words.made_sentence(len(report.finished), report.written)]
    said += [words.no_frame_sentence(report.missing)] if report.missing else []
    names = [one.shot for one in report.finished]
    said += [retouched_words.came_back_sentence(c, names) for c in report.came_back]
    return {
        "written": report.written, "finished": len(report.finished), "missing": report.missing,
        "match_to": report.match_to, "said": said,
    }  # fmt: skip


def show_finished(args: dict[str, Any], _progress: Progress) -> Any:
    """A finished picture made small for a page: {"root", "file", "version", "size"} -> nothing; the file is there."""
    make_finished_preview(Path(args["root"]), args["file"], args["version"], args["size"])
    return {}


def show_plain(args: dict[str, Any], _progress: Progress) -> Any:
    """A raw before the set is matched: {"root", "frame", "size"} -> nothing; the file is there."""
    make_plain_preview(Path(args["root"]), args["frame"], args["size"])
    return {}


def show_hand(args: dict[str, Any], _progress: Progress) -> Any:
    """A finished picture with what a hand just set: {"root", "shot", "hand"} -> {"jpeg": base 64, "version"}."""
    made = hand_preview(Path(args["root"]), args["shot"], hand_of(args["hand"]))
    return {"jpeg": base64.b64encode(made.jpeg).decode("ascii"), "version": made.version}


def chart(args: dict[str, Any], _progress: Progress) -> Any:
    """The colour chart in a frame: {"root", "frame", "corners"} (none: looked for) -> where, and how good."""
    a = args["corners"]
    given = (a[0], a[1], a[2], a[3], a[4], a[5], a[6], a[7]) if a else None
    return as_json(chart_shown(read_chart(Path(args["root"]), args["frame"], given)))


def retouched(args: dict[str, Any], _progress: Progress) -> Any:
    """A retouched file that has come whole: {"root", "key", "size", "changed_ms"} -> what was found of it."""
    return as_json(put_in(Path(args["root"]), str(args["key"]), int(args["size"]), int(args["changed_ms"])))


def square(args: dict[str, Any], _progress: Progress) -> Any:
    """Something flat made square: {"root", "shot", "corners" (none: by the set card), "shape"} -> {"row", "said"}."""
    root, shot = Path(args["root"]), str(args["shot"])
    if args["corners"]:
        row = square_by_corners(root, shot, tuple(float(v) for v in args["corners"]), float(args["shape"]))
    else:
        row = square_by_card(root, shot)
    return {"row": row, "said": lens_words.squared(shot)}


def crops(args: dict[str, Any], _progress: Progress) -> Any:
    """Where the dish is, and the planned crop for each channel: {"root", "shot", "file", "version"}."""
    return crops_shown(crops_of(_cropped(args)))


def crop(args: dict[str, Any], _progress: Progress) -> Any:
    """What a crop moved by hand lacks: {"root", "shot", "file", "version", "channel", "box"} -> remarks and size."""
    x, y, w, h = (float(v) for v in args["box"])
    return crop_shown(crop_said(_cropped(args), args["channel"], (x, y, w, h)))


def _cropped(args: dict[str, Any]) -> Cropped:
    return Cropped(Path(args["root"]), args["shot"], args["file"], str(args["version"]))


def deliver_all(args: dict[str, Any], progress: Progress) -> Any:
    """The delivery: {"root"} -> counts, and what came of it."""
    report = deliver(Path(args["root"]), progress)
    files = [f for crop in report.crops for f in crop.files]
    size = sum(f.bytes for f in files)
    said = made_sentence(len(report.crops), len(files), size, report.written, report.removed)
    return {
        "crops": len(report.crops), "files": len(files), "bytes": size, "written": report.written,
        "removed": report.removed, "ready": report.ready, "said": said,
    }  # fmt: skip


def pack_up(args: dict[str, Any], progress: Progress) -> Any:
    """A package: {"root", "archive", "channels"} -> a PackReport's facts."""
    root = Path(args["root"])
    report = pack(root, bool(args["archive"]), tuple(args["channels"]), progress=progress)
    return {
        "package": report.path.name, "kind": report.kind, "files": report.files, "bytes": report.bytes,
        "left_out": report.left_out, "renamed": len(report.renamed), "said": packed_sentences(report, report.path.name),
    }  # fmt: skip


def check(args: dict[str, Any], progress: Progress) -> Any:
    """Every file read and compared: {"root", "package"} (empty: the delivery) -> what was found."""
    root = Path(args["root"])
    target = root / "packages" / args["package"] if args["package"] else root / "delivery"
    report = verify(target, progress)
    return {
        "kind": report.kind, "files": report.files, "bytes": report.bytes, "faults": report.faults,
        "interrupted": report.interrupted, "changed": report.changed, "not_ready": report.not_ready,
        "said": checked_sentences(report),
    }  # fmt: skip


WORK: dict[str, Work] = {
    "choose": choose_all, "finish": finish_all, "shown": show_finished, "plain": show_plain, "hand": show_hand,
    "retouched": retouched, "square": square, "chart": chart,
    "crops": crops, "crop": crop, "deliver": deliver_all, "pack": pack_up, "verify": check,
}  # fmt: skip
