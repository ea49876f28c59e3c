"""Files with something wrong in them, and every reader that must say so in a sentence."""

import random
import time
from collections import Counter
from dataclasses import dataclass, field

from plateside.files import damage
from tests.synthetic.damaged import damaged
from tests.synthetic.damaged_shoot import Shoot
from tests.synthetic.stand_ins import stand_in

MOST_S = 10.0
STAND_INS = 0.08
"""Share of those in whose place something stands that is no file."""


GOOD = {"exit 0", "exit 1", "exit 2", "done", "told 1", "told 2"}


READERS: dict[str, tuple[str, ...]] = {
    "shoot.toml": (
        "check",
        "check --json",
        "shot",
        "plan",
        "setup",
        "verify delivery",
        "GET /plan",
        "GET /plan/day",
        "GET /plan/versions",
        "GET /set",
        "GET /choose",
        "GET /standing",
        "GET /finish",
        "GET /deliver",
        "GET /settings/shoot",
        "GET /studio/fix",
        "GET /start",
        "GET /light",
        "UNDO shoot",
        "CHANGE shoot",
        "judge",
        "choose",
        "finish",
        "deliver",
        "pack --to out",
    ),
    "studio.toml": (
        "check",
        "check studio.toml",
        "plan",
        "setup",
        "light --at 2027-05-01T12:00",
        "GET /studio",
        "GET /settings/studio",
        "GET /studio/fix",
        "GET /plan",
        "GET /light",
        "GET /set",
        "UNDO studio",
        "CHANGE studio",
        "GET /studio/card",
        "GET /light/moment?moment=2027-05-01T12:00",
    ),
    "journal.jsonl": (
        "check",
        "shot",
        "shot near",
        "shot --undo",
        "judge",
        "choose",
        "finish",
        "deliver",
        "GET /set",
        "GET /set/now",
        "GET /choose",
        "GET /choose/sheets",
        "GET /standing",
        "GET /finish/standing",
        "GET /deliver/standing",
        "GET /light",
        "PRESS",
        "TAKE BACK",
        "STREAM",
        "GET /plan",
        "watch --once --quiet --plain",
    ),
    "sky/weather.txt": (
        "light --at 2027-05-01T12:00 --weather sky/weather.txt",
        "GET /light?sky=typical year",
        "GET /light/moment?sky=typical year&moment=2027-05-01T12:00",
        "SKY weather.txt",
    ),
    "sky/year.csv": ("light --at 2027-05-01T12:00 --weather sky/year.csv", "SKY year.csv"),
    "sky/forecast.csv": (
        "light --at 2027-05-01T12:00 --forecast sky/forecast.csv",
        "SKY forecast.csv",
        "GET /light/moment?sky=forecast&moment=2027-05-01T12:00",
    ),
    ".plateside/index.sqlite": ("judge", "choose"),
    ".plateside/finish.json": ("finish",),
    ".plateside/deliver.json": ("deliver",),
    ".plateside/crops.json": ("deliver",),
    "finished/adjustments.json": (
        "deliver",
        "finish",
        "GET /finish",
        "GET /finish/standing",
        "GET /deliver",
        "GET /deliver/standing",
        "GET /finish/pictures/cup/view.jpg",
    ),
    "delivery/manifest.json": (
        "verify delivery",
        "pack --to out",
        "deliver",
        "GET /deliver",
        "GET /deliver/standing",
    ),
    "delivery/*.*": ("verify delivery", "deliver", "GET /deliver", "pack --to out"),
    "delivery/*/*": ("verify delivery", "deliver", "GET /deliver", "pack --to out"),
    "finished/retouched/*": (
        "finish",
        "deliver",
        "GET /finish",
        "GET /finish/standing",
        "GET /deliver",
        "RETOUCHED",
        "EVERY",
    ),
    ".plateside/retouched.json": ("finish", "GET /finish", "deliver", "RETOUCHED"),
    ".plateside/as-seen.json": ("finish", "EVERY"),
    ".plateside/series/*": ("EVERY",),
    ".plateside/plan/*": ("GET /plan", "GET /set", "watch --once --quiet --plain", "plan"),
    "undo/*.toml": ("UNDO shoot", "UNDO studio"),
    "undo/*.json": ("UNDO studio",),
    ".plateside/open.txt": ("REOPEN",),
    ".plateside/thumbnails/*": ("GET /frames/{frame}/thumb.jpg",),
    ".plateside/strips/*": ("GET /choose/strips",),
    ".plateside/shown/**/*": ("GET /finish/pictures/cup/view.jpg",),
    ".plateside/light-answers/*": ("GET /light/day?day=2027-05-01",),
    "state/*": ("REOPEN",),
    "state/desk.key": ("REOPEN",),
    "frames/*.dng": (
        "judge",
        "watch --once --quiet --plain",
        "DECODE",
        "choose",
        "finish",
        "finish --chart chart.dng",
        "EVERY",
    ),
    "frames/*.jpg": ("judge", "watch --once --quiet --plain", "DECODE", "GET /set", "choose"),
    "finished/*.tif": (
        "finish",
        "deliver",
        "GET /finish",
        "GET /finish/pictures/cup/view.jpg",
        "GET /deliver",
    ),
    "packages/*/*.txt": ("verify packages/shoot-delivery", "pack"),
    "packages/*/data/*/*": ("verify packages/shoot-delivery", "pack"),
    "packages/*/data/*": ("verify packages/shoot-delivery", "pack"),
    "card/*": ("DECODE", "ADD"),
}
"""For each file, by its place in the shoot, who reads it. Lower case: a command. GET: a page. The rest: ACTS."""


