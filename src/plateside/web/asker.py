"""Who asks: the desk, or one of the tablets. What may be done, and what is shared out, goes by this, the desk first.

Set once for each request, and carried along by whatever the request begins, also in threads that work for it.
"""

from contextvars import ContextVar

DESK, STRANGER = "desk", "stranger"
asker: ContextVar[str] = ContextVar("asker", default=DESK)
"""'desk' (the server's own work too), 'device 3'; 'stranger' for who is neither."""


def at_desk() -> bool:
    """Whether what runs now was asked for at the laptop."""
    return asker.get() == DESK
