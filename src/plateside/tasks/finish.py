"""Finish: every hero developed, the set matched in exposure and white balance, one tone curve, 16-bit TIFF or JPEG."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside import __version__
from plateside.deliver.subject import dish_share, find_subject
from plateside.files.atomic import write_text
from plateside.files.made import Made, key_of, sha256_of_file
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import linear_picture
from plateside.files.pictures import write_picture, write_tiff_16
from plateside.files.settings import OpenShoot, open_shoot
from plateside.finish.adjustments import Adjustments, mired_said, stops_said
from plateside.finish.colour import to_display
from plateside.finish.develop import develop, reduced
from plateside.finish.matching import REFERENCE, Match, match
from plateside.finish.render import highlight, render, to_8_bits
from plateside.finish.tone import Curve, set_curve
from plateside.finish.white_balance import NONE, Gains, from_grey
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.heroes import Hero, heroes_of

METHOD = 1
"""Raised when the same frame would come out differently: then everything is made again."""
LOOKED_AT_PX = 640
KINDS = {"tiff": ".tif", "jpeg": ".jpg"}
RECORD = "adjustments.json"
_KEEP_EXPOSURE = frozenset({"dark", "high key", "silhouette"})
Shares = tuple[float, float, float, float]


@dataclass(frozen=True)
class FinishedShot:
    """One finished picture."""

    shot: str
    frame: str
    frame_id: str
    chosen_by: str
    file: str
    width_px: int
    height_px: int
    sha256: str
    match: Match
    adjustments: tuple[str, ...]


@dataclass(frozen=True)
class FinishReport:
    """What was finished, and what was not."""

    folder: Path
    reference: str
    finished: tuple[FinishedShot, ...]
    made: int
    """how many files were made now; the others were there already"""
    missing: tuple[str, ...]

    def lines(self) -> list[str]:
        said = [f"Finished {len(self.finished)} pictures in {self.folder} (made {self.made}, unchanged "
                f"{len(self.finished) - self.made})."]  # fmt: skip
        said.append(f"The set is matched to {self.reference}.")
        for one in self.finished:
            said.append(f"{one.shot}: {one.frame}, {one.width_px} x {one.height_px}. {_matched(one.match)}")
        return [*said, *self.missing]


def _matched(m: Match) -> str:
    if m.by == "reference":
        return "The reference: exposure and white balance as taken."
    if m.by == "nothing":
        return "As taken: too little in common with the reference to match by."
    told = f"Matched by {m.by}: {stops_said(m.stops)}, {mired_said(m.mired)}"
    if m.delta_e_before is not None and m.delta_e_after is not None:
        told += f", colour difference {m.delta_e_before:.1f} before, {m.delta_e_after:.1f} after"
    return told + "."


@dataclass(frozen=True)
class _Measured:
    hero: Hero
    match: Match
    highlight: float


def finish(
    given: Path,
    kind: str = "tiff",
    reference: str = "",
    grey: Shares | None = None,
    progress: Progress = silent,
) -> FinishReport:
    """Finish the heroes of the shoot in `given`.

    kind       tiff (16 bits) or jpeg (top quality)
    reference  shot whose look the set follows; empty: the shot with the role main, else the first
    grey       where the reference's hero shows a grey card (x, y, width, height as shares of the picture)
    A second run makes only what changed. Raises InputError (no hero, unknown shot), CouldNotError (disk), Cancelled.
    """
    if kind not in KINDS:
        raise InputError(f"{kind!r} is not a kind of finished file; allowed are {', '.join(KINDS)}.")
    opened = open_shoot(given)
    heroes = heroes_of(opened, progress)
    chief = _reference(opened, heroes.found, reference)
    made = Made(opened.folder.plateside_dir / "finish.json")
    steps = 2 * len(heroes.found)

    chief_picture = linear_picture(chief.path, half=False)
    balance = chief_picture.white_balance if chief_picture.is_raw else None
    camera = read_settings(chief.path).camera_model
    chief_small = reduced(develop(chief_picture), LOOKED_AT_PX)
    grey_gains = from_grey(_patch(chief_small, grey)) if grey is not None else NONE
    del chief_picture

    measured = []
    for done, hero in enumerate(heroes.found):
        progress(done, steps)
        measured.append(_measure(hero, chief, chief_small, grey_gains, balance, camera, made))
    curves = {
        raw: set_curve([m.highlight for m in measured if m.hero.is_raw is raw], scene_referred=raw)
        for raw in (True, False)
    }
    finished, count = [], 0
    for done, one in enumerate(measured):
        at = len(heroes.found) + done
        progress(at, steps)
        shot, new = _make(
            opened,
            one,
            chief,
            curves[one.hero.is_raw],
            kind,
            balance,
            camera,
            made,
            lambda _d, _t, at=at: progress(at, steps),
        )
        finished.append(shot)
        count += new
    _write_record(opened, chief, finished)
    progress(steps, steps)
    return FinishReport(opened.folder.finished_dir, chief.shot.name, tuple(finished), count, heroes.missing)


def read_record(opened: OpenShoot) -> list[FinishedShot]:
    """What the last `finish` wrote down. Raises InputError when there is nothing."""
    path = opened.folder.finished_dir / RECORD
    try:
        rows = json.loads(path.read_text(encoding="utf-8"))["pictures"]
        return [_from_record(row) for row in rows]
    except FileNotFoundError as error:
        raise InputError(f"Nothing is finished yet: plateside finish {opened.folder.root}") from error
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputError(
            f"{path} cannot be read; make it again: plateside finish {opened.folder.root}"
        ) from error


def _reference(opened: OpenShoot, heroes: tuple[Hero, ...], wanted: str) -> Hero:
    if wanted:
        names = [h.shot.name for h in heroes]
        if wanted not in names:
            raise InputError(f"{wanted!r} is no shot with a hero; those are {', '.join(names)}.")
        return heroes[names.index(wanted)]
    return next((h for h in heroes if h.shot.role == "main"), heroes[0])


def _developed(hero: Hero, balance: Any, camera: str) -> NDArray[np.float32]:
    """Linear sRGB; a raw of the reference's camera gets the reference's white balance, so that one set has one."""
    picture = linear_picture(hero.path, half=False)
    same = balance is not None and picture.is_raw and read_settings(hero.path).camera_model == camera
    return develop(picture, balance if same else None)


def _measure(
    hero: Hero,
    chief: Hero,
    chief_small: NDArray[np.float32],
    grey: Gains,
    balance: Any,
    camera: str,
    made: Made,
) -> _Measured:
    is_chief = hero.shot.name == chief.shot.name
    meant = bool(_KEEP_EXPOSURE & set(hero.shot.deliberate))
    share = (hero.shot.frame_width_mm, hero.shot.dish_width_mm, hero.shot.dish_height_mm, hero.shot.elevation)
    name = f"match {hero.shot.name}"
    key = key_of(METHOD, hero.frame_id, chief.frame_id, is_chief, meant, grey.array.tolist(), share)
    kept = made.get(name, key)
    if kept is not None:
        found = kept["match"]
        return _Measured(hero, Match(**{**found, "gains": Gains(**found["gains"])}), float(kept["highlight"]))
    if is_chief:
        small, m = chief_small, Match(grey, "reference", 1.0, None, None, grey.exposure_stops, grey.mired)
        m = REFERENCE if grey == NONE else m
    else:
        small = reduced(_developed(hero, balance, camera), LOOKED_AT_PX)
        m = match(chief_small, small, _food(chief_small, chief), _food(small, hero), keep_exposure=meant)
        m = Match(m.gains.times(grey), m.by, m.sure, m.delta_e_before, m.delta_e_after, m.stops, m.mired)
    top = highlight(small, m.gains)
    made.put(name, key, match=asdict(m), highlight=top)
    return _Measured(hero, m, top)


def _food(small: NDArray[np.float32], hero: Hero) -> NDArray[np.bool_]:
    height, width = small.shape[:2]
    shown = (to_display(np.clip(small, 0, 1)) * 255).astype(np.uint8)
    box = find_subject(shown, dish_share(hero.shot, width, height)).box
    mask = np.zeros((height, width), bool)
    mask[box.y : box.bottom, box.x : box.right] = True
    return mask


def _patch(small: NDArray[np.float32], shares: Shares) -> NDArray[np.float32]:
    height, width = small.shape[:2]
    x, y, w, h = shares
    if not (0 <= x < 1 and 0 <= y < 1 and 0 < w <= 1 - x and 0 < h <= 1 - y):
        raise InputError(
            "The grey patch is x,y,width,height as shares of the picture, each 0..1, such as 0.4,0.6,0.05,0.05."
        )
    top, left = round(y * height), round(x * width)
    return small[
        top : max(round((y + h) * height), top + 1), left : max(round((x + w) * width), left + 1)
    ].reshape(-1, 3)


def _make(
    opened: OpenShoot, one: _Measured, chief: Hero, curve: Curve, kind: str, balance: Any, camera: str, made: Made,
    progress: Progress,
) -> tuple[FinishedShot, bool]:  # fmt: skip
    hero = one.hero
    file = hero.shot.name + KINDS[kind]
    path = opened.folder.finished_dir / file
    said = Adjustments(hero.shot.name, hero.name, hero.is_raw, chief.shot.name, one.match, curve).sentences()
    key = key_of(METHOD, hero.frame_id, one.match.gains.array.tolist(), asdict(curve), kind, balance)
    kept = made.get(file, key)
    new = kept is None or not path.is_file() or sha256_of_file(path) != kept["sha256"]
    if new:
        picture = render(_developed(hero, balance, camera), one.match.gains, curve, progress)
        if kind == "tiff":
            write_tiff_16(path, picture)
        else:
            write_picture(path, to_8_bits(picture), "jpeg", 97)
        size = picture.shape[1], picture.shape[0]
        made.put(file, key, sha256=sha256_of_file(path), width_px=size[0], height_px=size[1])
        kept = made.get(file, key)
    assert kept is not None  # noqa: S101 - put just above
    # the other kind of the same shot would be stale
    for other in set(KINDS.values()) - {path.suffix}:
        if hero.shot.name + other in made:
            (opened.folder.finished_dir / (hero.shot.name + other)).unlink(missing_ok=True)
            made.forget(hero.shot.name + other)
    return (
        FinishedShot(
            hero.shot.name, hero.name, hero.frame_id, hero.by, file, int(kept["width_px"]), int(kept["height_px"]),
            str(kept["sha256"]), one.match, tuple(said),
        ),
        new,
    )  # fmt: skip


def _write_record(opened: OpenShoot, chief: Hero, finished: list[FinishedShot]) -> None:
    record = {
        "made_by": f"Plateside {__version__}",
        "reference": chief.shot.name,
        "colour_space": "sRGB (IEC 61966-2-1), profile embedded",
        "pictures": [asdict(one) for one in finished],
    }
    text = json.dumps(record, indent=2, ensure_ascii=False) + "\n"
    path = opened.folder.finished_dir / RECORD
    if not path.is_file() or path.read_text(encoding="utf-8") != text:
        write_text(path, text)


def _from_record(row: dict[str, Any]) -> FinishedShot:
    m = row["match"]
    return FinishedShot(
        **{
            **row,
            "match": Match(**{**m, "gains": Gains(**m["gains"])}),
            "adjustments": tuple(row["adjustments"]),
        }
    )
