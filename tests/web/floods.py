"""As many requests as go through, at the tablets' address, from somebody who is not paired."""

import re
import socket
import threading
from collections import Counter

from tests.browser.serving import PATIENT_MS
from tests.web.tablets import TABLET

CONNECTIONS = 4


def flood(port: int, many: int) -> Counter[int]:
    """`many` requests on four kept connections, each sent before the answer to the last one is read: the answers."""
    seen: Counter[int] = Counter()
    lock = threading.Lock()
    one = f"GET /standing HTTP/1.1\r\nHost: {TABLET}:{port}\r\n\r\n".encode()
    each = many // CONNECTIONS

    def ask() -> None:
        with socket.create_connection((TABLET, port), timeout=PATIENT_MS / 1000) as sock:
            threading.Thread(target=sock.sendall, args=(one * each,)).start()
            text, own = b"", 0
            while own < each and (got := sock.recv(1 << 16)):
                text += got
                found = re.findall(rb"HTTP/1.1 (\d+)", text)
                own += len(found)
                with lock:
                    seen.update(int(f) for f in found)
                # what stands after the last status line may be the begin of the next
                text = text[-12:] if found else text
                text = re.sub(rb"HTTP/1.1 \d+", b"", text)

    threads = [threading.Thread(target=ask) for _ in range(CONNECTIONS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return seen
