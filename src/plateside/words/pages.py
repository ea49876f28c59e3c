"""What every page may have to say: no shoot is open, an address that is none, work that was stopped."""

STOPPED = "Stopped, because you went on to another page."
