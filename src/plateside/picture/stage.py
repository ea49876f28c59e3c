"""The stage: room, light, set and camera of one picture, and the same as the renderer's scene.

The room is the light engine's (light/scene.py says it exactly): a box with holes for windows, table, boards, blocks,
sheets. What stands outside is one map of directions with the glass in it (outside.py); the sun comes from its exact
place.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.light.boards import dish_xyz
from plateside.light.scene import Scene, build_scene, wall_frame
from plateside.light.sky import Sky
from plateside.model.light_answers import Hung, StandingBoard
from plateside.model.room import Spot
from plateside.model.studio import Studio
from plateside.picture import outside
from plateside.picture.light_shares import with_shares
from plateside.picture.pose import CameraPose
from plateside.picture.shapes.material import Material
from plateside.picture.shapes.mesh import Mesh, Thing
from plateside.picture.shapes.set_table import TableSetting, things_of, to_room

Array = NDArray[np.float64]

CARD_SIZE_M = 0.04
CARD_LIFT_M = 0.001
CARD_REFLECTANCE = 0.9
ENDLESS_M = 30.0


@dataclass(frozen=True, kw_only=True)
class Stage:
    """Everything that decides what a picture looks like."""

    studio: Studio
    spot: Spot
    sky: Sky
    sun_direction: tuple[float, float, float]
    """Unit vector to the sun in the room's coordinates."""
    pose: CameraPose
    faces_deg: float = 90.0
    """Where the camera looks, clockwise from the front wall."""
    boards: tuple[StandingBoard, ...] = ()
    hung: tuple[Hung, ...] | None = None
    """None: the sheets that the studio file hangs."""
    laid: TableSetting | None = field(default_factory=TableSetting)
    """None: the bare table."""
    card: bool = False
    """A small white card lying at the dish, to measure its light by."""

    @property
    def scene(self) -> Scene:
        """The light engine's scene."""
        return build_scene(self.studio, self.spot, self.boards, self.hung)

    @property
    def light(self) -> outside.SkyLight:
        return outside.SkyLight(self.sky, np.asarray(self.sun_direction, dtype=np.float64))


def sun_vector(
    bearing_deg: float, elevation_deg: float, front_bearing_deg: float
) -> tuple[float, float, float]:
    """Unit vector to the sun in the room's coordinates from its true bearing and elevation."""
    a, e = math.radians(bearing_deg - front_bearing_deg), math.radians(elevation_deg)
    return math.sin(a) * math.cos(e), math.cos(a) * math.cos(e), math.sin(e)


def shapes_of(mi: Any, stage: Stage) -> tuple[dict[str, Any], list[str]]:
    """The renderer's scene without camera, and the name of each of its shapes by id."""
    scene, light = stage.scene, stage.light
    glass = tuple(w.glass_transmittance for w in stage.studio.windows)
    out: dict[str, Any] = {"type": "scene"}
    _room(mi, scene, out)
    for k in range(len(scene.rect_centre)):
        name = "table" if k == 0 else f"board_{k}"
        out[name] = _rectangle(
            mi, scene.rect_centre[k], scene.rect_u[k], scene.rect_v[k], _diffuse(scene.rect_reflectance[k])
        )
    for k in range(len(scene.block_low)):
        middle, half = (
            (scene.block_low[k] + scene.block_high[k]) / 2,
            (scene.block_high[k] - scene.block_low[k]) / 2,
        )
        matrix = np.diag([*half, 1.0])
        matrix[:3, 3] = middle
        out[f"block_{k}"] = {
            "type": "cube",
            "to_world": mi.ScalarTransform4f(matrix),
            "bsdf": _diffuse(scene.block_reflectance[k]),
        }
    _sheets_and_reveals(mi, scene, light, glass, out)
    world = outside.baked_outside(scene, light, glass)
    _outside(mi, scene, light, glass, world, out)
    out = with_shares(out, scene, world)
    if stage.laid is not None:
        x, y, z = dish_xyz(stage.studio, stage.spot)
        # bowls of one glaze share it: its picture is large
        surfaces: dict[int, Any] = {}
        for k, thing in enumerate(things_of(stage.laid)):
            placed = Thing(thing.name, to_room(thing.mesh, (x, y, z), stage.faces_deg), thing.material)
            out[f"thing_{k}_{_plain(thing.name)}"] = mesh_shape(mi, placed, surfaces)
    if stage.card:
        half = CARD_SIZE_M / 2
        at = scene.dish + np.array([0.0, 0.0, CARD_LIFT_M])
        white = _diffuse([CARD_REFLECTANCE] * 3)
        out["card"] = _rectangle(mi, at, np.array([half, 0, 0]), np.array([0, half, 0]), white)
    return out, [k for k, v in out.items() if isinstance(v, dict) or k != "type"]


