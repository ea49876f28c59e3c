"""What the kernels are given, by name: records of openings and things, and arrays that belong together.

A record array is one row a thing, so that a kernel says `opening.width` and numpy's side `openings["width"]`; numba
makes both the same loads as numbered columns. Three numbers in a row are a vector (x, y, z). Lengths in metres.
"""

from typing import Any, NamedTuple

import numba
import numpy as np
from numpy.typing import NDArray

from plateside.model.light_answers import Array, IntArray

Records = NDArray[np.void]
Record = Any
"""One row of Records, its fields as attributes; for numpy it is indexed by their names."""
Vector = tuple[float, float, float]

OPENING = np.dtype([
    ("corner", "f8", (3,)), ("along", "f8", (3,)), ("outward", "f8", (3,)), ("width", "f8"), ("height", "f8"),
    ("index", "f8"), ("inner", "f8"), ("scale", "f8"), ("clear", "f8"),
    ("whole_corner", "f8", (3,)), ("whole_width", "f8"), ("whole_height", "f8"),
    ("reveal", "f8"), ("overhang", "f8"), ("plate", "f8"),
    ("sheet", "i8"), ("first_opposite", "i8"), ("end_opposite", "i8"),
    ("ground", "i8"), ("reveal_seen", "i8"), ("overhang_seen", "i8"), ("outworks", "i8"),
])  # fmt: skip
"""An aperture. corner lower left seen from inside, along its width, outward normal; index and inner transmission of its
pane, scale what dirt, frame and fit leave at all angles, clear what passes its sheet unchanged. whole_: of its window.
reveal and overhang are depths, plate the overhang's height above the floor. Then numbers of rows: its opposites, and
the outside things that are its ground, its reveal and overhang (these two only drawn) and the first of its patches
before the glass (outworks.py), or -1."""

OPPOSITE = np.dtype([
    ("x", "f8"), ("y", "f8"), ("radius", "f8"), ("left", "f8"), ("extent", "f8"), ("top", "f8"),
    ("see_through", "f8"), ("ground", "f8"), ("first_thing", "i8"), ("things", "i8"),
])  # fmt: skip
"""Part of an upright cylinder from the height `ground` to `top`: left end and extent [rad, clockwise from +y], and the
outside things that are its parts."""

THING = np.dtype([
    ("vertical", "f8"), ("sun", "f8"), ("azimuth", "f8"), ("reflectance", "f8", (3,)), ("horizontal", "f8", (3,)),
])  # fmt: skip
"""Something outside of even luminance: the shares that it gets of the vertical sky light, of the sun and (by bands) of
the global horizontal; azimuth of its normal [rad, clockwise from +y]."""

THIN = np.dtype([
    ("centre", "f8", (3,)), ("u", "f8", (3,)), ("v", "f8", (3,)), ("normal", "f8", (3,)), ("uu", "f8"), ("vv", "f8"),
])  # fmt: skip
"""A rectangle without thickness: half edges u and v, unit normal, u . u, v . v."""

BLOCK = np.dtype([("low", "f8", (3,)), ("high", "f8", (3,))])

NET = np.dtype([
    ("origin", "f8", (3,)), ("along", "f8", (3,)), ("up", "f8", (3,)), ("first", "i8"),
    ("us", "i8"), ("us_count", "i8"), ("vs", "i8"), ("vs_count", "i8"), ("pieces", "i8"), ("pieces_count", "i8"),
])  # fmt: skip
"""A face's net: its first patch, and where among the nets' values its us, its vs and the pieces of its cut cells begin
and how many they are (patches.py)."""


class Solids(NamedTuple):
    """What stops a ray."""

    size: Array
    """Of the room (3,)."""
    thin: Records
    """THIN: the table first, then the boards."""
    blocks: Records


class Cells(NamedTuple):
    """The patches, by arrays as in patches.Patches."""

    centre: Array
    u: Array
    v: Array
    twist: Array
    normal: Array
    area: Array
    face: IntArray
    live: NDArray[np.bool_]


class Nets(NamedTuple):
    """How the patch at a place is found."""

    faces: Records
    """NET, by face."""
    values: Array
    of_room: IntArray
    of_thin: IntArray
    """Front and back face (r, 2)."""
    of_block: IntArray
    """By 6 x block + 2 x axis + high; -1 where a face is flush with the room."""


def records(rows: list[tuple[Any, ...]], kind: np.dtype[np.void]) -> Records:
    """Rows in the order of the kind's fields; none is well too."""
    return np.array(rows, dtype=kind)


@numba.njit(cache=True, error_model="numpy", inline="always")
def vector(rows, i):  # type: ignore[no-untyped-def]
    """Row i of an array (n, 3); quicker than the row as an array."""
    return rows[i, 0], rows[i, 1], rows[i, 2]


@numba.njit(cache=True, error_model="numpy", inline="always")
def dot(a, b):  # type: ignore[no-untyped-def]
    """Of two vectors: tuples, rows or fields."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@numba.njit(cache=True, error_model="numpy", inline="always")
def cross(a, b):  # type: ignore[no-untyped-def]
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@numba.njit(cache=True, error_model="numpy", inline="always")
def ahead(p, far, d):  # type: ignore[no-untyped-def]
    """The place `far` along d from p."""
    return p[0] + far * d[0], p[1] + far * d[1], p[2] + far * d[2]


@numba.njit(cache=True, error_model="numpy", inline="always")
def between(p, q):  # type: ignore[no-untyped-def]
    """From p to q."""
    return q[0] - p[0], q[1] - p[1], q[2] - p[2]


@numba.njit(cache=True, error_model="numpy", inline="always")
def place_on(cells, i, a, b):  # type: ignore[no-untyped-def]
    """A place on a patch, a and b from -1 to 1."""
    return (
        cells.centre[i, 0] + a * cells.u[i, 0] + b * cells.v[i, 0] + a * b * cells.twist[i, 0],
        cells.centre[i, 1] + a * cells.u[i, 1] + b * cells.v[i, 1] + a * b * cells.twist[i, 1],
        cells.centre[i, 2] + a * cells.u[i, 2] + b * cells.v[i, 2] + a * b * cells.twist[i, 2],
    )


@numba.njit(cache=True, error_model="numpy", inline="always")
def reach_along(cells, i, n):  # type: ignore[no-untyped-def]
    """How far a patch reaches along a direction from its centre, at most."""
    return (
        abs(dot(vector(cells.u, i), n))
        + abs(dot(vector(cells.v, i), n))
        + abs(dot(vector(cells.twist, i), n))
    )
