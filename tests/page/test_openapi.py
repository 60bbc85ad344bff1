"""Schemathesis asks the API what its own description allows, and what it does not."""

import os
from collections import Counter
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

CHECKS = [
    not_a_server_error,
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
]
OPERATIONS = {
    "/api/catalogues": "POST",
    "/api/catalogues/{digest}": "GET",
    "/api/pick": "POST",
    "/api/ladder": "POST",
    "/api/others": "POST",
    "/api/why": "POST",
    "/api/recheck": "POST",
}
BRIEF = {"currency": "EUR", "cap": "25.00"}
SHOP = Path(__file__).parents[2] / "catalogues" / "tormellick-whelk.csv"
WALKS = int(os.environ.get("KITSOLVER_EXAMPLES", 10))
TABLES = ("choose", "extras", "fit", "needs", "shades", "till")
pytestmark = pytest.mark.slow
# In seconds, by the clock of a machine that may be busy.
PATIENCE = 120
bounded = settings(
    max_examples=25, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)


@pytest.fixture(scope="session")
def described(served):
    return schemathesis.openapi.from_url(f"{served}api/openapi.json")


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
@pytest.mark.parametrize("path", OPERATIONS)
def test_no_question_is_a_fault_and_every_answer_is_as_described(described, path, mode):
    operation = described[path][OPERATIONS[path]]

    @bounded
    @given(operation.as_strategy(generation_mode=mode))
    def asked(case):
        case.call_and_validate(checks=CHECKS, timeout=PATIENCE)

    asked()


def test_every_operation_is_asked(described):
    named = {one.ok().label for one in described.get_all_operations()}
    assert named == {f"{method} {path}" for path, method in OPERATIONS.items()}


@pytest.mark.parametrize("path", ["/api/pick", "/api/ladder", "/api/others", "/api/why"])
def test_nor_is_one_about_a_sound_brief_with_a_key_changed(described, path):
    """Random briefs are nearly all refused: here only some keys are random."""
    operation = described[path]["POST"]

    @bounded
    @given(operation.as_strategy(), st.sampled_from(TABLES))
    def asked(case, key):
        if isinstance(case.body, dict):
            brief = case.body.get("brief")
            kept = {key: brief[key]} if isinstance(brief, dict) and key in brief else {}
            case.body["brief"] = BRIEF | kept
            case.body["catalogue"] = ""
        case.call_and_validate(checks=CHECKS, timeout=PATIENCE)

    asked()


def test_what_an_answer_links_to_can_be_asked(described):
    """What is drawn is nearly always refused and leads nowhere: so goods and briefs are sound."""
    text, handed_in, answers = SHOP.read_text(encoding="utf-8"), set(), Counter()

    class Walk(described.as_state_machine()):
        def before_call(self, case):
            if case.operation.path == "/api/catalogues":
                case.body, case.query = text, {"currency": "EUR"}
            elif isinstance(case.body, dict):
                case.body |= {"sets": [], "cap": None} if "brief" in case.body else {}
                case.body |= {"brief": BRIEF} if "brief" in case.body else {}
                linked = case.body.get("catalogue") in handed_in
                case.body |= {"skip_bad_rows": False} | ({} if linked else {"catalogue": ""})

        def get_call_kwargs(self, _):
            return {"timeout": PATIENCE}

        def validate_response(self, response, case, **_):
            answers[case.operation.path, response.status_code] += 1
            if response.status_code == 201:
                handed_in.add(response.json()["catalogue"])
            case.validate_response(response, checks=CHECKS)

    ways = settings(bounded, max_examples=WALKS, stateful_step_count=8, phases=[Phase.generate])
    Walk.run(settings=ways)
    told = [path for (path, status), _ in answers.items() if status in (200, 201)]
    # A saved kit is sound only if it is the answer that led there.
    assert {"/api/catalogues", "/api/pick", "/api/recheck"} <= set(told), answers
