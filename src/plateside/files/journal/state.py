"""What the journal's rows add up to: replayed from the first row each time, so nothing else must be kept.

The kinds of row, and the fields of their data:

    shot current    shot, by                         (by: "card" when the set card's back said so)
    set card        frame                            (that frame shows the set card: it is of no shot)
    frame landed    frame, name, shot, replaces      (shot: the current one as it landed; none when nobody had said.
                                                      replaces: the id under which the same exposure was told before:
                                                      its JPEG, or its file before it grew to its end)
    frame renamed   frame, name                      (the same content under a new name)
    file set aside  name, code, reason, stamp        (a file that cannot be used, told once; again when its stamp,
                                                      size and time, is another)
    file gone       name                             (of a file set aside)
    frame belongs   frame, shot, guess, by           (by: card, of its back; else you said so)
    verdict         frame, shot, word, act, change, confidence, light
                                                     (a later one replaces it; change: the one thing to change, codes
                                                      and numbers, of which act is the sentence, for who reads the file;
                                                     light: whether a grey card is in it, and stops and mired against
                                                     the test frame)
    judge again     frame                            (its verdict counts no more, a new one is due)
    kept            frame                            (her Keep)
    again           frame                            (her Again)
    test frame      shot, frame                      (accepted: later frames of the shot are compared with it)
    layer           shot, frame                      (an accepted step of building the shot's scene)
    lamp check      shot, frame                      (suspected frame; the shot's next one has the lamp off)
    lamp settled    shot, frame, against, lamp, share, warmer_mired, at
                                                     (frame: with the lamp off; against: the suspected one)
    burst           shot, frames, best, why, reason  (frames of one moment by time, best so far, and why: codes and
                                                      numbers, of which reason is the sentence; a later row of the
                                                      same burst replaces it)
    best            frame                            (her own best of the burst that the frame is of: always wins)
    select          shot, frame                      (her own choice: always wins)
    alternate       shot, frame
    crop            shot, channel, box               (shares x, y, width, height of the picture; null: the tool's)
    dish            shot, box                        (where the dish is in the finished picture; null: the tool looks)
    grey card       shot, frame, box                 (where her grey card lies in that frame: x, y, width, height as
                                                      shares; later frames of the shot are looked at there; null: none)
    as taken        shot, frame                      (its finished picture may differ from the series)
    colour chart    frame, corners                   (where it shows a chart of 24 patches; none: taken back)
    look            shot, brighter_stops, warmer_mired, magenta_cc, turned_degrees
                                                     (what she set by hand for its picture; shot empty: for the series)
    extra           frame, name, use                 (a frame that is finished beside its shot's select, as that name:
                                                      use is finished, delivered or none; a later one replaces it)
    retouched       shot, frame, file, sha256, made_from, width_px, height_px
                                                     (a retouched file, as it lies under finished/, was recognised as
                                                      this picture, made from that state of it)
    retouched kept  shot, made_from                  (her retouched file stays, though its picture was made anew since)
    as made         shot, sha256                     (the picture as it was made, not that retouched file)
    words           shot, field, text
    camera clock    camera, offset_s
    undo            row                              (undoes that row; undoing an undo brings it back)
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from plateside.files.journal.decided import Extra, LampCheck, Retouched
from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.finish.extra import NOT_FINISHED
from plateside.finish.hand import UNTOUCHED, Hand, hand_of
from plateside.finish.lens_facts import ON
from plateside.finish.square import Square, square_of

CropShares = tuple[float, float, float, float]

CARD = "card"
"""In `by`: the set card's back was shown."""

UNDOABLE = frozenset(
    {"shot current", "frame belongs", "kept", "again", "test frame", "select", "alternate", "crop", "dish", "words",
     "camera clock", "layer", "lamp check", "best", "grey card", "as taken",
     "look", "lens", "square", "extra", "retouched kept", "as made", "colour chart"}
)  # fmt: skip


