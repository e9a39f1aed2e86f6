"""Generators of what a member's ends do, as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from tests.document.json_values import just, objects, positives

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

    from tests.document.json_values import Object, Values

offset: Values = st.lists(st.floats(-300, 300) | st.integers(-9, 9), min_size=2, max_size=2)
"""Joints of generated documents lie a thousand apart at least."""


def by_end(item: Values) -> Values:
    """A value for each end, for one, or for none."""
    return objects({}, {"first": item, "last": item})


_ends: dict[str, Values] = {
    "acts": st.sampled_from(["tension", "compression"]),
    "offsets": by_end(offset),
    "slip": by_end(positives),
    "play": by_end(positives),
    "fastener_slip": just([]),
}
ends: SearchStrategy[Object] = st.one_of(
    objects({}, {"fixed": st.sampled_from([[], ["first"], ["last", "first"]]), **_ends}),
    objects({"fixed": just(["last"])}, {"turning": just({}) | objects({"last": positives}, {}), **_ends}),
    objects({"fixed": just(["first", "last"]), "turning": by_end(positives)}, _ends),
    objects({"fastener_slip": st.sampled_from([["first"], ["last", "first"]])}, {"acts": _ends["acts"]}),
)
