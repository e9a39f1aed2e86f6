"""Generators of the documents that machines write: results, findings, check records and checks."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.document.json_values import (
    digests,
    free_objects,
    ids,
    just,
    keyed,
    objects,
    pairs,
    pointers,
    some,
    texts,
)
from trussio.document.values import JOINT_ID, SEGMENT_ID

finite = st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(2**53), 2**53)
maybe = st.none() | finite
idealisations = st.sampled_from(["pinned", "continuous"])
states = st.sampled_from(["found", "built"])
sentences = some(texts)


segment_forces = objects(
    {
        "axial": finite,
        "axial_ends": pairs(finite),
        "shear": pairs(finite),
        "moment": pairs(finite),
        "moment_peak": finite,
        "moment_peak_at": finite,
    },
    {},
)
results_documents = objects(
    {
        "format": just("trussio/results"),
        "version": just(1),
        "model": digests,
        "idealisation": idealisations,
        "state": states,
        "rests_on": some(pointers),
        "runs": keyed(
            objects(
                {
                    "segments": keyed(segment_forces, SEGMENT_ID),
                    "joints": keyed(objects({"dx": finite, "dy": finite}, {"turn": maybe}), JOINT_ID),
                    "reactions": keyed(objects({"x": finite, "y": finite, "turn": finite}, {}), JOINT_ID),
                },
                {
                    "slack": keyed(finite, SEGMENT_ID),
                    "slip": keyed(finite, SEGMENT_ID),
                    "loose": keyed(finite),
                    "tendons": keyed(st.lists(finite, min_size=1, max_size=2)),
                    "stage": texts,
                },
            )
        ),
    },
    {"despite": sentences, "not_evaluated": keyed(texts), "order": just("first")},
)
counts = st.integers(0, 2**53)
statics = objects(
    {
        "joints": counts,
        "segments": counts,
        "holds": counts,
        "count": st.integers(-(2**53), 2**53),
        "rank": counts,
        "mechanisms": counts,
        "self_stress": counts,
        "moving": some(ids(JOINT_ID)),
    },
    {},
)
findings_documents = objects(
    {
        "format": just("trussio/findings"),
        "version": just(1),
        "model": digests,
        "findings": some(
            objects(
                {
                    "code": texts,
                    "level": st.sampled_from(["stop", "query", "note"]),
                    "where": some(pointers),
                    "says": texts,
                    "do": texts,
                    "evidence": free_objects,
                },
                {"accepted": objects({"entry": pointers, "by": texts, "on": texts, "why": texts}, {})},
            )
        ),
        "statics": objects({}, {"pinned": statics, "continuous": statics}),
    },
    {},
)
verdicts = st.sampled_from(["agrees", "disagrees", "cannot tell"])
segment_checks = objects(
    {"claimed": maybe, "rechecked": finite, "difference": maybe, "tolerance": finite, "verdict": verdicts},
    {"proved": pairs(finite)},
)
run_checks = objects(
    {
        "verdict": verdicts | just("not compared"),
        "says": texts,
        "largest_difference": maybe,
        "largest_at": st.none() | ids(SEGMENT_ID),
        "residual": maybe,
        "residual_at": st.none() | texts,
        "residual_allowed": maybe,
        "slips": sentences,
        "unknown": sentences,
        "segments": keyed(segment_checks, SEGMENT_ID),
    },
    {"not_proved": texts},
)
totals = objects({"down": finite, "at": maybe}, {})
load_checks = objects(
    {"stated": st.none() | totals, "tallied": st.none() | totals, "verdict": verdicts, "says": texts}, {}
)
check_record_documents = objects(
    {
        "format": just("trussio/recheck"),
        "version": just(1),
        "model": digests,
        "idealisation": idealisations,
        "state": states,
        "compared": texts,
        "compared_digest": st.none() | digests,
        "verdict": verdicts,
        "says": texts,
        "independent": sentences,
        "not_rechecked": sentences,
        "unknown_runs": sentences,
        "despite": sentences,
        "originator": texts,
        "checker": texts,
        "runs": keyed(run_checks),
    },
    {"loads": keyed(load_checks, least=1)},
)
boundless = finite | just("without bound")
lines = objects(
    {"symbol": texts, "value": boundless, "unit": texts, "formula": texts, "clause": texts, "source": texts}, {}
)
checks = objects(
    {
        "what": texts,
        "clause": texts,
        "element": texts,
        "run": st.none() | texts,
        "grade": texts,
        "demand": st.none() | boundless,
        "capacity": st.none() | boundless,
        "unit": texts,
        "ratio": boundless | just("not evaluated"),
        "reason": texts,
        "remarks": sentences,
        "lines": some(lines),
    },
    {},
)
standings = objects(
    {
        "element": texts,
        "governs": checks,
        "others": some(checks),
        "carried": st.none() | objects({"force": finite, "run": texts}, {}),
        "limit": st.none() | objects({"scaled": texts, "factor": maybe, "says": texts}, {}),
        "needs": sentences,
        "causes": some(objects({"rule": texts, "says": texts}, {})),
    },
    {},
)
checks_documents = objects(
    {
        "format": just("trussio/checks"),
        "version": just(1),
        "model": digests,
        "idealisation": idealisations,
        "state": states,
        "rests_on": some(pointers),
        "despite": sentences,
        "standings": some(standings),
    },
    {
        "failures": some(
            objects(
                {"condition": pointers, "seen": texts, "built": standings, "says": texts, "look": sentences}, {}
            )
        )
    },
)
shares = st.floats(0, 1) | st.integers(0, 1)
bands = objects({"low": finite, "likely": finite, "high": finite}, {})
bands_documents = objects(
    {
        "format": just("trussio/bands"),
        "version": just(1),
        "model": digests,
        "idealisation": idealisations,
        "state": states,
        "rests_on": some(pointers),
        "despite": sentences,
        "tolerance": st.floats(0, 1e300),
        "stiffness_spread": shares,
        "samples": st.integers(1, 2**53),
        "sign_not_certain": some(ids(SEGMENT_ID)),
        "runs": keyed(
            keyed(
                objects({"axial": bands, "moment_size": bands, "tension": shares, "compression": shares}, {}),
                SEGMENT_ID,
            )
        ),
    },
    {
        "not_evaluated": keyed(texts),
        "reactions": keyed(keyed(objects({"x": bands, "y": bands, "turn": bands, "down": shares}, {}), JOINT_ID)),
    },
)
segment_ids = some(ids(SEGMENT_ID))
positives = st.floats(0, 1e300)
second_order_runs = objects(
    {
        "verdict": st.sampled_from(["calculated", "exceeded", "not evaluated"]),
        "factor": st.none() | positives,
        "reason": st.none() | texts,
        "buckles": segment_ids,
        "segments": keyed(
            objects(
                {
                    "axial_first": finite,
                    "moment_first": finite,
                    "axial": maybe,
                    "moment": maybe,
                    "amplification": st.none() | positives,
                },
                {},
            ),
            SEGMENT_ID,
        ),
        "without": st.none()
        | objects(
            {"member": ids(), "segments": keyed(segment_forces, SEGMENT_ID), "reason": st.none() | texts}, {}
        ),
    },
    {},
)
second_order_documents = objects(
    {
        "format": just("trussio/second-order"),
        "version": just(1),
        "model": digests,
        "state": states,
        "rests_on": some(pointers),
        "despite": sentences,
        "runs": keyed(second_order_runs),
    },
    {},
)
