"""Real photographs that come with scikit-image, typed; and scikit-image's own measures, as rulers."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from skimage import color, data, metrics


def photograph(name: str) -> NDArray[np.uint8]:
    """One of scikit-image's pictures by its name there: coffee (CC0, 400 x 600), chelsea, rocket ..."""
    return np.asarray(getattr(data, name)(), np.uint8)


# scikit-image carries no types
delta_e_ciede2000: Any = color.deltaE_ciede2000
structural_similarity: Any = metrics.structural_similarity
