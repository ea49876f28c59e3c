"""Plateside in the system's own menu: what the entry says of itself, what the command answers, how to start again."""

from plateside.words.commands import typed

ABOUT = "Plan, shoot and deliver food photographs by window light"
MENU_HELP = "put Plateside into this computer's own menu, so that you open it without a terminal"
MENU_FLAGS = {"--remove": "take it out of the menu again"}
OPEN_HELP = "open Plateside in the browser: the one that runs already, or a new one on your last folder"
OPEN_FLAGS = {
    "folder": "the folder to serve if none runs (default: the one you served last, else Plateside at home)"
}
NOT_THERE = "Plateside was not in the menu."
FROM_THE_MENU = "Open Plateside again from this computer's menu."
AT_THE_LAPTOP = "Start Plateside again at the laptop."


def written(path: object) -> str:
    return f"Plateside is in the menu now: {path}"


def taken(path: object) -> str:
    return f"Plateside is out of the menu: {path} is gone."


def opened(address: str) -> str:
    return f"Plateside runs already: opened {address} in your browser."


def by_command(folder: object) -> str:
    return f"Start it again in a terminal: plateside serve {typed(folder)}"


def no_shortcut(error: object) -> str:
    return f"Windows did not make the shortcut: {error}. Start Plateside with: plateside open"
