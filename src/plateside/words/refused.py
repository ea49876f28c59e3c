"""What the cores refuse and what is not installed (model.errors.RefusedError, MissingExtraError), said: got, allowed,
the fix."""

from collections.abc import Mapping
from typing import Any

from plateside.model.errors import MissingExtraError, PlatesideError, RefusedError

ROOM: Mapping[str, str] = {
    "no such board": "There is no board named {name!r} in your studio; there are: {known}.",
    "board outside the room": "The board {name!r}, {distance_m:g} m {side} of the dish, would be outside the room "
    "({from_left_m:.2f} m from the left wall, {from_front_m:.2f} m from the front wall). Bring it nearer or choose "
    "another side.",
    "spot outside the room": "The table spot {name!r} is outside the room: {from_left_m:g} m from the left wall and "
    "{from_front_m:g} m from the front wall, in a room {width_m:g} m wide and {depth_m:g} m deep. Change from_left_m "
    "or from_front_m.",
    "spot inside a block": "The table spot {name!r} is inside the furniture {block!r}. Move one of them, or end the "
    "furniture at the table's height of {height_m:g} m.",
    "window does not fit": "The window {name!r} ({width_m:g} x {height_m:g} m, sill {sill_m:g} m, {left_m:g} m from "
    "the left end) does not fit into the {wall} wall, which is {wall_m:g} m long and {room_m:g} m high. Correct its "
    "size, sill_m or from_left_m.",
    "sheet on no window": "A sheer hangs on the window {window!r}, but your studio has: {known}.",
}
"""Of the studio as it is computed with."""

SKY: Mapping[str, str] = {
    "no such sky type": "You asked for sky type {got}; the CIE's standard skies are 1 to 15, and 16 is the "
    "traditional overcast sky.",
    "no such sky": "You asked for the sky {got!r}; there are: {allowed}.",
    "sky of other moments": "The sky is given for {got} moments, but you asked for {wanted}. Give it for the same.",
    "no such step": "You asked for a step of {got:g} minutes; give one from above 0 to 720.",
    "no such time zone": "The time zone {got!r} is not known; write one such as 'Europe/Lisbon'.",
    "no time zone": "The moment {got} has no time zone; give it the place's own.",
}
"""Of sun and sky."""

LINE = "Line {line}: "
DAMAGED = "The file is damaged there; get it again."
WEATHER: Mapping[str, str] = {
    "no such day": LINE + "there is no day {day} in month {month}. " + DAMAGED,
    "cell out of range": LINE + "{what} is {got}; allowed: {lowest:g} to {highest:g}.",
    "cell no number": LINE + "{what} is {got}; write a number from {lowest:g} to {highest:g}.",
    "line too long": LINE + "it has {characters} characters. " + DAMAGED,
    "line with a NUL": LINE + "it has a character that no text has (NUL). " + DAMAGED,
    "no EPW file": LINE
    + "an EPW file starts with LOCATION,city,region,country,source,station,latitude,longitude,"
    "time zone,altitude; this one does not. Choose the file that ends in .epw.",
    "EPW without hours": "The EPW file ends after its {header_lines} header lines: it is cut short. Get it again.",
    "EPW cut in its header": "The file has {got} lines; an EPW file has {header_lines} header lines alone. It is cut "
    "short: get it again.",
    "EPW header damaged": LINE + "an EPW file has DATA PERIODS,... here. " + DAMAGED,
    "EPW not hourly": LINE + "this file has {got} records an hour; choose one with hourly values.",
    "EPW line cut": LINE
    + "{got} values, where an EPW hour has 35. The file is cut short or damaged; get it again.",
    "value missing": LINE
    + "{what} is missing ({mark:g}). Choose a file without gaps, or write the value in.",
    "no hour for": "The weather file has no hour for {moment} (local standard time); choose a file of a whole year.",
    "no TMY3 file": LINE
    + "a TMY3 file starts with station,name,state,time zone,latitude,longitude,altitude and has "
    "its column names on line 2; this one does not. Choose the hourly TMY3 CSV file.",
    "TMY3 without hours": "The TMY3 file ends after its two header lines: it is cut short. Get it again.",
    "no TMY3 stamp": LINE
    + "date and time are {date} {time}; they must be like 01/31/1988 and 01:00 to 24:00.",
    "no TMY3 date": LINE + "{got} is not a date; it must be month/day/year.",
    "TMY3 line cut": LINE + "{got} values, fewer than the column names. The file is cut short; get it again.",
    "TMY3 damaged": LINE + "the file is damaged there ({fault}); get it again.",
    "no such column": LINE + "there is no column {got!r}; a TMY3 file has Date (MM/DD/YYYY), Time (HH:MM), "
    "GHI (W/m^2), DNI (W/m^2) and DHI (W/m^2).",
}
"""Of a typical year's file."""

FORECAST: Mapping[str, str] = {
    "no forecast": "There is no forecast in the text; paste lines like {example}.",
    "no year of a forecast": LINE + "you wrote the year {got}; allowed: {lowest} to {highest}.",
    "no cloud cover": LINE + "cloud cover is {got}; write a percentage from 0 to 100.",
    "forecast misses": "Your forecast runs from {first} to {last}, but you asked for {got}; paste lines for that time.",
    "no two columns": LINE
    + "{got} does not have two columns, time and cloud cover; write a line like {example}.",
    "time twice": LINE + "{got} is there twice; keep one of the two lines.",
    "no date and time": LINE + "{got} is not a date and time; write it like {example}.",
    "skipped time": LINE
    + "{got} does not exist: clocks jump over it that day. Write a time before or after.",
    "no date": LINE + "{got} has no date; write it like {example}.",
}

