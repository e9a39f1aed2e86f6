"""What few need, loaded by name when they do, so that the others need not wait for it."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


def loaded(place: str) -> Callable[..., Any]:
    """The function that `module:name` names; whoever asks for it says what it takes and gives."""
    module, name = place.split(":")
    found: Callable[..., Any] = getattr(import_module(module), name)
    return found


class Job(ModuleType):
    """A module named for what one of its functions does: called itself, it calls that function.

    So `trussio.audit(truss, ...)` works beside `trussio.audit.rules`; `CALLS` of the module says which function.
    """

    CALLS: str

    def __call__(self, *given: object, **named: object) -> object:
        """What the function of that name gives, and raises."""
        return loaded(self.CALLS)(*given, **named)
