"""What every page may have to say: no shoot is open, an address that is none, work that was stopped."""

NO_SHOOT_OPEN = "No shoot is open. Open one on the start page."
STOPPED = "Stopped, because you went on to another page."
TROUBLE_TITLE = "Something to fix"
AT_THE_LAPTOP = "At the laptop"
