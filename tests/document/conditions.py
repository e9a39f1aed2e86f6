"""Generators of the condition of a truss, as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.json_values import just, noted, numbers, objects, positives, texts

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn

    from tests.document.json_values import Object, Values

left = objects({"area": positives}, {"inertia": positives, "shift": numbers})


@st.composite
def conditions(draw: DrawFn, members: Object) -> Object:
    """At most one entry for each stick, so that no two contradict each other."""
    names = draw(st.permutations([*members]))
    return {f"c{index}": draw(entries(name, members[name])) for index, name in enumerate(names)}


def entries(name: str, member: object) -> Values:
    """Entries of every kind for one stick; joints lie far apart, so that a cut at 1 is off all of them."""
    assert isinstance(member, dict)
    through = member["through"]

    def entry(kind: str, required: dict[str, Values], optional: dict[str, Values] | None = None) -> Values:
        said: dict[str, Values] = {"kind": just(kind), "member": just(name), "seen": texts}
        return objects({**said, **required}, {**(optional or {}), **noted})

    at = {"at": st.sampled_from(through)}
    kinds = [
        entry("missing", {}),
        entry("severed", {"at": st.sampled_from([1, 2.5])}),
        entry("lost-section", {"left": left}, {"from": just(through[0]), "to": st.sampled_from([7, through[-1]])}),
        entry("released", at),
        entry("parted", at),
    ]
    if "curve" not in member:
        kinds.append(entry("bow", {"by": numbers, "between": just(through[:2])}))
    return st.one_of(kinds)
