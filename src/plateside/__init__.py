"""Plateside: from a room, a window and a recipe to a matched, publishable set of food photographs."""

import atexit
import gc
import os
from pathlib import Path

from plateside.stale_kernels import throw_away

# numpy's matrices are small here: a second thread of its library gains nothing, and spins beside our own threads (it
# doubled the processor's time of one moment's light). Read once, when numpy loads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# between two kernels their threads sleep: spinning, as OpenMP's do until they are told, took a sixth of the processor's
# time of the work on pictures, from whatever else ran. Read once as well.
os.environ.setdefault("OMP_WAIT_POLICY", "passive")

# Python looks for cycles each time 700 objects were made, and once more through all of them at the end. Loading makes
# hundreds of thousands that stay: a tenth of the time of every start and most of an end went into that.
gc.set_threshold(50_000)
atexit.register(gc.freeze)

throw_away(Path(__file__).parent)

__version__ = "0.1.0"
