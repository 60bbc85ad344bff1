"""The corpus that is mutated: one sound input for each reader, and the command that reads it."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from pathlib import Path
from typing import NamedTuple

import pandas as pd
from handmade import workbook
from typer.testing import CliRunner

from fuzz import page
from kitsolver.cli import app

SHOP = """\
sku,name,category,price,quality,stock,serves,tags,gtin,stitches_wide,stitches_high,colours,weave,\
count,width_cm,height_cm,skein_m,needle_sizes,diameter_cm,tax_rate,trade_cost
C1,"Harbour, small",chart,5.00,80,,,calm;blue,,56,77,#e8e0c8:620;#7fc4c8:415.5:12,,,,,,,,,0.50
F1,Cream,fabric,6.00,70,3,,,4006381333931,,,,aida,14,40,50,,,,0.19,0.50
T1,Cream,thread,1.20,90,,,,,,,#e8e0c8,,,,,8,,,,0.50
T2,Sea,thread,1.20,85,,,,,,,#7fc4c8;#8c7871,,,,,,,,,0.50
N1,Fine,needle,0.90,60,,6,,,,,,,,,,,24;26,,,0.50
S1,Stork,scissors,8.00,75,,,sharp;steel,,,,,,,,,,,,,0.50
H1,Round,hoop,3.00,50,,,,,,,,,,,,,,20.39,,0.50
K1,Tin box,case,2.00,40,9,,,,,,,,,,,,,,0.07,0.50
"""
BRIEF = """\
title = "A kit"
currency = "EUR"
cap = "40.00"
heads = 2
[needs.fabric]
only = { weave = ["aida"], count = [14] }
weight = 2
[needs.needle]
have = { needle_sizes = [24, 26] }
[needs.thread]
shared_by = 2
[extras]
categories = ["hoop", "case"]
most = 1
[choose]
keep = ["S1"]
leave_out = ["T9"]
[fit]
margin_cm = 2.5
needles = { "14" = [24, 26] }
[till]
discount_rate = "0.05"
delivery = "3.95"
delivery_free_from = 30
tax_rate = 0.19
rounding = "half-even"
[shop]
sell_at = "60"
margin_rate = 0.1
uncosted = "leave out"
"""
RANGE = """\
title = "Two kits"
currency = "EUR"
plan = "in order"
distinct = ["case"]
[brief]
cap = "40.00"
[[kits]]
name = "one"
copies = 1
[[kits]]
name = "two"
cap = 20
holds = ["scissors"]
"""
MAP = """\
decimal_comma = true
thousands = "."
quality_most = 5
stars = "★"
bare_hex = true
currency_signs = ["€", "EUR"]
units_in_cells = ["ct"]
yes = ["ja"]
no = ["nein"]
pass_over = { Status = ["weg"], Artikel = ["Summe"] }
[columns]
sku = "Artikel"
price = "VK-Preis"
quality = "Sterne"
width_cm = "Breite"
[categories]
Stoff = "fabric"
[weaves]
Stramin = "aida"
[kinds]
Glanz = "metallic"
[lengths]
width_cm = "mm"
[split]
"Maß" = ["width_in", "height_in"]
[join]
colours = ["Farbe 1", "Farbe 2"]
[defaults]
quality = "50"
serves = 1
[file]
most_rows = 1000
delimiter = ";"
header_row = 3
encoding = "windows-1252"
sheet = "Goods"
"""
THEIRS = """\
Sortiment 2026

Artikel;name;category;VK-Preis;Sterne;weave;count;Breite;height_cm;Maß;Farbe 1;Farbe 2;Status;kind
F1;Cream;Stoff;1.234,50 €;4,5/5;Stramin;14 ct;400,5;50 cm;;aabbcc;;;
F2;Weiß;Stoff;EUR 3;★★★★;Aida;14;;;12 x 14 in;;;;
T1;Größe;thread;2,50;3;;;;;;aabbcc;112233;;Glanz
S1;Stork;scissors;8,00;3;;;;;;;;weg;
Summe;;;1.248,00;;;;;;;;;;
"""
SETTINGS = (
    "needs.fabric.max_price=14.00\n"
    "needs.fabric.only={ weave = ['aida'], count = [14, 16.5] }\n"
    'fit.needles."12.5"=[24, 26]\n'
    "title=plain = text\n"
    "choose.own=['T1', \"F1\"]\n"
    "shades.mode=free"
)
HOME = """\
sku,stock,left_m,quality,name,category,colours,skein_m,needle_sizes,note
T1,,12.75,,,,,,,from the blue box
N1,2,,,,,,,,
mine-1,1,,72.5,Old blue,thread,#7fc4c9,8,,
mine-2,3,,,Tin,case,,,,
"""
OPTIONS = (
    "pick\nsound.csv\nsound.toml\n--cap\n30.00\n--seconds\n5\n--set\nheads=2\n--json\n-\n"
    "--home\nhome.csv\n--confirm\n--skip-bad-rows"
)
# Of all forms of the page but one, beside the goods.
FIELDS = {
    "was": page.ADDRESS.decode(),
    "text": BRIEF,
    "sum": "30,00",
    "currency": "EUR",
    "way": "class",
    "number": "2",
    "each": "yes",
    "h0": "name",
    "m0": "name",
    "sku": "T1",
    "words": "cream",
}
ADDRESSES = "sqlite:///sound.db#goods\nsound.xlsx#Goods\nsound.csv\nsqlite:///sound.db?mode=ro#x"
XLS = Path(__file__).parents[1] / "shop" / "sources" / "goods.xls"


class Reader(NamedTuple):
    """A reader: its sound input, the file's name, and the command that reads it."""

    name: str
    content: bytes
    file: str
    command: tuple[str, ...]


