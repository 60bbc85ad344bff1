"""The last five exports, written after the guessing had been mended for the third five.

Each is a list of columns: the header, what it is of ours, and the cell of a row of goods.
"""

from exports import first, second
from exports.expected import SIZE
from exports.goods import gtin, stock_of_goods
from exports.third import both, colour, listed, side, table
from exports.writing import comma, write_sql, write_text, write_workbook

GERMAN_WEAVES = {"Aida": "Aida", "Leinen": "Leinen", "Gleichfädig": "gleichfädig"}
TILL = [
    ("PLU", "sku", lambda n, _: f"{6000 + 7 * n}"),
    ("Artikeltext", "name", lambda _, row: row.name),
    ("WG-Bezeichnung", "category", lambda _, row: first.OF_GERMAN.get(row.kind) or row.group),
    ("Brutto-VK", "price", lambda _, row: f"{comma(row.price)} EUR"),
    ("Netto-EK", "trade_cost", lambda _, row: f"{comma(row.cost)} EUR"),
    ("St.-Satz", "", lambda *_: "19,00"),
    ("Ist-Bestand", "stock", lambda _, row: row.stock),
    ("Sterne", "quality", lambda _, row: "*" * row.score),
    ("Gewebeart", "weave", lambda _, row: GERMAN_WEAVES.get(row.weave, "")),
    ("Fäden pro Inch", "count", lambda _, row: row.count or ""),
    ("Maße B x H", SIZE, lambda _, row: both(row.size, " × ") and f"{both(row.size, ' × ')} cm"),
    ("Stiche Breite", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Stiche Höhe", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("Farbcodes", "colours", lambda _, row: listed(row.colours, "#")),
    ("Nadel-Nr.", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Durchm. Rahmen", "diameter_cm", lambda _, row: f"{row.diameter} cm" if row.diameter else ""),
    ("Strichcode", "gtin", lambda n, _: gtin(6000 + n)),
    ("Hauptlieferant", "", lambda n, _: ("Nordufer", "Kai")[n % 2]),
]  # fmt: skip

HANDMADE = [
    ("Réf", "sku", lambda n, _: f"M{n + 1:03d}"),
    ("Nom de l'article", "name", lambda _, row: row.name),
    ("Catégorie d'article", "category", lambda _, row: first.OF_FRENCH.get(row.kind) or row.group),
    ("Prix (€)", "price", lambda _, row: float(row.price)),
    ("Coup de cœur /5", "quality", lambda _, row: f"{row.score}/5"),
    ("En rayon", "stock", lambda _, row: row.stock),
    ("Genre de toile", "weave", lambda _, row: row.weave or None),
    ("Fils au pouce", "count", lambda _, row: row.count or None),
    ("Largeur toile (cm)", "width_cm", lambda _, row: side(row.size, 0)),
    ("Hauteur toile (cm)", "height_cm", lambda _, row: side(row.size, 1)),
    ("Nb points largeur", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Nb points hauteur", "stitches_high", lambda _, row: side(row.stitches, 1)),
    *((f"Couleur n°{k + 1}", "colours", lambda _, row, k=k: colour(row, k)) for k in range(6)),
    ("Aiguille", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Diam. tambour (cm)", "diameter_cm", lambda _, row: row.diameter / 10 if row.diameter else ""),
    ("À noter", "", lambda n, _: "commander" if n % 9 == 4 else None),
]  # fmt: skip

WHOLESALER = [
    ("Bestelcode", "sku", lambda n, _: f"PL{100 + 3 * n}"),
    ("Productomschrijving", "name", lambda _, row: row.name),
    ("Productgroep", "category", lambda _, row: second.OF_DUTCH.get(row.kind) or row.group),
    ("Adviesprijs incl. BTW", "price", lambda _, row: f"€ {comma(row.price)}"),
    ("Uw inkoopprijs", "trade_cost", lambda _, row: f"€ {comma(row.cost)}"),
    ("Beschikbaar", "stock", lambda _, row: row.stock * 40),
    ("Beoordeling (0-100)", "quality", lambda n, row: row.score * 18 + n % 7),
    ("Weefselsoort", "weave", lambda _, row: row.weave),
    ("Draden/inch", "count", lambda _, row: row.count or ""),
    ("Breedte (mm)", "width_cm", lambda _, row: side(row.size, 0, 10)),
    ("Lengte (mm)", "height_cm", lambda _, row: side(row.size, 1, 10)),
    ("Aantal steken breed", "stitches_wide", lambda _, row: side(row.stitches, 0)),
    ("Aantal steken hoog", "stitches_high", lambda _, row: side(row.stitches, 1)),
    ("Kleuren (hex)", "colours", lambda _, row: listed(row.colours, "#")),
    ("Materiaal garen", "kind",
     lambda _, row: {"cotton": "katoen", "metallic": "metallic"}.get(row.fibre, "")),
    ("Strenglengte (m)", "skein_m", lambda _, row: 8 if row.kind == "thread" else ""),
    ("Aantal draadjes", "strands", lambda _, row: 6 if row.kind == "thread" else ""),
    ("Naalddikte", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Binnendiameter (mm)", "diameter_cm", lambda _, row: row.diameter or ""),
    ("EAN", "gtin", lambda n, _: gtin(100 + n)),
    ("Besteleenheid", "", lambda *_: 6),
    ("Land van herkomst", "", lambda *_: "NL"),
]  # fmt: skip

CUPBOARD = [
    ("Etichetta", "sku", lambda n, _: f"AULA3-{n + 1:02d}"),
    ("Materiale", "name", lambda _, row: row.name),
    ("Tipo", "category", lambda _, row: second.OF_ITALIAN.get(row.kind) or row.group),
    ("Quanti", "stock", lambda _, row: row.stock),
    ("Prezzo cad.", "price", lambda _, row: comma(row.price)),
    ("Armadio", "", lambda n, _: "ABC"[n % 3]),
    ("Tipo di tela", "weave", lambda _, row: row.weave),
    ("Fili/pollice", "count", lambda _, row: row.count or ""),
    ("Larghezza (cm)", "width_cm", lambda _, row: side(row.size, 0)),
    ("Altezza (cm)", "height_cm", lambda _, row: side(row.size, 1)),
    ("Colore filo", "colours", lambda _, row: listed(row.colours)),
    ("Numero ago", "needle_sizes", lambda _, row: listed(row.sizes)),
    ("Diametro telaio", "diameter_cm", lambda _, row: f"{row.diameter} cm" if row.diameter else ""),
    ("Controllato il", "", lambda n, _: f"{1 + n % 28:02d}/09/2026"),
    ("Note", "", lambda n, _: "da ricomprare" if n % 8 == 2 else ""),
]  # fmt: skip

DATABASE = [
    ("product_id", "sku", lambda n, _: 4000 + n),
    ("productName", "name", lambda _, row: row.name),
    ("categoryName", "category", lambda _, row: first.OF_ENGLISH.get(row.kind) or row.group),
    ("retailPrice", "price", lambda _, row: float(row.price)),
    ("wholesaleCost", "trade_cost", lambda _, row: float(row.cost)),
    ("qtyOnHand", "stock", lambda _, row: row.stock),
    ("avgRating", "quality", lambda n, row: row.score - n % 2 * 0.5),
    ("clothWeave", "weave", lambda _, row: row.weave or None),
    ("threadCount", "count", lambda _, row: row.count or None),
    ("widthCm", "width_cm", lambda _, row: side(row.size, 0) or None),
    ("heightCm", "height_cm", lambda _, row: side(row.size, 1) or None),
    ("stitchesWide", "stitches_wide", lambda _, row: side(row.stitches, 0) or None),
    ("stitchesHigh", "stitches_high", lambda _, row: side(row.stitches, 1) or None),
    ("hexColors", "colours", lambda _, row: listed(row.colours, "#") or None),
    ("fiberType", "kind", lambda _, row: row.fibre or None),
    ("needleSizes", "needle_sizes", lambda _, row: listed(row.sizes) or None),
    ("hoopDiameterIn", "diameter_cm", lambda _, row: row.diameter or None),
    ("isDigital", "download", lambda _, row: "Y" if row.kind == "chart" else "N"),
    ("supplierId", "", lambda n, _: 7 + n % 3),
    ("lastModified", "", lambda n, _: f"2026-0{1 + n % 9}-{1 + n % 28:02d}T08:00:00"),
]  # fmt: skip

ALL = {
    "till-4.csv": TILL,
    "handmade-4.xlsx": HANDMADE,
    "wholesaler-4.csv": WHOLESALER,
    "cupboard-4.csv": CUPBOARD,
    "database-4.sql": DATABASE,
}
FOURTH = {name: {header: ours for header, ours, _ in columns} for name, columns in ALL.items()}


def till():
    """Write a till's list: German, tabs, Windows-1252, titles, a sum, stars as asterisks."""
    header, rows = table(TILL, stock_of_goods(first.GERMAN, first=18))
    blank = [""] * len(header)
    total = ["Gesamt", *blank[1:]]
    total[6] = sum(row[6] for row in rows)
    titles = [["Bestandsliste", "", "Filiale 2", *blank[3:]], ["erstellt 03.03.2026", *blank[1:]]]
    write_text("till-4.csv", [*titles, header, *rows, total], "\t", "cp1252")


def handmade():
    """Write a spreadsheet made by hand: French, marks out of five, a colour a cell."""
    header, rows = table(HANDMADE, stock_of_goods(first.FRENCH, first=19))
    rows = [[None if cell == "" else cell for cell in row] for row in rows]
    titles = [["La mercerie du Petit Pré"], ["Mise à jour : mars"], [None]]
    write_workbook("handmade-4.xlsx", [*titles, header, *rows], "Feuil1")


def wholesaler():
    """Write a wholesaler's list: Dutch, semicolons, UTF-8, millimetres."""
    header, rows = table(WHOLESALER, stock_of_goods(second.DUTCH, first=20))
    write_text("wholesaler-4.csv", [header, *rows], ";", "utf-8")


def cupboard():
    """Write what a school's cupboard holds: Italian, no charts, no scores, colours without #."""
    names = {**second.ITALIAN, "chart": [], "pack": []}
    header, rows = table(CUPBOARD, stock_of_goods(names, first=21))
    title = ["Laboratorio di ricamo, aula 3", *[""] * (len(header) - 1)]
    write_text("cupboard-4.csv", [title, header, *rows], ";", "iso8859-15")


def database():
    """Write a database's table: English, names with capitals inside, ratings out of five."""
    header, rows = table(DATABASE, stock_of_goods(first.ENGLISH, first=22))
    write_sql("database-4.sql", "products", header, rows)


EXPORTS = (till, handmade, wholesaler, cupboard, database)

if __name__ == "__main__":
    for export in EXPORTS:
        export()
