"""A server that is killed leaves nothing behind that holds the shoot: the child that judges ends with it."""

from pathlib import Path

from filelock import FileLock, Timeout

from tests.browser.serving import serve, until


def _is_free(root: Path) -> bool:
    lock = FileLock(str(root / ".plateside" / "watch.lock"), blocking=False)
    try:
        lock.acquire()
    except Timeout:
        return False
    lock.release()
    return True


def test_the_watcher_of_a_killed_server_lets_the_lock_go(shoot: Path) -> None:
    server = serve(shoot)
    until(lambda: (shoot / ".plateside" / "watch.lock").exists() and not _is_free(shoot))
    # no frame lands, no row is written: nothing but the server's end can tell it
    server.kill()
    until(lambda: _is_free(shoot))
