"""What is seen through the windows, baked into one map of directions, glass included.

The luminance of sky, ground and what stands opposite is that of the light engine's scene (light/scene.py says it
exactly). The map is made as seen from the dish: a direction that leaves the dish through a window carries what stands
there, times that pane's transmittance at that angle, dirt, frame and fit. A direction that leaves the dish through no
window carries what the middle of the window that looks most that way would see: light that reaches the walls first.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.light.colour import rgb_of_cct
from plateside.light.glass import glass_transmittance
from plateside.light.scene import Scene
from plateside.light.sky import Sky

Array = NDArray[np.float64]

ROWS, COLUMNS = 541, 1080


@dataclass(frozen=True)
class SkyLight:
    """A sky with the sun in it, ready to be asked for luminance; azimuths clockwise from the front wall [rad]."""

    sky: Sky
    sun_direction: Array
    """Unit vector to the sun in the room's coordinates; below the horizon when it has set."""

    @property
    def sky_rgb(self) -> Array:
        """Colour of the sky's light, luminance 1 (linear sRGB)."""
        return np.asarray(rgb_of_cct(self.sky.sky_cct_k), dtype=np.float64).reshape(3)

    @property
    def sun_rgb(self) -> Array:
        return np.asarray(rgb_of_cct(self.sky.sun_cct_k), dtype=np.float64).reshape(3)

    @property
    def sun_up(self) -> bool:
        return bool(self.sun_direction[2] > 0) and self.sky.direct_normal_lx > 0

    def relative(self, directions: Array) -> Array:
        """Luminance before scaling, for unit vectors (..., 3); 0 below the horizon."""
        sin_g = directions[..., 2]
        s = np.maximum(sin_g, 0.0)
        sky = self.sky
        if sky.kind == "overcast":
            value = (1.0 + 2.0 * s) / 3.0
        else:
            x = np.arccos(np.clip(directions @ self.sun_direction, -1.0, 1.0))
            k = 1.0 if sky.kind == "cie" else 0.0
            gradation = 1.0 + sky.a * np.exp(sky.b / np.maximum(s, 0.01))
            indicatrix = (
                1.0 + sky.c * (np.exp(sky.d * x) - k * np.exp(sky.d * np.pi / 2)) + sky.e * np.cos(x) ** 2
            )
            value = np.maximum(gradation * indicatrix, 0.0)
        return np.asarray(np.where(sin_g > 0.0, value, 0.0))

    @cached_property
    def _weighed(self) -> Array:
        """`relative` of each of the hemisphere's directions, times its solid angle."""
        directions, weight = _hemisphere()
        return np.asarray(self.relative(directions) * weight)

    def scale(self) -> float:
        """cd/m2 for one unit of `relative`, so that the horizontal gets its lux."""
        total = float((self._weighed * _hemisphere()[0][..., 2]).sum())
        return self.sky.diffuse_horizontal_lx / total if total > 0 else 0.0

    def vertical_lx(self, azimuth_rad: float) -> float:
        """Light of the open sky on an upright plane that looks this way [lx]."""
        normal = np.array([np.sin(azimuth_rad), np.cos(azimuth_rad), 0.0])
        cosine = np.maximum(_hemisphere()[0] @ normal, 0.0)
        return self.scale() * float((self._weighed * cosine).sum())


@lru_cache(maxsize=1)
def _hemisphere() -> tuple[Array, Array]:
    """Directions over the sky's half of the sphere and their solid angles."""
    rows, columns = 180, 360
    g = (np.arange(rows) + 0.5) * (np.pi / 2 / rows)
    az = (np.arange(columns) + 0.5) * (2 * np.pi / columns)
    directions = unit(az[None, :], g[:, None])
    weight = np.cos(g)[:, None] * (np.pi / 2 / rows) * (2 * np.pi / columns) * np.ones((1, columns))
    for kept in (directions, weight):
        kept.flags.writeable = False
    return directions, weight


def unit(azimuth: NDArray[Any], elevation: NDArray[Any]) -> Array:
    """Unit vectors; azimuth clockwise from +y, both [rad]."""
    azimuth, elevation = np.broadcast_arrays(azimuth, elevation)
    c = np.cos(elevation)
    return np.asarray(np.stack([np.sin(azimuth) * c, np.cos(azimuth) * c, np.sin(elevation)], axis=-1))


def thing_luminance(scene: Scene, light: SkyLight) -> Array:
    """Luminance of each outside object by bands [cd/m2], shape (k, 3)."""
    sky_rgb, sun_rgb = light.sky_rgb, light.sun_rgb
    direct = light.sky.direct_normal_lx if light.sun_up else 0.0
    horizontal = light.sky.diffuse_horizontal_lx * sky_rgb + direct * light.sun_direction[2] * sun_rgb
    out = np.zeros((scene.things.size, 3))
    for i, thing in enumerate(scene.things):
        azimuth = float(thing["azimuth"])
        lux = thing["horizontal"] * horizontal
        if thing["vertical"] > 0:
            lux = lux + thing["vertical"] * light.vertical_lx(azimuth) * sky_rgb
        if thing["sun"] > 0 and direct > 0:
            normal = np.array([np.sin(azimuth), np.cos(azimuth), 0.0])
            lux = lux + thing["sun"] * direct * max(0.0, float(normal @ light.sun_direction)) * sun_rgb
        out[i] = thing["reflectance"] / np.pi * lux
    return out


