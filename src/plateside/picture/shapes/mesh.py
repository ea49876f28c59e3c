"""Triangle meshes and the ways to make them."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.picture.shapes.material import Material

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Mesh:
    """Corners (n, 3) [m], triangles (m, 3), texture places (n, 2) in 0..1."""

    corners: Array
    triangles: NDArray[np.int64]
    uv: Array
    smooth: bool = True

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> "Mesh":
        """Shifted [m]."""
        return replace(self, corners=self.corners + np.array([x, y, z]))

    def turned(self, about_z_deg: float = 0.0, about_x_deg: float = 0.0, about_y_deg: float = 0.0) -> "Mesh":
        """Turned about x, then y, then z [deg]."""
        a, b, c = (math.radians(v) for v in (about_x_deg, about_y_deg, about_z_deg))
        rx = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
        ry = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
        rz = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
        return replace(self, corners=self.corners @ (rz @ ry @ rx).T)

    def scaled(self, x: float, y: float | None = None, z: float | None = None) -> "Mesh":
        """Scaled by factors."""
        return replace(
            self, corners=self.corners * np.array([x, x if y is None else y, x if z is None else z])
        )


@dataclass(frozen=True)
class Thing:
    """A named mesh of one material."""

    name: str
    mesh: Mesh
    material: Material


def joined(meshes: list[Mesh]) -> Mesh:
    """Several meshes as one."""
    starts = np.cumsum([0] + [len(m.corners) for m in meshes[:-1]])
    return Mesh(
        np.concatenate([m.corners for m in meshes]),
        np.concatenate([m.triangles + s for m, s in zip(meshes, starts, strict=True)]),
        np.concatenate([m.uv for m in meshes]),
        meshes[0].smooth,
    )


def grid(rows: int, columns: int, wrap: bool = False) -> NDArray[np.int64]:
    """Triangles of a grid of corners, row by row; `wrap` closes the columns (whose last repeats the first)."""
    r, c = np.meshgrid(np.arange(rows - 1), np.arange(columns - 1), indexing="ij")
    a = (r * columns + c).ravel()
    quads = np.stack([a, a + 1, a + columns + 1, a, a + columns + 1, a + columns], axis=1)
    return quads.reshape(-1, 3).astype(np.int64)


def lathe(profile: list[tuple[float, float]], segments: int = 96, fine: int = 4, flute: Any = None) -> Mesh:
    """A profile of (radius, height) turned about z; `fine` points between each two, rounded by a Catmull-Rom curve.

    flute  a function of (angle, radius, height) to a factor on the radius
    """
    points = _curve(np.asarray(profile, dtype=float), fine)
    angle = np.linspace(0.0, 2 * np.pi, segments + 1)
    radius = points[:, 0][:, None] * np.ones_like(angle)[None, :]
    height = points[:, 1][:, None] * np.ones_like(angle)[None, :]
    if flute is not None:
        radius = radius * flute(angle[None, :], radius, height)
    corners = np.stack([radius * np.cos(angle), radius * np.sin(angle), height], axis=-1)
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    u, v = np.meshgrid(angle / (2 * np.pi), length / max(length[-1], 1e-9))
    return Mesh(corners.reshape(-1, 3), grid(*radius.shape), np.stack([u, v], axis=-1).reshape(-1, 2))


def _curve(points: Array, fine: int) -> Array:
    """Catmull-Rom through the points; a point given twice in a row stays a sharp corner."""
    if fine <= 1 or len(points) < 3:
        return points
    out = []
    for k in range(len(points) - 1):
        p1, p2 = points[k], points[k + 1]
        if np.allclose(p1, p2):
            continue
        p0 = points[max(k - 1, 0)]
        p3 = points[min(k + 2, len(points) - 1)]
        t = np.linspace(0, 1, fine, endpoint=False)[:, None]
        out.append(
            0.5
            * (
                2 * p1
                + (p2 - p0) * t
                + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2
                + (3 * p1 - p0 - 3 * p2 + p3) * t**3
            )
        )
    out.append(points[-1:])
    curve = np.concatenate(out)
    curve[:, 0] = np.maximum(curve[:, 0], 0.0)
    return curve


def disc(radius: float, z: float = 0.0, segments: int = 96, rings: int = 24, height: Any = None) -> Mesh:
    """A flat disc whose texture lies on it as seen from above; `height` of (x, y) lifts it [m]."""
    r = np.linspace(0.0, radius, rings + 1)
    angle = np.linspace(0.0, 2 * np.pi, segments + 1)
    x = r[:, None] * np.cos(angle)[None, :]
    y = r[:, None] * np.sin(angle)[None, :]
    lift = height(x, y) if height is not None else np.zeros_like(x)
    corners = np.stack([x, y, z + lift], axis=-1).reshape(-1, 3)
    uv = np.stack([0.5 + 0.5 * x / radius, 0.5 + 0.5 * y / radius], axis=-1).reshape(-1, 2)
    return Mesh(corners, grid(rings + 1, segments + 1)[:, ::-1].copy(), uv)


def blob(
    radii: tuple[float, float, float],
    *,
    power: float = 2.0,
    rough: float = 0.0,
    seed: int = 0,
    rings: int = 32,
) -> Mesh:
    """A superellipsoid (power 2: an ellipsoid, more: boxier) with bumps of share `rough`; its middle at z = 0."""
    theta = np.linspace(0.0, np.pi, rings + 1)
    phi = np.linspace(0.0, 2 * np.pi, 2 * rings + 1)
    st, ct = np.sin(theta)[:, None], np.cos(theta)[:, None]
    direction = np.stack([st * np.cos(phi), st * np.sin(phi), ct * np.ones_like(phi)], axis=-1)
    scale = (np.abs(direction) ** power).sum(axis=-1) ** (-1.0 / power)
    points = direction * scale[..., None]
    if rough > 0:
        points = points * (1.0 + rough * bumps(direction, seed))[..., None]
    corners = (points * np.asarray(radii)).reshape(-1, 3)
    u, v = np.meshgrid(phi / (2 * np.pi), theta / np.pi)
    return Mesh(
        corners, grid(rings + 1, 2 * rings + 1)[:, ::-1].copy(), np.stack([u, v], axis=-1).reshape(-1, 2)
    )


def bumps(direction: Array, seed: int, waves: int = 24) -> Array:
    """Smooth random bumps on the sphere of directions, about -1 to 1."""
    rng = np.random.default_rng(seed)
    out = np.zeros(direction.shape[:-1])
    for k in range(waves):
        axis = rng.normal(size=3)
        axis *= rng.uniform(2.0, 4.0 + 8.0 * k / waves) / np.linalg.norm(axis)
        out += np.sin(direction @ axis + rng.uniform(0, 2 * np.pi)) / (
            1.0 + 0.25 * float(np.linalg.norm(axis))
        )
    return np.asarray(out / max(float(np.abs(out).max()), 1e-9))


def tube(path: Array, radius: float | Array, sides: int = 8) -> Mesh:
    """A round rod along a path (n, 3) of even or changing radius [m], its ends closed."""
    tangent = np.gradient(path, axis=0)
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-12)
    helper = np.where(np.abs(tangent[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    side = np.cross(tangent, helper)
    side /= np.maximum(np.linalg.norm(side, axis=1, keepdims=True), 1e-12)
    up = np.cross(side, tangent)
    r = np.broadcast_to(np.asarray(radius, dtype=float), (len(path),)).copy()
    r[0] = r[-1] = 1e-5
    angle = np.linspace(0, 2 * np.pi, sides + 1)
    across = np.cos(angle)[:, None] * side[:, None]
    ring = across + np.sin(angle)[:, None] * up[:, None]
    corners = (path[:, None] + r[:, None, None] * ring).reshape(-1, 3)
    u, v = np.meshgrid(angle / (2 * np.pi), np.linspace(0, 1, len(path)))
    return Mesh(corners, grid(len(path), sides + 1), np.stack([u, v], axis=-1).reshape(-1, 2))


def sheet(width: float, depth: float, height: Any = None, columns: int = 2, rows: int = 2) -> Mesh:
    """A rectangle about the middle; `height` of (x, y) lifts it [m]."""
    x, y = np.meshgrid(np.linspace(-width / 2, width / 2, columns), np.linspace(-depth / 2, depth / 2, rows))
    z = height(x, y) if height is not None else np.zeros_like(x)
    corners = np.stack([x, y, z], axis=-1).reshape(-1, 3)
    uv = np.stack([x / width + 0.5, y / depth + 0.5], axis=-1).reshape(-1, 2)
    return Mesh(corners, grid(rows, columns), uv)


def box(width: float, depth: float, height: float, bevel: float = 0.0) -> Mesh:
    """A box standing on z = 0 with flat faces, its top texture as seen from above; the upper edges may be bevelled."""
    w, d, b = width / 2, depth / 2, bevel
    rings = [(w, d, 0.0), (w, d, height - b)] + ([(w - b, d - b, height)] if b > 0 else [])
    faces = []
    for (w0, d0, z0), (w1, d1, z1) in pairwise(rings):
        low = [(-w0, -d0, z0), (w0, -d0, z0), (w0, d0, z0), (-w0, d0, z0)]
        high = [(-w1, -d1, z1), (w1, -d1, z1), (w1, d1, z1), (-w1, d1, z1)]
        faces += [(low[k], low[(k + 1) % 4], high[(k + 1) % 4], high[k]) for k in range(4)]
    w1, d1, z1 = rings[-1]
    faces.append(((-w1, -d1, z1), (w1, -d1, z1), (w1, d1, z1), (-w1, d1, z1)))
    corners = np.asarray(faces, dtype=float).reshape(-1, 3)
    triangles = np.concatenate(
        [[[4 * k, 4 * k + 1, 4 * k + 2], [4 * k, 4 * k + 2, 4 * k + 3]] for k in range(len(faces))]
    )
    uv = np.stack([corners[:, 0] / width + 0.5, corners[:, 1] / depth + 0.5], axis=-1)
    return Mesh(corners, triangles.astype(np.int64), uv, smooth=False)


def leaf(length: float, width: float, curl: float = 0.3, seed: int = 0, *, frill: float = 0.0) -> Mesh:
    """A leaf from the origin along x: pointed, folded along its rib, curled up; `frill` waves its edge."""
    rng = np.random.default_rng(seed)
    t = np.linspace(0.0, 1.0, 22)[:, None]
    s = np.linspace(-1.0, 1.0, 11)[None, :]
    half = (
        width / 2 * np.sin(np.pi * t**0.8) ** 0.8 * (1.0 + frill * 0.25 * np.sin(18 * t + rng.uniform(0, 6)))
    )
    x = length * t + 0.0 * s
    y = half * s
    fold = 0.35 * np.abs(y)
    wave = frill * 0.12 * width * np.abs(s) ** 2 * np.sin(22 * t + 3 * np.sign(s) + rng.uniform(0, 6))
    z = curl * length * (t**2) * 0.6 + fold + wave
    corners = np.stack(np.broadcast_arrays(x, y, z), axis=-1).reshape(-1, 3)
    uv = np.stack(np.broadcast_arrays(t, 0.5 + 0.5 * s), axis=-1).reshape(-1, 2)
    return Mesh(corners, grid(22, 11), uv)
