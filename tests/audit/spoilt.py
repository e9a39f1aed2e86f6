"""One spoilt truss for every code that is no stop, with what the audit says of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from tests.audit.forms import BALK, HELD, TIMBER, moved, pitched, supported
from tests.published.statics import UNSTABLE
from tests.trusses import CANTILEVER, PIN, ROLLER, THREE_HINGED_ARCH, at_joint, build, stick
from trussio.model.acceptance import Acceptance
from trussio.model.change import Assumption
from trussio.model.connection import Brace, Butt
from trussio.model.loading import JointLoad, LineLoad, LoadCase, Loads, RunId, Target
from trussio.model.truss import Joint, JointId, MaterialId, MemberId, SectionId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import CaseKind, Load
    from trussio.model.material import Material, Section
    from trussio.model.truss import Idealisation, Member, Truss

PUBLISHED = {entry.id: entry.truss for entry in UNSTABLE}
SNOW: Final[Load] = LineLoad(on=Target(role="top-chord"), direction="down", value=2.0, per="plan")


@dataclass(frozen=True, kw_only=True)
class Spoilt:
    """A truss with one fault, and the words of the finding that names it."""

    truss: Truss
    says: str
    idealisation: Idealisation = "continuous"


def sized(section: Section) -> Truss:
    return replace(pitched(), sections={SectionId("s"): section})


def of(material: Material) -> Truss:
    return replace(pitched(), materials={MaterialId("m"): material})


def cased(*loads: Load, kind: CaseKind | None = None, **combinations: Mapping[str, float]) -> Truss:
    cases = {RunId("P"): LoadCase(loads=loads, kind=kind), RunId("Q"): LoadCase(loads=(SNOW,))}
    sums = {
        RunId(name): {RunId(case): factor for case, factor in factors.items()}
        for name, factors in combinations.items()
    }
    return replace(pitched(), loads=Loads(cases=cases, combinations=sums))


def jointed(truss: Truss, **places: tuple[float, float]) -> Truss:
    joints = {JointId(name): Joint(x=x, y=y) for name, (x, y) in places.items()}
    return replace(truss, joints={**truss.joints, **joints})


def accepting(truss: Truss, code: str, *where: str) -> Truss:
    """The truss with one acceptance."""
    entry = Acceptance(code=code, where=where, by="EF", on="2 May 2026", why="Seen in the roof.")
    return replace(truss, accepted={"x1": entry})


def surveyed(**records: Mapping[str, tuple[Brace, ...] | tuple[Butt, ...] | None]) -> Truss:
    """The truss with what was recorded along some of its sticks."""
    truss = pitched()
    return replace(
        truss, members={name: with_records(m, records.get(name, {})) for name, m in truss.members.items()}
    )


def with_records(member: Member, record: Mapping[str, tuple[Brace, ...] | tuple[Butt, ...] | None]) -> Member:
    """A stick with the bracing and the butts given; what is not given stays."""
    if "braced" in record:
        given = record["braced"]
        seen = None if given is None else tuple(b for b in given if isinstance(b, Brace))
        member = replace(member, braced=seen)
    butts = tuple(b for b in record.get("butts") or () if isinstance(b, Butt))
    return replace(member, butts=butts) if butts else member


def two_in_one() -> Truss:
    """A second truss on bearings of its own beside the first."""
    more = pitched(far=stick("U0", "U1"), rise=stick("U0", "U2"), fall=stick("U2", "U1"))
    beside = jointed(more, U0=(14000.0, 0.0), U1=(17000.0, 0.0), U2=(15500.0, 1500.0))
    return supported(beside, B0=PIN, B6=ROLLER, U0=PIN, U1=ROLLER)


def halves(*, bridged: bool) -> Truss:
    """Two triangles joined at one joint, or by one member."""
    near = "p" if bridged else "b"
    more = {"p": (4000.0, 0.0)} if bridged else {}
    return build(
        joints={
            **more,
            "a": (0.0, 0.0), "b": (3000.0, 0.0), "c": (1500.0, 2000.0),
            "q": (7000.0, 0.0), "r": (5500.0, 2000.0),
        },
        members={
            "ab": stick("a", "b"), "bc": stick("b", "c"), "ca": stick("c", "a"),
            "pq": stick(near, "q"), "qr": stick("q", "r"), "rp": stick("r", near),
            **({"tie": stick("b", "p")} if bridged else {}),
        },
        supports={"a": PIN, "b": PIN, "q": PIN, "r": PIN},
        cases={"P": (JointLoad(joint=JointId("c"), fy=-1.0),)},
    )  # fmt: skip


SPOILT: Final[Mapping[str, Spoilt]] = {
    "parts": Spoilt(
        truss=two_in_one(),
        says="U0, U1 and U2 are a part of their own: no member joins them to the rest. It has bearings "
        "of its own at U0 and U1.",
    ),
    "load-finds-no-bearing": Spoilt(
        truss=supported(
            jointed(
                pitched(
                    at_joint("U2", fy=-100.0),
                    far=stick("U0", "U1"),
                    rise=stick("U0", "U2"),
                    fall=stick("U2", "U1"),
                ),
                U0=(14000.0, 0.0),
                U1=(17000.0, 0.0),
                U2=(15500.0, 1500.0),
            ),
            B0=PIN,
            B6=ROLLER,
        ),
        says="Loads act on U0, U1 and U2, and no member takes them from there to a bearing.",
    ),
    "lone-joint": Spoilt(
        truss=supported(jointed(pitched(), J9=(6000.0, -900.0)), B0=PIN, B6=ROLLER, J9=PIN),
        says="No member meets J9; its bearing carries nothing but what is put on it.",
    ),
    "overhang": Spoilt(
        truss=jointed(pitched(left=stick("E0", "B0", "T1", "T2", "T3", role="top-chord")), E0=(-1000.0, -500.0)),
        says="left runs on past its last meeting and ends free at E0.",
    ),
    "loose-end": Spoilt(
        truss=jointed(pitched(hanger=stick("J9", "B3", fixed=("last",))), J9=(6000.0, -1500.0)),
        says="hanger ends at J9 and meets nothing there: no other member, no bearing.",
    ),
    "neck": Spoilt(
        truss=halves(bridged=False),
        says="Two frameworks hang together at b alone and turn there against each other.",
    ),
    "bridge": Spoilt(truss=halves(bridged=True), says="Two frameworks hang together by tie alone, from p to b."),
    "duplicate": Spoilt(
        truss=pitched(again=stick("T3", "B3", role="web")),
        says="p3 and again both run from T3 to B3 on one line; both carry force there.",
    ),
    "overlap": Spoilt(
        truss=pitched(again=stick("B2", "B4", role="bottom-chord")),
        says="bottom:B2-B3 and again:B2-B4 lie along each other over 2000 mm without sharing their joints.",
    ),
    "crossing": Spoilt(
        truss=pitched(extra=stick("T1", "B2", role="web")),
        says="d1:B1-T2 and extra:T1-B2 cross at (2667, 666.7) without a joint: the model lets them pass.",
    ),
    "joint-beside-stick": Spoilt(
        truss=jointed(
            pitched(strut=stick("J9", "T3", role="web"), foot=stick("J9", "T2", role="web")), J9=(5000.0, 4.0)
        ),
        says="J9 lies on bottom:B2-B3, but bottom does not run through it: nothing passes from one to the other.",
    ),
    "joints-close": Spoilt(
        truss=jointed(
            pitched(d1=stick("B1", "J9", role="web"), d9=stick("J9", "B2", role="web")), J9=(4010.0, 2000.0)
        ),
        says="T2 and J9 are 10 mm apart, and no member joins them.",
    ),
    "short-segment": Spoilt(
        truss=jointed(pitched(left=stick("B0", "T1", "T2", "J9", "T3", role="top-chord")), J9=(5990.0, 2995.0)),
        says="left:J9-T3 is only 11 mm long: T3 and J9 may be one joint.",
    ),
    "small-angle": Spoilt(
        truss=moved(moved(pitched(), "T1", y=-700.0), "T5", y=-700.0),
        says="bottom and left meet at B0 at only 8.5 degrees: what passes between them takes forces "
        "many times as large.",
    ),
    "kink": Spoilt(
        truss=pitched(
            left=stick("B0", "T1", "T2", "T3", "T4", role="top-chord"),
            right=stick("T4", "T5", "B6", role="top-chord"),
        ),
        says="left kinks by 53.1 degrees at T3 and is taken as one continuous stick there.",
    ),
    "missing-twin": Spoilt(
        truss=pitched(skipped="p1"),
        says="p5 from B5 to T5 has no twin: no member runs from B1 to T1, though the truss is otherwise "
        "alike on both sides.",
    ),
    "twin-moved": Spoilt(
        truss=moved(pitched(), "B2", x=150.0),
        says="B2 and B4 are twins, but one of them stands 150 mm off the mirror image of the other.",
    ),
    "twin-turned": Spoilt(
        truss=pitched(d5=stick("B4", "T5", role="web")),
        says="d1 from B1 to T2 and d5 from B4 to T5 brace twin panels and lean the same way; the other braces "
        "lean as mirror images of each other.",
    ),
    "twin-differs": Spoilt(
        truss=replace(
            pitched(d5=replace(stick("B5", "T4", role="web"), section=SectionId("old"))),
            sections={SectionId("s"): BALK, SectionId("old"): replace(BALK, depth=140.0)},
        ),
        says="d1 and d5 are twins, but differ in section: d1 is s, m and d5 is old, m.",
    ),
    "bearing-without-twin": Spoilt(
        truss=supported(pitched(), B0=PIN, B6=ROLLER, B2=ROLLER),
        says="B2 bears on something, its twin B4 does not.",
    ),
    "stands-by-bending": Spoilt(
        truss=replace(
            pitched(),
            members={name: member for name, member in pitched().members.items() if name not in {"d2", "d4"}},
        ),
        says="As pinned: 1 mechanism at B1, B2, T1 and T2; it stands only because bottom bends at B2 "
        "and B3 and left bends at T2. A diagonal B3-T2, B2-T3 or B4-T2 would hold it without "
        "bending.",
    ),
    "hinges-in-line": Spoilt(
        truss=PUBLISHED["US09"],
        says="As continuous: 1 mechanism at b; as pinned it stands only because joints where members of "
        "one line meet are taken to stay on that line.",
        idealisation="pinned",
    ),
    "chord-gap": Spoilt(
        truss=supported(
            pitched(
                bottom=stick("B0", "B1", "B2", role="bottom-chord"),
                rest=stick("B3", "B4", "B5", "B6", role="bottom-chord"),
            ),
            B0=PIN,
            B6=PIN,
        ),
        says="The bottom chord breaks off at B2 and goes on at B3: no stick of it runs between.",
    ),
    "bare-joint": Spoilt(
        truss=pitched(skipped="p3 d2 d4"),
        says="bottom runs through B3, and nothing is known to be there: no member, load, butt, brace or "
        "connection. A post from B3 to T3 would be usual.",
    ),
    "near-mechanism": Spoilt(
        truss=PUBLISHED["US02"],
        says="Nearly a mechanism: moving e by 0.00055 mm (sideways) would make it unstable.",
    ),
    "critical-form": Spoilt(
        truss=PUBLISHED["US11"],
        says="Members and holds are enough in every region: it is the form that fails. In this very "
        "shape, and in none near it, the joints can move.",
    ),
    "misplaced-members": Spoilt(
        truss=PUBLISHED["US04"],
        says="1 member more than needed between s0, s1, s2, s3, s4, m1 and 3 more, while 1 member "
        "elsewhere is missing.",
    ),
    "count": Spoilt(
        truss=pitched(),
        says="As pinned 21 members + 3 holds = 24, 2 x 12 joints = 24: just enough; as continuous 21 "
        "axial forces + 18 moments + 3 holds = 42, 2 x 12 joints + 9 turns = 33: 9 more than "
        "needed. As continuous the loss of any one of bottom, left or right makes a mechanism.",
    ),
    "not-evaluated": Spoilt(
        truss=sized(replace(BALK, width=None, depth=None, area=1e4, inertia=1e7)),
        says="Slenderness was not evaluated for left, right, p1, p2, p3, p4 and 5 more: width and depth "
        "are not stated.",
    ),
    "odd-size": Spoilt(
        truss=replace(
            pitched(), joints={name: Joint(x=j.x / 25.4, y=j.y / 25.4) for name, j in pitched().joints.items()}
        ),
        says="The truss is 472 mm long: no roof truss is.",
    ),
    "odd-section": Spoilt(
        truss=sized(replace(BALK, width=5.5, depth=9.5)),
        says="The width of s is 5.5 mm: no roof timber is like that.",
    ),
    "odd-inertia": Spoilt(
        truss=sized(replace(BALK, area=33600.0, inertia=16.1e9 * 10)),
        says="Area 33600 and inertia 1.61e+11 of s do not go together: no usual shape has both.",
    ),
    "area-disagrees": Spoilt(
        truss=sized(replace(BALK, area=30000.0)),
        says="s states an area of 30000, but its rectangle has 33600; the stated one is used.",
    ),
    "section-lies-flat": Spoilt(
        truss=sized(replace(BALK, width=240.0, depth=140.0)),
        says="s is 240 mm wide out of the truss plane and only 140 mm deep in it: bottom, left, right, "
        "p1, p2, p3 and 6 more would lie flat.",
    ),
    "label-disagrees": Spoilt(
        truss=sized(replace(BALK, label="2-75x225")),
        says="s is labelled 2-75x225, but its size is 1 of 140 x 240.",
    ),
    "odd-stiffness": Spoilt(
        truss=of(replace(TIMBER, E=1.6e6)), says="E of m is 1,600,000 MPa; sawn has 4,000 to 20,000."
    ),
    "odd-density": Spoilt(
        truss=of(replace(TIMBER, density=34.0)), says="density of m is 34 kg/m3; sawn has 250 to 1,200."
    ),
    "odd-gravity": Spoilt(
        truss=of(replace(TIMBER, specific_gravity=34.0)),
        says="specific gravity of m is 34 times water; sawn has 0.25 to 1.3.",
    ),
    "odd-expansion": Spoilt(
        truss=of(replace(TIMBER, expansion=4e-3)), says="expansion of m is 0.004 per C; sawn has 2e-06 to 9e-06."
    ),
    "slender": Spoilt(
        truss=sized(replace(BALK, width=38.0)),
        says="9 members are over the limit; d2 is 95 times as long between joints as it is thin (3606 "
        "mm to 38 mm); above 50 it may take no compression.",
    ),
    "species-stiffness": Spoilt(
        truss=of(replace(TIMBER, E=6000.0, species="Southern Pine")),
        says="E of m is 6,000 MPa; the tables give Southern Pine 8,270 to 13,100.",
    ),
    "wrong-size-class": Spoilt(
        truss=of(replace(TIMBER, size_class="dimension")),
        says="The values of m are those of dimension, but bottom, left, right, p1, p2, p3 and 6 more are made of "
        "plies 140 mm thick.",
    ),
    "butts-close": Spoilt(
        truss=surveyed(bottom={"butts": (Butt(ply=1, at=4000.0), Butt(ply=2, at=JointId("B2")))}),
        says="Plies 1 and 2 of bottom are butted at one place, 4000 mm along it.",
    ),
    "splice-in-bent-chord": Spoilt(
        truss=THREE_HINGED_ARCH.truss,
        says="left and right are spliced at C, where no web meets them: a hinge in the bend of a chord, which "
        "moves in or out under load on one side.",
    ),
    "bracing-not-recorded": Spoilt(
        truss=surveyed(bottom={"braced": None}),
        says="What holds bottom out of the plane is not recorded, though it is for other chords.",
    ),
    "bracing-not-seen": Spoilt(
        truss=surveyed(
            bottom={"braced": (Brace(plane="out", by="ceiling joists", seen=False),)},
            left={"braced": HELD},
            right={"braced": HELD},
        ),
        says="1 brace of bottom nobody saw to hold: ceiling joists.",
    ),
    "unbraced-chord": Spoilt(
        truss=surveyed(bottom={"braced": ()}, left={"braced": HELD}, right={"braced": HELD}),
        says="The survey found nothing that holds bottom out of the plane of the truss.",
    ),
    "no-loads": Spoilt(
        truss=replace(pitched(), loads=Loads()), says="There is no load: nothing can be calculated yet."
    ),
    "empty-case": Spoilt(truss=cased(), says="The case P holds no load."),
    "load-reaches-nothing": Spoilt(
        truss=cased(LineLoad(on=Target(role="other"), direction="down", value=2.0)),
        says="A load of case P reaches nothing: no member has the role other.",
    ),
    "plan-load-on-vertical": Spoilt(
        truss=cased(LineLoad(on=Target(member=MemberId("p3")), direction="down", value=2.0, per="plan")),
        says="A load of case P is per plan length; p3:B3-T3 stand upright and get none.",
    ),
    "pushes-up": Spoilt(
        truss=cased(JointLoad(joint=JointId("T3"), fy=900.0), kind="dead"),
        says="A load of case P pushes up, though the case is dead load.",
    ),
    "empty-combination": Spoilt(
        truss=cased(SNOW, sum={"P": 0.0}), says="The combination sum takes no case with a factor other than 0."
    ),
    "factor-zero": Spoilt(
        truss=cased(SNOW, sum={"P": 1.0, "Q": 0.0}),
        says="The combination sum takes Q with the factor 0: 1 case left out.",
    ),
    "held-both-ways": Spoilt(
        truss=supported(pitched(), B0=PIN, B6=PIN),
        says="B0 and B6 are all held in x. Walls give way, and what they are taken to hold back is "
        "missing in the bottom chord: its tension may be under-stated.",
    ),
    "turn-hold-idle": Spoilt(
        truss=replace(CANTILEVER.truss, supports=CANTILEVER.truss.supports),
        says="The bearing at A holds against turning, but in `pinned` nothing turns: that hold does nothing.",
        idealisation="pinned",
    ),
    "acceptance-outgrown": Spoilt(
        truss=accepting(sized(replace(BALK, width=38.0)), "slender", "/members/d1", "/members/d2"),
        says="x1 accepts slender, but the finding names more by now: /members/left, /members/right, /members/p2, "
        "/members/p3, /members/p4, /members/d4 and /members/d5.",
    ),
    "acceptance-idle": Spoilt(
        truss=accepting(pitched(), "slender", "/members/d1"),
        says="x1 accepts slender, and no such finding stands there.",
    ),
    "stop-accepted": Spoilt(
        truss=accepting(supported(pitched(), B0=ROLLER, B6=ROLLER), "mechanism", "/joints/B0"),
        says="x1 accepts mechanism, which is a stop: nobody can accept a stop away.",
    ),
    "unconfirmed": Spoilt(
        truss=replace(
            pitched(),
            assumptions={
                "a1": Assumption(what="B0 holds x and y.", rests_on="lowest outer joint", confirmed="EF, 2 May"),
                "a2": Assumption(what="B6 rolls.", rests_on="common practice"),
            },
        ),
        says="1 assumption that nobody has confirmed. a2: B6 rolls.",
    ),
}
