"""One instance: a brief drawn over a catalogue, its cap laid where something tips."""

import random
from decimal import Decimal

from naive import best

from .catalogue import catalogue
from .further import enrich
from .own_rules import own_rules
from .text import money, to_csv

WEIGHTS = [1, 1, 2, 3, "0.5", Decimal("1.5"), "0.25", 0]
DEFAULT_HOLDS = ["chart", "fabric", "thread", "needle", "scissors"]
HOLDS = (
    [*DEFAULT_HOLDS, "hoop"],
    ["chart", "fabric", "thread", "hoop"],
    ["chart", "fabric", "thread", "case"],
    ["fabric", "thread", "needle"],
    ["chart", "thread"],
    ["needle", "hoop", "fabric"],
    ["thread", "scissors"],
    ["chart", "fabric", "scissors"],
    ["scissors", "charm"],
)
DESCRIBED = {  # what of a row a buyer may know of the same thing at home
    "chart": [
        ["stitches_wide", "stitches_high", "colours"],
        ["stitches_wide", "stitches_high"],
        ["colours"],
    ],
    "fabric": [
        ["weave", "count", "width_cm", "height_cm", "width_in", "height_in"],
        ["weave", "count"],
        ["width_cm", "height_cm", "width_in", "height_in"],
    ],
    "hoop": [["diameter_cm", "diameter_in"]],
}
SIDES = {"width_cm", "width_in"}
WHOLE = {"stitches_wide", "stitches_high", "count"}


def instance(
    seed,
    *,
    heads=None,
    currency=None,
    spend=None,
    holds=None,
    delivery=True,
    discount=True,
    tax=True,
    own=True,
    keep=True,
    leave_out=True,
    have=True,
    conditions=True,
    stock=True,
    tight=True,
    further=False,
    rules=False,
):
    """Draw a catalogue (CSV text) and a brief (TOML tables; numbers are int, Decimal or str).

    Parameters
    ----------
    seed : int
        The same seed and switches give the same instance on every machine.
    heads, currency, spend, holds
        Fix what is drawn otherwise.
    delivery, discount, tax, own, keep, leave_out, have, conditions, stock : bool
        False leaves the feature out; True leaves it to chance.
    tight : bool
        False sets a cap that never binds.
    further : bool
        True draws something beyond the ordinary onto it, too.
    rules : bool
        True draws ranges and rules of one's own onto it, too.
    """
    rng = random.Random(seed)
    features = {
        "delivery": delivery,
        "discount": discount,
        "tax": tax,
        "own": own,
        "keep": keep,
        "leave_out": leave_out,
        "have": have,
        "conditions": conditions,
        "stock": stock,
    }
    switches = {name for name, on in features.items() if on}
    holds = holds or (DEFAULT_HOLDS if rng.random() < 0.6 else rng.choice(HOLDS))
    brief = {
        "title": f"Instance {seed}",
        "currency": currency or rng.choice(["EUR", "EUR", "JPY", "KWD"]),
        "heads": heads or rng.choice([1, 1, 1, 2, 2, 3, 4, 5]),
        "holds": list(holds),
        "fit": fit(rng),
        "shades": {
            "mode": "charted",
            "tolerance": rng.choice(["6.0", 8, Decimal("10.5"), "4.25"]),
            "mismatch": rng.choice([5, "2.5", Decimal("7.25"), 0]),
        },
    }
    rows = catalogue(rng, brief, switches)
    if further:
        enrich(seed, rows, brief)
    brief["needs"] = {category: need(rng, rows, category, switches) for category in holds}
    for category, table in brief.pop("scores", {}).items():
        brief["needs"][category] |= table
    if "have" in switches:
        put_at_home(rng, rows, brief)
    brief["extras"] = extras(rng, holds, spend)
    if conditions := brief.pop("extras_conditions", {}):
        brief["extras"]["conditions"] = conditions
    brief["till"] = till(rng, brief["currency"], switches)
    brief["cap"] = money(10**8, brief["currency"])
    if rules:
        own_rules(seed, rows, brief)
    text = to_csv(rows)
    brief["choose"] = choose(rng, rows, text, brief, switches)
    if tight:
        lay_cap(rng, text, brief)
    return text, brief


def fit(rng):
    table = {"over": rng.choice([1, 2, 2]), "waste": rng.choice(["0.20", 0, Decimal("0.1")])}
    margin = rng.choice([("margin_cm", "7.62"), ("margin_in", 1), ("margin_cm", Decimal("2.5"))])
    table.update([margin])
    if rng.random() < 0.2:
        table["strands"] = rng.choice([1, 2, 3])
    if rng.random() < 0.2:
        table["needles"] = {"14": [26, 28], "12.5": [22], "16": [24]}
    return table


