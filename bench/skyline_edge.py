"""After a fit, near the edge of what stands opposite: is the truth within the printed range, sun or no sun?

    python -m bench.skyline_edge [draws] [first seed]

Random rooms with houses opposite (seeded). The studio file is off from the room as files are: the houses a few degrees
too low or too high, the window's bearing a degree, the glass and the walls by a fraction of a stop. Five readings are
taken in the room as it is, each with a few per cent of scatter, and the studio is fitted to them. Then the light is
asked for when the true sun stands within a few degrees of the true skyline, and far from it. The truth is the engine's
own light in the room as it is, and skies are known: what is asked is only whether the range holds what the fit cannot
know. Aim: no hidden or visible sun outside the range in any draw; away from edges the range is the fit's own.
"""

import sys

import numpy as np

from tests.synthetic.skyline_edge import draw


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    draws = []
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    for seed in range(first, first + count):
        one = draw(seed)
        draws.append(one)
        fit = one.report.fit
        wrong = [a for a in one.near if a.sun_wrong]
        print(
            f"{seed:3d}  skyline {one.room.skyline_deg:4.1f}, lift {fit.skyline_lift_deg:+5.1f} (give or take "
            f"{fit.skyline_lift_spread_deg:3.1f})  width near {np.mean([a.width_stops for a in one.near] or [0]):.1f}, "
            f"far {np.mean([a.width_stops for a in one.far] or [0]):.1f} stops"
            + "".join(f"  OUT {a.off_stops:+.1f} at {a.above_edge_deg:+.1f} deg" for a in wrong),
            flush=True,
        )
    near, far = [a for d in draws for a in d.near], [a for d in draws for a in d.far]
    bad = [d for d in draws if any(a.sun_wrong for a in d.near + d.far)]
    print(f"{len(bad)} of {len(draws)} draws have a hidden or visible sun outside the range")
    for name, asked in (("near an edge", near), ("away from it", far)):
        widths, within = np.array([a.width_stops for a in asked]), np.array([a.within for a in asked])
        print(
            f"{name}: {len(asked)} moments, {within.mean():.0%} within, width median {np.median(widths):.2f} stops, "
            f"90th percentile {np.percentile(widths, 90):.2f}"
        )


if __name__ == "__main__":
    main()
