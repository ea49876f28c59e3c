"""Finish: every select developed, exposure and white balance matched, one tone curve, 16-bit TIFF or JPEG."""

from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from plateside.deliver.metadata import xmp_packet
from plateside.deliver.rights import rights_of
from plateside.deliver.words import Words
from plateside.files.atomic import disk_faults_in_words, replacing
from plateside.files.cache import BuildRecord, digest, key_of
from plateside.files.checksums import sha256_of_file
from plateside.files.colour_profiles import DAMAGED
from plateside.files.folder import ShootFolder
from plateside.files.in_turn import in_turn
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.one_decode import OneDecode, one_decode
from plateside.files.pictures import colour_remark, encode, fill_tiff_16, picture_size
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.files.working import sweep
from plateside.finish.by_hand import curve_of, gains_of
from plateside.finish.came_back import mark_of
from plateside.finish.extra import FINISHED, NOT_FINISHED
from plateside.finish.facts import (
    CALM,
    ROLLED_OFF,
    STRAIGHT,
    Adjustments,
    FinishedShot,
    FinishFacts,
    Rendering,
)
from plateside.finish.render import to_8_bits
from plateside.finish.tiles import rendered
from plateside.finish.tone import CALM_CONTRAST, Curve, set_curve
from plateside.model.errors import InputError
from plateside.model.progress import WAITING, Progress, silent
from plateside.tasks.choose.heroes import Hero, heroes_of
from plateside.tasks.finish.as_seen import AsSeen
from plateside.tasks.finish.cards import marked_cards
from plateside.tasks.finish.charts import Corners, mark_chart, marked_charts
from plateside.tasks.finish.extras import extra_heroes, write_down
from plateside.tasks.finish.finished_list import (
    AS_SEEN_RECORD,
    BUILD_RECORD,
    accepted_as_taken,
    placed,
)
from plateside.tasks.finish.lenses import Lenses
from plateside.tasks.finish.look_followed import look_followed
from plateside.tasks.finish.moves import Moves
from plateside.tasks.finish.retouched import take_in
from plateside.tasks.finish.set_look import METHOD, MeasuredHero, SetLook, Shares
from plateside.tasks.finish.written_list import noted_files, write_list
from plateside.words import finish as words

KINDS = {"tiff": ".tif", "jpeg": ".jpg"}
BEST_JPEG = 97
NO_WORDS = Words("", "", "", True)
"""A finished picture has none yet: they are written for its deliveries."""


@dataclass(frozen=True, kw_only=True)
class FinishReport(FinishFacts):
    """What was finished, and where."""

    folder: Path


def finish(
    given: Path,
    kind: str = "tiff",
    match_to: str = "",
    grey: Shares | None = None,
    progress: Progress = silent,
    accept: tuple[str, ...] = (),
    extra: tuple[str, ...] = (),
    no_longer: tuple[str, ...] = (),
    chart: tuple[str, Corners | None] | None = None,
) -> FinishReport:
    """Finish the selects of the shoot in `given`, and what other frames were asked for.

    kind       tiff (16 bits) or jpeg (top quality)
    match_to   shot that the series is matched to; empty: the shot with the role main, else the first
    grey       where that shot's select shows a grey card (x, y, width, height as shares of the picture); none: where
               it was marked on set, when that was in this very frame
    progress   WAITING while another run of this shoot works; then in three equal parts: frames chosen for shots
               without a select, pictures measured, pictures made
    accept     shots whose picture may stay as taken, although it is not matched
    extra      frames, by name, that are finished beside the selects, now and from now on
    no_longer  frames of which that was said and counts no more
    chart      name of a frame that shows a colour chart, and the corners of its patches (None: it is looked for)
    A second run makes only what changed; one that comes while another works waits for it. Raises InputError (no
    select, unknown shot), CouldNotError (disk), Cancelled.
    """
    if kind not in KINDS:
        raise InputError(words.no_kind(kind, tuple(KINDS)))
    opened = open_shoot(given)
    # two at once would each take the other's pictures for work by hand
    alone = in_turn(lock_of(opened.folder), lambda: progress(*WAITING))
    with one_decode() as raws, alone:
        if chart is not None:
            mark_chart(opened, *chart, raws)
        return _finish(raws, given, kind, match_to, grey, progress, accept, extra, no_longer)


