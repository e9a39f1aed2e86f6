"""Tables of what was entered: joints, sticks, sections, materials, supports and loads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.glyphs import held_text
from trussio.drawing.lengths import length_text
from trussio.drawing.sheet_model import size_text
from trussio.report.elements import Column, el, listed, table
from trussio.report.wording import KINDS, ROLES, factors_words, load_words
from trussio.report.work_words import stiffness, turning

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.material import Material, Section
    from trussio.model.truss import Member, Truss
    from trussio.report.elements import Content, Element

NOT_STATED = "not stated"


def model_tables(truss: Truss) -> list[Element]:
    """Everything that the forces rest on, as entered."""
    return [
        _joints(truss),
        _sticks(truss),
        _sections(truss) if truss.sections else el("p", "No section is stated."),
        _materials(truss) if truss.materials else el("p", "No material is stated."),
        _supports(truss) if truss.supports else el("p", "No support is stated."),
    ]


def load_tables(truss: Truss) -> list[Element]:
    """The load cases and how they combine."""
    made = []
    if truss.loads.cases:
        columns = _words("case", "kind", "loads")
        rows: list[list[Content]] = [
            [
                str(name),
                KINDS[case.kind] if case.kind else NOT_STATED,
                listed([load_words(truss, load) for load in case.loads] or ["none"]),
            ]
            for name, case in truss.loads.cases.items()
        ]
        made.append(table("Load cases, as the document gives them", columns, rows))
    if truss.loads.combinations:
        columns = _words("combination", "adds up")
        rows = [[str(name), factors_words(factors)] for name, factors in truss.loads.combinations.items()]
        made.append(table("Combinations", columns, rows))
    return made


def _words(*heads: str) -> list[Column]:
    """Columns of words, the first of which names the rows."""
    return [Column(head=head, kind="words" if at else "name") for at, head in enumerate(heads)]


def _numbers(*heads: str) -> list[Column]:
    return [Column(head=head) for head in heads]


def _joints(truss: Truss) -> Element:
    unit = "" if truss.units == "us" else ", mm"
    columns = [Column(head="joint", kind="name"), *_numbers(f"to the right{unit}", f"up{unit}")]
    rows = [
        [str(name), length_text(truss.units, joint.x), length_text(truss.units, joint.y)]
        for name, joint in truss.joints.items()
    ]
    return table("Joints", columns, rows)


def _sticks(truss: Truss) -> Element:
    columns = _words(
        "stick", "label on the drawing", "role", "through joints", "size", "material", "shape and ends"
    )
    rows = [
        [
            str(name),
            member.label or "—",
            ROLES[member.role] if member.role else NOT_STATED,
            ", ".join(member.through),
            _size(truss.section_of(name)),
            str(member.material or NOT_STATED),
            _shape(truss, member),
        ]
        for name, member in truss.members.items()
    ]
    return table("Sticks, each continuous through its inner joints", columns, rows)


def _size(section: Section | None) -> str:
    return NOT_STATED if section is None else size_text(section) or NOT_STATED


def _shape(truss: Truss, member: Member) -> str:
    parts = []
    if member.curve is not None:
        unit = "" if truss.units == "us" else " mm"
        radius = length_text(truss.units, member.curve.radius)
        parts.append(f"arc of radius {radius}{unit}, bows {member.curve.bows}")
    if member.fixed:
        ends = {"first": member.through[0], "last": member.through[-1]}
        parts.append(f"fixed at {' and '.join(ends[end] for end in member.fixed)}")
    return "; ".join([*parts, *_connected(truss, member)]) or "straight, ends pinned"


def _connected(truss: Truss, member: Member) -> Iterator[str]:
    """Which way a stick acts, and how its ends give."""
    if member.acts is not None:
        yield f"carries {member.acts} alone"
    ends = {"first": member.through[0], "last": member.through[-1]}
    length = "in." if truss.units == "us" else "mm"
    for end, value in (member.slip or {}).items():
        yield f"slips by {stiffness(truss.units, value)} at {ends[end]}"
    for end in member.fastener_slip:
        yield f"slips by its fasteners at {ends[end]}"
    for end, value in (member.play or {}).items():
        yield f"play of {value:g} {length} at {ends[end]}"
    for end, value in (member.turning or {}).items():
        yield f"turns by {turning(truss.units, value)} at {ends[end]}"


def _sections(truss: Truss) -> Element:
    length = "in." if truss.units == "us" else "mm"
    columns = [
        Column(head="section", kind="name"),
        Column(head="label", kind="words"),
        *_numbers("plies", f"width, {length}", f"depth, {length}", f"area, {length}²", f"inertia, {length}⁴"),
        *_words("", "plies joined", "size taken as")[1:],
    ]
    rows = [
        [
            str(name),
            section.label or "—",
            str(section.plies),
            *_figures(section.width, section.depth, section.gross_area, section.bending_inertia),
            _joined(section),
            _sizing(section),
        ]
        for name, section in truss.sections.items()
    ]
    return table("Sections; area and inertia as the forces used them", columns, rows)


def _joined(section: Section) -> str:
    if section.plies == 1:
        return "—"
    return "not joined" if section.joined == "none" else section.joined


def _sizing(section: Section) -> str:
    words = {"current": "dressed today", "before-1970": "dressed before 1970", "full-sawn": "full sawn"}
    return words.get(section.sizing or "", section.sizing or NOT_STATED)


def _figures(*values: float | None) -> Sequence[str]:
    return [
        NOT_STATED if value is None else f"{value:,.4g}" if value < 1e4 else f"{value:,.0f}" for value in values
    ]


def _materials(truss: Truss) -> Element:
    stress, weight = ("psi", "pcf") if truss.units == "us" else ("MPa", "kg/m³")
    columns = [
        Column(head="material", kind="name"),
        *_words("", "kind", "species and grade", "source")[1:],
        *_numbers(f"elasticity, {stress}", f"density, {weight}"),
    ]
    rows = [
        [
            str(name),
            material.kind or NOT_STATED,
            _species(material),
            material.source or NOT_STATED,
            *_figures(material.E, material.density),
        ]
        for name, material in truss.materials.items()
    ]
    return table("Materials", columns, rows)


def _species(material: Material) -> str:
    return ", ".join(part for part in (material.species, material.grade) if part) or NOT_STATED


def _supports(truss: Truss) -> Element:
    rows = [[str(joint), held_text(support)] for joint, support in truss.supports.items()]
    return table("Restraints: what each support holds", _words("support", "restraint"), rows)
