"""The basis, read: what a drawing cannot say.

Sections, materials, supports, loads, connections and what is known along sticks are those of a truss document.
Joints and members are not looked up, since only the drawing has them; once a truss has been read with the basis,
`check_made` holds what it says of them to that truss.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.bearings import check_bearing, check_movement
from trussio.document.coherence import check_loads, check_truss, refer
from trussio.document.decode import (
    BRACED,
    BUTTS,
    CONNECTIONS,
    LAMINATIONS,
    LOADS,
    MATERIALS,
    SITE,
    SPACED,
    STITCHED,
    SUPPORTS,
    SURFACES,
    section,
    sizing,
)
from trussio.document.fields import by_id, record
from trussio.document.ledger import Ledger
from trussio.document.names import ROLES, material_id, unit_system
from trussio.document.positions import escaped
from trussio.document.reading import read_document
from trussio.document.values import CONTROLS, free, ident, text
from trussio.errors import Fault, UnreadableError
from trussio.model.basis import AlongStick, Assignment, Basis
from trussio.model.loading import SupportMovement
from trussio.model.truss import MemberId, SectionId

if TYPE_CHECKING:
    from trussio.document.fields import Fields
    from trussio.document.values import IdRule
    from trussio.model.loading import Loads
    from trussio.model.truss import Role, Truss


def read_basis(data: bytes, *, name: str) -> Basis:
    """The basis in the bytes of a file; `name` is what messages and assumptions call the file.

    Raises UnreadableError with every fault that was found.
    """

    def named(fields: Fields) -> Basis:
        return basis(fields, name)

    return read_document(data, name=name, form="trussio/basis", decode=named, check=check_basis)


def basis(fields: Fields, name: str) -> Basis:
    """The fields of a basis."""
    return Basis(
        name=name,
        title=fields.get("title", text),
        units=fields.get("units", unit_system),
        drawing_unit=fields.get("drawing_unit", text),
        sizing=fields.get("sizing", sizing),
        sections=fields.default("sections", SECTIONS_BY_LABEL, {}),
        materials=fields.default("materials", MATERIALS, {}),
        labels=fields.default("labels", ASSIGNMENTS_BY_LABEL, {}),
        members=fields.default("members", ASSIGNMENTS, {}),
        supports=fields.default("supports", SUPPORTS, {}),
        loads=fields.get("loads", LOADS),
        site=fields.get("site", SITE),
        surfaces=fields.default("surfaces", SURFACES, {}),
        connections=fields.default("connections", CONNECTIONS, {}),
        sticks=fields.default("sticks", STICKS, {}),
        notes=fields.get("notes", free),
    )


def assignment(fields: Fields) -> Assignment:
    """What the members of a role are made of."""
    return Assignment(section=fields.get("section", label), material=fields.get("material", material_id))


def assignments(fields: Fields) -> dict[Role, Assignment]:
    """What the members of each role are made of."""
    found = {role: fields.get(role, record(assignment)) for role in ROLES}
    return {role: made for role, made in found.items() if made is not None}


def along_stick(fields: Fields) -> AlongStick:
    """What is known along one stick."""
    return AlongStick(
        braced=fields.get("braced", BRACED),
        butts=fields.get("butts", BUTTS),
        laminations=fields.get("laminations", LAMINATIONS),
        stitched=fields.get("stitched", STITCHED),
        spaced=fields.get("spaced", SPACED),
    )


STICKS = by_id(MemberId, record(along_stick))
LABEL: IdRule = (frozenset(CONTROLS), 64)
"""A label as a drawing writes it, which may hold what no id may."""
label = ident(SectionId, LABEL)
SECTIONS_BY_LABEL = by_id(SectionId, record(section), rule=LABEL)
ASSIGNMENTS = record(assignments)
ASSIGNMENTS_BY_LABEL = by_id(str, record(assignment), rule=LABEL)


def check_basis(basis: Basis, ledger: Ledger) -> None:
    """Everything that a schema cannot say of a basis."""
    if basis.units is None and _has_quantities(basis):
        what = "the basis gives quantities and does not say in which units."
        ledger.add("", what, 'Add "units": "us" (in, lbf, psi) or "units": "si" (mm, N, MPa).')
    by_role = {f"/members/{role}": assigned for role, assigned in basis.members.items()}
    by_label = {f"/labels/{escaped(name)}": assigned for name, assigned in basis.labels.items()}
    for where, assigned in (by_label | by_role).items():
        if assigned.section is not None and basis.sizing is None:
            refer(ledger, f"{where}/section", assigned.section, basis.sections, "section")
        if assigned.material is not None:
            refer(ledger, f"{where}/material", assigned.material, basis.materials, "material")
    for joint, support in basis.supports.items():
        check_bearing(support, f"/supports/{escaped(joint)}", ledger)
    if basis.loads is not None:
        check_loads(basis.loads, ledger)
        _check_movements(basis, basis.loads, ledger)


def _has_quantities(basis: Basis) -> bool:
    loaded = basis.loads is not None and any(case.loads for case in basis.loads.cases.values())
    given = (basis.sections, basis.materials, basis.site, basis.surfaces, basis.connections, basis.sticks)
    return loaded or any(given)


def _check_movements(basis: Basis, loads: Loads, ledger: Ledger) -> None:
    for name, case in loads.cases.items():
        for index, load in enumerate(case.loads):
            if isinstance(load, SupportMovement) and load.support in basis.supports:
                where = f"/loads/cases/{escaped(name)}/loads/{index}/moves"
                check_movement(basis.supports[load.support], load.moves, where, ledger)


def check_made(truss: Truss, basis: Basis) -> None:
    """That connections and sticks of a basis suit the truss that was read with it.

    Raises UnreadableError with every fault, placed in the truss document that was to be made.
    """
    if not basis.connections and not basis.sticks:
        return
    ledger = Ledger()
    check_truss(truss, ledger)
    faults = tuple(Fault(where=where, what=what, do=do) for where, _, what, do in ledger.entries)
    if faults:
        first = faults[0]
        told = f"{first.where}: {first.what} ({basis.name} says so of this drawing)"
        raise UnreadableError("basis-unfit", where=basis.name, what=told, do=first.do, faults=faults)
