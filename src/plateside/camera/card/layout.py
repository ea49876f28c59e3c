"""What is printed on the set card, and where, in millimetres.

The markers are of the AprilTag 36h11 family (Olson 2011; Wang and Olson 2016): any two of its codes differ in at
least eleven of 36 bits, so a tablecloth is not taken for a card. Each paper size, and the card's back, has its
own numbers: one marker alone tells which card lies there and where on it the marker is.

On the card x runs right and y runs up from its lower left corner.
"""

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

CELLS = 8
"""A 36h11 marker's side in squares: six of code and a black border of one."""


@dataclass(frozen=True)
class Paper:
    """A sheet, lying."""

    name: str
    width_mm: float
    height_mm: float
    marker_mm: float
    ruler_mm: float
    grey_width_mm: float
    grey_height_mm: float
    first_id: int


PAPERS = (
    Paper("A4", 297.0, 210.0, 34.0, 200.0, 130.0, 92.0, 0),
    Paper("Letter", 279.4, 215.9, 34.0, 200.0, 130.0, 92.0, 40),
    Paper("A5", 210.0, 148.0, 24.0, 150.0, 92.0, 60.0, 80),
)
BACK_ID_OFFSET = 20
"""The back's markers: the front's numbers plus this. Showing the back means: next shot."""

MARGIN_MM = 11.0
"""Most printers cannot print the outer 5 mm; a white module must stay round each marker."""


@dataclass(frozen=True)
class Marker:
    """One marker: its number and the lower left corner of its black square."""

    id: int
    x_mm: float
    y_mm: float
    side_mm: float

    def corners_mm(self) -> NDArray[np.float64]:
        """Its corners [mm], 4 x 2: upper left, upper right, lower right, lower left (OpenCV's order)."""
        x, y, s = self.x_mm, self.y_mm, self.side_mm
        return np.array([(x, y + s), (x + s, y + s), (x + s, y), (x, y)])


@dataclass(frozen=True)
class Rect:
    """A rectangle [mm] by its lower left corner and size."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class CardLayout:
    """One side of one card."""

    paper: Paper
    back: bool
    markers: tuple[Marker, ...]
    grey: Rect
    """where the photographer's own grey card is laid"""
    ruler: Rect
    """the printed ruler: its width is the length that must measure true"""

    @property
    def centre_mm(self) -> tuple[float, float]:
        return self.paper.width_mm / 2, self.paper.height_mm / 2


@cache
def layout(paper_name: str, back: bool = False) -> CardLayout:
    """The layout of the card for a paper size of PAPERS.

    Markers stand along all four edges, so that a bowl, a hand or the grey card in the middle may cover some.
    Raises KeyError for an unknown paper.
    """
    paper = {p.name: p for p in PAPERS}[paper_name]
    side = paper.marker_mm
    columns = 5 if paper.width_mm > 250 else 4
    right, top = paper.width_mm - MARGIN_MM - side, paper.height_mm - MARGIN_MM - side
    low = MARGIN_MM + 12.0  # the ruler runs below the lower row
    xs = np.linspace(MARGIN_MM, right, columns)
    places = [(x, top) for x in xs] + [(x, low) for x in xs]
    middle = (top + low) / 2
    places += [(MARGIN_MM, middle), (right, middle)]
    first = paper.first_id + (BACK_ID_OFFSET if back else 0)
    markers = tuple(Marker(first + i, float(x), float(y), side) for i, (x, y) in enumerate(places))
    grey_x = (paper.width_mm - paper.grey_width_mm) / 2
    grey_y = middle + side / 2 - paper.grey_height_mm / 2
    grey_y = max(grey_y, low + side + 2)
    height = min(paper.grey_height_mm, top - 2 - grey_y)
    grey = Rect(grey_x, grey_y, paper.grey_width_mm, height)
    ruler = Rect((paper.width_mm - paper.ruler_mm) / 2, 8.0, paper.ruler_mm, 8.0)
    return CardLayout(paper, back, markers, grey, ruler)


@cache
def marker_cells(marker_id: int) -> NDArray[np.bool_]:
    """A marker's 8 x 8 squares, row by row from the top, True where it is black."""
    dictionary = marker_dictionary()
    picture = cv2.aruco.generateImageMarker(dictionary, marker_id, CELLS)
    return np.asarray(picture) < 128


@cache
def marker_dictionary() -> "cv2.aruco.Dictionary":
    """The AprilTag 36h11 family as OpenCV keeps it."""
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


@cache
def corners_by_id() -> dict[int, tuple[CardLayout, NDArray[np.float64]]]:
    """For every marker number in use: the card side it is on and its four corners [mm]."""
    table = {}
    for paper in PAPERS:
        for back in (False, True):
            side = layout(paper.name, back)
            for marker in side.markers:
                table[marker.id] = (side, marker.corners_mm())
    return table
