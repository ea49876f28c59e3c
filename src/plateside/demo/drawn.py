"""The demo's scenes as they were drawn, packed: light, distance and what is what at each pixel (demo/drawn).

Light is kept as 12 bits of a power curve in an AVIF of full colour resolution, whose decoding is exact on every
processor (AV1 specification 1.0.0); distance as 11 bits of its inverse, which runs evenly over a flat table, and the
names, both without loss. scripts/make_demo_scenes.py draws and packs them.
"""

import importlib.resources
import json
import lzma
from importlib.resources.abc import Traversable
from pathlib import Path

import numpy as np
import pyvips
from numpy.typing import NDArray

from plateside.camera.setup import SetUp
from plateside.files.atomic import write_bytes
from plateside.picture.scene import LinearScene

LIGHT_BITS, LIGHT_CURVE = 12, 2.4
"""A step is 0.4 % of a mid grey: under the photon noise of any frame that is made of it."""
DEPTH_BITS = 11
"""A step changes a blur disc by less than a tenth of a pixel, also where the frame reaches from 25 cm to 1 m."""
QUALITY = 92
SAME = 0.02
"""How far a set-up planned today may be from the one that was drawn, as a share, and still be it."""


def place_of(setup: SetUp) -> dict[str, float]:
    """What of a set-up decides where things are in its picture: frame's width [mm], focus [mm], elevation [deg]."""
    return {
        "frame_width_mm": setup.frame_width_mm,
        "focus_mm": 1000.0 * setup.focus_lens_distance_m,
        "elevation_deg": setup.elevation_deg,
    }


def pack_scene(folder: Path, shot: str, scene: LinearScene, setup: SetUp, samples: int) -> None:
    """Write <shot>.avif, <shot>.xz and <shot>.json. Raises CouldNotError when the disk refuses."""
    folder.mkdir(parents=True, exist_ok=True)
    width, height = scene.size_px
    top = float(np.percentile(scene.rgb, 99.99))
    light = np.clip(scene.rgb / top, 0.0, 1.0) ** (1.0 / LIGHT_CURVE)
    # the file format's own 16-bit words, of which the encoder takes the upper bits
    words = np.rint(light * (2**LIGHT_BITS - 1)).astype(np.uint16) << (16 - LIGHT_BITS)
    picture = pyvips.Image.new_from_memory(words.tobytes(), width, height, 3, "ushort")
    write_bytes(
        folder / f"{shot}.avif",
        picture.copy(interpretation="rgb16").heifsave_buffer(
            compression="av1", Q=QUALITY, bitdepth=LIGHT_BITS, subsample_mode="off", effort=3
        ),
    )
    inverse = 1.0 / scene.depth_mm.astype(np.float64)
    low, high = float(inverse.min()), float(inverse.max())
    codes = np.rint((inverse - low) / (high - low) * (2**DEPTH_BITS - 1)).astype(np.uint16)
    layers = _differences(codes).tobytes() + scene.identity.astype(np.uint8).tobytes()
    write_bytes(folder / f"{shot}.xz", lzma.compress(layers, preset=6))
    said = {
        "width_px": width, "height_px": height, "samples": samples, "light_top_cd_m2": top,
        "inverse_depth_per_mm": [low, high], "depth_bits": DEPTH_BITS, "names": list(scene.names),
        "white_rgb": list(scene.white_rgb),
        "mm_per_px": scene.mm_per_px, "focus_distance_mm": scene.focus_distance_mm, "origin": scene.origin,
        "set_up": place_of(setup),
    }  # fmt: skip
    write_bytes(folder / f"{shot}.json", (json.dumps(said, indent=1) + "\n").encode())


def packed_scene(shot: str, setup: SetUp, size_px: tuple[int, int]) -> LinearScene | None:
    """The scene of one of the demo's shots as it was drawn; None where there is none of this set-up."""
    folder = importlib.resources.files("plateside.demo").joinpath("drawn")
    if not folder.joinpath(f"{shot}.json").is_file():
        return None
    said = json.loads(folder.joinpath(f"{shot}.json").read_text(encoding="utf-8"))
    planned = place_of(setup) | {"shape": size_px[0] / size_px[1]}
    drawn = said["set_up"] | {"shape": said["width_px"] / said["height_px"]}
    if any(
        abs(planned[k] / max(drawn[k], 1e-6) - 1.0) > SAME
        for k in planned
        if abs(planned[k] - drawn[k]) > 0.5
    ):
        return None
    return read_scene(folder, shot)


def read_scene(folder: Traversable, shot: str) -> LinearScene:
    """What pack_scene has written."""
    said = json.loads(folder.joinpath(f"{shot}.json").read_text(encoding="utf-8"))
    width, height = said["width_px"], said["height_px"]
    picture = pyvips.Image.new_from_buffer(folder.joinpath(f"{shot}.avif").read_bytes(), "")
    words = np.frombuffer(picture.write_to_memory(), np.uint16).reshape(height, width, -1)[..., :3]
    curve = np.linspace(0.0, 1.0, 2**16, dtype=np.float64) ** LIGHT_CURVE * said["light_top_cd_m2"]
    # what the encoder cut off below the upper bits is put back
    whole = (words >> (16 - LIGHT_BITS)).astype(np.uint32) * 65535 // (2**LIGHT_BITS - 1)
    layers = lzma.decompress(folder.joinpath(f"{shot}.xz").read_bytes())
    codes = _summed(np.frombuffer(layers, np.uint16, width * height).reshape(height, width))
    low, high = said["inverse_depth_per_mm"]
    return LinearScene(
        rgb=curve.astype(np.float32)[whole],
        depth_mm=(
            1.0 / (low + codes.astype(np.float64) * (high - low) / (2 ** said["depth_bits"] - 1))
        ).astype(np.float32),
        identity=np.frombuffer(layers, np.uint8, width * height, 2 * width * height)
        .reshape(height, width)
        .astype(np.int16),
        names=tuple(said["names"]),
        white_rgb=(said["white_rgb"][0], said["white_rgb"][1], said["white_rgb"][2]),
        mm_per_px=said["mm_per_px"],
        focus_distance_mm=said["focus_distance_mm"],
        origin=said["origin"],
    )


def _differences(codes: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """Along each row, the second differences (modulo 2^16): nothing but zeros and ones over a plane."""
    return np.diff(codes, n=2, axis=1, prepend=np.zeros((len(codes), 2), np.uint16))


def _summed(differences: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """The codes whose second differences these are."""
    once = np.cumsum(differences, axis=1, dtype=np.uint16)
    return np.cumsum(once, axis=1, dtype=np.uint16)
