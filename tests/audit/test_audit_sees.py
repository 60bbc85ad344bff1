"""What each check of the audit sees in a kit, worked by hand: whether it holds, and its words."""

from decimal import Decimal
from fractions import Fraction

import pytest
from instances.text import to_csv

from kitsolver import brief_of, read_catalogue
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.source import read_source
from kitsolver.solve.audit import conditions, craft, lines, money, quality
from kitsolver.solve.audit.evidence import Claim, Evidence, Piece, Shade
from kitsolver.solve.audit.own_rules import own_checks

CHECKS = {
    check.__name__: check
    for check in (
        *(lines.needs, conditions.conditions, lines.leave_out, lines.keep, lines.extras),
        *(craft.fit, craft.needle, craft.thread, craft.contrast, craft.hoop, craft.finishing),
        *(lines.heads, lines.stock, money.cap, money.margin, quality.quality),
    )
}
COLOURS = "#e8e0c8:60;#7fc4c8:61"
AIDA = {"category": "fabric", "weave": "aida", "count": "14"}
ROWS = {
    # 2 by 3 inches at 14 an inch.
    "C1": {"category": "chart", "stitches_wide": "28", "stitches_high": "42", "colours": COLOURS,
           "price": "5.00", "quality": "80", "series": "a"},
    "C2": {"category": "chart", "stitches_wide": "28", "stitches_high": "42",
           "colours": "#e8e0c8:60:12.5;#7fc4c8:61", "colour_kinds": "silk;cotton",
           "colour_strands": "3;2", "price": "5.00"},
    "F1": AIDA | {"width_in": "20", "height_in": "9", "price": "6.00", "quality": "70",
                  "colours": "#FFFFFF", "stock": "2", "trade_cost": "2.00"},
    "F2": AIDA | {"width_cm": "140", "sold_by": "length", "step_cm": "5", "smallest_cm": "20",
                  "price": "2.00", "trade_cost": "0.50", "stock": "50"},
    "F3": {"category": "fabric", "weave": "linen", "count": "28", "width_cm": "20",
           "height_cm": "50", "price": "6.00"},
    "F4": AIDA | {"width_cm": "60", "sold_by": "length", "price": "2.00"},
    "T1": {"category": "thread", "colours": "#e8e0c8", "price": "1.20", "quality": "90"},
    "T2": {"category": "thread", "colours": "#7fc4c8", "price": "1.20", "quality": "85",
           "skein_m": "4", "strands": "3"},
    "T3": {"category": "thread", "colours": "#e8e0c8; #7FC4C8", "price": "2.00"},
    "T4": {"category": "thread", "colours": "#e8e0c8", "kind": "silk", "price": "3.00"},
    "N1": {"category": "needle", "needle_sizes": "24;26", "price": "0.90", "stock": "1"},
    "N2": {"category": "needle", "needle_sizes": "18;22", "price": "0.90"},
    "S1": {"category": "scissors", "price": "8.00", "quality": "75", "tags": "sharp; steel",
           "trade_cost": "4.00"},
    "S2": {"category": "scissors", "price": "8.00", "quality": "60", "serves": "2"},
    "H1": {"category": "hoop", "diameter_cm": "15", "price": "3.00"},
    "H2": {"category": "hoop", "diameter_in": "8", "price": "3.00"},
    "O1": {"category": "card", "opening_cm": "8 x 5.08", "price": "1.00", "series": "a;b"},
    "O2": {"category": "card", "opening_in": "2×2.9", "price": "1.00", "series": "b"},
    "O3": {"category": "card", "opening_cm": "7.62", "price": "1.00"},
    "D1": {"category": "plan", "download": "yes", "price": "4.00", "tax_rate": "0.07",
           "weight_g": "0", "stock": "1"},
    "K1": {"category": "case", "price": "2.00", "quality": "40.5", "weight_g": "12.5",
           "sold": "x;3", "softness": "3", "tags": "sharp"},
}  # fmt: skip
BRIEF = {"currency": "EUR", "cap": "100", "fit": {"margin_in": 3}}