def need(rng, rows, category, switches):
    table = {"weight": rng.choice(WEIGHTS)} if rng.random() < 0.5 else {}
    if category != "fabric" and rng.random() < 0.3:
        table["shared_by"] = rng.randint(1, 3)
    if "conditions" not in switches or rng.random() > 0.12:
        return table
    model = rng.choice([row for row in rows if row["category"] == category])
    only = [
        {"finish": [model["finish"] or "plain", "glossy"]},
        {"finish": [Decimal("2.5"), "plain"]},
    ]
    if category == "needle":
        only.append({"needle_sizes": [24, 26]})
    if category == "fabric":
        only.append({"weave": ["aida", "linen"], "count": [14, 16, 28]})
    condition, value = rng.choice(
        [
            ("only", rng.choice(only)),
            ("tags_any", ["soft", "bright"]),
            ("tags_none", ["stiff"]),
            ("max_price", model["price"]),
            ("min_quality", rng.choice([40, "60", Decimal("72.5")])),
        ]
    )
    return table | {condition: value}


def put_at_home(rng, rows, brief):
    for category in brief["holds"]:
        if rng.random() > 0.2:
            continue
        model = rng.choice([row for row in rows if row["category"] == category])
        have = True
        if category == "thread":
            cells = [row["colours"] for row in rows if row["category"] in ("thread", "chart")]
            loose = [entry.split(":")[0] for cell in cells for entry in cell.split(";")]
            have = rng.choice([True, *4 * [rng.sample(loose, 2)]])
        elif category == "needle" and rng.random() < 0.7:
            have = {"needle_sizes": [int(size) for size in model["needle_sizes"].split(";")]}
        elif category in DESCRIBED and rng.random() < 0.7:
            known = [column for column in rng.choice(DESCRIBED[category]) if column in model]
            have = {column: model[column] for column in known}
            have |= {column: int(model[column]) for column in known if column in WHOLE}
            if model.get("sold_by"):
                # A piece at home is off no roll.
                have |= {
                    column.replace("width", "height"): have[column] for column in SIDES & set(have)
                }
        brief["needs"][category]["have"] = have


def extras(rng, holds, spend):
    table = {"spend": spend or rng.choice(["leftover", "leftover", "together", "none"])}
    if rng.random() < 0.5:
        table["weight"] = rng.choice(["0.25", Decimal("0.01"), 1, 0])
    if rng.random() < 0.4:
        names = ["hoop", "case", "charm", "needle", "fabric", "chart", "thread"]
        table["categories"] = sorted(set(rng.sample(names, 5)) - set(holds))
    if rng.random() < 0.4:
        table["most"] = rng.choice([0, 1, 1, 2, 3])
    return table


def till(rng, currency, switches):
    table = {"rounding": rng.choice(["half-up", "half-even"])}
    if "discount" in switches and rng.random() < 0.5:
        table["discount_rate"] = rng.choice(["0.075", Decimal("0.1"), "0.05", "0.333", "0.5"])
    if "tax" in switches and rng.random() < 0.5:
        table["tax_rate"] = rng.choice(["0.2", Decimal("0.19"), "0.075", "0.125"])
        table["tax_on_delivery"] = rng.random() < 0.5
    if "delivery" in switches and rng.random() < 0.6:
        table["delivery"] = money(rng.choice([150, 395, 590]), currency)
    return table


def choose(rng, rows, text, brief, switches):
    """Draw the lists of skus; what is kept is as a rule something that a kit can hold."""
    table = {}
    skus = [row["sku"] for row in rows]
    if "own" in switches and rng.random() < 0.3:
        table["own"] = rng.sample(skus, rng.choice([1, 2, 3, len(skus) - 3]))
    if "keep" in switches and rng.random() < 0.25:
        kit = best(text, brief | {"choose": table, "till": {}})
        likely = [sku for sku, _, _ in kit["lines"]] if kit and rng.random() < 0.7 else []
        table["keep"] = [rng.choice(likely or skus)]
        if rng.random() < 0.2:
            table["keep"].append(rng.choice(sorted(set(skus) - set(table["keep"]))))
    if "leave_out" in switches and rng.random() < 0.25:
        spoken_for = {*table.get("keep", []), *table.get("own", [])}
        table["leave_out"] = [rng.choice(sorted(set(skus) - spoken_for)), "unheard-of"]
    return table


def lay_cap(rng, text, brief, home=""):
    """Lay the cap, and where delivery gets free, so that the best kit is close to a boundary."""
    currency, heads = brief["currency"], brief["heads"]
    kit = best(text, brief, home)
    if kit is None:
        return
    cap = kit["payable"] * rng.randint(60, 104) // 100
    if "delivery" in brief["till"] and rng.random() < 0.8:
        # Within reach of the cap, so that dearer goods can cost less.
        free_from = max(1, cap * rng.randint(70, 100) // 100)
        brief["till"]["delivery_free_from"] = money(free_from, currency)
    while (kit := best(text, brief | {"cap": money(cap, currency)}, home)) is None:
        if rng.random() < 0.1:
            break
        cap = cap * 6 // 5 + 1
    if kit is not None and rng.random() < 0.4:
        cap = max(0, kit["payable"] - rng.choice([0, 1]))
    if heads > 1 and rng.random() < 0.3:
        del brief["cap"]
        brief["cap_per_head"] = money(cap // heads, currency)
    else:
        brief["cap"] = rng.choice([str, Decimal])(money(cap, currency))
