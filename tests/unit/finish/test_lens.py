"""A lens's faults: by a DNG's opcodes, against the specification's own formulas; and whatever moves a picture besides.

Ruler: Adobe, *Digital Negative Specification* 1.7, chapter 6, written out here a pixel at a time.
"""

import math
import struct
from collections.abc import Callable

import numpy as np
import pytest

from plateside.finish.lens import Lens, lens_of_opcodes, put_right
from plateside.finish.opcodes import DamagedOpcodesError, opcodes_of
from plateside.finish.placing import ThroughLens, placing_of
from tests.synthetic import opcodes as made

SIZE = (1500, 1000)
POINTS = [(0, 0), (1499, 0), (750, 500), (333.3, 812.7), (1499, 999), (40, 640)]


def _lens(*picture: tuple[int, bytes], size: tuple[int, int] = SIZE) -> Lens:
    return lens_of_opcodes((), opcodes_of(made.listed(*picture)), size, ())


def _spec_rectilinear(x: float, y: float, k: list[float], centre: tuple[float, float]) -> tuple[float, float]:
    cx, cy = centre[0] * (SIZE[0] - 1), centre[1] * (SIZE[1] - 1)
    m = math.hypot(max(cx, SIZE[0] - 1 - cx), max(cy, SIZE[1] - 1 - cy))
    dx, dy = (x - cx) / m, (y - cy) / m
    r2 = dx * dx + dy * dy
    f = k[0] + k[1] * r2 + k[2] * r2**2 + k[3] * r2**3
    tx = k[4] * (2 * dx * dy) + k[5] * (r2 + 2 * dx * dx)
    ty = k[5] * (2 * dx * dy) + k[4] * (r2 + 2 * dy * dy)
    return cx + m * (f * dx + tx), cy + m * (f * dy + ty)


def test_three_warps_lie_where_the_specification_says() -> None:
    planes = [[0.98, -0.03, 0.01, 0.0, 1e-4, -2e-4], [0.981, -0.03, 0.01, 0.001, 1e-4, -2e-4],
              [0.982, -0.029, 0.01, 0.0, 1e-4, -2e-4]]  # fmt: skip
    lens = _lens(made.rectilinear(planes, (0.49, 0.52)))
    assert lens.does == ("distortion", "fringes")
    for x, y in POINTS:
        found = lens.sources(np.array(x), np.array(y))
        for plane in range(3):
            assert found[plane] == pytest.approx(
                _spec_rectilinear(x, y, planes[plane], (0.49, 0.52)), abs=0.02
            )


def test_the_newer_warp_has_odd_powers_and_a_reciprocal() -> None:
    """DNG 1.6: a polynomial of r itself, or one over it."""
    terms = [1.01, 0.02, -0.05, 0.01]
    m = math.hypot(1499, 999) / 2
    for reciprocal in (False, True):
        lens = _lens(made.rectilinear_2(terms, reciprocal=reciprocal))
        for x, y in POINTS:
            dx, dy = x - 749.5, y - 499.5
            f = sum(k * (math.hypot(dx, dy) / m) ** n for n, k in enumerate(terms))
            f = 1 / f if reciprocal else f
            assert lens.sources(np.array(x), np.array(y))[0] == pytest.approx(
                (749.5 + f * dx, 499.5 + f * dy), abs=0.05
            )


def test_a_fisheye_is_straightened_by_its_angle() -> None:
    terms = [0.95, 0.02, 0.0, 0.0]
    lens = _lens(made.fisheye(terms))
    m = math.hypot(1499, 999) / 2
    for x, y in POINTS[3:]:
        dx, dy = (x - 749.5) / m, (y - 499.5) / m
        r = math.hypot(dx, dy)
        angle = math.atan(r)
        f = (terms[0] * angle + terms[1] * angle**3) / r
        assert lens.sources(np.array(x), np.array(y))[0] == pytest.approx(
            (749.5 + m * f * dx, 499.5 + m * f * dy), abs=0.05
        )


def test_light_is_put_back_as_the_file_says() -> None:
    """1 + k0 r^2 + ... + k4 r^10; within 0.01 stop."""
    terms = [0.6, 0.3, -0.1, 0.05, 0.02]
    gain = _lens(made.vignette(terms)).shading((0, 1000, 0, 1500))
    assert gain is not None and gain.shape == (1000, 1500)
    m2 = (1499 / 2) ** 2 + (999 / 2) ** 2
    for x, y in [(0, 0), (750, 500), (1499, 999), (200, 900)]:
        r2 = ((x - 749.5) ** 2 + (y - 499.5) ** 2) / m2
        assert math.log2(
            gain[y, x] / (1 + sum(k * r2 ** (n + 1) for n, k in enumerate(terms)))
        ) == pytest.approx(0, abs=0.01)


