"""Names for the arrays that statics passes about; nothing of this exists when the program runs.

Terms: `Floats` and `Counts` are arrays of float64 and of integers, `Flags` of booleans, `Names` of texts. The
shapes stand where the arrays do: m segments, c load cases, n movements.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Counts = NDArray[np.intp]
    Flags = NDArray[np.bool_]
    Names = NDArray[np.str_]