def uses_sheets(stage: Stage) -> bool:
    """Whether light passes a sheet unscattered, so that shadow rays must pass it too."""
    return any(a.sheet and a.clear > 0 for a in stage.scene.apertures)


def _plain(name: str) -> str:
    return "".join(c if c.isalnum() else "_" for c in name)


def _rgb(values: Sequence[float] | Array) -> dict[str, Any]:
    return {"type": "rgb", "value": [float(v) for v in values]}


def _diffuse(reflectance: Sequence[float] | Array) -> dict[str, Any]:
    return {"type": "twosided", "inner": {"type": "diffuse", "reflectance": _rgb(reflectance)}}


def _rectangle(
    mi: Any, centre: Array, u: Array, v: Array, bsdf: dict[str, Any], **more: Any
) -> dict[str, Any]:
    """A rectangle from its middle and half edges; its normal is u x v."""
    normal = np.cross(u, v)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1] = u, v
    matrix[:3, 2], matrix[:3, 3] = normal / np.linalg.norm(normal), centre
    return {"type": "rectangle", "to_world": mi.ScalarTransform4f(matrix), "bsdf": bsdf, **more}


def _room(mi: Any, scene: Scene, out: dict[str, Any]) -> None:
    """Walls cut into rectangles round their windows, floor and ceiling."""
    w, d, h = scene.size
    for wall in range(4):
        corner, along, _, length = wall_frame(scene.size, wall)
        holes = {
            a.window: (o["whole_corner"] - corner, float(o["whole_width"]), float(o["whole_height"]))
            for a, o in zip(scene.apertures, scene.openings, strict=True)
            if a.wall == wall
        }
        boxes = [(float(o @ along), float(o[2]), width, height) for o, width, height in holes.values()]
        xs = sorted({0.0, float(length)} | {v for x, _, bw, _ in boxes for v in (x, x + bw)})
        zs = sorted({0.0, float(h)} | {v for _, z, _, bh in boxes for v in (z, z + bh)})
        bsdf = _diffuse(scene.surface_reflectance[wall])
        for i in range(len(xs) - 1):
            for j in range(len(zs) - 1):
                dx, dz = xs[i + 1] - xs[i], zs[j + 1] - zs[j]
                mx, mz = (xs[i] + xs[i + 1]) / 2, (zs[j] + zs[j + 1]) / 2
                if min(dx, dz) < 1e-9 or any(x < mx < x + bw and z < mz < z + bh for x, z, bw, bh in boxes):
                    continue
                centre = corner + along * mx + np.array([0.0, 0.0, mz])
                out[f"wall_{wall}_{i}_{j}"] = _rectangle(
                    mi, centre, along * dx / 2, np.array([0.0, 0.0, dz / 2]), bsdf
                )
    across, deep = np.array([w / 2, 0, 0]), np.array([0, d / 2, 0])
    out["floor"] = _rectangle(
        mi, np.array([w / 2, d / 2, 0]), across, deep, _diffuse(scene.surface_reflectance[4])
    )
    out["ceiling"] = _rectangle(
        mi, np.array([w / 2, d / 2, h]), across, -deep, _diffuse(scene.surface_reflectance[5])
    )


