"""Processor time and memory of finishing a raw, beside the bare LibRaw and libvips calls for the same file.

    python -m bench rendering [megapixels]

A simulated raw of 24 megapixels (or as many as are given), at ISO 100 and, for noise apart, at ISO 1600, and once
exposed so long that 5 % of green is clipped, to be held against the base, where next to nothing is; each way in a
process of its own, after one that compiles the kernels. Bare: LibRaw's own development to 16 bits and libvips' TIFF.
The base is what a run does to one select besides: measured small, developed whole, matched, curve, TIFF. The lens has
all three faults, so each colour is moved by itself. The best demosaic that LibRaw has without a GPL pack (DHT) is told
for the bare call alone: finishing uses AHD.
"""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import cv2
import numpy as np

from tests.photographs import photograph

_WAYS = {
    "bare": "bare",
    "best demosaic, bare": "best",
    "base": "base",
    "5 % of green clipped": "clipped",
    "straightened": "turned",
    "lens": "lens",
    "noise": "noise",
}
_WARPS = [
    [0.98, -0.03, 0.01, 0.0, 0.0, 0.0],
    [0.981, -0.03, 0.01, 0.0, 0.0, 0.0],
    [0.982, -0.03, 0.01, 0.0, 0.0, 0.0],
]
_SHADE = [0.8, 0.3, 0.0, 0.0, 0.0]


def main() -> None:
    megapixels = float(next((a for a in sys.argv[1:] if a.isdigit()), "24"))
    with tempfile.TemporaryDirectory() as folder:
        paths = _written(Path(folder), megapixels)
        bare = 0.0
        for name, way in (("compiling", "noise"), *_WAYS.items()):
            if way in ("turned", "lens", "clipped"):
                _run(way, paths.get(way, paths["base"]))  # compiled too
            found = _run(way, paths[way if way in paths else "base"])
            bare = bare or (found["cpu_s"] if way == "bare" else 0.0)
            if name != "compiling":
                times = f"{found['cpu_s'] / bare:5.2f} times the bare calls"
                print(
                    f"{name:<22} {found['cpu_s']:6.2f} s   {found['peak_mib']:6.0f} MiB   {times}", flush=True
                )


def _run(way: str, path: Path) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "bench.rendering", way, str(path)],
        check=True,
        capture_output=True,
        text=True,
    )
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def _measured(way: str, path: Path) -> dict[str, float]:
    out = path.with_name("out.tif")
    work = _bare(path, out, best=way == "best") if way in ("bare", "best") else _finished(path, out, way)
    for _ in work:
        started = time.process_time()
    text = Path("/proc/self/status").read_text() if Path("/proc/self/status").exists() else ""
    peak = next(
        (float(line.split()[1]) / 1024 for line in text.splitlines() if line.startswith("VmHWM")), 0.0
    )
    return {"cpu_s": time.process_time() - started, "peak_mib": peak}


def _bare(path: Path, out: Path, best: bool):  # type: ignore[no-untyped-def]
    import pyvips
    import rawpy

    yield
    how = rawpy.DemosaicAlgorithm.DHT if best else rawpy.DemosaicAlgorithm.AHD
    with rawpy.imread(str(path)) as raw:
        rgb = raw.postprocess(use_camera_wb=True, output_bps=16, no_auto_bright=True, demosaic_algorithm=how)
    image = pyvips.Image.new_from_array(rgb)
    image.tiffsave(str(out), compression="deflate", predictor="horizontal", level=2)


def _finished(path: Path, out: Path, way: str):  # type: ignore[no-untyped-def]
    from plateside.files.originals.one_decode import one_decode
    from plateside.files.pictures import fill_tiff_16
    from plateside.finish.develop import develop, reduced
    from plateside.finish.lens import lens_of_opcodes
    from plateside.finish.opcodes import opcodes_of
    from plateside.finish.placing import placing_of
    from plateside.finish.recognised import look
    from plateside.finish.render import highlight
    from plateside.finish.tiles import developing, rendered
    from plateside.finish.tone import set_curve
    from plateside.finish.white_balance import NONE
    from tests.synthetic.opcodes import listed, rectilinear, vignette

    yield
    with one_decode() as run:
        small = reduced(develop(run.small(path)), 480)
        look(small)
        of = developing(run.whole(path))
    curve = set_curve([highlight(small, NONE)], scene_referred=True)
    lens = None
    if way == "lens":
        lens = lens_of_opcodes((), opcodes_of(listed(rectilinear(_WARPS), vignette(_SHADE))), of.size, ())
    picture = rendered(of, NONE, curve, placing_of(of.size, 2.0 if way == "turned" else 0.0, lens))
    del of
    fill_tiff_16(out, picture)


def _written(folder: Path, megapixels: float) -> dict[str, Path]:
    from plateside.ground.srgb import to_linear
    from tests.synthetic import dng

    width = int((megapixels * 1.5e6) ** 0.5) // 2 * 2
    size = (width, width * 2 // 3 // 2 * 2)
    codes = np.asarray(cv2.resize(photograph("coffee"), size, interpolation=cv2.INTER_CUBIC), np.uint8)
    table = to_linear(np.arange(256) / 255).astype(np.float32)
    found = {}
    longer = 1 / float(np.percentile(table[codes[::8, ::8, 1]], 95))
    for name, electrons, gain in (
        ("base", 40_000.0, 1.0),
        ("noise", 2_500.0, 1.0),
        ("clipped", 40_000.0, longer),
    ):
        counts = np.concatenate(
            [
                dng.mosaic_of(table[codes[y : y + 256]], gain=gain, electrons=electrons, seed=y)
                for y in range(0, size[1], 256)
            ]
        )
        found[name] = folder / f"{name}.dng"
        dng.write_mosaic(found[name], counts)
    return found


if __name__ == "__main__":
    print(json.dumps(_measured(sys.argv[1], Path(sys.argv[2]))))
