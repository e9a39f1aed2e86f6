"""Findings, read and written: what an audit found, and the statics of both idealisations."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import each, record
from trussio.document.layout import document_text
from trussio.document.names import IDEALISATIONS, joint_id
from trussio.document.reading import read_document
from trussio.document.values import chosen, digest, free, pointer, text, whole
from trussio.model.finding import LEVELS, Finding, Findings, Signed, Statics

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.document.fields import Fields
    from trussio.model.truss import Idealisation

MOST = 2**53

pointers = each(pointer, "a list of JSON Pointers")
joints = each(joint_id, "a list of joint ids")
count = whole(0, MOST, "a whole number from 0 up")
signed_count = whole(-MOST, MOST, "a whole number")


def finding(fields: Fields) -> Finding:
    """A finding."""
    return Finding(
        code=fields.need("code", text),
        level=fields.need("level", chosen(LEVELS)),
        where=fields.need("where", pointers),
        says=fields.need("says", text),
        do=fields.need("do", text),
        evidence=fields.need("evidence", free),
        accepted=fields.get("accepted", record(signed)),
    )


def signed(fields: Fields) -> Signed:
    """Who lets a finding stand."""
    return Signed(
        entry=fields.need("entry", pointer),
        by=fields.need("by", text),
        on=fields.need("on", text),
        why=fields.need("why", text),
    )


def statics(fields: Fields) -> Statics:
    """Count and rank of one idealisation."""
    return Statics(
        joints=fields.need("joints", count),
        segments=fields.need("segments", count),
        holds=fields.need("holds", count),
        count=fields.need("count", signed_count),
        rank=fields.need("rank", count),
        mechanisms=fields.need("mechanisms", count),
        self_stress=fields.need("self_stress", count),
        moving=fields.need("moving", joints),
    )


def both(fields: Fields) -> dict[Idealisation, Statics]:
    """The statics of each idealisation that was evaluated."""
    found = {name: fields.get(name, record(statics)) for name in IDEALISATIONS}
    return {name: figures for name, figures in found.items() if figures is not None}


def findings(fields: Fields) -> Findings:
    """The fields of a findings document."""
    return Findings(
        model=fields.need("model", digest),
        findings=fields.need("findings", each(record(finding), "a list of findings")),
        statics=fields.need("statics", record(both)),
    )


def read_findings(data: bytes, *, name: str) -> Findings:
    """The findings in the bytes of a findings document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/findings", decode=findings)


def write_findings(findings: Findings) -> str:
    """The text of a findings document. Raises CannotWriteError where a number is not finite."""
    return document_text(encode_findings(findings))


def encode_findings(findings: Findings) -> Object:
    """The JSON value of a findings document."""
    return {
        "format": "trussio/findings",
        "version": 1,
        "model": findings.model,
        "findings": [_finding(one) for one in findings.findings],
        "statics": {name: _statics(figures) for name, figures in findings.statics.items()},
    }


def _finding(finding: Finding) -> Object:
    return {
        "code": finding.code,
        "level": finding.level,
        "where": list(finding.where),
        "says": finding.says,
        "do": finding.do,
        "evidence": dict(finding.evidence),
        **({} if finding.accepted is None else {"accepted": dict(finding.accepted._asdict())}),
    }


def _statics(statics: Statics) -> Object:
    return {
        "joints": statics.joints,
        "segments": statics.segments,
        "holds": statics.holds,
        "count": statics.count,
        "rank": statics.rank,
        "mechanisms": statics.mechanisms,
        "self_stress": statics.self_stress,
        "moving": list(statics.moving),
    }
