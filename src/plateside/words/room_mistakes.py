"""Rooms and gear that cannot be, in sentences: the figures that clash, in metres and millimetres as measured.

By code; the gaps are the facts of files/settings/room_fits.py. Sentences speak of the thing, not of a field's name, so
they serve files, pages and the first run alike.
"""

from collections.abc import Mapping

ROOM: Mapping[str, str] = {
    "window not square": "The window faces {faces} degrees and the front wall {front}: the room is a box, so a window "
    "faces a quarter turn from it, within {within} degrees.",
    "window too wide": "The window is {width} m wide, but its wall is only {wall_length} m long (the room's {across}). "
    "Fix the one that is wrong.",
    "window past wall": "The window starts {left} m from the left end of its wall and is {width} m wide, so it ends at "
    "{end} m; the wall is only {wall_length} m long.",
    "window above ceiling": "The window starts {sill} m above the floor and is {height} m high, so its top is at "
    "{top} m; the ceiling is at {ceiling} m. Fix the one that is wrong.",
    "view too wide": "From {left} clockwise to {right} degrees is {width} degrees wide. Give its left end, then its "
    "right end, as you see them from the window: more than 0 and at most 180 degrees.",
    "view behind wall": "From {left} to {right} degrees is behind the wall: a window that faces {faces} sees 90 "
    "degrees to each side. Give compass directions from true north, not from the middle of the window.",
    "windows overlap": 'It overlaps the window "{other}" in the {wall} wall. Measure where each one starts, from the '
    "left end of the wall as you see it from inside.",
    "dish past side": "The dish would be {reach} m from the left wall, but the room is only {limit} m wide. Fix "
    "the one that is wrong.",
    "dish past back": "The dish would be {reach} m from the window wall, but the room is only {limit} m deep. Fix "
    "the one that is wrong.",
    "dish above ceiling": "The table would be {reach} m high, but the ceiling is at {limit} m. Fix the one that is "
    "wrong.",
    "furniture past side": "Its far side would be {reach} m from the left wall, but the room is only {limit} m "
    "wide. Fix the one that is wrong.",
    "furniture past back": "Its far side would be {reach} m from the window wall, but the room is only {limit} m "
    "deep. Fix the one that is wrong.",
    "furniture above ceiling": "Its top would be at {reach} m, but the ceiling is at {limit} m. Fix the one that "
    "is wrong.",
    "too much light": "It passes and reflects {total} of the light together; a diffuser cannot give out more "
    "than it gets: at most 1.",
    "sides swapped": "Give the long side as the width: the width must not be less than the height.",
    "sensor shape": "The sensor is {sensor_width} x {sensor_height} mm ({sensor_shape} times as wide as "
    "high), the picture {pixels_wide} x {pixels_high} pixels ({picture_shape} times): the two shapes must agree within "
    "2 percent.",
    "swapped": "{low_label} is {low}, more than {high_label}, which is {high}. Are the two swapped?",
}
