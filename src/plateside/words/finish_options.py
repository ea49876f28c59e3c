"""What is said of a colour chart that cannot serve, and of what was set by hand on the command line."""

NO_CHART = {
    "clipped": "The colour chart is too bright, a patch is clipped: use a frame that is a stop darker.",
    "dark": "The colour chart is too dark to be read: use a brighter frame.",
    "uneven": "The light falls unevenly on the colour chart, by more than a quarter of a stop: turn it to the light, "
    "or hold it where the dish is.",
    "not a chart": "There is no colour chart at those corners. Give the four outer corners of its patches: brown, the "
    "other end of that row, black, white.",
    "not found": "No colour chart of 24 patches was found in that frame. Take one where all 24 are seen and it fills a "
    "quarter of the frame, or give its four corners.",
}


def chart_needs_raw(name: str) -> str:
    return f"{name} is a camera's JPEG, whose colours are made already: give a raw with the colour chart."


def no_corners(text: str) -> str:
    return (
        f"--corners is {text!r}; allowed: x,y of four corners as shares of the picture (brown, the end of that row, "
        "black, white), such as 0.3,0.3,0.6,0.3,0.6,0.5,0.3,0.5."
    )


CORNERS_WITHOUT_CHART = "--corners says where a chart is: name its frame too, with --chart."
OPTION_OF_HAND = {
    "brighter_stops": "--brighter", "warmer_mired": "--warmer", "magenta_cc": "--magenta",
    "turned_degrees": "--straighten",
}  # fmt: skip
_UNIT_OF_HAND = {
    "brighter_stops": "stops", "warmer_mired": "mired", "magenta_cc": "CC", "turned_degrees": "degrees",
}  # fmt: skip


def outside_limits(name: str, got: float, limit: float) -> str:
    return f"{OPTION_OF_HAND[name]} is {got:g}; allowed: {-limit:g} to {limit:g} {_UNIT_OF_HAND[name]}."


def no_shot_to_set(name: str, names: list[str]) -> str:
    return f"--for is {name!r}, which is no shot here. Your shots: {', '.join(names)}."


def nothing_set_for(shot: str) -> str:
    return f"Nothing is set for {shot}: add {', '.join(OPTION_OF_HAND.values())}, one or more."
