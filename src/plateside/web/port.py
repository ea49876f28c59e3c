"""The socket at this machine's own address. Light: it is taken before anything else is loaded."""

import contextlib
import socket

from plateside.model.errors import CouldNotError
from plateside.words.serving import port_taken


def listen(port: int, others: int = 0) -> socket.socket:
    """A socket at this machine's own address, at `port` or one of the `others` after it.

    Raises CouldNotError when they are taken.
    """
    for number in range(port, port + others):
        with contextlib.suppress(CouldNotError):
            return _listen(number)
    return _listen(port + others)


def _listen(port: int) -> socket.socket:
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind(("127.0.0.1", port))
        # from here on requests wait instead of being refused, while the app is still made
        sock.listen(256)
    except OSError as error:
        sock.close()
        raise CouldNotError(port_taken(port)) from error
    return sock
