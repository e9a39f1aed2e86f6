"""Checks, read and written: how near each element of a truss is to its allowable, and why.

A ratio or value without bound is the text `without bound`, since JSON has no infinity; a ratio that nobody could
evaluate is the text `not evaluated` and never a number. A derivation is its lines, in the order of a calculator.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from trussio.document.fields import each, record
from trussio.document.layout import document_text
from trussio.document.names import idealisation, state
from trussio.document.reading import read_document
from trussio.document.values import computed, described, digest, nonnegative, optional, pointer, text, whole
from trussio.model.check import Check, Derivation, Line, Subject
from trussio.model.loading import RunId
from trussio.model.standing import Carried, Cause, Checks, Failure, Limit, Low, Standing, Variation

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.model.truss import Json

WITHOUT_BOUND = "without bound"
NOT_EVALUATED = "not evaluated"

pointers = each(pointer, "a list of JSON Pointers")
sentences = each(text, "a list of texts")


def boundless(value: Json, where: str, ledger: Ledger) -> float:
    """A number, or the words for one without bound."""
    if value == WITHOUT_BOUND:
        return inf
    if isinstance(value, str):
        ledger.add(where, f"{described(value)} is not known here.", f'Write a number or "{WITHOUT_BOUND}".')
        return inf
    return computed(value, where, ledger)


def ratio(value: Json, where: str, ledger: Ledger) -> float | None:
    """A ratio; None where it was not evaluated."""
    return None if value == NOT_EVALUATED else boundless(value, where, ledger)


def line(fields: Fields) -> Line:
    """A line of a derivation."""
    return Line(
        symbol=fields.need("symbol", text),
        value=fields.need("value", boundless),
        unit=fields.need("unit", text),
        formula=fields.need("formula", text),
        clause=fields.need("clause", text),
        source=fields.need("source", text),
    )


LINES = each(record(line), "a list of lines")


def check(fields: Fields) -> Check:
    """A check of one kind."""
    subject = Subject(
        element=fields.need("element", text),
        run=fields.need("run", optional(text)),
        grade=fields.need("grade", text),
    )
    found = fields.need("ratio", ratio)
    demand = fields.need("demand", optional(boundless))
    return Check(
        what=fields.need("what", text),
        clause=fields.need("clause", text),
        subject=subject,
        demand=demand,
        capacity=fields.need("capacity", optional(boundless)),
        unit=fields.need("unit", text),
        ratio=found,
        derivation=Derivation((demand or 0.0) if found is None else found, fields.need("lines", LINES)),
        reason=fields.need("reason", text),
        remarks=fields.need("remarks", sentences),
    )


def carried(fields: Fields) -> Carried:
    """The largest force that an element must carry."""
    return Carried(force=fields.need("force", computed), run=RunId(fields.need("run", text)))


def limit(fields: Fields) -> Limit:
    """The load that brings an element to its limit."""
    return Limit(
        scaled=fields.need("scaled", text),
        factor=fields.need("factor", optional(computed)),
        says=fields.need("says", text),
    )


def cause(fields: Fields) -> Cause:
    """A sentence that explains a standing."""
    return Cause(rule=fields.need("rule", text), says=fields.need("says", text))


def standing(fields: Fields) -> Standing:
    """How one element stands."""
    return Standing(
        element=fields.need("element", text),
        governs=fields.need("governs", record(check)),
        others=fields.need("others", each(record(check), "a list of checks")),
        carried=fields.need("carried", optional(record(carried))),
        limit=fields.need("limit", optional(record(limit))),
        needs=fields.need("needs", sentences),
        causes=fields.need("causes", each(record(cause), "a list of causes")),
        over_share=fields.get("over_share", nonnegative),
        grown=fields.get("grown", boundless),
        low=fields.get("low", record(low)),
    )


def low(fields: Fields) -> Low:
    """Where an element stands at its low values."""
    return Low(ratio=fields.need("ratio", boundless), says=fields.need("says", text))


def failure(fields: Fields) -> Failure:
    """What the survey found broken, and how it stood as built."""
    return Failure(
        condition=fields.need("condition", pointer),
        seen=fields.need("seen", text),
        built=fields.need("built", record(standing)),
        says=fields.need("says", text),
        look=fields.need("look", sentences),
    )


def variation(fields: Fields) -> Variation:
    """How far off the survey was taken to be."""
    return Variation(
        tolerance=fields.need("tolerance", nonnegative),
        stiffness=fields.need("stiffness", nonnegative),
        samples=fields.need("samples", whole(1, 10**9, "a whole number, 1 or more")),
    )


def checks(fields: Fields) -> Checks:
    """The fields of a checks document."""
    return Checks(
        model=fields.need("model", digest),
        idealisation=fields.need("idealisation", idealisation),
        state=fields.need("state", state),
        rests_on=fields.need("rests_on", pointers),
        despite=fields.need("despite", sentences),
        standings=fields.need("standings", each(record(standing), "a list of standings")),
        variation=fields.get("variation", record(variation)),
        before=fields.get("before", digest),
        failures=fields.get("failures", each(record(failure), "a list of failures")) or (),
    )


def read_checks(data: bytes, *, name: str) -> Checks:
    """The checks in the bytes of a checks document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/checks", decode=checks)


