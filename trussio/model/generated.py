"""Whether what was generated is still as it was: digests of cases, of combinations and of what they rest on.

The digest of a record leaves out what is None and what people wrote as notes; numbers go by their shortest text,
so that a record that was written and read again has the digest it had.
"""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trussio.model.loading import LoadCase, Loads, RunId
    from trussio.model.truss import Truss


def case_digest(case: LoadCase) -> str:
    """The digest of a load case."""
    return _digest(case)


def factors_digest(factors: Mapping[RunId, float]) -> str:
    """The digest of a combination."""
    return _digest(factors)


def inputs_digest(truss: Truss) -> str:
    """The digest of what generated loads rest on: site, surfaces, and where the sticks run."""
    sticks = {name: (member.through, member.role, member.curve) for name, member in truss.members.items()}
    return _digest((truss.units, truss.site, truss.surfaces, truss.joints, sticks))


def edited(loads: Loads) -> tuple[RunId, ...]:
    """The generated cases and combinations that somebody changed or took out since."""
    if loads.basis is None:
        return ()
    cases, combinations = loads.cases, loads.combinations
    changed = [
        run
        for run, made in loads.basis.cases.items()
        if run not in cases or case_digest(cases[run]) != made.digest
    ]
    return tuple(changed) + tuple(
        run
        for run, made in loads.basis.combinations.items()
        if run not in combinations or factors_digest(combinations[run]) != made.digest
    )


def outdated(truss: Truss) -> bool:
    """Whether site, surfaces or geometry have changed since loads were generated from them."""
    basis = truss.loads.basis
    return basis is not None and basis.inputs != inputs_digest(truss)


def _digest(record: object) -> str:
    return f"sha256:{sha256(_text(record).encode()).hexdigest()}"


def _text(value: object) -> str:
    """A record as one text, the same for the same content."""
    if isinstance(value, (str, bool)) or value is None:
        return repr(value)
    if isinstance(value, (int, float)):
        return repr(float(value) + 0.0)
    if isinstance(value, Mapping):
        return "{" + ",".join(sorted(f"{_text(key)}:{_text(item)}" for key, item in value.items())) + "}"
    if isinstance(value, tuple):
        names: tuple[str, ...] | None = getattr(value, "_fields", None)
        if names is None:
            return "[" + ",".join(map(_text, value)) + "]"
        named = dict(zip(names, value, strict=True))
    else:
        named = vars(value)
    told = {key: item for key, item in named.items() if item is not None and key != "notes"}
    return type(value).__name__ + _text(told)