def test_light_after_a_warp_is_put_back_where_the_warp_took_it_from() -> None:
    warp, shade = made.rectilinear([[0.95, 0.0, 0.0, 0.0, 0.0, 0.0]]), made.vignette([0.5, 0, 0, 0, 0])
    after, before = _lens(warp, shade), _lens(shade, warp)
    x, y = np.array([1200.0]), np.array([800.0])
    at = after.sources(x, y)[0, 0]
    m2 = (1499 / 2) ** 2 + (999 / 2) ** 2
    seen = after.gain_at(at[:1], at[1:])
    assert seen is not None
    assert seen.ravel()[0] == pytest.approx(
        1 + 0.5 * ((1200 - 749.5) ** 2 + (800 - 499.5) ** 2) / m2, abs=2e-3
    )
    other = before.gain_at(at[:1], at[1:])
    assert other is not None
    assert other.ravel()[0] == pytest.approx(
        1 + 0.5 * ((at[0] - 749.5) ** 2 + (at[1] - 499.5) ** 2) / m2, abs=2e-3
    )


def test_four_gain_maps_of_a_mosaic_give_each_colour_its_own() -> None:
    """Two places of green in a cell: their mean; the others their own."""
    each = {(0, 0): 1.5, (0, 1): 2.0, (1, 0): 3.0, (1, 1): 1.25}
    maps = [made.gain_map(np.full((3, 4), v), SIZE, first=at, pitch=2) for at, v in each.items()]
    lens = lens_of_opcodes(opcodes_of(made.listed(*maps)), (), SIZE, (0, 1, 1, 2))
    gain = lens.shading((500, 501, 700, 701))
    assert gain is not None
    assert gain[0, 0] == pytest.approx([1.5, 2.5, 1.25], abs=1e-5)


def test_a_gain_map_is_drawn_straight_between_its_places() -> None:
    lens = _lens(made.gain_map(np.array([[1.0, 2.0], [1.0, 2.0]]), SIZE))
    gain = lens.shading((0, 1000, 0, 1500))
    assert gain is not None
    assert gain[500, [0, 375, 1499]] == pytest.approx(
        [1 + 0.5 / 1500, 1 + 375.5 / 1500, 1 + 1499.5 / 1500], abs=2e-3
    )


def test_colour_lost_in_the_corners_comes_back_in_the_cameras_own_colours() -> None:
    """Diagonal in the camera's balanced colours, not in sRGB; and clipped white stays white."""
    matrix = np.array([[1.6, -0.5, -0.1], [-0.2, 1.5, -0.3], [0.0, -0.6, 1.6]], np.float32)
    camera = np.array([0.2, 0.4, 0.1], np.float32)
    gain = np.array([1.5, 1.0, 2.0], np.float32)
    seen = (matrix @ camera)[None, None]
    assert put_right(seen, gain[None, None], matrix)[0, 0] == pytest.approx(
        matrix @ (camera * gain), rel=1e-4
    )
    white = put_right(np.full((1, 1, 3), 1.405, np.float32), gain[None, None], matrix)
    assert white[0, 0].max() / white[0, 0].min() == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_picture_has_its_lens_turned(orientation: int) -> None:
    """EXIF orientation (CIPA DC-008, 4.6.4 A): a point of the sensor and its faults go to the same place."""
    lens = _lens(
        made.rectilinear([[0.97, 0.02, 0, 0, 3e-4, 1e-3]], (0.45, 0.6)),
        made.vignette([0.4, 0, 0, 0, 0], (0.45, 0.6)),
    )
    width, height = SIZE
    ways: dict[int, Callable[[float, float], tuple[float, float]]] = {
        1: lambda x, y: (x, y), 2: lambda x, y: (width - 1 - x, y), 3: lambda x, y: (width - 1 - x, height - 1 - y),
        4: lambda x, y: (x, height - 1 - y), 5: lambda x, y: (y, x), 6: lambda x, y: (height - 1 - y, x),
        7: lambda x, y: (height - 1 - y, width - 1 - x), 8: lambda x, y: (y, width - 1 - x),
    }  # fmt: skip
    to_upright = ways[orientation]
    turned = lens.upright(orientation)
    assert turned.size == (SIZE if orientation < 5 else SIZE[::-1])
    for x, y in [(100.0, 50.0), (1300.0, 900.0)]:
        from_x, from_y = lens.sources(np.array(x), np.array(y))[0]
        at = to_upright(x, y)
        assert turned.sources(np.array(at[0]), np.array(at[1]))[0] == pytest.approx(
            to_upright(from_x, from_y), abs=1e-6
        )
        there, here = turned.gain_at(*map(np.array, at)), lens.gain_at(np.array(x), np.array(y))
        assert there is not None and here is not None
        assert there == pytest.approx(here, abs=1e-9)