@pytest.fixture(scope="module")
def seen(tmp_path_factory):
    """Return what the audit goes by, of lines as "C1 F1x2 +H1" (an extra has a plus)."""
    place = tmp_path_factory.mktemp("audit")
    rows = [{"sku": sku, "name": sku, "quality": "50"} | row for sku, row in ROWS.items()]
    (place / "shop.csv").write_text(to_csv(rows), encoding="utf-8", newline="")
    shop = read_catalogue(place / "shop.csv", currency="EUR")

    def seen(said, given=(), *, home="", sums=(0, 0, 0, 0, 0), figures=(0, 0), **asked):
        catalogue = shop
        if home:
            (place / "home.csv").write_text(home, encoding="utf-8")
            catalogue, _ = with_home(shop, read_source(place / "home.csv", mapping=None))
        pieces = []
        for word in said.split():
            sku, _, units = word.strip("+").partition("x")
            units, _, metres = units.partition("m")
            units, _, from_home = units.partition("h")
            role = "extra" if word[0] == "+" else "need"
            category = catalogue.row(sku)["category"]
            pieces.append(
                Piece(
                    sku,
                    category,
                    role,
                    int(units or 1),
                    0,
                    int(from_home or 0),
                    Decimal(metres) if metres else None,
                )
            )
        claim = Claim(pieces, given, *sums, *map(Fraction, figures))
        return Evidence(claim, catalogue, brief_of(BRIEF | asked))

    return seen


def shade(sku="T1", thread="#e8e0c8", *, of="#e8e0c8", stitches=60, difference=0, skeins=1):
    return Shade(of, stitches, sku, thread, difference, skeins)


CREAM, SEA = shade(), shade("T2", "#7fc4c8", of="#7fc4c8", stitches=61)
BOTH = (CREAM, SEA)
AT_HOME = {"have": True}


def free(one, other, **shades):
    """Return what is asked and given of shades for cream and sea, colours being free."""
    return {
        "shades": {"mode": "free"} | shades,
        "given": (shade(thread=one), shade(thread=other, of="#7fc4c8", stitches=61)),
    }


def limit(**more):
    asked = {"name": "g", "column": "weight_g", "blank": 0} | more
    return {"limits": [asked], "heads": 4, "spare": 1}


def pair(**side):
    """Return a pair that a case asks for, about scissors (or whatever, for `with`) of some tag."""
    ((name, tag),) = side.items()
    where = {"category": "scissors", "tags_any": [tag]}
    return {"pairs": [{"name": "p", "if": {"category": "case"}, name: where}]}


def alike(**more):
    return {"alike": [{"name": "r", "column": "series"} | more]}


ALIKE = alike()

