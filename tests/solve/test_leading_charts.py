"""Charts that cannot lead are left out: kits, bounds, rungs and explanations stay as they are."""

import random
from dataclasses import replace

from instances import instance, to_toml
from seeds import over_seeds

from kitsolver import pick, read_brief, read_catalogue, why_not
from kitsolver.solve import leading_charts
from kitsolver.solve.presolve.row_memory import RowMemory

CHARTS = 30


def with_many_charts(seed, folder):
    """Return a catalogue in which most charts count less than the instance's own, and a brief."""
    text, asked = instance(9000 + seed, currency="EUR")
    header, *lines = text.splitlines()
    columns = header.split(",")
    category, quality = columns.index("category"), columns.index("quality")
    sku, price = columns.index("sku"), columns.index("price")
    charts = [line.split(",") for line in lines if line.split(",")[category] == "chart"]
    for number in range(CHARTS * bool(charts)):
        cells = list(charts[number % len(charts)])
        cells[sku], cells[quality] = f"MORE-{number:02d}", str(3 * number)
        cells[price] = f"{1 + number % 7 / 4:.2f}"
        lines.append(",".join(cells))
    (folder / "shop.csv").write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")
    (folder / "brief.toml").write_text(to_toml(asked), encoding="utf-8")
    return read_catalogue(folder / "shop.csv", currency="EUR"), read_brief(folder / "brief.toml")


# Of the first three, each fails where charts are left out that count a little too little.
@over_seeds([40, 25, 3, 27, 38, *range(6, 16), *range(50, 60)], quick=4)
def test_with_few_charts_the_answer_is_that_with_all(seed, tmp_path, monkeypatch):
    catalogue, brief = with_many_charts(seed, tmp_path)
    whole = pick(catalogue, brief)
    monkeypatch.setattr(leading_charts, "_MANY", 3)
    monkeypatch.setattr(leading_charts, "_FIRST", 2)
    leading = pick(catalogue, brief, memory=RowMemory())
    assert (leading.charts is None) == (whole.charts is None)
    if whole.charts is not None:
        assert leading.charts.considered == whole.charts.considered
    assert replace(leading, charts=None) == replace(whole, charts=None)


def asked_of_rows(catalogue, brief, seed):
    """Return why some rows are in the best kit or not, two charts among them."""
    of_category = {row: catalogue.category(row) for row in sorted(catalogue.skus)}
    charts = [row for row, category in of_category.items() if category == "chart"]
    others = [row for row in of_category if row not in charts]
    drawn = random.Random(seed)
    rows = [*drawn.sample(charts, min(2, len(charts))), *drawn.sample(others, min(6, len(others)))]
    return {row: why_not(catalogue, brief, row) for row in rows}


# In the first two a chart that was left out is in the best kit with the row.
@over_seeds([25, 79, 40, 3, 27, 38, *range(6, 16)], quick=2)
def test_what_is_said_of_a_row_is_that_with_all_charts(seed, tmp_path, monkeypatch):
    catalogue, brief = with_many_charts(seed, tmp_path)
    whole = asked_of_rows(catalogue, brief, seed)
    monkeypatch.setattr(leading_charts, "_MANY", 3)
    monkeypatch.setattr(leading_charts, "_FIRST", 2)
    assert asked_of_rows(catalogue, brief, seed) == whole
