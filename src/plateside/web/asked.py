"""Where the request that is being answered was made: at the laptop, or by a device of the network."""

import contextvars

_at_desk = contextvars.ContextVar("at_desk", default=False)


def at_desk() -> bool:
    """Whether it was made at the laptop. False where nothing is known of it."""
    return _at_desk.get()


def asked(*, at_desk: bool) -> None:
    """From here on, in this request, also in threads that work for it."""
    _at_desk.set(at_desk)
