"""What is said when every shoot of a folder is finished at once, here or on a cluster."""

from collections.abc import Sequence
from typing import Protocol

from plateside.words.counting import capital, listed, plural

ONE_SHOOT = (
    "With --every-shoot only --kind and the cluster can be chosen: everything else is for one shoot. "
    "Leave it out, or name one shoot."
)
CLUSTER_FOR_EVERY = "--cluster is for --every-shoot: give both, or neither."
KEYS_FOR_CLUSTER = "--cluster-keys goes with --cluster tls://HOST:PORT: give both, or neither."


def no_shoots(folder: str) -> str:
    return f"There is no shoot in {folder}, nor up to two folders below it: name the folder that holds your shoots."


# ---- the cluster ------------------------------------------------------------------------------------------------


def no_address(got: str) -> str:
    return f"The cluster's address is {got!r}; write HOST:PORT for this machine, or tls://HOST:PORT."


def not_safe(got: str) -> str:
    return (
        f"{got} is another machine, and without TLS whoever is on the network could run programs there and here. "
        "Use tls://HOST:PORT with --cluster-keys FOLDER, or a cluster on this machine."
    )


def no_keys(folder: str | None, missing: Sequence[str]) -> str:
    if folder is None:
        return f"tls:// needs your certificates: give --cluster-keys FOLDER with {listed(missing)} in it."
    return f"{folder} holds no {listed(missing, 'or')}: put the cluster's certificates there (PEM)."


def nobody_answers(address: str) -> str:
    return (
        f"No cluster answers at {address}: start its scheduler, or correct the address or the certificates."
    )


def no_workers(address: str) -> str:
    return f"The cluster at {address} has no worker: start one or more, then run this again."


def not_seen(folder: str, machine: str) -> str:
    return f"{machine} does not see {folder}: the shoots must be on storage that every worker has at the same place."


def other_version(here: str, there: str, machine: str) -> str:
    return f"{machine} has Plateside {there}, and this machine {here}: install the same version on both."


def in_turn(names: Sequence[str]) -> str:
    """While other runs hold all that is left."""
    if len(names) == 1:
        return (
            f"Another finish of {names[0]} is running. This one goes on when it ends. Ctrl-C stops the wait."
        )
    return f"Other finishes of {listed(names)} are running. This one goes on when they end. Ctrl-C stops the wait."


# ---- the report -------------------------------------------------------------------------------------------------


class _Shoot(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def pictures(self) -> int: ...
    @property
    def written(self) -> int: ...
    @property
    def unmatched(self) -> Sequence[str]: ...
    @property
    def fault(self) -> str: ...
    @property
    def unchanged(self) -> bool: ...


def every_lines(shoots: Sequence[_Shoot]) -> list[str]:
    """The verdict first, then a line for each shoot: what was made, what is open, or what stopped it."""
    faults = [s for s in shoots if s.fault]
    made = [s for s in shoots if not s.fault and not s.unchanged]
    parts = [f"{len(made)} made", f"{len(shoots) - len(made) - len(faults)} unchanged"]
    if faults:
        parts.append(f"{len(faults)} could not be finished")
    return [f"{capital(plural(len(shoots), 'shoot'))}: {', '.join(parts)}.", *(_line(s) for s in shoots)]


def _line(one: _Shoot) -> str:
    if one.fault:
        return f"{one.name}: {one.fault}"
    done = "unchanged" if one.unchanged else f"{one.written} made"
    still = f" Not matched: {listed(one.unmatched)}." if one.unmatched else ""
    return f"{one.name}: {plural(one.pictures, 'picture')} finished, {done}.{still}"


def was_ended(times: int) -> str:
    return (
        f"Its process was ended {times} times, which mostly means too little memory: close other programs, "
        "or finish this shoot alone."
    )
