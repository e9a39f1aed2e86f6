"""Integrals by an outside library, for what the analysis sums up in its own way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.integrate import fixed_quad  # type: ignore[import-untyped]  # it carries no types

if TYPE_CHECKING:
    from collections.abc import Callable


def integral(of: Callable[[float], float], start: float, end: float) -> float:
    """The integral of what is smooth from start to end, to the last digits (Gauss, forty points)."""
    value, _ = fixed_quad(np.vectorize(of, otypes=[float]), start, end, n=40)
    return float(value)
