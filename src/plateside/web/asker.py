"""Who asks: the desk, or one of the tablets. Whatever is shared out is shared out by this, the desk first.

Set once for each request, and carried along by whatever the request begins.
"""

from contextvars import ContextVar

DESK = "desk"
asker: ContextVar[str] = ContextVar("asker", default=DESK)
"""'desk', 'device 3'; 'stranger' for who is neither."""
