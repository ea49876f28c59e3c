"""A shot on the Studio page's plan: its dish at its table spot, the side of the camera, its boards."""

from plateside.drawing import above
from plateside.drawing.kit import element, line, path
from plateside.drawing.palette import ACCENT, INK
from plateside.drawing.studio_sheet import Sheet, label, metres, path_words
from plateside.drawing.views import Paper, View
from plateside.model.room import Spot
from plateside.model.shoot import Shot
from plateside.plan.beside import SIDES, board_ends_m, toward
from plateside.words import drawings as said


def shot_at_spot(sheet: Sheet, spot: Spot, shot: Shot) -> str:
    """A shot at its table spot: its dish, the side that the camera is on, its boards."""
    view = sheet.view
    x, y = above.dish_at(sheet.studio, view, spot)
    radius = shot.dish_width_mm / 2000 * view.px_per_m
    drawn = above.plate((x, y), radius)
    if shot.angle != "overhead":
        right, up = toward(shot.camera_faces_deg + 180)
        reach = max(radius + 26, 0.3 * view.px_per_m)
        drawn += line(x + right * (radius + 4), y - up * (radius + 4), x + right * reach, y - up * reach,
                      stroke_width=1.2, stroke_dasharray="3 3")  # fmt: skip
        drawn += element("circle", cx=x + right * (reach + 5), cy=y - up * (reach + 5), r=5, fill=INK)
    boards = "".join(_board(sheet, spot, shot, k) for k in range(len(shot.boards)))
    return element("g", drawn, pointer_events="none") + boards


def _board(sheet: Sheet, spot: Spot, shot: Shot, k: int) -> str:
    studio, view, placed = sheet.studio, sheet.view, shot.boards[k]
    board = next((b for b in studio.boards if b.name == placed.board), None)
    if board is None:
        return ""
    faces = shot.camera_faces_deg + SIDES[placed.side]
    dish_m = (spot.from_left_m, studio.room.depth_m - spot.from_front_m)
    ends_m = board_ends_m(studio.room, dish_m, faces, placed.distance_m, board.width_m)
    a, b = (view.at((*end, 0.0)) for end in ends_m)
    dish, middle = above.dish_at(studio, view, spot), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    words = said.board_label(board.name, metres(placed.distance_m))
    wx, wy = _board_words_at(view, (a, b), toward(faces), words)
    description = said.board_thing(
        board.name, shot.name, metres(placed.distance_m), placed.side, metres(board.width_m)
    )
    drawn = line(*dish, *middle, stroke=ACCENT, pointer_events="none")
    drawn += element("path", d=path((a, b)), stroke="transparent", stroke_width=44)
    drawn += above.board((a, b), above.tone(board.reflectance))
    return element(
        "g", drawn + label(words, wx, wy, colour=ACCENT), class_="thing placed", data_path=path_words(("placed", k)),
        tabindex=0, role="button", aria_label=description, data_side=placed.side, data_distance_m=placed.distance_m,
    )  # fmt: skip


def _board_words_at(view: View, ends: tuple[Paper, Paper], away: tuple[float, float], words: str) -> Paper:
    """Where a board's words stand: off its end, or behind it, inside the room and on no wall."""
    half = len(words) * 3.2 + 4
    x, y = (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    x = min(max(x, view.left + half), max(view.left + half, view.right - half))
    if abs(away[0]) > 0.7:
        low, high = max(ends[0][1], ends[1][1]), min(ends[0][1], ends[1][1])
        return x, low + 16 if low + 18 < view.bottom else high - 8
    behind = y - away[1] * 16 + 4
    return x, behind if behind - 11 > view.top and behind + 3 < view.bottom else y + away[1] * 16 + 4
