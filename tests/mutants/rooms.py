"""The rooms that are changed, and the tests that look for the changes."""

ROOMS = {
    "craft": ("kitsolver/craft/*.py",),
    "till": ("kitsolver/shop/till.py", "kitsolver/solve/rules/cap.py"),
    "rules": ("kitsolver/solve/rules/*.py",),
    "audit": ("kitsolver/solve/audit/*.py",),
    "frontiers": tuple(
        f"kitsolver/solve/decomposition/{name}.py"
        for name in (
            *("frontier", "frontier_settings", "pareto", "chart_frontier"),
            *("thread/frontier", "thread/branch", "thread/rest"),
        )
    ),
}
TESTS = (
    *("tests/craft", "tests/solve", "tests/rules", "tests/audit", "tests/reference"),
    *("tests/campaign/test_campaign.py", "tests/shop/test_till.py", "tests/shop/test_money.py"),
    *("tests/shop/home/test_home_list.py", "tests/explain/test_own_rules.py"),
    "tests/show/test_office.py",
)
