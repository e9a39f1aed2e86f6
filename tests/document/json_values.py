"""Generators of JSON values: ids, texts and numbers as documents may hold them, and the objects made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st

from trussio.document.values import ANY_ID

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hypothesis.strategies import SearchStrategy

    from trussio.document.values import IdRule
    from trussio.model.truss import Json

    Object = dict[str, Json]
    Values = SearchStrategy[Json]


def ids(rule: IdRule = ANY_ID) -> SearchStrategy[str]:
    """Ids: plain ones, and ones of any characters that an id may hold."""
    odd = st.text(
        st.characters(exclude_characters="".join(rule[0]), exclude_categories=["Cs"]), min_size=1, max_size=6
    )
    return st.sampled_from(["B0", "T1", "w~1", "2x10", "Ä ö"]) | odd


texts = st.text(max_size=12)
numbers = (
    st.integers(-(10**6), 10**6)
    | st.floats(-1e6, 1e6)
    | st.sampled_from([0.0, -0.0, 1.0, 1e-7, -2.5e-9, 1e20, 123456789012345680000.0, 1e21, 1e30, 2**53])
)
positives = st.integers(1, 10**6) | st.floats(1e-6, 1e6) | st.sampled_from([1e-30, 1e30, 1.0])
nonnegatives = st.just(0) | positives
digests = st.text("0123456789abcdef", min_size=64, max_size=64).map("sha256:".__add__)
pointers = st.sampled_from(["", "/joints/B0", "/a~1b/0", "/assumptions/a3"])
roles = st.sampled_from(["top-chord", "bottom-chord", "web", "other"])
free_values: Values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=6,
)
free_objects: SearchStrategy[Object] = st.dictionaries(texts, free_values, max_size=3)
noted: dict[str, Values] = {"notes": free_objects}


def objects(required: Mapping[str, Values], optional: Mapping[str, Values]) -> SearchStrategy[Object]:
    """Objects with all of some fields and any of others."""
    return st.fixed_dictionaries(required, optional=optional)


def just(value: Json) -> Values:
    """One value."""
    return st.just(value)


def some(item: Values, most: int = 2) -> Values:
    """Lists of a few."""
    return st.lists(item, max_size=most)


def keyed(item: Values, rule: IdRule = ANY_ID, most: int = 2, *, least: int = 0) -> Values:
    """Objects of a few things by id."""
    return st.dictionaries(ids(rule), item, min_size=least, max_size=most)


def pairs(item: Values) -> Values:
    """Lists of two."""
    return st.lists(item, min_size=2, max_size=2)
