"""Places in a frame and sizes of exposure, as a photographer says them."""

Point = tuple[float, float]
_THIRDS = {1: "A third of a stop", 2: "Two thirds of a stop", 3: "One stop"}
_WHOLE = {1: "One", 2: "Two", 3: "Three", 4: "Four", 5: "Five"}


def place_phrase(at: Point | None) -> str:
    """'at the upper left', 'in the middle': of a place in shares of the frame."""
    if at is None:
        return "nowhere"
    across = "left" if at[0] < 1 / 3 else "right" if at[0] > 2 / 3 else ""
    down = "upper" if at[1] < 1 / 3 else "lower" if at[1] > 2 / 3 else ""
    if across and down:
        return f"at the {down} {across}"
    if across:
        return f"at the {across}"
    return {"upper": "at the top", "lower": "at the bottom"}.get(down, "in the middle")


def thirds_phrase(stops: float) -> str:
    """'Two thirds of a stop', 'One and a third stops': the size alone, to the nearest third."""
    thirds = round(abs(stops) * 3)
    if thirds in _THIRDS:
        return _THIRDS[thirds]
    whole, rest = divmod(thirds, 3)
    number = _WHOLE.get(whole, str(whole))
    return f"{number}{(' ', ' and a third ', ' and two thirds ')[rest]}stops"
