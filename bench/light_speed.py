"""How long the light takes: a moment, a day, a year, a fresh process; and the same year by Radiance's matrix method.

    python -m bench.light_speed

The demo-like room: 4.2 x 3.1 m, one south window (so that the sun comes in most of the year: the dearest case), a white
board. Times are wall clock, best of a few; the processor's own time stands beside them, because on a busy machine
the wall says more of the neighbours. Radiance's year, in turns with ours: rfluxmtx (daylight coefficients of the same
six faces on the patches of Reinhart's sky, its sun put into the nearest ones), gendaymtx, dctimestep, at the same
5 minutes.
"""

import math
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from plateside.light.day import day_light
from plateside.light.moment import light_at
from plateside.light.sky import word_series
from plateside.light.sun import sun_positions, year_grid
from plateside.light.year import year_light
from plateside.model.light_answers import StandingBoard
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Studio

PLACE = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon")
SPOT = Spot(name="table", from_left_m=2.1, from_front_m=0.8, height_m=0.78)
STUDIO = Studio(
    place=PLACE,
    room=Room(width_m=4.2, depth_m=3.1, height_m=2.5),
    windows=(Window(name="window", bearing_deg=180, width_m=1.2, height_m=1.2, sill_m=0.78),),
    spots=(SPOT,),
)
NOON = datetime(2027, 1, 15, 12, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
YEAR = 2027
SKY_DIVISIONS = (1, 2)
"""Of the sky in the matrix method: 145 and 577 patches."""
TURNS = 3
EFFICACY = 179.0
"""Lumens in a watt, as Radiance counts."""

FRESH = """
import time
start = time.perf_counter()
from bench.light_speed import NOON, SPOT, STUDIO, light_at
light_at(STUDIO, SPOT, NOON, "clear")
print(time.perf_counter() - start, time.process_time())
"""


def board(x_m: float) -> StandingBoard:
    return StandingBoard(x_m, 2.3, 1.03, 90, 0.7, 0.5, (0.88, 0.88, 0.88))


def timed(work: Callable[[], Any], repeats: int = 3) -> tuple[float, float]:
    """Best wall clock and processor time [s] of some repeats."""
    walls, processors = [], []
    for _ in range(repeats):
        wall, processor = time.perf_counter(), time.process_time()
        work()
        walls.append(time.perf_counter() - wall)
        processors.append(time.process_time() - processor)
    return min(walls), min(processors)


def row(what: str, wall: float, processor: float | None, target: str) -> None:
    own = "" if processor is None else f"{processor:10.3f}"
    on_the_wall = "" if math.isnan(wall) else f"{wall:9.3f}"
    print(f"{what:58s} {on_the_wall:>9s} {own:>10s}   {target}")


def main() -> None:
    print(f"{'':58s} {'wall s':>9s} {'cpu s':>10s}   target")
    light_at(STUDIO, SPOT, NOON, "clear")
    day_light(STUDIO, SPOT, date(YEAR, 1, 15), "clear")
    places = iter(np.linspace(2.5, 2.6, 40))
    row("a moment, room and board never seen before",
        *timed(lambda: light_at(STUDIO, SPOT, NOON, "clear", boards=(board(float(next(places))),))), "")  # fmt: skip
    light_at(STUDIO, SPOT, NOON, "clear", boards=(board(2.5),))
    row("a moment, room and board known",
        *timed(lambda: light_at(STUDIO, SPOT, NOON, "clear", boards=(board(2.5),)), 8), "under 0.050")  # fmt: skip
    row(
        "a day at 5 minutes", *timed(lambda: day_light(STUDIO, SPOT, date(YEAR, 1, 16), "clear")), "under 0.3"
    )
    year = timed(lambda: year_light(STUDIO, SPOT, YEAR, "clear"))
    row("a year at 5 minutes (105,120 moments, 15 faces)", *year, "under 3")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (
        1024 if sys.platform != "darwin" else 1024**2
    )
    fresh = min(tuple(map(float, _run([sys.executable, "-c", FRESH]).split())) for _ in range(2))
    row("first moment in a fresh process, kernels compiled before", fresh[0], fresh[1], "under 3")
    print(f"most memory in this process: {memory:.0f} MB (target under 1000)")
    try:
        beside_radiance()
    except ImportError:
        print("Radiance is not installed here: no comparison.")


def beside_radiance() -> None:
    """Our year and the matrix method's in turns, so that what else the machine does falls on both; processor times."""
    years: list[float] = []
    theirs: dict[int, list[float]] = {fine: [] for fine in SKY_DIVISIONS}
    walls: dict[int, list[float]] = {fine: [] for fine in SKY_DIVISIONS}
    horizontal: dict[int, np.ndarray] = {}
    for _ in range(TURNS):
        years.append(timed(lambda: year_light(STUDIO, SPOT, YEAR, "clear"), 1)[1])
        for fine in SKY_DIVISIONS:
            wall, processor, horizontal[fine] = radiance_year(fine)
            theirs[fine].append(processor)
            walls[fine].append(wall)
    ours = year_light(STUDIO, SPOT, YEAR, "clear").horizontal_lx.ravel()
    bright = ours > 100
    row(f"our year between theirs, median of {TURNS}", float("nan"), statistics.median(years), "")
    for fine in SKY_DIVISIONS:
        row(
            f"the same year by Radiance's matrix method, {144 * fine**2 + 1} patches",
            statistics.median(walls[fine]), statistics.median(theirs[fine]), "",
        )  # fmt: skip
        off = np.abs(np.log2(np.maximum(horizontal[fine][bright], 1) / ours[bright]))
        ratios = sorted(their / our for their, our in zip(theirs[fine], years, strict=True))
        target = ", target 5" if fine == SKY_DIVISIONS[-1] else ""
        print(
            f"    {statistics.median(ratios):.1f} times our processor time "
            f"({ratios[0]:.1f} to {ratios[-1]:.1f}{target}); its horizontal (the sun smeared over patches) "
            f"is off ours by {np.median(off):.2f} stop (median), {np.quantile(off, 0.9):.2f} stop (90th percentile)"
        )


def radiance_year(fine: int) -> tuple[float, float, np.ndarray]:
    """Wall clock and processor time [s] and horizontal illuminance [lx] of the year by rfluxmtx, gendaymtx and
    dctimestep."""
    import pyradiance

    from plateside.light.sky import cie_sky
    from tests.radiance.scene import CAL_FILE, build

    tools = Path(pyradiance.__file__).parent / "bin"
    library = Path(pyradiance.__file__).parent / "lib"
    scene = build(STUDIO, SPOT, cie_sky(5, 1000.0), 45.0, 180.0)
    indoors = "\n\n".join(part for part in scene.scene.split("\n\n") if not _is_outside(part))
    _, _, seconds = year_grid(PLACE, YEAR)
    at = sun_positions(PLACE, seconds.ravel())
    sky = word_series("clear", at.elevation_deg, true_elevation_deg=at.true_elevation_deg)
    x, y, z = SPOT.from_left_m, STUDIO.room.depth_m - SPOT.from_front_m, SPOT.height_m
    faces = [
        (z + 0.001, 0, 0, 1),
        (z + 0.05, 0, 1, 0),
        (z + 0.05, 1, 0, 0),
        (z + 0.05, 0, -1, 0),
        (z + 0.05, -1, 0, 0),
    ]
    rays = "".join(
        f"{x} {y} {height} {a} {b} {c}\n" for height, a, b, c in [*faces, (z + 0.05, -0.7071, 0, 0.7071)]
    )
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        (here / "case.cal").write_text(scene.cal)
        (here / "room.rad").write_text(indoors.replace(CAL_FILE, str(here / "case.cal")))
        ground, upper = (
            f"void glow {name}_glow\n0\n0\n4 1 1 1 0\n{name}_glow source {name}\n0\n0\n4 0 0 {z} 180\n"
            for name, z in (("ground", -1), ("sky", 1))
        )
        (here / "sky.rad").write_text(f"#@rfluxmtx h=u u=Y\n{ground}#@rfluxmtx h=r{fine} u=Y\n{upper}")
        (here / "year.wea").write_text(
            _weather(seconds.ravel(), sky.diffuse_horizontal_lx, sky.direct_normal_lx)
        )
        (here / "rays").write_text(rays)
        line = (
            f"'{tools}/rfluxmtx' -I+ -n 2 -faf -ab 6 -ad 4096 -lw 1e-5 - '{here}/sky.rad' '{here}/room.rad'"
            f" < '{here}/rays' > '{here}/coefficients'"
            # -O0 visible light; the room's y axis is the front wall's bearing, 180 degrees
            f" && '{tools}/gendaymtx' -m {fine} -r 180 -of '{here}/year.wea' > '{here}/skies' 2> /dev/null"
            f" && '{tools}/dctimestep' -of '{here}/coefficients' '{here}/skies' > '{here}/answer'"
        )
        start, before = time.perf_counter(), _children()
        subprocess.run(
            ["bash", "-c", line],
            check=True,
            env={"RAYPATH": f".:{library}", "PATH": f"{tools}:/usr/bin:/bin"},
        )
        wall, processor = time.perf_counter() - start, _children() - before
        raw = (here / "answer").read_bytes()
    body = raw[raw.index(b"\n\n") + 2 :]
    lux = np.frombuffer(body, dtype=np.float32).reshape(len(faces) + 1, -1, 3)
    return wall, processor, EFFICACY * lux[0] @ np.array([0.265, 0.670, 0.065])


def _children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _is_outside(part: str) -> bool:
    words = part.split()
    return any(name in words for name in ("sky_fn", "sky_glow", "ground_glow", "sun_light"))


def _weather(seconds: np.ndarray, diffuse_lx: np.ndarray, normal_lx: np.ndarray) -> str:
    """The year as a .wea: direct normal and diffuse horizontal irradiance, at Greenwich time."""
    head = (
        f"place bench\nlatitude {PLACE.latitude_deg}\nlongitude {-PLACE.longitude_deg}\ntime_zone 0\nsite_elevation 0\n"
        "weather_data_file_units 1\n"
    )
    lines = []
    for moment, diffuse, normal in zip(seconds, diffuse_lx, normal_lx, strict=True):
        t = datetime.fromtimestamp(float(moment), tz=UTC)
        lines.append(f"{t.month} {t.day} {t.hour + t.minute / 60:.4f} {normal / 110:.1f} {diffuse / 120:.1f}")
    return head + "\n".join(lines) + "\n"


def _run(command: list[str]) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


if __name__ == "__main__":
    main()
