"""The features that an instance with a kit shows, by name."""

from itertools import combinations

QUESTIONS = ("ladder", "others", "recheck", "why", "range")
FEATURES = (
    *("class", "spare", "home list", "at home", "owned", "kept", "conditions", "shared"),
    *("conditions of extras", "whole kit", "scores", "free colours", "on the cloth", "kinds"),
    *("backstitch", "off the roll", "openings", "tax", "tax by row", "downloads", "delivery"),
    *("discount", "margin", "together", "ranges", "size", "hours", "limits", "pairs", "alike"),
    *QUESTIONS,
)
# A home list in a range is bad input.
NEVER_TOGETHER = {frozenset(["home list", "range"]), *map(frozenset, combinations(QUESTIONS, 2))}
# What is seldom in a kit, so that a question about such a kit is asked more often.
SELDOM = {"limits", "ranges", "downloads", "kinds", "pairs", "size", "alike", "backstitch", "hours"}
SELDOM |= {"off the roll"}
ASKED_OF, ASKED_OF_SELDOM = 0.15, 0.5
# How often each question is the one that is asked: those that can be answered seldom, and cheaply,
# more often.
WEIGHTS = {"ladder": 1, "others": 1.5, "recheck": 1, "why": 3, "range": 5}
CONDITIONS = {"only", "tags_any", "tags_none", "max_price", "min_quality"}


def question_about(rng, names):
    """Draw what is asked of a kit with some features; blank for nothing."""
    if rng.random() > (ASKED_OF_SELDOM if SELDOM & {*names} else ASKED_OF):
        return ""
    return rng.choices([*WEIGHTS], WEIGHTS.values())[0]


def features_of(drawn, kit, question=""):
    """Name what is asked of an instance, or what its kit holds where that is seen in its rows."""
    asked, home = drawn.asked, drawn.home
    needs, shades, till = asked["needs"].values(), asked["shades"], asked["till"]
    held = {sku for sku, _, _ in kit["lines"]}
    rows = [row for row in drawn.judge.rows if row.sku in held]
    listed = {line.split(",")[0] for line in home.splitlines()}
    cells = [row.cells for row in rows]
    shown = {
        "class": asked["heads"] > 1,
        "spare": "spare" in asked,
        "home list": bool(held & listed),
        "at home": any(need.get("have") for need in needs),
        "owned": bool(held & set(asked["choose"].get("own", []))),
        "kept": bool(asked["choose"].get("keep")),
        "conditions": any(CONDITIONS & need.keys() for need in needs),
        "shared": any("shared_by" in need for need in needs),
        "conditions of extras": "conditions" in asked["extras"],
        "whole kit": "all" in asked,
        "scores": any("score" in need for need in needs),
        "free colours": shades["mode"] == "free",
        "on the cloth": "on_cloth" in shades,
        "kinds": any(c.get("colour_kinds") or c.get("kind") for c in cells),
        "backstitch": any(
            c["category"] == "chart" and any(e.count(":") > 1 for e in c["colours"].split(";"))
            for c in cells
        ),
        "off the roll": any(row.by_length for row in rows),
        "openings": any(c.get("opening_cm") or c.get("opening_in") for c in cells),
        "tax": "tax_rate" in till,
        "tax by row": any(row.tax is not None for row in rows),
        "downloads": any(row.download for row in rows),
        "delivery": "delivery" in till,
        "discount": "discount_rate" in till,
        "margin": "sell_at" in asked.get("shop", {}),
        "together": asked["extras"]["spend"] == "together",
        "ranges": any("at_least" in need or "at_most" in need for need in needs),
        "size": "size" in asked,
        "hours": "hours_at_most" in asked.get("lesson", {}),
        "limits": bool(asked.get("limits")),
        "pairs": bool(asked.get("pairs")),
        "alike": bool(asked.get("alike")),
        question: True,
    }
    return [name for name in FEATURES if shown.get(name)]


def pairs_of(names):
    """Give the pairs among some features, each in the order of `FEATURES`."""
    return combinations(names, 2)


def all_pairs():
    """Give every pair of features that can meet."""
    return [pair for pair in combinations(FEATURES, 2) if frozenset(pair) not in NEVER_TOGETHER]
