"""Home lists drawn onto random instances: goods of the shop, others, and part-used skeins."""

import csv
import io
import random

from .draw import instance, lay_cap

OF_HOME = ("sku", "stock", "left_m")


def instance_with_home(seed, **switches):
    """Draw an instance and a home list; give the catalogue, the brief, and the list as CSV text."""
    text, brief = instance(seed, tight=False, **switches)
    rng = random.Random(f"home {seed}")
    rows = list(csv.DictReader(io.StringIO(text)))
    owned = set(brief["choose"].get("own", []))
    home = drawn_home(rng, rows, owned, rng.choice([1, 3, 5, 8]))
    brief["home"] = {"from": "home.csv", "quality": rng.choice([50, "72.5", 90])}
    if rng.random() < 0.8:
        lay_cap(rng, text, brief, home)
    return text, brief, home


def drawn_home(rng, rows, owned, number):
    """Draw a home list from the rows of a shop, with some goods that the shop does not sell."""
    found = []
    for row in rng.sample(rows, min(len(rows), number)):
        if row.get("sold_by") == "length" or row["sku"] in owned:
            continue
        single = row["category"] == "thread" and ";" not in row["colours"]
        mine = {"sku": row["sku"], "stock": rng.choice(["", "0", "1", "2", "3"])}
        if single and rng.random() < 0.7:
            mine["left_m"] = f"{rng.choice([0, 0, 1, 3, 8, 17])}.{rng.randrange(100):02}"
        if rng.random() < 0.4:
            mine = row | mine | {"sku": f"home-{row['sku']}", "price": "", "trade_cost": ""}
            mine["quality"] = rng.choice(["", row["quality"], "97.5"])
        found.append(mine)
    return to_home_csv(found, rows[0])


def to_home_csv(found, columns):
    """Write rows of a home list; some lists have every column of the catalogue, some few."""
    out = io.StringIO()
    header = list(dict.fromkeys([*OF_HOME, *columns]))
    writer = csv.DictWriter(out, header, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(found)
    return out.getvalue()