@dataclass
class ShootState:
    """Everything decided so far."""

    last_row: int = 0
    current_shot: str = ""
    visits: dict[str, int] = field(default_factory=dict)
    """how often each shot became the current one"""
    landed: dict[str, str] = field(default_factory=dict)
    """frame id -> file name, in order of landing"""
    replaced: dict[str, str] = field(default_factory=dict)
    """former frame id -> the id that stands for it now"""
    aside: dict[str, dict[str, Any]] = field(default_factory=dict)
    """file name -> the 'file set aside' row: what lies in the folder and cannot be used"""
    shot_of: dict[str, str] = field(default_factory=dict)
    guessed: set[str] = field(default_factory=set)
    """frames whose shot is the tool's guess"""
    verdicts: dict[str, dict[str, Any]] = field(default_factory=dict)
    kept: set[str] = field(default_factory=set)
    again: set[str] = field(default_factory=set)
    references: dict[str, str] = field(default_factory=dict)
    cards: set[str] = field(default_factory=set)
    """frames that show the set card and are of no shot"""
    layers: dict[str, list[str]] = field(default_factory=dict)
    """shot -> frame ids of the steps in which its scene was built, in order"""
    lamp_checks: dict[str, LampCheck] = field(default_factory=dict)
    """shot -> the check that waits for a frame with the lamp off"""
    lamps: dict[str, dict[str, Any]] = field(default_factory=dict)
    """frame id -> the 'lamp settled' row that speaks of it (as the frame with the lamp off, or as the suspected)"""
    bursts: dict[str, dict[str, Any]] = field(default_factory=dict)
    """first frame's id -> the 'burst' row: frames, and the tool's best so far"""
    bests: list[str] = field(default_factory=list)
    """frames that she named the best of their burst, the latest last"""
    heroes: dict[str, str] = field(default_factory=dict)
    alternates: dict[str, str] = field(default_factory=dict)
    crops: dict[tuple[str, str], CropShares] = field(default_factory=dict)
    dishes: dict[str, CropShares] = field(default_factory=dict)
    """shot -> where she says that the dish is in the finished picture (shares)"""
    grey_cards: dict[str, tuple[str, CropShares]] = field(default_factory=dict)
    """shot -> the frame in which her grey card was named, and where (x, y, width, height, shares)"""
    card_marks: dict[str, tuple[str, CropShares]] = field(default_factory=dict)
    """frame -> the shot as whose grey card it was named, and where: every one there is, one for each light"""
    charts: dict[str, tuple[float, float, float, float, float, float, float, float]] = field(
        default_factory=dict
    )
    """frame id -> corners of the colour chart in it, as shares of the picture"""
    looks: dict[str, Hand] = field(default_factory=dict)
    """shot -> what she set by hand for its picture; under the empty name, for the whole series"""
    lens: str = ON
    """whether the series is corrected for its lenses, or the profile to take where several fit"""
    squares: dict[str, Square] = field(default_factory=dict)
    """shot -> the flat thing in its frame that is square to the picture"""
    charts_seen: set[str] = field(default_factory=set)
    """frames in which the tool has seen a colour chart by itself, and which you put into no shot"""
    placed: set[str] = field(default_factory=set)
    """frames whose shot you said yourself, not by the shot that was current"""
    as_taken: dict[str, str] = field(default_factory=dict)
    """shot -> the frame that she accepts as it was taken, not matched"""
    extras: dict[str, Extra] = field(default_factory=dict)
    """frame -> what it is finished as"""
    retouched: dict[str, Retouched] = field(default_factory=dict)
    """finished picture -> the file of hers that was last recognised as it"""
    as_made: dict[str, str] = field(default_factory=dict)
    """finished picture -> hash of the retouched file that does not count for it"""
    words: dict[str, dict[str, str]] = field(default_factory=dict)
    clock_offsets_s: dict[str, float] = field(default_factory=dict)

    def to_judge(self) -> list[str]:
        """Frames without a verdict, or whose verdict was given for another shot than they are of now."""
        return [f for f in self.landed if f not in self.no_pictures and self._is_due(f)]

    @property
    def no_pictures(self) -> set[str]:
        """Frames of the set card's back or of a colour chart: of no shot, and not judged."""
        return self.cards | self.charts_seen

    def is_picture_by_you(self, frame: str) -> bool:
        """Whether anything that you said of a frame takes it for a picture of a shot."""
        chosen = (self.references, self.heroes, self.alternates, self.as_taken)
        return (
            frame in self.placed | self.kept | self.again | self.extras.keys() | self.card_marks.keys()
            or frame in self.bests
            or any(frame in of_shot.values() for of_shot in chosen)
            or any(frame in frames for frames in self.layers.values())
        )

    def _is_due(self, frame: str) -> bool:
        verdict = self.verdicts.get(frame)
        # rows of an earlier version do not say for which shot
        return verdict is None or verdict.get("shot", self.shot_of.get(frame)) != self.shot_of.get(frame, "")

    def hand(self, shot: str) -> Hand:
        """All that is set by hand for a shot's picture, its own and its series'."""
        return self.looks.get("", UNTOUCHED).and_(self.looks.get(shot, UNTOUCHED))

    def retouched_of(self, shot: str) -> Retouched | None:
        """The file of hers that counts for a finished picture; None: the picture as it was made."""
        found = self.retouched.get(shot)
        return None if found is None or self.as_made.get(shot) == found.sha256 else found

    def best_by_her(self, frames: Sequence[str]) -> str:
        """Her own best among the frames of one burst; empty when she named none."""
        return next((f for f in reversed(self.bests) if f in frames), "")


