"""What few trusses need, loaded by name when one does, so that the others need not wait for it."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


def loaded(place: str) -> Callable[..., Any]:
    """The function that `module:name` names; whoever asks for it says what it takes and gives."""
    module, name = place.split(":")
    found: Callable[..., Any] = getattr(import_module(module), name)
    return found
