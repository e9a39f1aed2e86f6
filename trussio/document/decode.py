"""The truss document, read: joints, members, supports, sections, materials; loads and origin have their own files.

The letter of each field (unit, sign, meaning) stands in `schema/truss.json` and `schema/parts.json`; a property
test holds this reading and the schema to one verdict. What is missing for a job (a section, a support, E) is a
finding of that job and no fault here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.coherence import check_truss
from trussio.document.fields import by_id, distinct, each, record
from trussio.document.late import late
from trussio.document.loads_decode import loads
from trussio.document.names import (
    DIRECTIONS,
    direction,
    joint_id,
    material_id,
    role,
    section_id,
    unit_system,
)
from trussio.document.origin_decode import assumption, source
from trussio.document.reading import read_document
from trussio.document.values import (
    JOINT_ID,
    chosen,
    free,
    nonnegative,
    number,
    pair,
    positive,
    text,
    whole,
)
from trussio.model.loading import Loads
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, Joint, JointId, MaterialId, Member, MemberId, SectionId, Support, Truss

if TYPE_CHECKING:
    from typing import Final, Literal

    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.document.values import Reader
    from trussio.model.acceptance import Acceptance
    from trussio.model.condition import Condition
    from trussio.model.connection import Brace, Butt, Connection, Laminations, Spaced, Stitched
    from trussio.model.material import MaterialKind, Sizing
    from trussio.model.sag import Sag
    from trussio.model.site import Site, Surface
    from trussio.model.staging import Stage
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Acts, Direction, End, Json

ENDS: Final[tuple[End, ...]] = ("first", "last")
BOWS: Final[tuple[Literal["up", "down"], ...]] = ("up", "down")
ARRANGED: Final[tuple[Literal["beside", "stacked"], ...]] = ("beside", "stacked")
JOINED: Final[tuple[Literal["glued", "nailed", "bolted", "blocked", "none"], ...]] = (
    "glued",
    "nailed",
    "bolted",
    "blocked",
    "none",
)
SIZINGS: Final[tuple[Sizing, ...]] = ("current", "before-1970", "full-sawn", "measured")
KINDS: Final[tuple[MaterialKind, ...]] = ("sawn", "glulam", "steel", "other")
MOST_PLIES = 99

bows = chosen(BOWS)
arranged = chosen(ARRANGED)
joined = chosen(JOINED)
sizing = chosen(SIZINGS)
material_kind = chosen(KINDS)
plies = whole(1, MOST_PLIES, "a whole number from 1 to 99")
inclined = pair("a direction as two numbers, x and y")
through = distinct(joint_id, "a list of two joint ids or more", least=2)
fixed = distinct(chosen(ENDS), 'a list of "first", "last" or both')
reference_values = by_id(str, nonnegative)


def joint(fields: Fields) -> Joint:
    """A joint."""
    return Joint(x=fields.need("x", number), y=fields.need("y", number), notes=fields.get("notes", free))


def curve(fields: Fields) -> Curve:
    """The curve of a member."""
    return Curve(radius=fields.need("radius", positive), bows=fields.need("bows", bows))


def member(fields: Fields) -> Member:
    """A member."""
    return Member(
        role=fields.get("role", role),
        through=fields.need("through", through),
        curve=fields.get("curve", CURVE),
        section=fields.get("section", section_id),
        material=fields.get("material", material_id),
        fixed=fields.default("fixed", fixed, ()),
        acts=fields.get("acts", ACTS),
        offsets=fields.get("offsets", OFFSETS),
        slip=fields.get("slip", STIFFNESSES),
        play=fields.get("play", STIFFNESSES),
        turning=fields.get("turning", STIFFNESSES),
        fastener_slip=fields.default("fastener_slip", fixed, ()),
        braced=fields.get("braced", BRACED),
        butts=fields.get("butts", BUTTS),
        laminations=fields.get("laminations", LAMINATIONS),
        stitched=fields.get("stitched", STITCHED),
        spaced=fields.get("spaced", SPACED),
        label=fields.get("label", text),
        notes=fields.get("notes", free),
    )


def hold(value: Json, where: str, ledger: Ledger) -> Direction | tuple[float, float]:
    """A direction that is held, by name or as x, y."""
    if isinstance(value, str) and value in DIRECTIONS:
        return direction(value, where, ledger)
    if not isinstance(value, list):
        direction(value, where, ledger)
        return (float("nan"), float("nan"))
    held = inclined(value, where, ledger)
    if held == (0.0, 0.0):
        ledger.add(where, "[0, 0] is no direction.", "Write x and y of the direction that is held.")
    return held


def support(fields: Fields) -> Support:
    """A support."""
    made = Support(
        holds=fields.default("holds", HOLDS, ()),
        springs=fields.default("springs", SPRINGS, {}),
        notes=fields.get("notes", free),
    )
    if fields.sound and not fields.value.get("holds") and not fields.value.get("springs"):
        do = 'Write "holds": ["x", "y"], or take the support out.'
        fields.ledger.add(fields.where, "this support holds nothing.", do)
    return made


def springs(fields: Fields) -> dict[Direction, float]:
    """Stiffness by direction, those that are there."""
    found = {direction: fields.get(direction, positive) for direction in DIRECTIONS}
    return {direction: stiffness for direction, stiffness in found.items() if stiffness is not None}


def section(fields: Fields) -> Section:
    """A section."""
    return Section(
        width=fields.get("width", positive),
        depth=fields.get("depth", positive),
        plies=fields.default("plies", plies, 1),
        arranged=fields.default("arranged", arranged, "beside"),
        gap=fields.default("gap", nonnegative, 0.0),
        joined=fields.default("joined", joined, "none"),
        area=fields.get("area", positive),
        inertia=fields.get("inertia", positive),
        shear_area=fields.get("shear_area", positive),
        label=fields.get("label", text),
        sizing=fields.get("sizing", sizing),
        notes=fields.get("notes", free),
    )


def material(fields: Fields) -> Material:
    """A material."""
    return Material(
        species=fields.get("species", text),
        grade=fields.get("grade", text),
        kind=fields.get("kind", material_kind),
        size_class=fields.get("size_class", text),
        E=fields.get("E", positive),
        G=fields.get("G", positive),
        density=fields.get("density", nonnegative),
        expansion=fields.get("expansion", number),
        specific_gravity=fields.get("specific_gravity", positive),
        reference=fields.get("reference", reference_values),
        source=fields.get("source", text),
        notes=fields.get("notes", free),
    )


CURVE = record(curve)
HOLDS = each(hold, "a list of directions")
SPRINGS = record(springs)
ACTS: Reader[Acts] = late("trussio.document.ends_decode:acts")
OFFSETS: Reader[dict[End, tuple[float, float]]] = late("trussio.document.ends_decode:OFFSETS")
STIFFNESSES: Reader[dict[End, float]] = late("trussio.document.ends_decode:STIFFNESSES")
BRACED: Reader[tuple[Brace, ...]] = late("trussio.document.connections_decode:BRACED")
BUTTS: Reader[tuple[Butt, ...]] = late("trussio.document.connections_decode:BUTTS")
LAMINATIONS: Reader[Laminations] = late("trussio.document.connections_decode:LAMINATIONS")
STITCHED: Reader[Stitched] = late("trussio.document.connections_decode:STITCHED")
SPACED: Reader[Spaced] = late("trussio.document.connections_decode:SPACED")
JOINTS = by_id(JointId, record(joint), rule=JOINT_ID)
MEMBERS = by_id(MemberId, record(member))
SUPPORTS = by_id(JointId, record(support), rule=JOINT_ID)
SECTIONS = by_id(SectionId, record(section))
MATERIALS = by_id(MaterialId, record(material))
LOADS = record(loads)
SITE: Reader[Site] = late("trussio.document.site_decode:SITE")
SURFACES: Reader[dict[str, Surface]] = late("trussio.document.site_decode:SURFACES")
CONNECTIONS: Reader[dict[str, Connection]] = late("trussio.document.connections_decode:CONNECTIONS")
CONDITION: Reader[dict[str, Condition]] = late("trussio.document.condition_decode:CONDITION")
SAGS: Reader[dict[str, Sag]] = late("trussio.document.sags:SAGS")
TENDONS: Reader[dict[str, Tendon]] = late("trussio.document.staging_decode:TENDONS")
STAGES: Reader[tuple[Stage, ...]] = late("trussio.document.staging_decode:STAGES")
SOURCE = record(source)
ASSUMPTIONS = by_id(str, record(assumption))
ACCEPTED: Reader[dict[str, Acceptance]] = late("trussio.document.acceptance_decode:ACCEPTED")


def truss(fields: Fields) -> Truss:
    """The fields of a truss document."""
    return Truss(
        title=fields.need("title", text),
        units=fields.need("units", unit_system),
        joints=fields.need("joints", JOINTS),
        members=fields.need("members", MEMBERS),
        supports=fields.default("supports", SUPPORTS, {}),
        sections=fields.default("sections", SECTIONS, {}),
        materials=fields.default("materials", MATERIALS, {}),
        loads=fields.default("loads", LOADS, Loads()),
        site=fields.get("site", SITE),
        surfaces=fields.default("surfaces", SURFACES, {}),
        connections=fields.default("connections", CONNECTIONS, {}),
        condition=fields.default("condition", CONDITION, {}),
        sags=fields.default("sags", SAGS, {}),
        tendons=fields.default("tendons", TENDONS, {}),
        stages=fields.default("stages", STAGES, ()),
        source=fields.get("source", SOURCE),
        assumptions=fields.default("assumptions", ASSUMPTIONS, {}),
        accepted=fields.default("accepted", ACCEPTED, {}),
        notes=fields.get("notes", free),
        written_out=frozenset(fields.ledger.written_out),
    )


def read_truss(data: bytes, *, name: str) -> Truss:
    """The truss in the bytes of a truss document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/truss", decode=truss, check=check_truss)