def lock_of(folder: ShootFolder) -> Path:
    """What a run of `finish` holds while it works on this shoot."""
    return folder.plateside_dir / "finish.lock"


def _finish(
    raws: OneDecode,
    given: Path,
    kind: str,
    match_to: str,
    grey: Shares | None,
    progress: Progress,
    accept: tuple[str, ...],
    extra: tuple[str, ...],
    no_longer: tuple[str, ...],
) -> FinishReport:
    opened = open_shoot(given)
    shots = len(opened.shoot.shots)
    heroes = heroes_of(
        opened, lambda done, total: progress(min(shots * done // max(total, 1), shots - 1), 3 * shots)
    )
    chief = _chief(heroes.found, match_to)
    record = BuildRecord(opened.folder.plateside_dir / BUILD_RECORD)
    write_down(opened, {FINISHED: extra, NOT_FINISHED: no_longer}, heroes.found)
    extras = extra_heroes(opened, read_state(opened.folder.root), heroes.found)
    todo = (*heroes.found, *extras)
    steps = 3 * len(todo)
    _accept(opened, todo, accept)
    state = read_state(opened.folder.root)
    set_look = SetLook(
        chief, grey or _marked_card(state, chief), record, marked_cards(opened, state),
        AsSeen(opened, state, BuildRecord(opened.folder.plateside_dir / AS_SEEN_RECORD), raws.small).stops, raws,
        Lenses(state.lens), marked_charts(opened, state),
    )  # fmt: skip
    sweep(opened.folder.workplace)
    noted, renewed = noted_files(opened)
    measured = []
    for done, hero in enumerate(todo, len(todo)):
        progress(done, steps)
        measured.append(set_look.measure(hero))
    curves = _curves(measured)
    finished, count = [], 0
    for at, one in enumerate(measured, 2 * len(todo)):
        progress(at, steps)
        moves = Moves(opened, state, set_look.lenses, one.hero.shot.name, one.hero.path)
        work = _Work(
            opened, set_look, record, kind, noted, moves, lambda _done, _total, at=at: progress(at, steps)
        )
        shot, new = work.make(one, curves[one.hero.is_raw])
        finished.append(replace(shot, extra=one.hero in extras))
        count += new
    _forget_former(opened, record, noted, {one.file for one in finished})
    off = look_followed(opened, state, set_look, measured[: len(heroes.found)])
    write_list(opened, chief.shot.name, finished, off)
    found = take_in(opened)
    progress(steps, steps)
    names = [one.shot for one in finished]
    return FinishReport(
        folder=opened.folder.finished_dir,
        match_to=chief.shot.name,
        finished=tuple(finished),
        written=count,
        missing=tuple(s.name for s in opened.shoot.shots if s.name not in names),
        unmatched=tuple(one.shot for one in finished if not one.match.facts.matched),
        as_taken=tuple(
            one.shot
            for one, hero in zip(finished, todo, strict=True)
            if not one.match.facts.matched and accepted_as_taken(hero.shot, state, one.frame_id)
        ),
        came_back=found,
        list_renewed=renewed,
        look_off=off,
    )


def _accept(opened: OpenShoot, heroes: tuple[Hero, ...], shots: tuple[str, ...]) -> None:
    """Write down which pictures may differ from the series. Raises InputError for what is no shot with a select."""
    frames = {hero.shot.name: hero.frame_id for hero in heroes}
    if unknown := [shot for shot in shots if shot not in frames]:
        raise InputError(words.no_shot_to_accept(unknown[0], list(frames)))
    if shots:
        rows = [("as taken", {"shot": shot, "frame": frames[shot]}) for shot in dict.fromkeys(shots)]
        Journal.open(opened.folder.root).append_many(rows)


def _curves(measured: list[MeasuredHero]) -> dict[bool, Curve]:
    """The series' tone curve: of raws (True) and of camera JPEGs."""
    return {
        raw: set_curve([m.highlight for m in measured if m.hero.is_raw is raw], scene_referred=raw)
        for raw in (True, False)
    }


def _forget_former(
    opened: OpenShoot, record: BuildRecord, noted: dict[str, FinishedShot], now: set[str]
) -> None:
    """Take away pictures of extra frames that are not finished any more, unless they were changed by hand."""
    for file, one in noted.items():
        path = opened.folder.finished_dir / file
        if one.extra and file not in now and path.is_file():
            if sha256_of_file(path) in placed(record, file) | {one.sha256 if not one.by_hand else ""}:
                with disk_faults_in_words(path):
                    path.unlink()
            record.forget(file)


def _marked_card(state: ShootState, chief: Hero) -> Shares | None:
    shot, box = state.card_marks.get(chief.frame_id, ("", None))
    return box if shot == chief.shot.name else None


def set_aside(path: Path) -> Path:
    """Give a file that was changed by hand another name, so that it is not lost."""
    number = 1
    while (aside := path.with_name(f"{path.stem}-by-hand-{number}{path.suffix}")).exists():
        number += 1
    with disk_faults_in_words(path):
        path.rename(aside)
    return aside


def _chief(heroes: tuple[Hero, ...], wanted: str) -> Hero:
    if wanted:
        names = [h.shot.name for h in heroes]
        if wanted not in names:
            raise InputError(words.no_shot_to_match(wanted, names))
        return heroes[names.index(wanted)]
    return next((h for h in heroes if h.shot.role == "main"), heroes[0])


@dataclass(frozen=True)
class _Work:
    """Making one finished file."""

    opened: OpenShoot
    set_look: SetLook
    record: BuildRecord
    kind: str
    noted: dict[str, FinishedShot]
    """file -> what the record beside the pictures says: it outlives the caches"""
    moves: Moves
    """what moves it, and what you set for it and for its series"""
    progress: Progress

    def make(self, one: MeasuredHero, curve: Curve) -> tuple[FinishedShot, bool]:
        """The finished picture, and whether it had to be made. A file changed by hand is never written over."""
        hero = one.hero
        file = hero.shot.name + KINDS[self.kind]
        path = self.opened.folder.finished_dir / file
        key = key_of(
            METHOD, digest(self._xmp(one, curve)), hero.frame_id, one.gains.array.tolist(), asdict(curve), self.kind,
            self.set_look.rendering_key(hero), *self.moves.key,
            *([asdict(one.match.across)] if one.match.across else []),
        )  # fmt: skip
        there = _hash_of(path)
        size = picture_size(path) if there else None
        by_hand = bool(there) and there not in self.written(file)
        as_made = self._hash_of_build(file, key)
        new = size is None or not (there == as_made or (by_hand and as_made))
        if new:
            xmp = self._xmp(one, curve, mark_of(hero.frame_id, key))
            size, by_hand = self._write(path, one, curve, xmp), False
            there = sha256_of_file(path)
            self.record.put(file, key, sha256=there)
        self._forget_other_kind(hero.shot.name, path)
        width_px, height_px = size or (0, 0)
        chart, apart = self._chart(one)
        return (
            FinishedShot(
                hero.shot.name, hero.name, hero.frame_id, hero.by, file, width_px, height_px, there, by_hand, key,
                one.match, hero.is_raw, _tone(curve), one.noise_evened, self.moves.hand,
                self._rendering(one, curve), chart=chart, chart_delta_e=apart, lens=self.moves.lens,
                square=self.moves.square, noise_unknown=one.noise_unknown,
                profile_damaged=not hero.is_raw and colour_remark(hero.path) == DAMAGED,
            ),
            new,
        )  # fmt: skip

    def _chart(self, one: MeasuredHero) -> tuple[str, float]:
        name, profile = self.set_look.profile(one.hero.path)
        return name, 0.0 if profile is None else round(profile.mean_delta_e, 2)

    def _rendering(self, one: MeasuredHero, curve: Curve) -> Rendering:
        red, green, blue = (float(v) for v in one.gains.array)
        balance = self.set_look.white_balance(one.hero)
        profile = self.set_look.profile(one.hero.path)[1]
        terms = None if profile is None else profile.terms
        return Rendering((red, green, blue), balance, curve.contrast, curve.white, terms)

    def written(self, file: str) -> set[str]:
        """Hashes under which `file` was ever noted as written here: in the record, or beside the pictures."""
        before = self.noted.get(file)
        noted = before.sha256 if before is not None and not before.by_hand else ""
        return ({self.record.last(file, "sha256"), noted} | placed(self.record, file)) - {""}

    def _hash_of_build(self, file: str, key: str) -> str:
        """The hash that `file` had when it was last made from the very same things; empty when it never was."""
        recorded, before = self.record.get(file, key), self.noted.get(file)
        if recorded is not None:
            return str(recorded.get("sha256", ""))
        return before.sha256 if before is not None and before.made_from == key else ""

    def _xmp(self, one: MeasuredHero, curve: Curve, mark: str = "") -> bytes:
        """Who made it and when, and what was done to it: it goes with the picture wherever it is sent."""
        shoot, match_to = self.opened.shoot, self.set_look.chief.shot.name
        done = Adjustments(
            one.hero.name,
            one.hero.is_raw,
            match_to,
            one.match.facts,
            _tone(curve),
            one.noise_evened,
            self.moves.hand,
            False,
            *self._chart(one),
            self.moves.lens,
            self.moves.square,
            one.noise_unknown,
        )
        taken = read_settings(one.hero.path).taken_at
        rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
        # that nothing else was done holds only until another program saves it, and this stays in the file
        said = tuple(line for line in words.handed_over_sentences(done) if line != words.NOTHING_ELSE)
        return xmp_packet(NO_WORDS, rights, (), said, taken.isoformat() if taken else "", mark)

    def _write(self, path: Path, one: MeasuredHero, curve: Curve, xmp: bytes) -> tuple[int, int]:
        of = replace(self.set_look.developing(one.hero), across=one.match.across)
        hand = self.moves.hand
        gains = one.gains.times(gains_of(hand)) if hand.changes else one.gains
        picture = rendered(of, gains, curve_of(curve, hand), self.moves.placing(of.size), self.progress)
        del of  # the counts are as large as the picture
        with replacing(path, self.opened.folder.workplace, lambda new: self._may_place(new, path)) as new:
            if self.kind == "tiff":
                fill_tiff_16(new, picture, xmp, path=path)
            else:
                new.write_bytes(encode(to_8_bits(picture), "jpeg", BEST_JPEG, xmp))
        return picture.shape[1], picture.shape[0]

    def _may_place(self, new: Path, path: Path) -> bool:
        """Note what is about to be placed, so that a run cut short there is told from work by hand; keep hand work.

        The file is looked at now, not when the run began: it may have been saved meanwhile.
        """
        coming, there = sha256_of_file(new), _hash_of(path)
        if there == coming:
            return False
        if there and there not in self.written(path.name):
            set_aside(path)
        hashes = sorted(placed(self.record, path.name) | {coming})
        self.record.put(f"placed {path.name}", "", hashes=hashes)
        return True

    def _forget_other_kind(self, shot: str, path: Path) -> None:
        """A file of the other kind that was made here before would be stale."""
        for ending in set(KINDS.values()) - {path.suffix}:
            other = path.with_name(shot + ending)
            if other.is_file() and sha256_of_file(other) in self.written(other.name):
                with disk_faults_in_words(other):
                    other.unlink()
            self.record.forget(other.name)


def _tone(curve: Curve) -> str:
    if curve.contrast == CALM_CONTRAST:
        return CALM
    return ROLLED_OFF if curve.white > 1 else STRAIGHT


def _hash_of(path: Path) -> str:
    return sha256_of_file(path) if path.is_file() else ""
