"""The fifth five exports, written after the guessing had been mended for the fourth five.

Each is a list of columns: the header, what it is of ours, and the cell of a row of goods.
"""

from exports import first
from exports.expected import SIZE
from exports.goods import gtin, stock_of_goods
from exports.third import both, listed, side, table
from exports.writing import comma, write_sql, write_text, write_workbook

SPANISH_GROUPS = {
    "chart": "GRÁFICOS", "fabric": "TELAS", "thread": "HILOS", "needle": "AGUJAS",
    "scissors": "TIJERAS", "hoop": "BASTIDORES",
}  # fmt: skip
TILL = [
    ("Ref. int.", "sku", lambda n, _: f"{n + 1:06d}"),
    ("Concepto", "name", lambda _, row: row.name),
    ("Subfamilia", "category",
     lambda _, row: SPANISH_GROUPS.get(row.kind) or row.group.upper()),
    ("Precio sin IVA", "", lambda _, row: comma(float(row.price) / 1.21)),
    ("Tipo IVA", "", lambda *_: "21,00"),
    ("PVP final", "price", lambda _, row: comma(row.price)),
    ("Últ. coste", "trade_cost", lambda _, row: comma(row.cost)),
    ("Stock act.", "stock", lambda _, row: f"{row.stock},00"),
    ("Valoración media", "quality", lambda n, row: comma(row.score - n % 2 * 0.5, 1)),
    ("Tejido", "weave", lambda _, row: row.weave),
    ("Hilos x pulg.", "count", lambda _, row: row.count or ""),
    ("Dim. (cm)", SIZE, lambda _, row: both(row.size, "x")),
    ("Puntos ancho", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Puntos alto", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("Cód. color", "colours", lambda _, row: listed(row.colours, "#")),
    ("Calibre aguja", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Diám. (cm)", "diameter_cm", lambda _, row: row.diameter or ""),
    ("Cód. barras", "gtin", lambda n, _: gtin(7000 + n)),
    ("Ubic.", "", lambda n, _: f"P{1 + n % 4}-E{n % 6}"),
    ("Fec. últ. mov.", "", lambda n, _: f"{1 + n % 28:02d}/10/26"),
]  # fmt: skip

HANDMADE = [
    ("#", "sku", lambda n, _: n + 1),
    ("Product", "name", lambda _, row: row.name),
    ("Sort of thing", "category",
     lambda _, row: {**first.OF_ENGLISH, "chart": "Patterns"}.get(row.kind) or row.group),
    ("We charge", "price", lambda _, row: float(row.price)),
    ("We paid", "trade_cost", lambda _, row: float(row.cost)),
    ("Qty in shop", "stock", lambda _, row: row.stock),
    ("Our verdict (of 10)", "quality", lambda n, row: 2 * row.score - n % 2),
    ("Aida/linen/…", "weave", lambda _, row: row.weave or None),
    ("Count (HPI)", "count", lambda _, row: f"{row.count}ct" if row.count else None),
    ("Cut size", SIZE,
     lambda _, row: both(row.size, " cm × ") and f"{both(row.size, ' cm × ')} cm"),
    ("Stitches across", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Stitches down", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("Hex", "colours", lambda _, row: "; ".join(f"#{each}" for each in row.colours)),
    ("For needles", "needle_sizes", lambda _, row: "; ".join(map(str, row.sizes))),
    ("Inside diameter", "diameter_cm", lambda _, row: f"{row.diameter} cm" if row.diameter else ""),
    ("Reorder?", "", lambda n, _: "yes" if n % 7 == 3 else None),
]  # fmt: skip

WHOLESALER = [
    ("Best.-Nr.", "sku", lambda n, _: f"ZW-{2000 + 7 * n}"),
    ("Artikelbezeichnung 1", "name", lambda _, row: row.name),
    ("Artikelbezeichnung 2", "", lambda n, _: "Neuheit" if n % 10 == 1 else ""),
    ("Sortiment", "category", lambda _, row: first.OF_GERMAN.get(row.kind) or row.group),
    ("UVP inkl. MwSt. EUR", "price", lambda _, row: comma(row.price)),
    ("Ihr Netto-EK EUR", "trade_cost", lambda _, row: comma(row.cost)),
    ("Lieferbar Stk.", "stock", lambda _, row: f"{row.stock * 120:,}".replace(",", ".")),
    ("Kundennote (max. 5)", "quality", lambda n, row: comma(row.score - n % 3 * 0.1, 1)),
    ("Bindung", "weave", lambda _, row: row.weave),
    ("Fd./inch", "count", lambda _, row: row.count or ""),
    ("B (mm)", "width_cm", lambda _, row: side(row.size, 0, 10)),
    ("L (mm)", "height_cm", lambda _, row: side(row.size, 1, 10)),
    ("Kreuze B", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Kreuze H", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("RGB-Werte", "colours", lambda _, row: listed(row.colours, "#")),
    ("Faserart", "kind",
     lambda _, row: {"cotton": "Baumwolle", "metallic": "Metallic"}.get(row.fibre, "")),
    ("Lauflänge je Strang (m)", "skein_m", lambda _, row: 8 if row.kind == "thread" else ""),
    ("Fädig", "strands", lambda _, row: 6 if row.kind == "thread" else ""),
    ("Nadelgröße(n)", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Ø innen (mm)", "diameter_cm", lambda _, row: 10 * row.diameter if row.diameter else ""),
    ("GTIN", "gtin", lambda n, _: gtin(8000 + n)),
    ("VPE", "", lambda n, _: (1, 6, 12)[n % 3]),
    ("Zolltarif-Nr.", "", lambda *_: "58110000"),
    ("Ursprung", "", lambda n, _: ("DE", "PT")[n % 2]),
]  # fmt: skip

CUPBOARD = [
    ("Label on box", "sku", lambda n, _: f"R12/{n + 1}"),
    ("Contents", "name", lambda _, row: row.name),
    ("Sort", "category", lambda _, row: first.OF_ENGLISH.get(row.kind) or row.group),
    ("How many", "stock", lambda _, row: row.stock),
    ("Cost each", "price", lambda _, row: f"€{row.price}"),
    ("Drawer", "", lambda n, _: n % 5 + 1),
    ("Cloth", "weave", lambda _, row: row.weave),
    ("Holes per inch", "count", lambda _, row: row.count or ""),
    ("Piece, cm", SIZE, lambda _, row: both(row.size, " by ") and both(row.size, " x ")),
    ("Shade", "colours", lambda _, row: listed(row.colours, "#")),
    ("Needle size", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Hoop, cm across", "diameter_cm", lambda _, row: row.diameter or ""),
    ("Last checked by", "", lambda n, _: ("Ms Linnet", "Mr Pike")[n % 2]),
    ("Year group", "", lambda n, _: 5 + n % 3),
]  # fmt: skip

DATABASE = [
    ("artikelnummer", "sku", lambda n, _: f"A{30000 + n}"),
    ("artikelname", "name", lambda _, row: row.name),
    ("warengruppe_id", "", lambda _, row: len(row.kind)),
    ("warengruppe_text", "category", lambda _, row: first.OF_GERMAN.get(row.kind) or row.group),
    ("vk_cent", "", lambda _, row: int(row.price * 100)),
    ("vk_brutto", "price", lambda _, row: float(row.price)),
    ("ek_netto", "trade_cost", lambda _, row: float(row.cost)),
    ("menge_lager", "stock", lambda _, row: row.stock),
    ("bewertung_prozent", "quality", lambda n, row: 19 * row.score + n % 5),
    ("stoffart", "weave", lambda _, row: row.weave or None),
    ("faeden_pro_zoll", "count", lambda _, row: row.count or None),
    ("zuschnitt_breite_cm", "width_cm", lambda _, row: side(row.size, 0) or None),
    ("zuschnitt_hoehe_cm", "height_cm", lambda _, row: side(row.size, 1) or None),
    ("stiche_breite", "stitches_wide", lambda _, row: side(row.stitches, 0) or None),
    ("stiche_hoehe", "stitches_high", lambda _, row: side(row.stitches, 1) or None),
    ("farben_hex", "colours", lambda _, row: listed(row.colours) or None),
    ("garnart", "kind",
     lambda _, row: {"cotton": "baumwolle", "metallic": "metallic"}.get(row.fibre)),
    ("nadelstaerken", "needle_sizes", lambda _, row: listed(row.sizes) or None),
    ("rahmen_durchmesser_cm", "diameter_cm", lambda _, row: row.diameter or None),
    ("ist_download", "download", lambda _, row: "ja" if row.kind == "chart" else "nein"),
    ("gewicht_g", "", lambda n, _: 5 + n % 40),
    ("geaendert_am", "", lambda n, _: f"2026-1{n % 2}-{1 + n % 28:02d} 17:30:00"),
]  # fmt: skip

ALL = {
    "till-5.csv": TILL,
    "handmade-5.xlsx": HANDMADE,
    "wholesaler-5.txt": WHOLESALER,
    "cupboard-5.csv": CUPBOARD,
    "database-5.sql": DATABASE,
}
FIFTH = {name: {header: ours for header, ours, _ in columns} for name, columns in ALL.items()}


def till():
    """Write a till's list: Spanish, semicolons, Windows-1252, stock with decimals, two prices."""
    header, rows = table(TILL, stock_of_goods(first.SPANISH, first=24))
    write_text("till-5.csv", [header, *rows], ";", "cp1252")


def handmade():
    """Write a spreadsheet made by hand: English, sizes with both units, lists with blanks."""
    header, rows = table(HANDMADE, stock_of_goods(first.ENGLISH, first=25))
    rows = [[None if cell == "" else cell for cell in row] for row in rows]
    write_workbook("handmade-5.xlsx", [["Thimble Lane stock"], [None], header, *rows], "Stock")


def wholesaler():
    """Write a wholesaler's list: German, UTF-16, tabs, thousands with points, two names."""
    header, rows = table(WHOLESALER, stock_of_goods(first.GERMAN, first=26))
    write_text("wholesaler-5.txt", [header, *rows], "\t", "utf-16")


def cupboard():
    """Write what a school's cupboard holds: English, no charts, no scores, prices with a sign."""
    names = {**first.ENGLISH, "chart": [], "pack": []}
    header, rows = table(CUPBOARD, stock_of_goods(names, first=27))
    title = ["Textiles room, Hatchway School", *[""] * (len(header) - 1)]
    write_text("cupboard-5.csv", [title, header, *rows], ",", "utf-8-sig")


def database():
    """Write a database's table: German, a price in cents beside it, marks in per cent."""
    header, rows = table(DATABASE, stock_of_goods(first.GERMAN, first=28))
    write_sql("database-5.sql", "artikel", header, rows)


EXPORTS = (till, handmade, wholesaler, cupboard, database)

if __name__ == "__main__":
    for export in EXPORTS:
        export()