def undone(rows: Iterable[Row]) -> set[int]:
    """Numbers of the rows that no longer count."""
    gone: set[int] = set()
    undos = [row for row in rows if row.kind == "undo"]
    for row in sorted(undos, key=lambda r: r.number, reverse=True):
        # one that points ahead is damaged: what it would take back was not there yet
        if row.number not in gone and row.data["row"] < row.number:
            gone.add(int(row.data["row"]))
    return gone


def last_undoable(rows: list[Row]) -> Row | None:
    """The latest decision that still counts and can be taken back; the tool's own guesses are none."""
    gone = undone(rows)
    for row in reversed(rows):
        guess = row.kind == "frame belongs" and row.data.get("guess")
        if row.kind in UNDOABLE and row.number not in gone and not guess:
            return row
    return None


def replay(rows: list[Row]) -> ShootState:
    """Add the rows up, from the first."""
    gone = undone(rows)
    state = ShootState()
    for row in rows:
        state.last_row = row.number
        if row.number not in gone:
            _apply(state, row)
    return state


def add(state: ShootState, rows: Iterable[Row]) -> None:
    """Add later rows to a state. None of them may be an undo: that reaches back, and the whole is replayed."""
    for row in rows:
        state.last_row = row.number
        _apply(state, row)


def _apply(state: ShootState, row: Row) -> None:
    data = row.data
    frame, shot = str(data.get("frame", "")), str(data.get("shot", ""))
    frame = state.replaced.get(frame, frame)
    match row.kind:
        case "shot current":
            state.current_shot = shot
            state.visits[shot] = state.visits.get(shot, 0) + 1
        case "file set aside":
            state.aside[str(data["name"])] = dict(data)
        case "file gone":
            state.aside.pop(str(data["name"]), None)
        case "frame landed":
            state.aside.pop(str(data["name"]), None)
            if data.get("replaces") in state.landed:
                stand_for(state, str(data["replaces"]), frame)
            state.landed[frame] = str(data["name"])
            # as it was when it landed: taking the move to that shot back must not make its frames homeless
            if (shot or state.current_shot) and frame not in state.charts_seen:
                state.shot_of.setdefault(frame, shot or state.current_shot)
        case "frame renamed":
            state.aside.pop(str(data["name"]), None)
            if frame in state.landed:
                state.landed[frame] = str(data["name"])
        case "frame belongs":
            state.shot_of[frame] = shot
            (state.guessed.add if data.get("guess") else state.guessed.discard)(frame)
            # the set card's back says which shot was on, not that a frame is a picture of it
            if not data.get("guess") and data.get("by") != CARD:
                state.placed.add(frame)
                state.charts_seen.discard(frame)
        case "verdict":
            state.verdicts[frame] = dict(data)
        case "judge again":
            state.verdicts.pop(frame, None)
        case "kept":
            state.kept.add(frame)
            state.again.discard(frame)
        case "again":
            state.again.add(frame)
            state.kept.discard(frame)
        case "test frame":
            state.references[shot] = frame
        case "set card":
            state.cards.add(frame)
            state.shot_of.pop(frame, None)
            state.guessed.discard(frame)
        case "chart seen":
            state.charts_seen.add(frame)
            state.shot_of.pop(frame, None)
            state.guessed.discard(frame)
            state.verdicts.pop(frame, None)
        case "layer":
            layer_frames = state.layers.setdefault(shot, [])
            if frame not in layer_frames:
                layer_frames.append(frame)
        case "lamp check":
            state.lamp_checks[shot] = LampCheck(frame, len(state.landed))
        case "lamp settled":
            state.lamp_checks.pop(shot, None)
            state.lamps[frame] = state.lamps[str(data["against"])] = dict(data)
        case "burst":
            frames = [str(f) for f in data["frames"]]
            # frames that land late may come before the first
            for known in [k for k in state.bursts if k in frames]:
                del state.bursts[known]
            state.bursts[frames[0]] = dict(data)
        case "best":
            state.bests.append(frame)
        case "select":
            state.heroes[shot] = frame
            if state.alternates.get(shot) == frame:
                del state.alternates[shot]
        case "alternate":
            state.alternates[shot] = frame
        case "crop":
            if data["box"] is None:
                state.crops.pop((shot, str(data["channel"])), None)
            else:
                x, y, w, h = (float(v) for v in data["box"])
                state.crops[shot, str(data["channel"])] = (x, y, w, h)
        case "dish":
            if data["box"] is None:
                state.dishes.pop(shot, None)
            else:
                x, y, w, h = (float(v) for v in data["box"])
                state.dishes[shot] = (x, y, w, h)
        case "grey card":
            if data["box"] is None:
                state.grey_cards.pop(shot, None)
                state.card_marks = {f: mark for f, mark in state.card_marks.items() if mark[0] != shot}
            else:
                x, y, w, h = (float(v) for v in data["box"])
                state.grey_cards[shot] = frame, (x, y, w, h)
                state.card_marks[frame] = shot, (x, y, w, h)
        case "as taken":
            state.as_taken[shot] = frame
        case "extra":
            state.extras.pop(frame, None)
            if data["use"] != NOT_FINISHED:
                state.extras[frame] = Extra(str(data["name"]), str(data["use"]))
        case "retouched":
            file, sha256, made_from = (str(data[name]) for name in ("file", "sha256", "made_from"))
            size = int(data["width_px"]), int(data["height_px"])
            state.retouched[shot] = Retouched(file, frame, sha256, made_from, *size)
        case "retouched kept":
            if shot in state.retouched:
                state.retouched[shot] = replace(state.retouched[shot], made_from=str(data["made_from"]))
        case "as made":
            state.as_made[shot] = str(data["sha256"])
        case "colour chart":
            state.charts.pop(frame, None)
            if data["corners"]:
                a, b, c, d, e, f, g, h = (float(v) for v in data["corners"])
                state.charts[frame] = a, b, c, d, e, f, g, h
        case "lens":
            state.lens = str(data["use"])
        case "square":
            state.squares.pop(shot, None)
            if (square := square_of(data)) is not None:
                state.squares[shot] = square
        case "look":
            state.looks[shot] = hand_of(data)
        case "words":
            state.words.setdefault(shot, {})[str(data["field"])] = str(data["text"])
        case "camera clock":
            state.clock_offsets_s[str(data["camera"])] = float(data["offset_s"])
        case _:
            pass  # rows of a newer version are kept in the file and passed over


