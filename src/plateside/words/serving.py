"""What the server says: in its terminal, to a browser that may not come in, of work that was stopped, of tablets."""

from collections.abc import Mapping

TITLES: Mapping[str, str] = {
    "desk": "Open Plateside",
    "tablet": "A tablet beside the set",
    "pair": "Pair this tablet",
    "laptop only": "At the laptop",
    "to fix": "Something to fix",
    "missing": "No such page",
}
"""Of its pages."""

# ---- In the terminal ------------------------------------------------------------------------------------------

NOT_ENCRYPTED = (
    "Nothing between this laptop and a tablet is encrypted. Anyone on the same network can read it, and can do what "
    "the tablet may: use your own home network."
)


def serving_at(address: str) -> str:
    return f"Plateside is at {address}  Press Ctrl-C to stop it."


def another_browser(address: str) -> str:
    return f"For another browser: {address}"


def no_folder(given: object) -> str:
    return f"There is no folder {given}. Make it, or name another: plateside serve SHOOT"


def port_taken(port: int) -> str:
    return (
        f"Port {port} is taken, perhaps by another Plateside. Give another: plateside serve --port {port + 1}"
    )


def left_out(count: int) -> str:
    return f"({count} messages like those above were left out)"


def nothing_kept(words: str) -> str:
    """With the reason, in the disk's own words."""
    return (
        f"Nothing new is kept here: no decision, no verdict, no change of the settings. {words} Until then you can "
        "look at everything. After a restart, tablets pair again."
    )


def little_room(free_mb: int, frames: int) -> str:
    """How much the frames' disk still takes."""
    room = "room for no more frames" if frames == 0 else f"room for about {frames} more frames"
    return f"The disk with your frames is nearly full: {free_mb} MB free, {room}. Free some space before you go on."


# ---- Who may come in ------------------------------------------------------------------------------------------

KEY_USED = "That address was used already. Take the newest one from the terminal where Plateside runs."
CODE_WRONG = "That code does not work, or has expired. Show a new one on the laptop and try again."
NO_CODE = "No code is showing now."
NOT_PAIRED = "This tablet is not paired. Show the code on the laptop and scan it."
FROM_THE_TERMINAL = "Open the page by the address in the terminal where Plateside runs."
LAPTOP_ONLY = "You can do that at the laptop only."
OTHER_FOLDER = (
    "This shoot's files are in a folder that was not opened at the laptop. Open the shoot there again."
)
NO_NETWORK = (
    "This computer is on no network. Join your home network and try again, or name the address: "
    "plateside serve --tablet-address 192.168.1.20"
)
TABLETS_LIST = "The list of paired tablets"


def wrong_codes(tries: int) -> str:
    return f"{tries} wrong codes came from this device. Show a new one on the laptop and try again."


def not_reached(address: str, error: object) -> str:
    return f"This computer cannot be reached at {address}: {error}. Is it on your home network?"


def not_remembered(error: object) -> str:
    return f"Paired tablets cannot be remembered, pair them again later: {error}"


# ---- Requests that cannot be answered -------------------------------------------------------------------------

NO_SHOOT = "No shoot is open. Open one on the start page."
NO_PAGE = "There is no such page."
NO_FILE = "There is no such file."
NOT_DONE_HERE = "Nothing can be changed at this address."
ROW_NOT_WHOLE = "The number of the last row must be a whole number."
NOT_OURS = "This address is not Plateside's."
NOT_FROM_OUR_PAGE = "Changes come from Plateside's own pages."
OLD_PAGE = "Plateside has started again since you opened this page. Load the page again."
NOT_JSON = "Changes come as JSON."
TOO_LARGE = "That is larger than anything a page sends."
TOO_OFTEN = "Too many requests. Wait a moment."

# ---- Work under way -------------------------------------------------------------------------------------------

FAULT = "Something went wrong inside Plateside: the terminal window says what. Try it again."
STOPPED_BEFORE = "Stopped before it began."
NOBODY_WAITS = "Stopped: the page that asked for this is closed."
ENDING = "Plateside was stopped meanwhile. Start it, then do this again."
BUSY = "Plateside is busy with your last requests. Wait a moment."
CHILD_ENDED = "The part of Plateside that computes has stopped. Do this again."
WORK_UNKNOWN = "That work is gone. Begin it again."
WATCHER_STOPPED = "New frames are not being judged for the moment. It starts again by itself."


def too_much_work(count: int) -> str:
    return f"{count} long jobs of yours are still running. Wait for one to finish, or stop one."
