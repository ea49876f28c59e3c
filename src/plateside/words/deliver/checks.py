"""Packages: what was packed, and what checking a package or a delivery found."""

from collections.abc import Callable

from plateside.deliver.facts import FileFault, NotPacked, PackFacts, VerifyFacts
from plateside.words.commands import typed
from plateside.words.counting import megabytes, plural
from plateside.words.deliver.points import in_full, point_sentence

INTERRUPTED = (
    "Making this delivery was stopped, so it mixes old and new files. Nothing is damaged: make it again."
)
KEEP_COPIES = "Keep a second copy on another device and one elsewhere; then check each of them."
_AGAIN = {"delivery": "Make the delivery again.", "package": "Copy these files again from another copy."}
MOST_FAULTS = 5
"""As many are named on the page."""
_NOT_PACKED = {
    "no journal": "There is no journal yet, so none is packed.",
    "name": "{name} is not packed: its name cannot be written down. Rename it.",
    "empty": "{name} is empty, so nothing of it is packed.",
}
_FAULTS: dict[str, Callable[[FileFault], str]] = {
    "no version": lambda f: f"{f.name} does not begin with BagIt-Version.",
    "elsewhere": lambda f: f"{f.name} names files that are elsewhere: they are not checked.",
    "no manifest": lambda f: f"No list of checksums that can be read ({f.text}).",
    "added": lambda f: f"{f.name} is not in {f.listed_in}: it was added later.",
    "missing": lambda f: f"{f.name} is missing.",
    "changed": lambda f: f"{f.name} has changed since it was {f.listed_in}.",
    "unread": lambda f: f"{f.name} could not be read: {f.text}.",
    "size": lambda f: (
        f"{f.name} promises {_size(f.asked) if f.asked else repr(f.text)}, there are {_size(f.got)}: files are "
        "missing, cut short or added."
    ),
    "line": lambda f: f"{f.name}, line {f.line}, cannot be read: {f.text!a}.",
    "outside": lambda f: (
        f"{f.name}, line {f.line}: {f.text!r} leads out of the package and is not read."
        if f.line
        else f"{f.name} leads out of the folder and is not read."
    ),
}


def fault_sentence(fault: FileFault) -> str:
    """What is wrong with one file."""
    return _FAULTS[fault.code](fault)


def bag_phrase(title: str, kind: str, day: str) -> str:
    """What a package says of itself in bag-info.txt."""
    return f"{title}: {kind} of the photographs of {day}"


def not_packed_sentence(left: NotPacked) -> str:
    return _NOT_PACKED[left.code].format(name=left.name)


def pack_lines(p: PackFacts, path: object, root: object) -> list[str]:
    """What `plateside pack` answers."""
    lines = [f"{p.kind.capitalize()} packed: {plural(p.files, 'file')} ({megabytes(p.bytes)}), in {path}."]
    lines += [not_packed_sentence(left) for left in p.left_out]
    lines += [
        f"{was!a} is called {now} in the package: other computers refuse that name." for was, now in p.renamed
    ]
    lines.append(
        f"Every file was read back and compared. Check it again any time: plateside verify {typed(path)}"
    )
    if p.ready is False:
        lines.append("Not ready to publish (none of this is in the package):")
        lines += [in_full(point, root) for point in p.not_ready]
    return [*lines, KEEP_COPIES] if p.kind == "archive" else lines


def packed_sentences(p: PackFacts, name: str) -> list[str]:
    """The same on the page, beside the button."""
    lines = [
        f"{plural(p.files, 'file')}, {megabytes(p.bytes)}, in the folder packages/{name}.",
        "Every file was read back and compared.",
        *(not_packed_sentence(left) for left in p.left_out),
    ]
    if p.renamed:
        lines.append(
            f"{plural(len(p.renamed), 'name')} changed, because other computers refuse such names: see "
            "renamed-files.txt."
        )
    return [*lines, KEEP_COPIES] if p.kind == "archive" else lines


def verify_lines(v: VerifyFacts, path: object) -> list[str]:
    """What `plateside verify` answers; the verdict first."""
    if v.interrupted:
        return [f"{path}: {INTERRUPTED}"]
    if v.faults:
        head = f"{plural(len(v.faults), 'fault')} in {path}:"
        return [head, *(fault_sentence(f) for f in v.faults), _AGAIN[v.kind]]
    sums = ", ".join(v.algorithms)
    whole = f"All {plural(v.files, 'file')} ({megabytes(v.bytes)}) there and unchanged ({sums}): {path}"
    return [whole, *(f"Not ready to publish: {point_sentence(p)}" for p in v.not_ready)]


def checked_sentences(v: VerifyFacts) -> list[str]:
    """The same on the page: at most a few faults."""
    if v.interrupted:
        return [INTERRUPTED]
    if v.faults:
        named = (fault_sentence(f) for f in v.faults[:MOST_FAULTS])
        return [f"{plural(len(v.faults), 'fault')}:", *named, _AGAIN[v.kind]]
    whole = f"All {plural(v.files, 'file')} ({megabytes(v.bytes)}) there and unchanged."
    return [
        whole,
        *(["Not ready to publish:"] if v.not_ready else []),
        *(point_sentence(p) for p in v.not_ready),
    ]


def _size(pair: tuple[int, ...]) -> str:
    size, files = pair
    grouped = f"{size:,}".replace(",", " ")
    return f"{grouped} bytes in {plural(files, 'file') if files else '0 files'}"