@dataclass
class Fault:
    """One promise that was not kept."""

    number: int
    file: str
    what: str
    act: str
    said: str


@dataclass
class Tally:
    """What was tried and what came of it."""

    tried: int = 0
    answers: Counter[str] = field(default_factory=Counter)
    faults: list[Fault] = field(default_factory=list)
    noted: int = 0
    slowest_s: float = 0.0
    slowest: str = ""


def run(shoot: Shoot, many: int, seed: int, *, acts: int = 2, only: str = "") -> Tally:
    """Damage a file `many` times, run `acts` of its readers each time, and put everything back.

    only  parts of patterns, one of which must be in it: "a|b"
    """
    tally = Tally()
    patterns = [p for p in READERS if any(one in p for one in only.split("|")) and shoot.named(p)]
    for number in range(many):
        dice = random.Random(seed * 1_000_003 + number)
        pattern = patterns[number % len(patterns)]
        path = dice.choice(shoot.named(pattern))
        if dice.random() < STAND_INS:
            what = stand_in(path, dice)
        else:
            data, what = damaged(path.read_bytes(), path.name, dice)
            path.write_bytes(data)
        tally.tried += 1
        for act in dice.sample(READERS[pattern], min(acts, len(READERS[pattern]))):
            started, clock = time.process_time(), time.monotonic()
            answer, said = shoot.run(act)
            # of the processor, so that a loaded machine is no fault; but what waits is seen as well
            took = max(time.process_time() - started, (time.monotonic() - clock) / 12)
            tally.answers[answer] += 1
            if took > tally.slowest_s:
                tally.slowest_s, tally.slowest = took, f"{path.name}, {what}: {act}"
            wrong = answer not in GOOD if not answer.isdigit() else answer in ("0", "500")
            if wrong or "Traceback" in said or took > MOST_S:
                tally.faults.append(
                    Fault(number, path.name, what, act, f"{answer}, {took:.1f} s: {said[-1_500:]}")
                )
        tally.noted += bool(damage.noted())
        if changed := shoot.changed_originals(but=path.name):
            tally.faults.append(Fault(number, path.name, what, "", f"originals changed: {changed}"))
        shoot.put_back()
    return tally
