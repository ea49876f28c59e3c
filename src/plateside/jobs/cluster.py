"""Jobs on a Dask cluster that is running: the extra `cluster`.

A cluster runs code that it is sent, and sends code back. So it is spoken to on this machine alone, or over TLS with
certificates that both sides show (mutual TLS, RFC 8446): whoever has none of the same authority can do nothing.
"""

import ipaddress
import traceback
from collections.abc import Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from plateside.jobs.run import Workers
from plateside.model.errors import CouldNotError, InputError, MissingExtraError
from plateside.words import every_shoot as words

KEYS = ("ca.pem", "cert.pem", "key.pem")
"""The authority's certificate, one's own, and its key (PEM, RFC 7468)."""
ANSWER_S = 10.0


@contextmanager
def cluster(address: str, keys: Path | None) -> Iterator[Workers]:
    """The cluster whose scheduler is at `address`; a worker that is lost has its jobs done by another.

    address  HOST:PORT or tcp://HOST:PORT on this machine; tls://HOST:PORT anywhere
    keys     folder with KEYS; for tls
    Raises InputError for an address that is not safe or keys that are not there, MissingExtraError, and CouldNotError
    when nobody answers.
    """
    where = safe_address(address, keys)
    try:
        from distributed import Client
        from distributed.comm import CommClosedError
        from distributed.scheduler import KilledWorker
    except ModuleNotFoundError as error:
        raise MissingExtraError("no cluster") from error
    try:
        client = Client(where, timeout=ANSWER_S, security=_security(keys), set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        raise CouldNotError(words.nobody_answers(address)) from error
    try:
        if not client.scheduler_info()["workers"]:
            raise CouldNotError(words.no_workers(address))
        # pure: the same job, whoever asks for it, is one
        yield Workers(client.get_executor(pure=True), (KilledWorker, CommClosedError, CancelledError), broke)
    finally:
        client.close()


def broke(error: Exception) -> bool:
    """Whether dask's executor stumbled itself: a result that comes while its worker is lost it reads as an error."""
    frames = traceback.extract_tb(error.__traceback__)
    return bool(frames) and Path(frames[-1].filename).name == "cfexecutor.py"


def safe_address(address: str, keys: Path | None) -> str:
    """The address with its protocol. Raises InputError when it is none, or not safe, or its keys are not there."""
    given = urlsplit(address if "://" in address else f"tcp://{address}")
    try:
        host, port = given.hostname, given.port
    except ValueError as error:
        raise InputError(words.no_address(address)) from error
    if given.scheme not in ("tcp", "tls") or not host or not port or given.path or given.username:
        raise InputError(words.no_address(address))
    if given.scheme == "tcp" and not _is_this_machine(host):
        raise InputError(words.not_safe(address))
    if given.scheme == "tls":
        missing = [n for n in KEYS if keys is None or not (keys / n).is_file()]
        if missing:
            raise InputError(words.no_keys(None if keys is None else str(keys), missing))
    return f"{given.scheme}://{f'[{host}]' if ':' in host else host}:{port}"


def _is_this_machine(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _security(keys: Path | None) -> Any:
    if keys is None:
        return None
    from distributed.security import Security

    authority, own, key = (str(keys / name) for name in KEYS)
    return Security(require_encryption=True, tls_ca_file=authority, tls_client_cert=own, tls_client_key=key)
