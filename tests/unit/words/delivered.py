"""One point of every kind, as a delivery finds them."""

from plateside.deliver.points import Point

SAMPLES = {
    point.code: point
    for point in (
        Point("no release", "pour", blocks=True),
        Point("no licence", blocks=True),
        Point("recipe placeholder", what="title", text="My dish"),
        Point("maker placeholder", text="Your name"),
        Point("no frame", "pour", blocks=True),
        Point("not finished", "pour", blocks=True),
        Point("left out", "pour"),
        Point("no picture", blocks=True),
        Point("another select", "pour", blocks=True),
        Point("unmatched", "pour", blocks=True),
        Point("hand changed", "pour", blocks=True),
        Point("retouched older", "pour", blocks=True, names=("retouched/pour-Edit.tif",)),
        Point("retouched changed", "pour", blocks=True, names=("retouched/pour-Edit.tif",)),
        Point("retouched gone", "pour", blocks=True, names=("retouched/pour-Edit.tif",)),
        Point("retouched waiting", names=("retouched/pour-Edit.tif",)),
        Point("retouched unknown", names=("retouched/pour-Edit.tif",)),
        Point("look off", "cup", what="test frame", got=(-1.5, 0.0)),
        Point("finish cut short", "pour", blocks=True),
        Point("taken again", "pour"),
        Point("better again", "pour", text="One stop darker."),
        Point("words", "pour", what="too long", got=(251.0,)),
        Point("food cut", "pour", names=("wide", "tall")),
        Point("too few pixels", "pour", "tall", True, got=(120, 480), asked=(200, 800)),
        Point("too heavy", "pour", "tall", True, names=("tall/pour.png",), got=(612.3,), asked=(500,)),
        Point("squeezed", "pour", "tall", names=("tall/pour.jpg",), got=(0.9,), asked=(12,)),
        Point("no address"),
        Point("no shape", "pour", got=(1200, 900), asked=(4, 3)),
        Point("small for search", "pour", "wide", names=("wide/pour.jpg",), got=(298, 167), asked=(50_000,)),
        Point("stale", blocks=True, names=("picture cup", "crop cup tall", "rights", "recipe", "shots")),
        Point("interrupted", blocks=True),
        Point("files missing", blocks=True, names=("wide/cup.jpg",)),
    )
}