def test_a_smaller_picture_has_the_same_faults() -> None:
    lens = _lens(made.rectilinear([[0.97, 0.02, 0, 0, 0, 0]]))
    half = lens.scaled((750, 500))
    whole = lens.sources(np.array(1300.0), np.array(120.0))[0]
    found = half.sources(np.array((1300 + 0.5) / 2 - 0.5), np.array((120 + 0.5) / 2 - 0.5))[0]
    assert (found + 0.5) * 2 - 0.5 == pytest.approx(whole, abs=1e-6)


def test_what_the_frame_does_not_fill_is_cut_and_the_way_back_is_the_way_there() -> None:
    lens = _lens(made.rectilinear([[1.0, 0.05, 0, 0, 0, 0]]))
    x, y, wide, high = lens.kept()
    assert 0 < x < 60 and wide == 1500 - 2 * x and high == 1000 - 2 * y
    corner = lens.sources(np.array(float(x)), np.array(float(y)))[0]
    assert -0.8 < corner.min() < 3
    back = lens.places(*(np.array([v]) for v in corner))
    assert (back[0][0], back[1][0]) == pytest.approx((x, y), abs=1e-3)


def test_lens_square_and_turn_are_one_way_from_pixel_to_pixel() -> None:
    """A placing's maps are the lens's own, of the places that the plane alone gives; each part gives the same."""
    lens = _lens(
        made.rectilinear([[0.97, 0.02, 0, 0, 0, 0], [0.971, 0.02, 0, 0, 0, 0], [0.972, 0.02, 0, 0, 0, 0]])
    )
    placing = placing_of(SIZE, 2.0, lens)
    assert isinstance(placing, ThroughLens)
    (width, height), m = placing.size, placing.to_source
    maps = placing.sources((0, height, 0, width))
    for x, y in [(3, 5), (700, 410), (width - 1, height - 1)]:
        flat = m @ [x, y, 1]
        wanted = lens.sources(flat[0] / flat[2], flat[1] / flat[2])
        assert [(a[y, x], b[y, x]) for a, b in maps] == [pytest.approx(w, abs=0.01) for w in wanted]
    part = placing.sources((300, 340, 512, 600))
    assert all(
        np.array_equal(p[n], w[n][300:340, 512:600]) for p, w in zip(part, maps, strict=True) for n in (0, 1)
    )


@pytest.mark.parametrize("cut", range(0, 190, 13))
def test_a_list_that_ends_too_soon_is_damaged(cut: int) -> None:
    whole = made.listed(made.vignette([0.1, 0, 0, 0, 0]), made.rectilinear([[1, 0.01, 0, 0, 0, 0]]))
    assert len(opcodes_of(whole)) == 2
    if cut == 0:
        assert opcodes_of(b"") == ()
        return
    with pytest.raises(DamagedOpcodesError):
        opcodes_of(whole[:-cut] if cut < len(whole) else whole[:2])


@pytest.mark.parametrize(
    "data",
    [
        made.listed(made.vignette([float("nan"), 0, 0, 0, 0])),
        made.listed(made.vignette([-2.0, 0, 0, 0, 0])),
        made.listed(*[made.vignette([0.1, 0, 0, 0, 0])] * 17),
        made.listed(made.rectilinear([[1, 0, 0, 0, 0, 0]], (1.5, 0.5))),
        made.listed(made.rectilinear([[1, 0.1, 0, 0, 0, 0]] * 2)),
        made.listed((9, struct.pack(">10I", 0, 0, 10, 10, 0, 1, 1, 1, 1 << 31, 1 << 31) + bytes(36))),
        made.listed((9, struct.pack(">10I", 0, 0, 10, 10, 0, 1, 0, 0, 1, 1) + bytes(40))),
        struct.pack(">I", 0xFFFFFFFF),
        b"\xff" * 64,
    ],
)
def test_what_no_lens_does_is_damaged(data: bytes) -> None:
    with pytest.raises(DamagedOpcodesError):
        opcodes_of(data)


@pytest.mark.parametrize(
    "terms", [[9.0, 0, 0, 0, 0, 0], [-1.0, 0, 0, 0, 0, 0], [1.0, -3.0, 0, 0, 0, 0], [1, 1e5, 1e6, 0, 0, 0]]
)
def test_a_warp_that_leaves_no_picture_is_damaged(terms: list[float]) -> None:
    with pytest.raises(DamagedOpcodesError):
        _lens(made.rectilinear([terms]))


def test_other_opcodes_are_passed_over() -> None:
    assert (
        opcodes_of(made.listed((4, bytes(12)), (99, b"whatever"), made.rectilinear([[1, 0, 0, 0, 0, 0]])))
        == ()
    )