def write_checks(checks: Checks) -> str:
    """The text of a checks document. Raises CannotWriteError where a number is none."""
    return document_text(encode_checks(checks))


def encode_checks(checks: Checks) -> Object:
    """The JSON value of a checks document."""
    return {
        "format": "trussio/checks",
        "version": 1,
        "model": checks.model,
        "idealisation": checks.idealisation,
        "state": checks.state,
        "rests_on": list(checks.rests_on),
        "despite": list(checks.despite),
        **({} if checks.variation is None else {"variation": checks.variation._asdict()}),
        **({} if checks.before is None else {"before": checks.before}),
        "standings": [_standing(standing) for standing in checks.standings],
        **({"failures": [_failure(failure) for failure in checks.failures]} if checks.failures else {}),
    }


def _failure(failure: Failure) -> Object:
    return {
        "condition": failure.condition,
        "seen": failure.seen,
        "built": _standing(failure.built),
        "says": failure.says,
        "look": list(failure.look),
    }


def _standing(standing: Standing) -> Object:
    held, limit = standing.carried, standing.limit
    return {
        "element": standing.element,
        "governs": _check(standing.governs),
        "others": [_check(check) for check in standing.others],
        "carried": None if held is None else {"force": held.force, "run": held.run},
        "limit": None if limit is None else {"scaled": limit.scaled, "factor": limit.factor, "says": limit.says},
        "needs": list(standing.needs),
        "causes": [{"rule": cause.rule, "says": cause.says} for cause in standing.causes],
        **({} if standing.over_share is None else {"over_share": standing.over_share}),
        **({} if standing.grown is None else {"grown": _number(standing.grown)}),
        **(
            {}
            if standing.low is None
            else {"low": {"ratio": _number(standing.low.ratio), "says": standing.low.says}}
        ),
    }


def _check(check: Check) -> Object:
    return {
        "what": check.what,
        "clause": check.clause,
        "element": check.element,
        "run": check.run,
        "grade": check.subject.grade,
        "demand": None if check.demand is None else _number(check.demand),
        "capacity": None if check.capacity is None else _number(check.capacity),
        "unit": check.unit,
        "ratio": NOT_EVALUATED if check.ratio is None else _number(check.ratio),
        "reason": check.reason,
        "remarks": list(check.remarks),
        "lines": [{**line._asdict(), "value": _number(line.value)} for line in check.derivation.lines],
    }


def _number(value: float) -> float | str:
    return WITHOUT_BOUND if value == inf else value
