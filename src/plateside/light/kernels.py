"""How kernels that make no arrays of their own are compiled.

numba counts who holds each array: a call and a locked addition wherever a kernel takes an array out of a tuple or a
field out of a record, in the inner loops much of their time. A kernel that is only lent its arrays needs no such
count and is compiled without. One that asks for a new array (np.empty) then does not compile: its scratch comes
from the caller, which is compiled with the count.
"""

from typing import Any

import numba

_OPTIONS: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy", "_nrt": False}

lent: Any = numba.njit(**_OPTIONS)
"""The decorator."""
lent_summing: Any = numba.njit(**_OPTIONS, fastmath={"reassoc", "contract"})
"""The same for a kernel that adds up in whatever order is quickest."""
