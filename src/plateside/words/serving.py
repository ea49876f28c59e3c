"""What the server of the pages answers when it cannot do as asked: who may, what to do instead, what went wrong."""

TOO_LARGE = "That is larger than anything a page sends."
OTHER_ADDRESS = "This address is not Plateside's."
NOT_PAIRED = "This tablet is not paired. Show the code on the laptop and scan it."
OPEN_BY_ADDRESS = "Open the page by the address in the terminal where Plateside runs."
OWN_PAGES_ONLY = "Changes come from Plateside's own pages."
OLD_PAGE = "This page is from before Plateside was started. Load it again."
JSON_ONLY = "Changes come as JSON."
TOO_OFTEN = "Too many requests. Wait a moment."
ADDRESS_USED = "That address was used already. Take the newest one from the terminal where Plateside runs."
NO_SUCH_CODE = "That code does not work, or no longer. Show a new one on the laptop and try again."
LAPTOP_ONLY = "Do that on the laptop."
OTHER_FOLDER = (
    "This shoot's files are in a folder that was not opened on the laptop. Open the shoot there again."
)
STOPPED = "Stopped. What was finished is kept."
STOPPED_BEFORE = "Stopped before it began."
FAULT = "Something went wrong inside Plateside: the terminal window says what. Try it again."
ENDING = "Plateside was stopped meanwhile. Start it, then do this again."
BUSY = "Too much at once. Wait a moment."
WORKER_GONE = "The part of Plateside that does the work has stopped unexpectedly. Do this again."


def wrong_codes(tries: int) -> str:
    return f"{tries} wrong codes came from this device. Show a new one on the laptop and try again."


def too_much_begun(waiting: int) -> str:
    return f"{waiting} long jobs that you started are still running. Wait for one, or stop one."
