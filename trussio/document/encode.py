"""The truss document, written: records to JSON values, then to text or to the digest.

Reading and writing lose nothing: what is written differs from what was read in layout, in the spelling of
numbers and in the order of fields at most, and none of these enters the digest. So the digest of a truss is
that of its file, whoever wrote the file and with whatever tool the digest is taken (SHA-256 over RFC 8785).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.canonical import digest_of
from trussio.document.entry import by_name, entry, entry_with_defaults, free
from trussio.document.layout import document_text
from trussio.document.loads_encode import encode_loads
from trussio.document.origin_encode import encode_acceptance, encode_assumption, encode_source
from trussio.document.positions import escaped
from trussio.document.site_encode import encode_site, encode_surface
from trussio.late import loaded

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.condition import Condition
    from trussio.model.connection import Connection
    from trussio.model.material import Material, Section
    from trussio.model.sag import Sag
    from trussio.model.staging import Stage
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Curve, Joint, Json, Member, Support, Truss

TRUSS_DEFAULTS: Object = {
    "supports": {},
    "sections": {},
    "materials": {},
    "loads": {},
    "surfaces": {},
    "connections": {},
    "condition": {},
    "sags": {},
    "tendons": {},
    "stages": [],
    "assumptions": {},
    "accepted": {},
}
SECTION_DEFAULTS: Object = {"plies": 1, "arranged": "beside", "gap": 0, "joined": "none"}


def write_truss(truss: Truss) -> str:
    """The text of a truss document. Raises CannotWriteError where a number is not finite."""
    return document_text(encode_truss(truss))


def digest_of_truss(truss: Truss) -> str:
    """The digest that ties results, findings and check records to a truss."""
    return digest_of(encode_truss(truss))


def encode_truss(truss: Truss) -> Object:
    """The JSON value of a truss document."""
    out = truss.written_out
    fields: Object = {
        "format": "trussio/truss",
        "version": 1,
        "title": truss.title,
        "units": truss.units,
        "joints": {name: _joint(joint) for name, joint in truss.joints.items()},
        "members": {n: _member(m, f"/members/{escaped(n)}", out) for n, m in truss.members.items()},
        "supports": {n: _support(s, f"/supports/{escaped(n)}", out) for n, s in truss.supports.items()},
        "sections": {n: _section(s, f"/sections/{escaped(n)}", out) for n, s in truss.sections.items()},
        "materials": {name: _material(material) for name, material in truss.materials.items()},
        "loads": encode_loads(truss.loads, out),
        "site": None if truss.site is None else encode_site(truss.site),
        "surfaces": {name: encode_surface(surface) for name, surface in truss.surfaces.items()},
        "connections": _connections(truss),
        "condition": _condition(truss),
        "sags": _sags(truss),
        **_staging(truss),
        "source": None if truss.source is None else encode_source(truss.source, out),
        "assumptions": {
            n: encode_assumption(a, f"/assumptions/{escaped(n)}", out) for n, a in truss.assumptions.items()
        },
        "accepted": {name: encode_acceptance(entry) for name, entry in truss.accepted.items()},
        "notes": free(truss.notes),
    }
    return entry_with_defaults(fields, TRUSS_DEFAULTS, "", out)


def _connections(truss: Truss) -> Object:
    if not truss.connections:
        return {}
    encode: Callable[[Connection], Object] = loaded("trussio.document.connections_encode:encode_connection")
    return {name: encode(connection) for name, connection in truss.connections.items()}


def _condition(truss: Truss) -> Object:
    if not truss.condition:
        return {}
    encode: Callable[[Mapping[str, Condition], AbstractSet[str]], Object]
    encode = loaded("trussio.document.condition_encode:encode_condition")
    value: Object = encode(truss.condition, truss.written_out)
    return value


def _sags(truss: Truss) -> Object:
    if not truss.sags:
        return {}
    encode: Callable[[Mapping[str, Sag], AbstractSet[str]], Object] = loaded("trussio.document.sags:encode_sags")
    value: Object = encode(truss.sags, truss.written_out)
    return value


def _staging(truss: Truss) -> Object:
    if not truss.tendons and not truss.stages:
        return {"tendons": {}, "stages": []}
    tendons: Callable[[Mapping[str, Tendon], AbstractSet[str]], Object]
    tendons = loaded("trussio.document.staging_encode:encode_tendons")
    stages: Callable[[Sequence[Stage], AbstractSet[str]], list[Json]]
    stages = loaded("trussio.document.staging_encode:encode_stages")
    return {
        "tendons": tendons(truss.tendons, truss.written_out),
        "stages": stages(truss.stages, truss.written_out),
    }


def _joint(joint: Joint) -> Object:
    return entry({"x": joint.x, "y": joint.y, "notes": free(joint.notes)})


def _curve(curve: Curve) -> Object:
    return {"radius": curve.radius, "bows": curve.bows}


def _member(member: Member, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "role": member.role,
        "through": list(member.through),
        "curve": None if member.curve is None else _curve(member.curve),
        "section": member.section,
        "material": member.material,
        "fixed": list(member.fixed),
        **_ends(member),
        **_along(member),
        "label": member.label,
        "notes": free(member.notes),
    }
    return entry_with_defaults(fields, {"fixed": [], "fastener_slip": []}, where, written_out)


def _ends(member: Member) -> Object:
    """What the ends of a member do, and which way it acts."""
    said = (member.acts, member.offsets, member.slip, member.play, member.turning)
    if all(value is None for value in said) and not member.fastener_slip:
        return {"fastener_slip": []}
    encode: Callable[[Member], Object] = loaded("trussio.document.ends_encode:encode_ends")
    return encode(member)


def _along(member: Member) -> Object:
    """What is known of a member along its length."""
    said = (member.braced, member.butts, member.laminations, member.stitched, member.spaced)
    if all(value is None for value in said):
        return {}
    encode: Callable[[Member], Object] = loaded("trussio.document.connections_encode:encode_along")
    return encode(member)


def _support(support: Support, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "holds": [hold if isinstance(hold, str) else list(hold) for hold in support.holds],
        "springs": by_name(support.springs),
        "notes": free(support.notes),
    }
    return entry_with_defaults(fields, {"holds": [], "springs": {}}, where, written_out)


def _section(section: Section, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "width": section.width,
        "depth": section.depth,
        "plies": section.plies,
        "arranged": section.arranged,
        "gap": section.gap,
        "joined": section.joined,
        "area": section.area,
        "inertia": section.inertia,
        "shear_area": section.shear_area,
        "label": section.label,
        "sizing": section.sizing,
        "notes": free(section.notes),
    }
    return entry_with_defaults(fields, SECTION_DEFAULTS, where, written_out)


def _material(material: Material) -> Object:
    return entry(
        {
            "species": material.species,
            "grade": material.grade,
            "kind": material.kind,
            "size_class": material.size_class,
            "E": material.E,
            "G": material.G,
            "density": material.density,
            "expansion": material.expansion,
            "specific_gravity": material.specific_gravity,
            "reference": None if material.reference is None else by_name(material.reference),
            "source": material.source,
            "notes": free(material.notes),
        }
    )
