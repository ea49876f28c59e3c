"""Scenes for blur and bursts that are traced, not laid together of photographs: shading, shadows, gloss, round things.

A table of `lit_tables` by its window, the renderer's noise taken out, parted into the dish and what is around it by the
renderer's own map of shapes; under the dish the surroundings are filled in, so that either can be blurred or moved by
itself. Each takes some 20 s; what was traced is kept in the machine's folder for passing files.
"""

import tempfile
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.picture import engine
from tests.synthetic.lit_tables import laying
from tests.synthetic.scenes import Array, Scene, Thing

SIZE = (900, 600)
SAMPLES = 6
KEPT = Path(tempfile.gettempdir()) / "plateside-traced-scenes"
EDGE_PX = 0.7
DIFFERENT = 12
"""Tables of one kind; later seeds come round again."""
FRESH = 1000
"""Seeds from here on are other tables, drawn after the first were seen; they come round by DIFFERENT as well."""


def traced_scene(seed: int, *, for_test: bool, width: int = SIZE[0]) -> Scene:
    """One scene from a seed; TRAIN or TEST dishes, surfaces and photographs as in `lit_tables`."""
    return _scene(seed // FRESH * FRESH + seed % FRESH % DIFFERENT, for_test, width)


@lru_cache(maxsize=8)
def _scene(seed: int, for_test: bool, width: int) -> Scene:
    rgb, mask, box = _traced(seed, for_test)
    if width != rgb.shape[1]:
        size = (width, round(width * rgb.shape[0] / rgb.shape[1]))
        rgb = np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.float32)
        mask = np.asarray(cv2.resize(mask, size, interpolation=cv2.INTER_AREA), np.float32)
    rgb = rgb * np.float32(0.75 / max(float(np.percentile(rgb.mean(axis=2), 98)), 1e-4))
    high, wide = mask.shape
    cover = np.asarray(cv2.GaussianBlur(mask, (0, 0), EDGE_PX), np.float32)
    hidden = cv2.dilate((mask > 0.01).astype(np.uint8), np.ones((9, 9), np.uint8))
    around = _filled(rgb, hidden > 0)
    hero = Thing(rgb, cover, wide / 2, high / 2)
    # what the shot says of its dish: a drink's box is the glass's, not that of the plate the table was drawn for
    box = _box_of(mask) or box
    return Scene(around, (), hero, np.ones_like(rgb), box)


def _box_of(mask: Array) -> tuple[float, float, float, float] | None:
    rows, columns = np.flatnonzero(mask.max(axis=1) > 0.5), np.flatnonzero(mask.max(axis=0) > 0.5)
    if not rows.size:
        return None
    high, wide = mask.shape
    return columns[0] / wide, rows[0] / high, (columns[-1] + 1) / wide, (rows[-1] + 1) / high


def _filled(rgb: Array, hidden: NDArray[np.bool_]) -> Array:
    """The picture with what is hidden filled from what lies next to it, coarser the farther inside."""
    out = rgb.copy()
    seen = (~hidden).astype(np.float32)
    for sigma in (80.0, 24.0, 8.0):
        weight = cv2.GaussianBlur(seen, (0, 0), sigma)
        near = cv2.GaussianBlur(rgb * seen[..., None], (0, 0), sigma) / np.maximum(weight, 1e-6)[..., None]
        fits = (hidden & (weight > 0.02))[..., None]
        out = np.where(fits, near, out)
    return np.asarray(out, np.float32)


def _traced(seed: int, for_test: bool) -> tuple[Array, Array, tuple[float, float, float, float]]:
    """(picture, where the dish is, its box), from the kept ones when it is there."""
    path = KEPT / f"{'test' if for_test else 'train'}{seed:04d}-{SIZE[0]}.npz"
    if not path.exists():
        # other seeds than the tables of `lit_tables` have
        table = laying(seed + 500, for_test=for_test, size=SIZE)
        mi = engine.renderer()
        scene = mi.load_dict({"type": "scene", "camera": table.camera, "light": table.window, **table.shapes})
        integrator = mi.load_dict({"type": "path", "max_depth": 4})
        rgb = np.array(mi.render(scene, integrator=integrator, spp=SAMPLES, seed=seed), np.float32)[..., :3]
        seen = mi.load_dict({"type": "aov", "aovs": "a:albedo,n:sh_normal"})
        guides = np.array(mi.render(scene, integrator=seen, spp=4, seed=seed), np.float32)
        if engine.has_denoiser():
            rgb = np.maximum(
                engine.denoised(np.ascontiguousarray(rgb), guides[..., 0:3], guides[..., 3:6]), 0
            )
        which = mi.load_dict({"type": "aov", "aovs": "i:shape_index"})
        index = np.array(mi.render(scene, integrator=which, spp=1, seed=seed), np.float32)[..., 0]
        # the renderer counts from 1; 0 is nothing
        heroes = [k for k, shape in enumerate(scene.shapes(), start=1) if str(shape.id()) in table.heroes]
        mask = np.isin(np.round(index).astype(int), heroes).astype(np.float32)
        KEPT.mkdir(parents=True, exist_ok=True)
        np.savez(path, rgb=rgb, mask=mask, box=np.asarray(table.subject_box))
    with np.load(path) as kept:
        x0, y0, x1, y1 = (float(v) for v in kept["box"])
        return kept["rgb"], kept["mask"], (x0, y0, x1, y1)
