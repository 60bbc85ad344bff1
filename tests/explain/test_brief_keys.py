"""Every key of a brief is one that mends change, or is listed with the reason why none does."""

import pytest
from pydantic import BaseModel

from kitsolver import Brief
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.needs import Need
from kitsolver.explain.demands.registry import EXPLANATIONS, NOT_EASED
from kitsolver.solve.rules import RULES

EASED = {key for rule in EXPLANATIONS for key in rule.eases}
# Rules that no explanation concerns: what they are about is computed, and bars nothing.
UNEXPLAINED = {"quality"}


def keys_of(model, place=""):
    """Yield the dotted keys of a brief's tables, ``*`` standing for any category."""
    for name, field in model.model_fields.items():
        key = f"{place}{field.alias or name}"
        if name == "needs":
            yield from keys_of(Need, f"{key}.*.")
        elif name == "conditions":
            yield from keys_of(Conditions, f"{key}.*.")
        elif isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel):
            yield from keys_of(field.annotation, f"{key}.")
        else:
            yield key


KEYS = sorted(keys_of(Brief))


@pytest.mark.parametrize("key", KEYS)
def test_a_key_is_eased_by_a_mend_or_listed_with_the_reason(key):
    assert (key in EASED) != (key in NOT_EASED)


def test_no_key_is_listed_that_a_brief_does_not_have():
    assert set(NOT_EASED) | EASED == set(KEYS)


def test_every_rule_has_its_explanation():
    explained = {rule.rule.name for rule in EXPLANATIONS}
    assert explained == {rule.name for rule in RULES} - UNEXPLAINED


def test_every_explanation_has_the_file_name_of_its_rule():
    for rule in EXPLANATIONS:
        told_in = rule.obstacles.__module__, rule.bars.__module__, rule.demands.__module__
        names = {module.rpartition(".")[2] for module in told_in} - {
            "explanation",
            "whole_kit",
            "ranges",
        }
        assert names <= {rule.rule.__module__.rpartition(".")[2]}, rule
