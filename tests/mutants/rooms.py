"""The rooms that are changed, and the tests that belong to each, the quick ones first."""

from typing import NamedTuple


class Room(NamedTuple):
    """Files of the package, and tests, as patterns."""

    files: tuple[str, ...]
    tests: tuple[str, ...]


PICKED = ("tests/solve/test_twins.py", "tests/campaign/test_campaign.py")
ROOMS = {
    "craft": Room(
        ("kitsolver/craft/*.py",),
        (
            "tests/craft",
            *(f"tests/reference/test_{name}.py" for name in ("cutting", "thread", "cloth")),
            "tests/reference/test_colour.py",
            *PICKED,
        ),
    ),
    "till": Room(
        ("kitsolver/shop/till.py", "kitsolver/solve/rules/cap.py"),
        (
            "tests/shop/test_till.py",
            "tests/shop/test_money.py",
            "tests/solve/test_frontiers.py",
            *PICKED,
        ),
    ),
    "rules": Room(
        ("kitsolver/solve/rules/*.py",),
        (
            "tests/solve/test_conditions.py",
            "tests/solve/test_candidates.py",
            "tests/solve/test_branches.py",
            *PICKED,
            "tests/solve/test_small_shops.py",
            "tests/explain/test_own_rules.py",
        ),
    ),
    "audit": Room(
        ("kitsolver/solve/audit/*.py",),
        (
            "tests/solve/test_audit.py",
            "tests/solve/test_audit_payment.py",
            *PICKED,
            "tests/explain/test_own_rules.py",
        ),
    ),
    "frontiers": Room(
        tuple(
            f"kitsolver/solve/decomposition/{name}.py"
            for name in ("frontier", "frontier_settings", "chart_frontier", "thread/frontier")
        ),
        ("tests/solve/test_frontiers.py", "tests/solve/test_decomposition.py", *PICKED),
    ),
}