def view_outside(
    scene: Scene, light: SkyLight, aperture: int, points: Array, directions: Array, things: Array
) -> Array:
    """Luminance by bands of what stands outside, from points in an aperture's glass (n, 3) along directions (n, 3).

    Reveal and overhang are left to the geometry.
    """
    sky = light.relative(directions) * light.scale()
    opening = scene.openings[aperture]
    ground = things[opening["ground"]]
    behind = np.where(directions[:, 2:] > 0.0, sky[:, None] * light.sky_rgb, ground)
    # from the farthest thing to the nearest, each before what lies behind it
    for k in range(opening["end_opposite"] - 1, opening["first_opposite"] - 1, -1):
        opposite = scene.opposite[k]
        met, part = _meets(points, directions, opposite)
        own, see_through = things[opposite["first_thing"] + part], opposite["see_through"]
        behind = np.where(met[:, None], own * (1.0 - see_through) + behind * see_through, behind)
    return behind


def _meets(
    points: Array, directions: Array, opposite: np.void
) -> tuple[NDArray[np.bool_], NDArray[np.int64]]:
    """Whether rays meet an upright cylinder part above the ground, and which of its parts."""
    flat = np.maximum(directions[:, 0] ** 2 + directions[:, 1] ** 2, 1e-18)
    ox, oy = points[:, 0] - opposite["x"], points[:, 1] - opposite["y"]
    b = ox * directions[:, 0] + oy * directions[:, 1]
    c = ox * ox + oy * oy - opposite["radius"] ** 2
    disc = b * b - flat * c
    t = (-b + np.sqrt(np.maximum(disc, 0.0))) / flat
    z = points[:, 2] + t * directions[:, 2]
    bearing = np.arctan2(ox + t * directions[:, 0], oy + t * directions[:, 1])
    turn = (bearing - opposite["left"]) % (2 * np.pi)
    met = (c <= 0) & (disc >= 0) & (z < opposite["top"]) & (z >= opposite["ground"])
    met &= turn <= opposite["extent"]
    parts = int(opposite["things"])
    part = np.minimum((turn / max(opposite["extent"], 1e-9) * parts).astype(np.int64), parts - 1)
    return met, np.where(met, part, 0)


def pane_share(scene: Scene, aperture: int, directions: Array, normal_transmittance: float) -> Array:
    """Share of light that comes through a pane along directions (n, 3), with dirt, frame and fit."""
    normal = scene.openings[aperture]["outward"]
    cosine = directions @ normal
    table = glass_transmittance(np.linspace(0.0, 1.0, 721), normal_transmittance)
    share = np.interp(np.clip(cosine, 0.0, 1.0), np.linspace(0.0, 1.0, 721), table)
    return np.asarray(share * scene.openings[aperture]["scale"])


def first_aperture_of_each_window(scene: Scene) -> dict[int, int]:
    """Window number to one of its apertures; all of a window's share its glass and outside."""
    found: dict[int, int] = {}
    for k, aperture in enumerate(scene.apertures):
        found.setdefault(aperture.window, k)
    return found


@lru_cache(maxsize=2)
def _map_directions(rows: int, columns: int) -> Array:
    """Of each place of the map, one after another (rows x columns, 3)."""
    polar = np.arange(rows) * (np.pi / (rows - 1))
    azimuth = (np.arange(columns) + 0.5) * (2 * np.pi / columns)
    directions = unit(azimuth[None, :], np.pi / 2 - polar[:, None]).reshape(-1, 3)
    directions.flags.writeable = False
    return directions


def baked_outside(
    scene: Scene, light: SkyLight, glass: tuple[float, ...], rows: int = ROWS, columns: int = COLUMNS
) -> NDArray[np.float32]:
    """The map, shape (rows, columns, 3) [cd/m2]: row 0 the zenith and the last the nadir, columns clockwise from +y.

    glass  transmittance straight on of each window's pane
    """
    directions = _map_directions(rows, columns)
    things = thing_luminance(scene, light)
    out = np.zeros((len(directions), 3))
    best = np.full(len(directions), 1e-6)
    for window, k in first_aperture_of_each_window(scene).items():
        opening = scene.openings[k]
        normal = opening["outward"]
        facing = directions @ normal
        forward = np.flatnonzero(facing > 1e-6)
        d = directions[forward]
        # where the ray from the dish crosses the glass's plane
        t = ((opening["whole_corner"] - scene.dish) @ normal) / facing[forward]
        crossing = scene.dish + t[:, None] * d
        along = (crossing - opening["whole_corner"]) @ opening["along"]
        up = crossing[:, 2] - opening["whole_corner"][2]
        through = (
            (t > 0)
            & (along >= 0)
            & (along <= opening["whole_width"])
            & (up >= 0)
            & (up <= opening["whole_height"])
        )
        middle = (
            opening["whole_corner"]
            + opening["along"] * opening["whole_width"] / 2
            + np.array([0.0, 0.0, opening["whole_height"] / 2])
        )
        points = np.where(through[:, None], crossing, middle)
        # a window that the dish sees along this direction counts before one that merely looks that way
        merit = facing[forward] + np.where(through, 10.0, 0.0)
        take = merit > best[forward]
        chosen = forward[take]
        radiance = view_outside(scene, light, k, points[take], d[take], things)
        out[chosen] = radiance * pane_share(scene, k, d[take], glass[window])[:, None]
        best[chosen] = merit[take]
    return out.reshape(rows, columns, 3).astype(np.float32)


