"""What the start page, the first run and the pages that let somebody in are sent."""

from dataclasses import dataclass
from typing import Any, NotRequired, TypedDict

from plateside.tasks.studio.first_outside import OutsideUsual
from plateside.tasks.studio.listed_shoots import ListedShoot


class StartShown(TypedDict):
    """The shoots of this folder, and the stages of the whole demo with the parts that each counts."""

    stages: tuple[str, ...]
    stage: int
    shoots: list[ListedShoot]
    day: str


class FirstRunShown(TypedDict):
    """What each question is answered with where nothing is, the eight winds, and usual sizes outside."""

    usual: dict[str, Any]
    compass: tuple[str, ...]
    outside_usual: dict[str, OutsideUsual]


class KindSaid(TypedDict):
    """The shape that a dish's name speaks of; empty when it speaks of none."""

    kind: str


class Begun(TypedDict):
    """Where a shoot that was begun or opened is looked at, and what was made."""

    next: str
    said: NotRequired[list[str]]


class Wrong(TypedDict):
    """By an answer's name, what is wrong with it."""

    wrong: dict[str, str]


class LetIn(TypedDict):
    """Where a browser that was let in goes on."""

    to: str


@dataclass(frozen=True)
class DeviceShown:
    """A tablet that may come in."""

    number: int
    name: str
    since: str


class TabletShown(TypedDict):
    """Whether tablets are let in: the address, the code and how long it counts [s]; empty where they are not."""

    url: str
    code: str
    seconds: int
    devices: list[DeviceShown]