METER: Mapping[str, str] = {
    "no moment noted": "You noted no moment. Give one or two: when the sun grazed the wall, or where a corner of its "
    "patch was.",
    "sun was down": "At {when:%Y-%m-%d %H:%M %Z} the sun was down ({elevation_deg:.1f} degrees); check date, time and "
    "time zone.",
    "corner too near": "The corner {from_wall_m:g} m from the wall and {height_m:g} m high is too near the window to "
    "show a direction; note one further into the room.",
    "corner of another sun": "For the corner you noted at {when:%H:%M} the sun would have to be {degrees:.0f} degrees "
    "{way} than it was; check which corner, the time and the distances.",
    "no such corner": "The corner is {got!r}; allowed, seen from inside: {allowed}.",
    "no such side": "The side is {got!r}; allowed, seen from inside: {allowed}.",
    "too few readings": "A fit needs {fewest} readings or more, best at different hours and skies; you have {got}.",
    "skies for other readings": "{skies} skies are given for {readings} readings; give one for each, or none.",
    "reading of no spot": "You took a reading at {name!r}, but your table spots are: {known}. Correct its spot.",
    "reading in the dark": "At your reading of {at} there was no daylight. Check its date and time, or "
    "take it out.",
    "no time of a reading": "The reading's time is {got!r}; write local date and time, such as 2027-07-15T13:30.",
    "grey card reflectance": "The grey card's reflectance is {got:g}; allowed: 0.02 to 0.98 (the usual card has 0.18).",
    "magnification": "The magnification is {got:g}; allowed: 0 to 10.",
    "grey card blown out": "The grey card is blown out in the frame ({share:.0%} of what the sensor holds). Take it "
    "again one or two stops darker.",
    "grey card black": "The grey card is nearly black in the frame ({share:.2%} of what the sensor holds). Take it "
    "again with more exposure.",
    "exposure not above zero": "The {name} of the grey card's frame is {got:g}; it must be above 0.",
}
"""Of what was measured in the room."""

DRAWING: Mapping[str, str] = {
    "array of another shape": "{name} must have one value for each of {count} times; its shape is {got}.",
    "no indexed picture": "A picture must be rows x columns of uint8; this is {got}.",
    "no palette": "A palette must be 1 to 256 colours x 3; this is {got}.",
    "outside the palette": "Index {index} is outside a palette of {colours} colours.",
    "no calendar": "A calendar needs days x {slots} cells; this is {got} for {days} days at {step_min:g} min.",
}
"""Of figures that do not fit together: for who calls the drawings from a program."""

CAMERA: Mapping[str, str] = {
    "focus inside the lens": "A focus distance of {focus_mm:.0f} mm is inside the focal length of {focal_mm:g} mm; "
    "give more.",
    "nothing so called": "Nothing in the scene is called {got!r}; there are: {known}.",
    "no even sides": "A frame needs even sides of at least 16 px; this one has {width_px} x {height_px}.",
    "frame of another shape": "A frame of {width_px} x {height_px} px has another shape than its scene ({scene_px}).",
    "no photograph of 8 bits": "A photograph must be height x width x 3 in 8 bits; this is {got}.",
}
"""Of the demo's simulated camera."""

SHOT: Mapping[str, str] = {
    "none in the studio": "The shot {shot!r} needs a {what}, and your studio has none: add one in Studio.",
    "not in the studio": "The shot {shot!r} names the {what} {got!r}, which your studio does not have; there are: "
    "{known}.",
    "no gear to choose": "There is no lens or no support to choose from: write [[lenses]] and [[supports]] in "
    "studio.toml.",
    "too near to focus": "A {focal_mm:g} mm lens cannot focus at {distance_mm:.0f} mm from the sensor; give "
    "{least_mm:.0f} mm (four focal lengths) or more.",
    "no duration": "{got!r} is not a length of time; write it as PT25M, PT1H30M or P2D (ISO 8601).",
}
"""Of a shot, its gear and its steps."""

LOOK: Mapping[str, str] = {
    "no white": "The white is {got:g}; allowed: {lowest:g} to {highest:g}.",
    "no contrast": "The contrast is {got:g}; allowed: {lowest:g} to {highest:g}.",
}
"""Of a tone curve."""

RENDERER = 'pip install "plateside[picture]"'
MISSING: Mapping[str, str] = {
    "no renderer": f"A planned picture needs the renderer, which is not installed yet: {RENDERER}",
    "nothing to photograph": "The demo needs the renderer or, without it, a free photograph that comes with "
    f'scikit-image: {RENDERER} or pip install "plateside[demo]"',
    "no cluster": 'A cluster needs Dask, which is not installed yet: pip install "plateside[cluster]"',
}
"""Of the package: optional parts that are not installed."""

REFUSED: Mapping[str, str] = {
    **ROOM, **SKY, **WEATHER, **FORECAST, **METER, **DRAWING, **CAMERA, **SHOT, **LOOK, **MISSING,
}  # fmt: skip


def said(error: PlatesideError) -> str:
    """The whole sentence of an error, and what to type at a terminal."""
    return _sentence(error) if isinstance(error, RefusedError | MissingExtraError) else str(error)


def plain(error: PlatesideError) -> str:
    """The same without what only a terminal can do: for pages."""
    return _sentence(error) if isinstance(error, RefusedError | MissingExtraError) else error.words


def _sentence(error: RefusedError | MissingExtraError) -> str:
    return REFUSED[error.code].format(**{name: _listed(value) for name, value in error.facts.items()})


def _listed(value: Any) -> Any:
    return ", ".join(repr(each) for each in value) or "none" if isinstance(value, list | tuple) else value