def lay_out(folder: Path) -> dict[str, Reader]:
    """Write the files that stay sound into a folder, and return the readers by name."""
    for name, text in {
        "sound.csv": SHOP,
        "sound.toml": BRIEF,
        "range.toml": RANGE,
        "home.csv": HOME,
        "map.toml": MAP,
        "found.toml": MAP[: MAP.index("delimiter")],
    }.items():
        (folder / name).write_text(text, encoding="utf-8")
    theirs = THEIRS.encode("cp1252", "replace")
    (folder / "theirs.csv").write_bytes(theirs)
    kit = ["pick", "sound.csv", "sound.toml", "--json", "sound.json"]
    with contextlib.chdir(folder):
        done = CliRunner().invoke(app, kit)
    assert done.exit_code == 0, done.output
    saved = json.dumps(json.loads((folder / "sound.json").read_bytes())).encode()
    goods = pd.read_csv(folder / "sound.csv", dtype=str, keep_default_na=False)
    typed = goods.assign(price=goods["price"].astype(float), stock=pd.to_numeric(goods["stock"]))
    typed["since"] = pd.Timestamp("2026-11-25")
    typed.to_parquet(folder / "sound.parquet", compression=None)
    cells = [list(goods.columns), *goods.to_numpy().tolist()]
    shared = sorted({text for row in cells for text in row if text})
    rows = [[f'<c t="s"><v>{shared.index(t)}</v></c>' if t else "<c/>" for t in r] for r in cells]
    escaped = [text.replace("&", "&amp;").replace("<", "&lt;") for text in shared]
    workbook(folder / "sound.xlsx", rows, shared=escaped)
    goods.to_excel(folder / "sound.ods", engine="odf", index=False)
    with contextlib.closing(sqlite3.connect(folder / "sound.db")) as made, made:
        typed.drop(columns="since").to_sql("goods", made, index=False)
    check, pick = ("check", "{}", "sound.toml"), ("pick", "sound.csv", "sound.toml")
    readers = [
        Reader("catalogue", SHOP.encode(), "x.csv", check),
        Reader("picked", SHOP.encode(), "x.csv", ("pick", "{}", "sound.toml", "--skip-bad-rows")),
        Reader("guess", theirs, "x.csv", ("check", "{}", "--guess")),
        Reader("theirs", theirs, "x.csv", ("check", "{}", "--columns", "map.toml")),
        Reader("found", THEIRS.encode("utf-16"), "x", ("check", "{}", "--columns", "found.toml")),
        Reader("ods", (folder / "sound.ods").read_bytes(), "x.ods", check),
        Reader("xls", XLS.read_bytes(), "x.xls", ("check", "{}#Goods")),
        Reader("map", MAP.encode(), "x.toml", ("check", "theirs.csv", "--columns", "{}")),
        Reader("brief", BRIEF.encode(), "x.toml", ("pick", "sound.csv", "{}", "--json", "-")),
        Reader("range", RANGE.encode(), "x.toml", ("range", "sound.csv", "{}")),
        Reader("kit", saved, "x.json", ("recheck", "{}", "sound.csv", "--json", "-")),
        Reader("workbook", (folder / "sound.xlsx").read_bytes(), "x.xlsx", check),
        Reader("parquet", (folder / "sound.parquet").read_bytes(), "x.parquet", check),
        Reader("sqlite", (folder / "sound.db").read_bytes(), "x.db", _of_database(check)),
        Reader("home", HOME.encode(), "x.csv", (*pick, "--home", "{}", "--json", "-")),
        Reader("options", OPTIONS.encode(), "x.txt", ()),
        Reader("source", ADDRESSES.encode(), "x.txt", ("check",)),
        Reader("address", page.ADDRESS, "", ()),
        Reader("headers", page.HEADERS, "", ()),
        Reader("form", page.form_of(SHOP, **FIELDS), "", ()),
        Reader("saved", page.form_of(saved.decode(), was=FIELDS["was"]), "", ()),
        Reader("question", page.questions(BRIEF, SHOP, json.loads(saved)), "", ()),
        Reader("settings", SETTINGS.encode(), "x.txt", pick),
    ]
    return {reader.name: reader for reader in readers}


def _of_database(command: tuple[str, ...]) -> tuple[str, ...]:
    return tuple("sqlite:///{}#goods" if part == "{}" else part for part in command)