CASES = [
    ("needs", "C1 F1 T1 T2 N1 S1", {"given": BOTH}, True, "one choice of every need"),
    ("needs", "C1 F1 F1 T1 T2 N1", {"given": BOTH}, False, "not one choice of fabric, scissors"),
    ("needs", "C1 F1 T1 T2 N1 S1", {"given": BOTH[:1]}, False, "not one choice of thread"),
    ("needs", "F1 T1 N1 S1", {"needs": {"chart": AT_HOME}}, True, "one choice of every need"),
    ("needs", "F1 T1 T2 N1 S1", {"needs": {"chart": AT_HOME}}, False, "not one choice of thread"),
    ("needs", "C1 F1 N1 S1", {"needs": {"thread": AT_HOME}}, True, "one choice of every need"),
    ("needs", "C1 F1 T1 N1 S1", {"needs": {"thread": AT_HOME}}, False, "not one choice of thread"),
    ("conditions", "F1 S1 +K1", {}, True, "every condition of the brief is met"),
    ("conditions", "S1 +K1", {"needs": {"scissors": {"min_quality": 76}}}, False, "not met by S1"),
    ("conditions", "S1 +K1", {"extras": {"conditions": {"case": {"max_price": "1.99"}}}}, False,
     "not met by K1"),
    ("conditions", "+S1 S2", {"needs": {"scissors": {"min_quality": 61}}}, False, "not met by S2"),
    ("conditions", "S1 +S2", {"needs": {"scissors": {"min_quality": 61}}}, True,
     "every condition of the brief is met"),
    ("conditions", "S1 +K1", {"all": {"tags_all": ["steel"]}}, False, "not met by K1"),
    ("conditions", "S1 +K1", {"all": {"tags_none": ["steel"]}}, False, "not met by S1"),
    ("conditions", "S1 +K1", {"all": {"tags_all": ["sharp"], "tags_none": ["blunt"]}}, True,
     "every condition of the brief is met"),
    ("leave_out", "S1", {"choose": {"leave_out": ["S2"]}}, True, "nothing left out is in the kit"),
    ("leave_out", "S1 N1", {"choose": {"leave_out": ["S1", "N1"]}}, False, "in the kit: N1, S1"),
    ("keep", "S1", {"choose": {"keep": ["S1"]}}, True, "everything kept is in the kit"),
    ("keep", "S1", {"choose": {"keep": ["N2", "N1"]}}, False, "missing: N1, N2"),
    ("extras", "S1 +K1 +H1", {}, True, "extras: 2"),
    ("extras", "S1 +K1 +H1", {"extras": {"most": 2}}, True, "extras: 2"),
    ("extras", "S1 +K1 +H1", {"extras": {"most": 1}}, False, "2 extras, at most 1 asked for"),
    ("extras", "+H1 +H2", {}, False, "not asked for hoop"),
    ("extras", "+S1 +F1 +K1", {}, False, "not asked for S1, F1"),
    ("extras", "+F1 +K1", {"holds": ["scissors"], "extras": {"categories": ["fabric"]}}, False,
     "not asked for K1"),
    ("extras", "+K1", {"extras": {"spend": "none"}}, False, "not asked for K1"),
    ("fit", "C1 F1", {}, True, "a cut of 20.32 × 22.86 cm on 50.80 × 22.86 cm: 2 a unit, 2 for 1"),
    ("fit", "C1 F1", {"units": "in"}, True,
     "a cut of 8.00 × 9.00 in on 20.00 × 9.00 in: 2 a unit, 2 for 1"),
    ("fit", "C1 F1x2", {"heads": 3, "spare": 1}, True,
     "a cut of 20.32 × 22.86 cm on 50.80 × 22.86 cm: 2 a unit, 4 for 4"),
    ("fit", "C1 F1x2", {"heads": 4, "spare": 1}, False,
     "a cut of 20.32 × 22.86 cm on 50.80 × 22.86 cm: 2 a unit, 4 for 5"),
    ("fit", "C1 F2x5", {}, True,
     "a cut of 20.32 × 22.86 cm on 140.00 × 25.00 cm: 6 a unit, 6 for 1"),
    ("fit", "C1 F2x5", {"heads": 7}, False,
     "a cut of 20.32 × 22.86 cm on 140.00 × 25.00 cm: 6 a unit, 6 for 7"),
    ("fit", "C1 F3", {}, False, "a cut of 20.32 × 22.86 cm on 20.00 × 50.00 cm does not fit"),
    ("fit", "C1", {"needs": {"fabric": AT_HOME}}, None, "not checked: the fabric is not known"),
    ("fit", "F1", {"needs": {"chart": AT_HOME}}, None,
     "not checked: the chart's size is not known"),
    ("fit", "C1", {"needs": {"fabric": {"have": {"weave": "aida", "count": 14, "width_in": 9,
                                                 "height_in": 8}}}}, True,
     "a cut of 20.32 × 22.86 cm on 22.86 × 20.32 cm: 1 a unit, 1 for 1"),
    ("needle", "C1 F1 N1", {}, True, "effective count 14 takes size 24 or 26"),
    ("needle", "C1 F1 N2", {}, False, "effective count 14 takes size 24 or 26, not N2"),
    ("needle", "C1 F3 N1", {"fit": {"over": 3}}, True, "effective count 9.33 takes size 22 or 24"),
    ("needle", "C1 N1", {"needs": {"fabric": AT_HOME}}, None,
     "not checked: the effective count is not known"),
    ("needle", "C1 F1", {"needs": {"needle": AT_HOME}}, None,
     "not checked: the needle at home is not described"),
    ("needle", "F1", {"needs": {"needle": {"have": {"needle_sizes": [22]}}}}, False,
     "effective count 14 takes size 24 or 26, not the needle at home"),
    ("needle", "F1 +N2", {"needs": {"needle": AT_HOME}}, False,
     "effective count 14 takes size 24 or 26, not N2"),
    ("needle", "C1 F1 N2", {"fit": {"needles": {"14": [22]}}}, True,
     "effective count 14 takes size 22"),
    ("thread", "C1 F1 T1 T2", {"given": BOTH}, True,
     "2 colours, each with enough thread of its own, within the tolerance"),
    ("thread", "C1 F1", {"needs": {"thread": AT_HOME}}, None, "not checked: the thread is at home"),
    ("thread", "C1 F1", {"holds": ["chart", "fabric"]}, None, "no thread asked for"),
    ("thread", "F1 T1", {"needs": {"chart": AT_HOME}}, None,
     "not checked: the chart's colours are not known, one row was chosen"),
    ("thread", "C1 F1 T1 T2", {"given": BOTH[::-1]}, False,
     "the shades are not those of the chart"),
    ("thread", "C1 F1 T1 T2", {"given": (shade(skeins=2), SEA)}, False,
     "2 skeins of #e8e0c8 are not what it takes"),
    ("thread", "C1 F1 T1 T2", {"given": (shade(difference=1), SEA)}, False,
     "#e8e0c8 is not within the tolerance"),
    ("thread", "C1 F1 T1 T2 T3", {"given": BOTH}, False, "colours nothing: T3"),
    ("thread", "C1 F1 T3", {"given": (shade("T3"), shade("T3", "#7fc4c8", of="#7fc4c8",
                                                          stitches=61))}, True,
     "2 colours, each with enough thread of its own, within the tolerance"),
    ("thread", "C1 F1 T4 T2", {"given": (shade("T4"), SEA)}, False,
     "#e8e0c8 is silk, where cotton is charted"),
    ("thread", "C1 F1 T4 T2", {"given": (shade("T4"), SEA),
                               "shades": {"kinds": {"cotton": ["silk"]}}}, True,
     "2 colours, each with enough thread of its own, within the tolerance"),
    ("thread", "C1 T1 T2", {"given": BOTH, "needs": {"fabric": AT_HOME}}, None,
     "amount not checked: no effective count is known, one skein a colour is taken"),
    ("thread", "C1 T1 T2", {"given": (CREAM, SEA), "heads": 3, "needs": {"fabric": AT_HOME}},
     False, "1 skeins of #e8e0c8 are not what it takes"),
    ("thread", "C1 F1 T1", {"given": (shade(None), shade("T1", "#e8e0c8", of="#7fc4c8",
                                                          stitches=61)),
                            "needs": {"thread": {"have": ["#e8e0c8"]}}}, False,
     "#e8e0c8 is not within the tolerance"),
    ("thread", "C1 F1", {"given": (shade(None), shade(None, of="#7fc4c8", stitches=61)),
                         "needs": {"thread": {"have": ["#e8e0c8"]}}}, False,
     "#e8e0c8 of what is at home is given to several colours"),
    ("contrast", "C1 F1 T1 T2", {"given": BOTH}, True, "no contrast asked for"),
    ("contrast", "F1", {"shades": {"mode": "free"}}, True, "no contrast asked for"),
    ("contrast", "F1", free("#777777", "#000000"), True,
     "at least 10 between shades, and 10 from the cloth"),
    ("contrast", "F1", free("#777777", "#000000", on_cloth=20), True,
     "at least 10 between shades, and 20 from the cloth"),
    ("contrast", "F1", free("#777777", "#000000", on_cloth=5), True,
     "at least 10 between shades, and 10 from the cloth"),
    ("contrast", "F1", free("#777777", "#777777"), False, "two shades differ by 0 only"),
    ("contrast", "F1", free("#777777", "#777777", contrast=0), True,
     "at least 0 between shades, and 0 from the cloth"),
    ("contrast", "F1", free("#ffffff", "#000000"), False,
     "a shade differs from the cloth by 0 only"),
    ("contrast", "F1", free("#000000", "#777777"), False,
     "shades are not dark to light as charted"),
    ("contrast", "F1", free("#000000", "#777777", keep_values=False), True,
     "at least 10 between shades, and 10 from the cloth"),
    ("contrast", "F3", free("#777777", "#000000"), None,
     "at least 10 between shades, the cloth is not known"),
    ("contrast", "F3", free("#777777", "#000000", contrast=0), True,
     "at least 0 between shades, the cloth is not known"),
    ("contrast", "F1", free("#777777", "#777777", mode="charted", on_cloth=20), True,
     "at least 0 between shades, and 20 from the cloth"),
    ("contrast", "F1", free("#ffffff", "#777777", mode="charted", on_cloth=20), False,
     "a shade differs from the cloth by 0 only"),
    ("contrast", "F1", free("#777777", "#000000", mode="charted", on_cloth=20), True,
     "at least 0 between shades, and 20 from the cloth"),
    ("contrast", "F1", free("#000000", "#777777", mode="charted", on_cloth=20), True,
     "at least 0 between shades, and 20 from the cloth"),
    ("contrast", "", free("#ffffff", "#000000") | {"needs": {"fabric": {"have": {
        "colours": "#ffffff"}}}}, False, "a shade differs from the cloth by 0 only"),
    ("contrast", "", free("#777777", "#000000") | {"needs": {"fabric": {"have": {
        "weave": "aida"}}}}, None, "at least 10 between shades, the cloth is not known"),
    ("hoop", "C1 F1", {}, True, "no hoop in the kit"),
    ("hoop", "C1 F1 +H1", {}, True, "the hoop is within 50.80 × 22.86 cm"),
    ("hoop", "C1 F1 +H2", {}, False, "not within 50.80 × 22.86 cm: H2"),
    ("hoop", "C1 F1 +H1", {"heads": 2}, True, "the hoop is within 20.32 × 22.86 cm"),
    ("hoop", "C1 F1 +H1", {"spare": 1}, True, "the hoop is within 20.32 × 22.86 cm"),
    ("hoop", "C1 +H1", {"needs": {"fabric": AT_HOME}}, None,
     "not checked: the piece a head works on is not known"),
    ("hoop", "F1 +H1", {"heads": 2, "needs": {"chart": AT_HOME}}, True,
     "the hoop is within 50.80 × 22.86 cm"),
    ("hoop", "C1 F1", {"holds": ["hoop"], "needs": {"hoop": AT_HOME}}, None,
     "not checked: the hoop at home is not described"),
    ("hoop", "C1 F1", {"holds": ["chart", "fabric", "hoop"],
                       "needs": {"hoop": {"have": {"diameter_cm": 18}}}}, False,
     "not within 50.80 × 22.86 cm: the hoop at home"),
    ("finishing", "C1 F1", {}, True, "nothing to frame it"),
    ("finishing", "C1 F1 +O1", {}, True, "5.08 × 7.62 cm is within every opening"),
    ("finishing", "C1 F1 +O2", {}, False, "5.08 × 7.62 cm is not within O2"),
    ("finishing", "C1 F1 +O3", {}, True, "5.08 × 7.62 cm is within every opening"),
    ("finishing", "F1 +O1", {"needs": {"chart": AT_HOME}}, None,
     "not checked: the finished size is not known"),
    ("heads", "C1 F1 N1 S2", {}, True, "units for one head"),
    ("heads", "C1x3 F1x2 N1x3 S2x2", {"heads": 3}, True, "units for 3 heads"),
    ("heads", "C1x4 F1x2 N1x4 S2x2", {"heads": 3, "spare": 1}, True, "units for 3 heads"),
    ("heads", "C1x3 F1x3 N1x2 S2x1", {"heads": 3}, False, "not the units it takes: F1, N1, S2"),
    ("heads", "C1x3 N1x2 S2x1", {"heads": 3, "needs": {"needle": {"shared_by": 2},
                                                       "scissors": {"shared_by": 2}}}, True,
     "units for 3 heads"),
    ("heads", "C1x3 +N1x2", {"heads": 3, "needs": {"needle": {"shared_by": 2}}}, False,
     "not the units it takes: N1"),
    ("heads", "C1 F2x5", {}, True, "units for one head"),
    ("heads", "C1x7 F2x9", {"heads": 7}, True, "units for 7 heads"),
    ("heads", "C1x7 F2x10", {"heads": 7}, False, "not the units it takes: F2"),
    ("heads", "C1 F4x3", {}, True, "units for one head"),
    ("heads", "F2x8", {"heads": 2, "needs": {"chart": AT_HOME}}, True, "units for 2 heads"),
    ("heads", "+F2x8", {"heads": 2}, True, "units for 2 heads"),
    ("heads", "F1x2", {"heads": 2, "needs": {"chart": AT_HOME}}, True, "units for 2 heads"),
    ("heads", "C1x2 +F1x2", {"heads": 2}, True, "units for 2 heads"),
    ("heads", "C1 F1 T3", {"given": (shade("T3", skeins=2), shade("T3", skeins=1))}, False,
     "not the units it takes: T3"),
    ("heads", "C1 F1 T3x2", {"given": (shade("T3", skeins=2), shade("T3", skeins=1))}, True,
     "units for one head"),
    ("heads", "+T1x2 C1x2", {"heads": 2}, True, "units for 2 heads"),
    ("heads", "K1x3h2", {"heads": 3, "holds": ["case"], "home": "sku,category,stock\nK1,case,2\n"},
     True, "units for 3 heads"),
    ("heads", "K1x3h3", {"heads": 3, "holds": ["case"], "home": "sku,category,stock\nK1,case,2\n"},
     False, "not the units it takes: K1"),
    ("heads", "K1x1h1", {"holds": ["case"], "home": "sku,category,stock\nK1,case,2\n"}, True,
     "units for one head"),
    *(("heads", f"C1x{heads} F1x{heads + 1 >> 1} T1x{units}m{metres} T2x{heads}m0.00", {
        "heads": heads, "given": (shade(skeins=units), shade("T2", "#7fc4c8", of="#7fc4c8",
                                                            stitches=61, skeins=heads)),
        "fit": {"margin_in": 3, "waste": 0},
        "home": f"sku,category,left_m\nT1,thread,{left}\n"}, True, words)
      # 60 crosses of two strands at 14 take 1.0512 m of strand, of six plies 0.1752 m.
      for heads, left, units, metres, words in [
          (1, "0.17", 1, "0.00", "units for one head"),
          (1, "0.18", 0, "0.18", "units for one head"),
          (2, "0.35", 1, "0.18", "units for 2 heads"),
          (2, "0.36", 0, "0.35", "units for 2 heads"),
          (3, "9", 0, "0.53", "units for 3 heads"),
      ]),
    *(("heads", f"+T1x{units}m{metres} +K1x3", {
        "heads": 3, "home": f"sku,category,{column}\nT1,thread,{left}\n"}, True,
       "units for 3 heads")
      for column, left, units, metres in [
          ("left_m", "7.99", 3, "0.00"), ("left_m", "16", 1, "16.00"), ("stock", "2", 1, "16.00"),
          ("stock", "", 2, "8.00"), ("stock", "9", 0, "24.00"),
      ]),
    ("heads", "C1 F1 T3x0", {"given": BOTH, "home": "sku,category\nT3,thread\n"}, True,
     "units for one head"),
    # Three heads, of whom two work from a pool: two pools of 0.3504 m.
    ("heads", "C1x3 F1x2 T1x0m0.70 T2x2m0.00", {
        "heads": 3, "given": (shade(skeins=0), shade("T2", "#7fc4c8", of="#7fc4c8", stitches=61,
                                                     skeins=2)),
        "fit": {"margin_in": 3, "waste": 0}, "needs": {"thread": {"shared_by": 2}},
        "home": "sku,category,left_m\nT1,thread,9\n"}, True, "units for 3 heads"),
    ("stock", "C1 F1x2 N1", {}, True, "enough of every line in stock"),
    ("stock", "C1 F1x3 N1x2", {}, False, "not enough in stock of F1, N1"),
    ("stock", "N1x2", {"choose": {"own": ["N1"]}}, True, "enough of every line in stock"),
    ("stock", "+D1x9", {}, True, "enough of every line in stock"),
    ("stock", "N1x3", {"home": "sku,category,stock\nN1,needle,2\n"}, True,
     "enough of every line in stock"),
    ("stock", "N1x4", {"home": "sku,category,stock\nN1,needle,2\n"}, False,
     "not enough in stock of N1"),
    ("stock", "X1x2", {"home": "sku,name,category,stock,quality\nX1,Old,case,2,50\n"}, True,
     "enough of every line in stock"),
    ("stock", "X1x3", {"home": "sku,name,category,stock,quality\nX1,Old,case,2,50\n"}, False,
     "not enough in stock of X1"),
    ("margin", "F1 S1", {}, True, "no margin asked for"),
    ("margin", "F1 S1", {"shop": {"sell_at": "12.00", "margin_rate": "0.5"}}, True,
     "the margin asked for is left"),
    ("margin", "F1 S1", {"shop": {"sell_at": "11.98", "margin_rate": "0.5"}}, False,
     "the margin asked for is not left"),
    ("margin", "F1 N1", {"shop": {"sell_at": "99", "margin_rate": "0.5"}}, False,
     "a row's trade cost is not known"),
    ("margin", "F1 N1", {"shop": {"sell_at": "4.00", "margin_rate": "0.5"},
                         "choose": {"own": ["N1"]}}, True, "the margin asked for is left"),
    ("margin", "F1 N1x2", {"shop": {"sell_at": "4.00", "margin_rate": "0.5"},
                           "home": "sku,category,stock\nN1,needle,2\n"}, True,
     "the margin asked for is left"),
    # 8 steps of 5 cm are four times 10 cm.
    ("margin", "F2x8", {"shop": {"sell_at": "4.00", "margin_rate": "0.5"}}, True,
     "the margin asked for is left"),
    ("margin", "F2x9", {"shop": {"sell_at": "4.00", "margin_rate": "0.5"}}, False,
     "the margin asked for is not left"),
    ("quality", "C1 F1", {"figures": (75, 0), "holds": ["chart", "fabric"]}, True,
     "quality 75 of 100, extras 0"),
    ("quality", "C1 F1 +K1", {"figures": (75, 40), "holds": ["chart", "fabric"]}, False,
     "quality 75 of 100, extras 40.5"),
    # Twice 80 and once 70.
    ("quality", "C1 F1", {"figures": (Fraction(230, 3), 0), "holds": ["chart", "fabric"],
                          "needs": {"chart": {"weight": 2}}}, True,
     "quality 76.67 of 100, extras 0"),
    ("quality", "C1 F1", {"figures": (0, 0), "holds": ["chart", "fabric"],
                          "needs": {"chart": {"weight": 0}, "fabric": {"weight": 0}}}, True,
     "quality 0 of 100, extras 0"),
    ("quality", "C1", {"figures": (80, 0), "holds": ["chart", "fabric"],
                       "needs": {"fabric": AT_HOME}}, True, "quality 80 of 100, extras 0"),
    # 0.5 away at 5 a unit: 90 - 2.5, and 85.
    ("quality", "C1 T1 T2", {"figures": ("86.25", 0), "holds": ["chart", "thread"],
                             "needs": {"chart": {"weight": 0}},
                             "given": (shade(difference=5000), SEA)}, True,
     "quality 86.25 of 100, extras 0"),
    # A hundredth half up: 0.001 x 5 is 0.005.
    ("quality", "C1 T1 T2", {"figures": ("87.5", 0), "holds": ["chart", "thread"],
                             "needs": {"chart": {"weight": 0}},
                             "given": (shade(difference=10), SEA)}, True,
     "quality 87.5 of 100, extras 0"),
    ("quality", "C1 T1 T2", {"figures": ("87.495", 0), "holds": ["chart", "thread"],
                             "needs": {"chart": {"weight": 0}},
                             "given": (shade(difference=11), SEA)}, True,
     "quality 87.5 of 100, extras 0"),
    # Nothing is below zero, and shades at home are worth 100.
    ("quality", "C1 T1", {"figures": (50, 0), "holds": ["chart", "thread"],
                          "needs": {"chart": {"weight": 0}, "thread": {"have": ["#7fc4c8"]}},
                          "given": (shade(difference=300_000), shade(None))}, True,
     "quality 50 of 100, extras 0"),
    # A softness of 3 between 1 and 5 is a half; 40.5 of 100; one of 3 and two of 3.
    ("quality", "K1", {"figures": ("43.67", 0), "holds": ["case"],
                       "needs": {"case": {"score": {"softness": 1, "quality": 2},
                                          "range": {"softness": [1, 5]}}}}, True,
     "quality 43.67 of 100, extras 0"),
    ("size", "C1 F1", {"size": {"at_most_cm": ["7.62", "5.08"]}}, True,
     "finishes at 5.08 × 7.62 cm"),
    ("size", "C1 F1", {"size": {"at_most_cm": ["7.61", "5.08"]}}, False,
     "finishes at 5.08 × 7.62 cm"),
    ("size", "C1 F1", {"size": {"at_most_in": [2, 3]}, "units": "in"}, True,
     "finishes at 2 × 3 in"),
    ("size", "C1 F1", {"size": {"at_most_cm": [9, 9], "at_most_in": [2, "2.9"]}}, False,
     "finishes at 5.08 × 7.62 cm"),
    ("size", "C1 F1", {"size": {"at_least_in": [3, 2]}}, True, "finishes at 5.08 × 7.62 cm"),
    ("size", "C1 F1", {"size": {"at_least_cm": [1, 1], "at_least_in": [3, "2.01"]}}, False,
     "finishes at 5.08 × 7.62 cm"),
    ("size", "C1 F1", {"size": {"at_least_cm": [8, 4], "at_most_cm": [9, 9]}}, False,
     "finishes at 5.08 × 7.62 cm"),
    ("size", "C1", {"size": {"at_most_in": [2, 3]}, "needs": {"fabric": AT_HOME}}, None,
     "not checked: the size of the finished design is not known"),
    ("hours", "C1", {"lesson": {"hours_at_most": 3}}, True, "2.02 hours of 3"),
    ("hours", "C1", {"lesson": {"hours_at_most": "2.50", "stitches_an_hour": 48}}, False,
     "2.52 hours of 2.5"),
    ("hours", "C1", {"lesson": {"hours_at_most": 1, "stitches_an_hour": 121}}, True,
     "1 hours of 1"),
    ("hours", "F1", {"lesson": {"hours_at_most": 3}, "needs": {"chart": AT_HOME}}, None,
     "not checked: the chart's stitches are not known"),
    *(("limits: g", "K1x2 +D1", limit(**side), good, f"25 weight_g, of {words}")
      for side, good, words in [
          ({"most": 25}, True, "at most 25"), ({"most": "24.99"}, False, "at most 24.99"),
          ({"least": 25}, True, "at least 25"), ({"least": "25.01"}, False, "at least 25.01"),
          ({"least": 1, "most": 30}, True, "at least 1 and at most 30"),
          ({"most": 5, "a_head": True}, True, "at most 25"),
          ({"least": 6, "a_head": True}, False, "at least 30"),
      ]),
    ("limits: g", "K1 S1", limit(most=99, blank=0), True, "12.5 weight_g, of at most 99"),
    ("limits: g", "K1 S1 N1", limit(most=99, blank="leave out"), False,
     "no weight_g is given by S1, N1"),
    ("limits: g", "K1 S1", limit(most=99, blank="leave out", where={"category": "case"}), True,
     "12.5 weight_g, of at most 99"),
    ("limits: g", "K1x2 S1 +D1", {"limits": [{"name": "g", "most": 2}]}, False,
     "3 lines, of at most 2"),
    ("limits: g", "K1x2 S1 +D1", {"limits": [{"name": "g", "least": 2, "where": {
        "max_price": "4.00"}}]}, True, "2 lines, of at least 2"),
    ("limits: g", "K1 +D1", limit(column="tax_rate", most=1) | {"till": {"tax_rate": "0.2"}}, True,
     "0.27 tax_rate, of at most 1"),
    ("pairs: p", "K1 S1", pair(then="sharp"), True, "asked by K1, and met"),
    ("pairs: p", "K1 S1 S2", pair(then="sharp"), False, "asked by K1, and not met by S2"),
    ("pairs: p", "S2", pair(then="sharp"), True, "no row of the kit asks for it"),
    ("pairs: p", "K1 S1 S2", pair(**{"with": "sharp"}), True, "asked by K1, and met"),
    ("pairs: p", "K1 S2", pair(**{"with": "sharp"}), False, "asked by K1, and not met by K1, S2"),
    ("pairs: p", "K1 N1", pair(**{"with": "sharp"}), False, "asked by K1, and not met by K1, N1"),
    ("pairs: p", "K1 S2", pair(never="sharp"), True, "asked by K1, and met"),
    ("pairs: p", "K1 S1 S2", pair(never="sharp"), False, "asked by K1, and not met by S1"),
    ("pairs: p", "S1 S2", {"pairs": [{"name": "p", "never": {"tags_any": ["sharp"]}}]}, False,
     "not met by S1"),
    ("pairs: p", "S2", {"pairs": [{"name": "p", "never": {"tags_any": ["sharp"]}}]}, True, "met"),
    ("pairs: p", "K1", pair(then="sharp") | {"needs": {"scissors": AT_HOME}}, None,
     "not checked: the scissors at home is not described enough"),
    ("pairs: p", "S2", {"needs": {"fabric": {"have": {"weave": "linen"}}},
                        "pairs": [{"name": "p", "never": {"only": {"weave": ["linen"]}}}]}, False,
     "not met by the fabric at home"),
    ("alike: r", "O1 +O2", ALIKE, True, "series b"),
    ("alike: r", "C1 +O1", ALIKE, True, "series a"),
    ("alike: r", "O1 +K1", ALIKE, True, "series a or b"),
    ("alike: r", "K1", ALIKE, True, "no row says its series"),
    ("alike: r", "O1 +K1", alike(blank="refuse"), False, "no series is given by K1"),
    ("alike: r", "O1 +K1", alike(blank="refuse", of=["card"]), True, "series a or b"),
    ("alike: r", "N1 N2", alike(column="needle_sizes"), False, "no needle_sizes that all have"),
    ("alike: r", "C1 C2", alike(column="stitches"), True, "stitches 121"),
    ("alike: r", "F1 F4", alike(column="count"), True, "count 14"),
    ("alike: r", "T1 T4", alike(column="kind"), False, "no kind that all have"),
    ("alike: r", "T1 T3", alike(column="colours"), True, "colours #e8e0c8"),
    ("alike: r", "C1 T3", alike(column="colours"), True, "colours #7fc4c8 or #e8e0c8"),
    ("alike: r", "K1 +O1", alike(column="sold", of=["case"]), True, "sold 3 or x"),
    ("alike: r", "T1", alike(column="weave") | {"needs": {"fabric": {"have": {"count": 14}}}}, None,
     "not checked: of the fabric at home no weave is described"),
    ("alike: r", "F1", alike(column="weave") | {"needs": {"chart": AT_HOME}}, None,
     "not checked: of the chart at home no weave is described"),
    ("alike: r", "F1", alike(column="weave", of=["fabric"]) | {"needs": {"chart": AT_HOME}}, True,
     "weave aida"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("check", "said", "asked", "holds", "words"),
    CASES,
    ids=[f"{number}-{case[0]}" for number, case in enumerate(CASES)],
)
def test_what_it_sees(seen, check, said, asked, holds, words):
    given = asked.get("given", ())
    evidence = seen(said, given, **{key: x for key, x in asked.items() if key != "given"})
    check = CHECKS.get(check) or dict(own_checks(evidence))[check]
    assert check(evidence) == (holds, words)
