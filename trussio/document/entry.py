"""One JSON object as it is written: fields in the order of the schema, absent ones left out.

A field that says no more than its absence would is left out too, unless the document that was read wrote it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Mapping
    from collections.abc import Set as AbstractSet

    from trussio.model.truss import Json, Notes

    K = TypeVar("K", bound=str)
    Object = dict[str, Json]


def entry(fields: Object) -> Object:
    """The fields that are there; None means absence."""
    return {key: value for key, value in fields.items() if value is not None}


def entry_with_defaults(fields: Object, absent: Object, where: str, written_out: AbstractSet[str]) -> Object:
    """The same where absence means a value: `absent` by key; `written_out` holds pointers of what stays.

    `where` points at the object.
    """
    found = entry(fields)
    for key, value in absent.items():
        if found[key] == value and (not written_out or f"{where}/{key}" not in written_out):
            del found[key]
    return found


def by_name(numbers: Mapping[K, float]) -> Object:
    """Numbers keyed by whatever names them."""
    return {str(name): number for name, number in numbers.items()}


def free(value: Notes | None) -> Object | None:
    """Notes or evidence as a person wrote them."""
    return None if value is None else dict(value)
