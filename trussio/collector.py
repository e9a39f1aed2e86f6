"""The cyclic garbage collector, kept still while much is made that holds no cycles."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause the collector: it would walk every record again and again while they fill memory."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