def stand_for(state: ShootState, former: str, frame: str) -> None:
    """One exposure has another id from now on: what was decided of it stays, in its place; its verdict is due anew."""

    def now(one: str) -> str:
        return frame if one == former else one

    state.replaced[former] = frame
    if next(reversed(state.landed)) == former:
        state.landed[frame] = state.landed.pop(former)
    else:
        state.landed = {now(f): name for f, name in state.landed.items()}
    state.verdicts.pop(former, None)
    if former in state.shot_of:
        state.shot_of[frame] = state.shot_of.pop(former)
    for frames in (
        state.guessed, state.kept, state.again, state.cards, state.charts_seen, state.placed
    ):  # fmt: skip
        if former in frames:
            frames.discard(former)
            frames.add(frame)
    for of_shot in (state.references, state.heroes, state.alternates, state.as_taken):
        of_shot.update({s: frame for s, f in of_shot.items() if f == former})
    state.extras = {now(f): extra for f, extra in state.extras.items()}
    state.retouched = {s: replace(r, frame=now(r.frame)) for s, r in state.retouched.items()}
    state.layers = {s: [now(f) for f in layer_frames] for s, layer_frames in state.layers.items()}
    state.bests = [now(f) for f in state.bests]
    state.grey_cards = {s: (now(f), box) for s, (f, box) in state.grey_cards.items()}
    state.card_marks = {now(f): mark for f, mark in state.card_marks.items()}
    state.charts = {now(f): corners for f, corners in state.charts.items()}
    state.lamp_checks = {s: replace(c, frame=now(c.frame)) for s, c in state.lamp_checks.items()}
    if former in state.lamps:
        check = state.lamps.pop(former)
        state.lamps[frame] = check | {key: now(str(check[key])) for key in ("frame", "against")}
    for first, burst in list(state.bursts.items()):
        if former in burst["frames"]:
            del state.bursts[first]
            frames_now = [now(str(f)) for f in burst["frames"]]
            state.bursts[frames_now[0]] = burst | {"frames": frames_now, "best": now(str(burst["best"]))}


def read_state(folder: Path) -> ShootState:
    """The state of the shoot in `folder`."""
    return replay(Journal.open(folder).rows())