def _sheets_and_reveals(
    mi: Any, scene: Scene, light: outside.SkyLight, glass: tuple[float, ...], out: dict[str, Any]
) -> None:
    things = outside.thing_luminance(scene, light)
    done: set[int] = set()
    for k, aperture in enumerate(scene.apertures):
        opening = scene.openings[k]
        along, normal = opening["along"], opening["outward"]
        if aperture.sheet:
            exitance = outside.sheet_exitance(scene, light, glass, k)
            opaque = max(1.0 - aperture.clear, 1e-3)
            bsdf: dict[str, Any] = _diffuse([min(aperture.reflectance / opaque, 0.98)] * 3)
            if aperture.clear > 0:
                bsdf = {"type": "mask", "opacity": opaque, "inner": bsdf}
            half_up = np.array([0.0, 0.0, opening["height"] / 2])
            centre = opening["corner"] + along * opening["width"] / 2 + half_up - normal * 0.002
            # u x v looks into the room, where the sheet's light goes
            u, v = _facing(along * opening["width"] / 2, half_up, -normal)
            emitter = {"type": "area", "radiance": _rgb(exitance / np.pi)}
            out[f"sheet_{k}"] = _rectangle(mi, centre, u, v, bsdf, emitter=emitter)
        if aperture.window in done:
            continue
        done.add(aperture.window)
        _reveal(mi, scene, k, things, glass[aperture.window], out)


def _facing(u: Array, v: Array, normal: Array) -> tuple[Array, Array]:
    return (u, v) if float(np.cross(u, v) @ normal) > 0 else (-u, v)


def _reveal(mi: Any, scene: Scene, k: int, things: Array, glass: float, out: dict[str, Any]) -> None:
    """The tunnel's four sides and the overhang: glowing evenly, as the light engine says, behind the glass."""
    opening = scene.openings[k]
    along, normal, up = opening["along"], opening["outward"], np.array([0.0, 0.0, 1.0])
    width, height, depth = (
        float(opening["whole_width"]),
        float(opening["whole_height"]),
        float(opening["reveal"]),
    )
    low = opening["whole_corner"]
    black = {"type": "diffuse", "reflectance": _rgb([0, 0, 0])}

    def glow(centre: Array, radiance: Array) -> dict[str, Any]:
        toward = centre - scene.dish
        share = outside.pane_share(scene, k, (toward / np.linalg.norm(toward))[None], glass)[0]
        return {"type": "area", "radiance": _rgb(radiance * max(float(share), 1e-6))}

    window = scene.apertures[k].window
    if depth > 0:
        middle = low + along * width / 2 + up * height / 2 + normal * depth / 2
        for side, (offset, edge, looks) in enumerate(
            (
                (-along * width / 2, up * height / 2, along),
                (along * width / 2, up * height / 2, -along),
                (-up * height / 2, along * width / 2, up),
                (up * height / 2, along * width / 2, -up),
            )
        ):
            u, v = _facing(normal * depth / 2, edge, looks)
            centre = middle + offset
            out[f"reveal_{window}_{side}"] = _rectangle(
                mi, centre, u, v, black, emitter=glow(centre, things[opening["reveal_seen"]])
            )
    if opening["overhang"] > 0:
        out_to = depth + float(opening["overhang"])
        centre = low + along * width / 2 + normal * out_to / 2
        centre[2] = opening["plate"]
        u, v = _facing(along * ENDLESS_M, normal * out_to / 2, -up)
        out[f"overhang_{window}"] = _rectangle(
            mi, centre, u, v, black, emitter=glow(centre, things[opening["overhang_seen"]])
        )


def _outside(
    mi: Any,
    scene: Scene,
    light: outside.SkyLight,
    glass: tuple[float, ...],
    world: NDArray[np.float32],
    out: dict[str, Any],
) -> None:
    # the renderer's map has y up and starts at -z: turned, its columns run clockwise from the room's +y
    out["outside"] = {
        "type": "envmap",
        "bitmap": mi.Bitmap(world),
        "to_world": mi.ScalarTransform4f().rotate([1, 0, 0], 90),
    }
    sun = outside.sun_through(scene, light, glass)
    if sun.any():
        out["sun"] = {
            "type": "directional",
            "direction": [-float(v) for v in light.sun_direction],
            "irradiance": _rgb(sun),
        }


