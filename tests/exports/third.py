"""Five exports more, written after the guessing had been mended for the second five.

Each is a list of columns: the header, what it is of ours, and the cell of a row of goods.
"""

from exports import first, second
from exports.expected import SIZE, STITCHES
from exports.goods import gtin, stock_of_goods
from exports.writing import comma, write_sql, write_text, write_workbook


def listed(values, before=""):
    """Return values parted by semicolons."""
    return ";".join(f"{before}{value}" for value in values)


def side(pair, place, scale=1):
    """Return one of two lengths, or a blank."""
    return pair[place] * scale if pair else ""


def both(pair, between):
    """Return two lengths in a cell, or a blank."""
    return f"{pair[0]}{between}{pair[1]}" if pair else ""


def colour(row, place):
    """Return the colour of a place, or a blank."""
    return f"#{row.colours[place]}" if place < len(row.colours) else ""


GROUPS_SPANISH = {**first.OF_SPANISH, "chart": "Esquemas", "fabric": "Tejidos"}
TILL = [
    ("Nº", "sku", lambda n, _: f"{50100 + 3 * n}"),
    ("Denominación", "name", lambda _, row: row.name),
    ("Sección", "category", lambda _, row: GROUPS_SPANISH.get(row.kind) or row.group),
    ("P.V.P. (IVA incl.)", "price", lambda _, row: f"{comma(row.price)} €"),
    ("Coste", "trade_cost", lambda _, row: f"{comma(row.cost)} €"),
    ("Uds.", "stock", lambda _, row: row.stock),
    ("Nota", "quality", lambda n, row: comma(row.score * 2 - n % 2 * 0.5, 1)),
    ("Ligamento", "weave", lambda _, row: row.weave),
    ("Hilos/pulgada", "count", lambda _, row: row.count or ""),
    ("Medidas", SIZE, lambda _, row: both(row.size, " x ") and f"{both(row.size, ' x ')} cm"),
    ("Puntadas ancho", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Puntadas alto", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("Colores del gráfico o del hilo", "colours", lambda _, row: listed(row.colours, "#")),
    ("Aguja nº", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Ø bastidor", "diameter_cm", lambda _, row: f"{row.diameter} cm" if row.diameter else ""),
    ("Proveedor habitual", "", lambda n, _: ("Ribera", "La Era")[n % 2]),
    ("Últ. venta", "", lambda n, _: f"{1 + n % 28:02d}-01-2026"),
]  # fmt: skip

HANDMADE = [
    ("Codice", "sku", lambda n, _: f"B{n + 1:03d}"),
    ("Cosa", "name", lambda _, row: row.name),
    ("Genere", "category", lambda _, row: second.OF_ITALIAN.get(row.kind) or row.group),
    ("Prezzo", "price", lambda _, row: float(row.price)),
    ("Stelline", "quality", lambda _, row: "★" * row.score),
    ("Pezzi rimasti", "stock", lambda _, row: row.stock),
    ("Tela", "weave", lambda _, row: row.weave),
    ("Fili per pollice", "count", lambda _, row: row.count or None),
    ("Largh. cm", "width_cm", lambda _, row: side(row.size, 0)),
    ("Alt. cm", "height_cm", lambda _, row: side(row.size, 1)),
    ("Punti larg.", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Punti alt.", "stitches_high", lambda _, row: side(row.stitches, 1)),
    *(
        (f"Col. {k + 1}", "colours", lambda _, row, k=k: colour(row, k)) for k in range(6)
    ),
    ("Ago", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Cerchio cm", "diameter_cm", lambda _, row: row.diameter or None),
    ("Da ricordare", "", lambda n, _: "ordinare" if n % 9 == 4 else None),
]  # fmt: skip

WHOLESALER = [
    ("Best.-Nr.", "sku", lambda n, _: f"SL-{1000 + 5 * n}"),
    ("Artikelbezeichnung 1", "name", lambda _, row: row.name),
    ("Sortiment", "category", lambda _, row: second.OF_GERMAN.get(row.kind) or row.group),
    ("UVP EUR", "price", lambda _, row: comma(row.price)),
    ("Ihr EK EUR", "trade_cost", lambda _, row: comma(row.cost)),
    ("Lagermenge", "stock", lambda _, row: f"{row.stock * 150:,}".replace(",", ".")),
    ("Punkte (max. 100)", "quality", lambda n, row: row.score * 18 + n % 7),
    ("Bindung", "weave", lambda _, row: row.weave),
    ("Fadenzahl", "count", lambda _, row: row.count or ""),
    ("Breite mm", "width_cm", lambda _, row: side(row.size, 0, 10)),
    ("Länge mm", "height_cm", lambda _, row: side(row.size, 1, 10)),
    ("Stichzahl BxH", STITCHES, lambda _, row: both(row.stitches, "x")),
    ("Farbwerte", "colours", lambda _, row: listed(row.colours, "#")),
    ("Faser", "kind", lambda _, row: {"cotton": "Baumwolle", "metallic": "Metall"}.get(row.fibre)),
    ("Lauflänge m", "skein_m", lambda _, row: 8 if row.kind == "thread" else ""),
    ("Fädigkeit", "strands", lambda _, row: 6 if row.kind == "thread" else ""),
    ("Nadelstärke", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Innen-Ø mm", "diameter_cm", lambda _, row: row.diameter * 10 or ""),
    ("GTIN/EAN", "gtin", lambda n, _: gtin(1000 + n)),
    ("VE", "", lambda _n, _row: 6),
    ("Zolltarifnr.", "", lambda _n, _row: "5204"),
]  # fmt: skip

CUPBOARD = [
    ("Tag", "sku", lambda n, _: f"R7-{n + 1:02d}"),
    ("Item", "name", lambda _, row: row.name),
    ("Type", "category", lambda _, row: first.OF_ENGLISH.get(row.kind) or row.group),
    ("How many left", "stock", lambda _, row: row.stock),
    ("Cost each", "price", lambda _, row: f"£{row.price}"),
    ("Cupboard / drawer", "", lambda n, _: f"{'ABC'[n % 3]}{1 + n % 4}"),
    ("Type of fabric", "weave", lambda _, row: row.weave),
    ("Holes per inch", "count", lambda _, row: row.count or ""),
    ("Cut size", SIZE, lambda _, row: both(row.size, " x ") and f"{both(row.size, ' x ')} cm"),
    ("Thread colour (hex)", "colours", lambda _, row: listed(row.colours)),
    ("Needle size(s)", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Hoop (cm across)", "diameter_cm", lambda _, row: row.diameter or ""),
    ("Last checked", "", lambda n, _: f"{1 + n % 28} Sep 2026"),
    ("Comment", "", lambda n, _: "running low" if n % 7 == 3 else ""),
]  # fmt: skip

DATABASE = [
    ("id_article", "sku", lambda n, _: 300 + n),
    ("libelle", "name", lambda _, row: row.name),
    ("code_famille", "category", lambda _, row: first.OF_FRENCH.get(row.kind) or row.group),
    ("prix_vente_ttc", "price", lambda _, row: float(row.price)),
    ("prix_revient_ht", "trade_cost", lambda _, row: float(row.cost)),
    ("stock_dispo", "stock", lambda _, row: row.stock),
    ("note_equipe", "quality", lambda n, row: row.score * 4 - n % 3),
    ("type_toile", "weave", lambda _, row: row.weave or None),
    ("fils_pouce", "count", lambda _, row: row.count or None),
    ("largeur_cm", "width_cm", lambda _, row: side(row.size, 0) or None),
    ("hauteur_cm", "height_cm", lambda _, row: side(row.size, 1) or None),
    ("points_largeur", "stitches_wide", lambda _, row: side(row.stitches, 0) or None),
    ("points_hauteur", "stitches_high", lambda _, row: side(row.stitches, 1) or None),
    ("couleurs_hex", "colours", lambda _, row: listed(row.colours, "#") or None),
    ("matiere", "kind", lambda _, row: first.FIBRES_FRENCH.get(row.fibre)),
    ("tailles_aiguille", "needle_sizes", lambda _, row: listed(row.sizes) or None),
    ("diametre_mm", "diameter_cm", lambda _, row: row.diameter or None),
    ("telechargeable", "download", lambda _, row: "oui" if row.kind == "chart" else "non"),
    ("id_fournisseur", "", lambda n, _: 40 + n % 3),
    ("date_maj", "", lambda n, _: f"2026-0{1 + n % 9}-{1 + n % 28:02d}"),
]  # fmt: skip

ALL = {
    "till-3.csv": TILL,
    "handmade-3.xlsx": HANDMADE,
    "wholesaler-3.csv": WHOLESALER,
    "cupboard-3.xlsx": CUPBOARD,
    "database-3.sql": DATABASE,
}
THIRD = {name: {header: ours for header, ours, _ in columns} for name, columns in ALL.items()}


def table(columns, goods):
    """Return the header and the rows of an export."""
    header = [header for header, _, _ in columns]
    return header, [[cell(n, row) for _, _, cell in columns] for n, row in enumerate(goods)]


def till():
    """Write a till's list: Spanish, semicolons, Windows-1252, titles, a sum."""
    header, rows = table(TILL, stock_of_goods(first.SPANISH, first=12))
    blank = [""] * len(header)
    total = ["Suma", *blank[1:]]
    total[5] = sum(row[5] for row in rows)
    titles = [["Listado de existencias", *blank[1:]], ["Fecha: 02-02-2026", *blank[1:]], blank]
    write_text("till-3.csv", [*titles, header, *rows, total], ";", "cp1252")


def handmade():
    """Write a spreadsheet made by hand: Italian, stars, a colour a cell."""
    header, rows = table(HANDMADE, stock_of_goods(second.ITALIAN, first=13))
    rows = [[None if cell == "" else cell for cell in row] for row in rows]
    write_workbook("handmade-3.xlsx", [["Tutto il banco"], [None], header, *rows], "Banco")


def wholesaler():
    """Write a wholesaler's list: German, UTF-16, semicolons, millimetres, thousands."""
    header, rows = table(WHOLESALER, stock_of_goods(second.GERMAN, first=14))
    write_text("wholesaler-3.csv", [header, *rows], ";", "utf-16")


def cupboard():
    """Write what a school's cupboard holds: English, no charts, no scores, colours without #."""
    names = {**first.ENGLISH, "chart": [], "pack": []}
    header, rows = table(CUPBOARD, stock_of_goods(names, first=15))
    rows = [[None if cell == "" else cell for cell in row] for row in rows]
    write_workbook("cupboard-3.xlsx", [["Room 7, sewing"], header, *rows], "Sheet1")


def database():
    """Write a database's table: French, names with underscores, marks out of twenty."""
    header, rows = table(DATABASE, stock_of_goods(first.FRENCH, first=16))
    write_sql("database-3.sql", "articles", header, rows)


EXPORTS = (till, handmade, wholesaler, cupboard, database)

if __name__ == "__main__":
    for export in EXPORTS:
        export()
