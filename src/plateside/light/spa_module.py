"""pvlib's Solar Position Algorithm by itself.

`import pvlib` also brings pandas and pvlib's readers: over a second in which a person waits for the first answer. The
algorithm's own file needs NumPy only, so it alone is loaded, unless pvlib is there already.
"""

import importlib.util
import sys
from types import ModuleType

from plateside.model.errors import CouldNotError


def load_spa() -> ModuleType:
    """The module pvlib.spa; raises CouldNotError when pvlib is not installed."""
    there = sys.modules.get("pvlib.spa")
    if there is not None:
        return there
    package = importlib.util.find_spec("pvlib")
    places = list(package.submodule_search_locations or ()) if package is not None else []
    spec = (
        importlib.util.spec_from_file_location("plateside_pvlib_spa", f"{places[0]}/spa.py")
        if places
        else None
    )
    if spec is None or spec.loader is None:
        raise CouldNotError("pvlib is not installed, which places the sun; run: pip install pvlib")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
