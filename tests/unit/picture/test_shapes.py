"""Stand-ins, props and textures: right size, whole, of possible materials."""

import numpy as np
import pytest

from plateside.model.gear import Prop, Surface
from plateside.model.shoot import Shot
from plateside.picture.shapes import mesh as m
from plateside.picture.shapes.dishes import STAND_INS, stand_in
from plateside.picture.shapes.material import linear
from plateside.picture.shapes.props import prop_things
from plateside.picture.shapes.set_table import TableSetting, things_of, to_room
from plateside.picture.shapes.texture import SURFACES, clouds
from plateside.picture.stage import under_coat, vertex_normals

KINDS = ("plate", "bowl", "chopping board", "glass", "cutlery", "linen", "pan", "jar", "other")


def words_of(field: str) -> tuple[str, ...]:
    return tuple(Shot.__dataclass_fields__[field].metadata["words"])


def test_every_stand_in_of_the_model_is_drawn() -> None:
    assert set(STAND_INS) == set(words_of("stand_in"))


@pytest.mark.parametrize("kind", sorted(STAND_INS))
def test_stand_in_has_its_size_and_is_whole(kind: str) -> None:
    width, height = (0.085, 0.15) if kind == "drink" else (0.24, 0.07)
    things = stand_in(kind, width, height)
    corners = np.concatenate([t.mesh.corners for t in things])
    size = np.ptp(corners, axis=0)
    # within a quarter of what was asked: a straw or a leaf may stand out, a tart is lower than a loaf
    assert 0.7 * width < size[0] < (2.0 if kind == "drink" else 1.25) * width
    assert corners[:, 2].min() > -1e-3 and corners[:, 2].max() < 1.35 * max(height, 0.07) + 0.01
    for thing in things:
        mesh = thing.mesh
        assert np.isfinite(mesh.corners).all() and np.isfinite(mesh.uv).all(), thing.name
        assert mesh.triangles.min() >= 0 and mesh.triangles.max() < len(mesh.corners), thing.name
        assert np.isfinite(vertex_normals(mesh)).all(), thing.name


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_prop_is_drawn_on_the_table(kind: str) -> None:
    for gloss in ("matt", "satin", "glossy"):
        things = prop_things(
            Prop(name="x", kind=kind, width_mm=200, height_mm=40, colour="#88aa77", gloss=gloss)
        )
        corners = np.concatenate([t.mesh.corners for t in things])
        assert 0.12 < np.ptp(corners[:, 0]) < 0.32 and corners[:, 2].min() > -0.012


@pytest.mark.parametrize("name", sorted(SURFACES))
def test_surface_keeps_its_colour_and_gives_back_less_than_it_gets(name: str) -> None:
    colour = linear("#a9b4ba")
    material = SURFACES[name](colour)
    if material.picture is not None:
        mean = material.picture.reshape(-1, 3).mean(axis=0)
        assert np.allclose(mean / mean.sum(), np.asarray(colour) / sum(colour), atol=0.03)
        assert np.log2(mean.mean() / np.mean(colour)) == pytest.approx(0.0, abs=0.4)
        assert material.picture.min() > 0 and material.picture.max() <= 0.92


def test_hex_to_reflectance() -> None:
    # IEC 61966-2-1: encoded 0.5 (about #808080 = 128/255) is 0.2159 linear
    assert linear("#808080")[0] == pytest.approx(0.2159, abs=5e-4)
    assert linear("#ffffff") == (0.9, 0.9, 0.9) and linear("#000000") == (0.01, 0.01, 0.01)


def test_noise_repeats_and_differs() -> None:
    assert np.array_equal(clouds(3), clouds(3)) and not np.array_equal(clouds(3), clouds(4))
    assert clouds(3).min() == 0.0 and clouds(3).max() == 1.0


def test_solids_have_their_closed_forms() -> None:
    # volume by the divergence theorem; sphere 4/3 pi r^3, cylinder pi r^2 h, box w d h
    def volume(mesh: m.Mesh) -> float:
        a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
        return abs(float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6)

    assert volume(m.blob((0.1, 0.1, 0.1), rings=64)) == pytest.approx(4 / 3 * np.pi * 1e-3, rel=0.01)
    assert volume(m.lathe([(0, 0), (0.1, 0), (0.1, 0.2), (0, 0.2)], 256, 1)) == pytest.approx(
        np.pi * 2e-3, rel=0.01
    )
    solid = m.box(0.1, 0.2, 0.3)
    assert volume(solid) == pytest.approx(0.1 * 0.2 * 0.3, rel=0.01)  # its open underside lies on z = 0


def test_props_keep_clear_of_the_dish_and_of_each_other() -> None:
    props = tuple(Prop(name=f"bowl {k}", kind="bowl", width_mm=90, height_mm=40) for k in range(5))
    things = things_of(TableSetting(props=props, dish_width_m=0.2))
    middles = {t.name: t.mesh.corners[:, :2].mean(axis=0) for t in things if t.name.startswith("bowl ")}
    places = list(middles.values())
    assert len(places) == 5
    assert min(np.hypot(*p) for p in places) > 0.10 + 0.045
    apart = [np.hypot(*(p - q)) for i, p in enumerate(places) for q in places[:i]]
    assert min(apart) > 0.085


def test_table_turns_with_the_camera() -> None:
    # camera facing 90 degrees (the right wall): what lies away from it lies towards +x in the room
    away = m.Mesh(np.array([[0.0, 1.0, 0.0]]), np.zeros((0, 3), dtype=np.int64), np.zeros((1, 2)))
    assert np.allclose(to_room(away, (2.0, 2.0, 0.75), 90.0).corners, [[3.0, 2.0, 0.75]])
    assert np.allclose(to_room(away, (2.0, 2.0, 0.75), 0.0).corners, [[2.0, 3.0, 0.75]])


def test_surface_and_backdrop_are_laid() -> None:
    laid = TableSetting(
        surface=Surface(name="s", material="linen"), backdrop_colour="#777777", backdrop_gap_m=0.4
    )
    things = {t.name: t for t in things_of(laid)}
    assert things["surface"].mesh.corners[:, 2].max() <= 0.0031
    assert things["backdrop"].mesh.corners[:, 1].min() == pytest.approx(0.5)


def test_coat_keeps_the_colour_asked_for() -> None:
    # forward law of a diffuse base under a smooth coat of index 1.5 (Saunderson 1942): F0 = 0.04, internal 0.5964
    seen = np.array([0.02, 0.2, 0.45, 0.8])
    base = under_coat(seen)
    passes = 0.96**2 / 1.5**2
    assert np.allclose(passes * base / (1 - base * 0.5964), seen, rtol=1e-6)
