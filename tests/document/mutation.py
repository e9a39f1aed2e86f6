"""Documents with something changed that a tired person or a broken program might change."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING

from hypothesis import strategies as st

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn

    from tests.document.json_values import Object, Values
    from trussio.model.truss import Json

PLAIN: list[Json] = [
    *(None, True, False),
    *(0, -1, 1, 2, 99, 100, 0.5, -0.5, 1e30, 1.01e30, -1.01e30, 1e-30, 9e-31, 2**53, 2.0),
    *("", "x", "y", "turn", "B0", "a/b", "a-b", "a:b", "it's", "\n", "all", "first", "plan", "web", "us", "/a"),
    *("a" * 64, "a" * 65, "a" * 194, "a" * 195),
    *("sha256:" + "0" * 64, "sha256:" + "0" * 64 + "\n", "sha256:" + "g" * 64),
]
LISTS: list[list[Json]] = [
    [],
    [0, 0],
    [0, 1],
    [1, 2, 3],
    ["x"],
    ["x", "x"],
    ["B0", "T1"],
    ["B0", "B0"],
    [[0.6, 0.8]],
    [{}],
]
OBJECTS: list[Object] = [{}, {"x": 1}, {"notes": {}}, {"holds": []}]
JUNK: list[Json] = [*PLAIN, *LISTS, *OBJECTS]
KEYS = [
    *(
        "notes",
        "x",
        "member",
        "role",
        "down",
        "across",
        "per",
        "at",
        "from",
        "joint",
        "holds",
        "springs",
        "longer",
    ),
    *("Fx", "", "a/b", "a-b", "a:b", "a" * 65, "fixed", "verdict", "turn", "Ω"),
]


@st.composite
def mutated(draw: DrawFn, documents: Values) -> Json:
    """A document after one or two changes at any place in it."""
    document = deepcopy(draw(documents))
    for _ in range(draw(st.integers(1, 2))):
        holders = _holders(document)
        if not holders:
            return document
        _change(draw, draw(st.sampled_from(holders)), document)
    return document


def _holders(value: Json) -> list[Object | list[Json]]:
    """Every object and list in a value."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    found: list[Object | list[Json]] = [value] if isinstance(value, (dict, list)) else []
    for item in inner:
        found += _holders(item)
    return found


def _change(draw: DrawFn, holder: Object | list[Json], document: Json) -> None:
    junk = deepcopy(draw(st.sampled_from(JUNK)))
    what = draw(st.sampled_from(["replace", "remove", "add", "rename", "borrow"]))
    if isinstance(holder, list):
        _change_list(draw, holder, what, junk)
        return
    keys = list(holder)
    if what == "add" or not keys:
        holder[draw(st.sampled_from(KEYS))] = junk
    elif what == "borrow":
        lenders = [other for other in _holders(document) if isinstance(other, dict) and other]
        lender = draw(st.sampled_from(lenders))
        key = draw(st.sampled_from(list(lender)))
        holder[key] = deepcopy(lender[key])
    else:
        key = draw(st.sampled_from(keys))
        value = holder.pop(key)
        if what == "rename":
            holder[draw(st.sampled_from(KEYS))] = value
        elif what == "replace":
            holder[key] = junk


def _change_list(draw: DrawFn, holder: list[Json], what: str, junk: Json) -> None:
    if what == "add" or not holder:
        holder.append(junk)
        return
    index = draw(st.integers(0, len(holder) - 1))
    if what == "remove":
        del holder[index]
    elif what == "replace":
        holder[index] = junk
    else:
        holder.append(deepcopy(holder[index]))