def sun_through(scene: Scene, light: SkyLight, glass: tuple[float, ...]) -> Array:
    """The sun's direct normal light behind the glass of the window that most faces it, by bands [lx].

    Sheets, reveal and overhang are left to the geometry.
    """
    if not light.sun_up:
        return np.zeros(3)
    best, out = 1e-6, np.zeros(3)
    for window, k in first_aperture_of_each_window(scene).items():
        opening = scene.openings[k]
        facing = float(light.sun_direction @ opening["outward"])
        if facing <= best:
            continue
        best = facing
        middle = (
            opening["whole_corner"]
            + opening["along"] * opening["whole_width"] / 2
            + np.array([0.0, 0.0, opening["whole_height"] / 2])
        )
        share = 1.0
        for o in range(opening["first_opposite"], opening["end_opposite"]):
            met, _ = _meets(middle[None], light.sun_direction[None], scene.opposite[o])
            if met[0]:
                share *= float(scene.opposite[o]["see_through"])
        passed = float(pane_share(scene, k, light.sun_direction[None], glass[window])[0])
        out = light.sky.direct_normal_lx * share * passed * light.sun_rgb
    return out


def sheet_exitance(scene: Scene, light: SkyLight, glass: tuple[float, ...], aperture: int) -> Array:
    """What a sheet gives to the room, evenly, by bands [lx]: the light that reaches it, times its share."""
    opening = scene.openings[aperture]
    normal = opening["outward"]
    rows, columns = 120, 240
    # directions over the half sphere outside, about the window's normal
    g = (np.arange(rows) + 0.5) * (np.pi / rows) - np.pi / 2
    facing = np.arctan2(normal[0], normal[1])
    az = facing + (np.arange(columns) + 0.5) * (np.pi / columns) - np.pi / 2
    directions = unit(az[None, :], g[:, None]).reshape(-1, 3)
    solid = (np.cos(g)[:, None] * (np.pi / rows) * (np.pi / columns) * np.ones((1, columns))).ravel()
    middle = (
        opening["corner"]
        + opening["along"] * opening["width"] / 2
        + np.array([0.0, 0.0, opening["height"] / 2])
    )
    points = np.broadcast_to(middle, directions.shape)
    window = scene.apertures[aperture].window
    things = thing_luminance(scene, light)
    radiance = view_outside(scene, light, aperture, points, directions, things)
    radiance = _past_reveal(scene, aperture, middle, directions, radiance, things)
    passed = pane_share(scene, aperture, directions, glass[window])
    lux = ((passed * np.maximum(directions @ normal, 0.0) * solid)[:, None] * radiance).sum(axis=0)
    sun = sun_through(scene, light, glass) * max(0.0, float(light.sun_direction @ normal))
    if sun.any():
        blocked = _past_reveal(
            scene, aperture, middle, light.sun_direction[None], np.full((1, 3), np.nan), things
        )
        if np.isnan(blocked).all():
            lux = lux + sun
    return np.asarray(lux * scene.apertures[aperture].exitance)


def _past_reveal(
    scene: Scene, aperture: int, point: Array, directions: Array, radiance: Array, things: Array
) -> Array:
    """What is seen once reveal and overhang have had their say."""
    opening = scene.openings[aperture]
    normal, reveal, depth = opening["outward"], opening["reveal"], opening["overhang"]
    out = np.maximum(directions @ normal, 1e-9)
    if depth > 0:
        rise = np.maximum(directions[:, 2], 1e-9)
        under = (directions[:, 2] > 0) & ((opening["plate"] - point[2]) / rise * out <= reveal + depth)
        radiance = np.where(under[:, None], things[opening["overhang_seen"]], radiance)
    if reveal > 0:
        at = point + (reveal / out)[:, None] * directions - opening["whole_corner"]
        along, up = at @ opening["along"], at[:, 2]
        side = (along < 0) | (along > opening["whole_width"]) | (up < 0) | (up > opening["whole_height"])
        radiance = np.where(side[:, None], things[opening["reveal_seen"]], radiance)
    return radiance
