"""Whether a server that begins has kernels to compile. Light: nothing here computes."""

from plateside.files.compiled import all_compiled


def must_compile() -> bool:
    """Whether anything may be left to compile on this machine, as after an install."""
    return not all_compiled()
