"""Draw the demo's scenes with the product's own renderer and pack them beside the demo (demo/drawn).

    python scripts/make_demo_scenes.py              all shots of the demo's shoot
    python scripts/make_demo_scenes.py pour         some of them
    python scripts/make_demo_scenes.py --samples 16

Minutes a scene with the fast renderer (an LLVM library of version 16 or newer), an hour without. What has been
traced is kept in --work, so that a stopped run goes on. The recipe is the demo's own studio.toml and shoot.toml,
planned anew.
"""

import argparse
import tempfile
from pathlib import Path

import numpy as np

from plateside.demo.data import copy_demo
from plateside.demo.drawn import pack_scene
from plateside.demo.scenes import drawn_stage, frame_size_px
from plateside.files.folder import SHOOT_FILE
from plateside.files.settings.load import open_shoot
from plateside.picture.drawn_shot import identities, scene_from
from plateside.picture.trace import Traced, traced
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.plan.picture_engine import find_engine

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "src" / "plateside" / "demo" / "drawn"
PASS = 2
"""Samples a pixel after which the work is written down."""


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("shots", nargs="*", help="names of shots; none: all")
    parser.add_argument("--samples", type=int, default=8, help="paths a pixel")
    parser.add_argument("--work", type=Path, default=Path(tempfile.gettempdir()) / "plateside-demo-scenes")
    given = parser.parse_args()
    shoot = given.work / "shoot"
    copy_demo(shoot)
    opened = open_shoot(shoot / SHOOT_FILE)
    plan = plan_shoot(shoot, out=given.work / "plan")
    set_ups = {s.shot: s for s in plan.set_ups}
    variant = find_engine(given.work / "renderer.json").variant
    for shot in opened.shoot.shots:
        if given.shots and shot.name not in given.shots:
            continue
        set_up = set_ups[shot.name]
        stage, white = drawn_stage(opened, shot, set_up)
        size = frame_size_px(set_up)
        kept = given.work / f"{shot.name}.npz"
        total, done = None, 0
        if kept.exists():
            with np.load(kept) as was:
                total, done = {k: was[k] for k in was.files if k != "done"}, int(was["done"])
        while done < given.samples:
            part = traced(stage, size, PASS, variant=variant, pinhole=True, seed=done + 1)
            now = {
                "rgb": part.rgb,
                "albedo": part.albedo,
                "normal": part.normal,
                "distance_m": part.distance_m,
            }
            # the distance is not averaged: an edge has no distance between its two
            total = (
                now
                if total is None
                else {k: v + now[k] for k, v in total.items()} | {"distance_m": total["distance_m"]}
            )
            done += PASS
            np.savez(kept.with_suffix(".part.npz"), done=done, **total)
            kept.with_suffix(".part.npz").replace(kept)
            print(f"{shot.name}: {done} of {given.samples} samples", flush=True)
        assert total is not None
        share = np.float32(PASS / done)
        found = Traced(
            rgb=total["rgb"] * share, albedo=total["albedo"] * share, normal=total["normal"] * share,
            distance_m=total["distance_m"],
        )  # fmt: skip
        identity, names = identities(stage, size)
        pack_scene(OUT, shot.name, scene_from(stage, found, identity, names, white), set_up, done)


if __name__ == "__main__":
    main()