def mesh_shape(mi: Any, thing: Thing, surfaces: dict[int, Any]) -> Any:
    """A mesh as the renderer's shape; `surfaces` keeps the renderer's materials of one stage, by identity."""
    mesh, material = thing.mesh, thing.material
    if id(material) not in surfaces:
        surfaces[id(material)] = mi.load_dict(bsdf_of(mi, material))
    props = mi.Properties()
    props["bsdf"] = surfaces[id(material)]
    if not mesh.smooth:
        props["face_normals"] = True
    shape = mi.Mesh(
        _plain(thing.name), len(mesh.corners), len(mesh.triangles), has_vertex_texcoords=True,
        has_vertex_normals=mesh.smooth, props=props,
    )  # fmt: skip
    params = mi.traverse(shape)
    params["vertex_positions"] = np.ascontiguousarray(mesh.corners, dtype=np.float32).ravel()
    params["faces"] = np.ascontiguousarray(mesh.triangles, dtype=np.uint32).ravel()
    params["vertex_texcoords"] = np.ascontiguousarray(mesh.uv, dtype=np.float32).ravel()
    if mesh.smooth:
        params["vertex_normals"] = vertex_normals(mesh).astype(np.float32).ravel()
    params.update()
    return shape


def vertex_normals(mesh: Mesh) -> Array:
    """Normals at the corners, weighted by area; corners that coincide (seams, poles) share theirs."""
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    face = np.cross(b - a, c - a)
    same = _same_place(np.round(mesh.corners, 7))
    at = same[mesh.triangles].ravel()
    total = np.stack([np.bincount(at, np.repeat(face[:, k], 3)) for k in range(3)], axis=-1)
    normals = total[same]
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    return np.asarray(np.where(length > 0, normals / np.maximum(length, 1e-30), [0.0, 0.0, 1.0]))


def _same_place(corners: Array) -> NDArray[np.int64]:
    """A number for each corner (n, 3), one for those that coincide: one axis after another, since rows sort slowly."""
    out: NDArray[Any] = np.zeros(len(corners), dtype=np.int64)
    for values in corners.T:
        _, rank = np.unique(values, return_inverse=True)
        _, out = np.unique(out * len(corners) + rank, return_inverse=True)
    return np.asarray(out, dtype=np.int64)


COAT_INDEX = 1.5
_COAT_PASSES = (1.0 - ((COAT_INDEX - 1.0) / (COAT_INDEX + 1.0)) ** 2) ** 2 / COAT_INDEX**2
_COAT_KEEPS = 0.5964
"""Share of diffuse light thrown back inside a surface of index 1.5 (Egan & Hilgeman 1973, by the renderer's fit)."""


def under_coat(apparent: NDArray[Any]) -> NDArray[Any]:
    """Reflectance under a clear coat that looks like `apparent` from straight above: d = k p / (1 - p f), solved."""
    return np.asarray(np.clip(apparent / (_COAT_PASSES + apparent * _COAT_KEEPS), 0.0, 0.97))


def bsdf_of(mi: Any, material: Material) -> dict[str, Any]:
    """The renderer's material."""
    if material.kind == "glass":
        return {"type": "thindielectric", "int_ior": 1.5, "ext_ior": 1.0}
    coated = material.gloss > 0 and material.kind != "metal"
    flat = np.asarray(material.colour)
    colour: dict[str, Any] = _rgb(under_coat(flat) if coated else flat)
    if material.picture is not None:
        picture = np.array(material.picture, dtype=np.float32, order="C")
        picture = under_coat(picture).astype(np.float32) if coated else picture
        colour = {"type": "bitmap", "bitmap": mi.Bitmap(picture), "raw": True}
    if material.kind == "metal":
        inner: dict[str, Any] = {
            "type": "roughconductor", "material": "none", "alpha": max(material.gloss, 0.05), "distribution": "ggx",
            "specular_reflectance": colour,
        }  # fmt: skip
    elif coated:
        inner = {
            "type": "roughplastic", "alpha": material.gloss, "distribution": "ggx", "int_ior": COAT_INDEX,
            "diffuse_reflectance": colour, "nonlinear": True,
        }  # fmt: skip
    else:
        inner = {"type": "diffuse", "reflectance": colour}
    if material.relief is not None and material.relief_depth > 0:
        heights = np.array(
            material.relief[..., None], dtype=np.float32, order="C"
        )  # a copy: the renderer takes no locked array
        inner = {
            "type": "bumpmap",
            "heights": {"type": "bitmap", "bitmap": mi.Bitmap(heights), "raw": True},
            "scale": material.relief_depth,
            "inner": inner,
        }
    return {"type": "twosided", "inner": inner}
