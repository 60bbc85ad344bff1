"""Five further exports, written after the guessing was done: it was not changed for them."""

from exports.goods import gtin, stock_of_goods
from exports.writing import comma, filled, write_sql, write_text, write_workbook

ITALIAN = {
    "chart": ["Il martin pescatore", "La darsena", "Tre limoni", "Il nibbio"],
    "fabric": [
        ("Taglio Argine bianco", "Aida", 14),
        ("Taglio Argine corda", "Aida", 16),
        ("Taglio Risaia", "Lino", 28),
        ("Taglio Pioppo", "Etamine", 25),
    ],
    "shade": [
        "Panna", "Schiuma", "Laguna", "Canale", "Inchiostro", "Tegola", "Pesca", "Ginestra",
        "Salvia", "Muschio", "Lillà", "Mora", "Sabbia", "Nocciola", "Ghiaia", "Ardesia",
        "Rosa canina", "Ciliegia", "Menta", "Fiordaliso",
    ],
    "pack": [("Confezione Argine", (0, 2, 5, 8))],
    "needle": [("Ago spuntato fine", (26,)), ("Ago spuntato, serie", (22, 24, 26))],
    "scissors": ["Forbicina Airone", "Forbicina Rondine"],
    "hoop": [("Telaio tondo piccolo", 13), ("Telaio tondo grande", 17)],
    "treat": [("Puntaspilli riccio", "Merceria"), ("Biglietto piegato", "Cartoleria")],
}  # fmt: skip
OF_ITALIAN = {
    "chart": "Schemi", "fabric": "Tessuti", "thread": "Filati", "needle": "Aghi",
    "scissors": "Forbici", "hoop": "Telai",
}  # fmt: skip


def till():
    """Write a till's list: Italian, bars, ISO 8859-15, two columns of sizes, a sum."""
    header = [
        "Cod. art.", "Descrizione articolo", "Reparto", "Pr. vendita", "Pr. acquisto", "Giac.",
        "Aliq. IVA", "Voto", "Tipo tessuto", "Fili/pollice", "Taglio", "Ricamo (punti)",
        "Colori", "Mis. ago", "Diam. telaio", "Cod. EAN", "Fornitore", "Ult. vendita",
    ]  # fmt: skip
    blank = [""] * len(header)
    rows = [["Stampa giacenze - La Cascina del Punto", *blank[1:]], blank, header]
    goods = stock_of_goods(ITALIAN, first=4)
    for n, row in enumerate(goods):
        rows.append(
            [
                f"{80000 + 11 * n}",
                row.name,
                OF_ITALIAN.get(row.kind) or row.group,
                f"€ {comma(row.price)}",
                f"€ {comma(row.cost)}",
                row.stock,
                "22%",
                comma(row.score * 2 - n % 2 * 0.5, 1),
                row.weave,
                row.count or "",
                filled("{}x{} cm".format(*row.size or (0, 0)), row.size),
                filled("{}x{}".format(*row.stitches or (0, 0)), row.stitches),
                ";".join(f"#{colour}" for colour in row.colours),
                ";".join(map(str, row.sizes)),
                filled(f"{row.diameter} cm", row.diameter),
                gtin(80000 + n),
                ("Argine srl", "Risaia snc")[n % 2],
                f"{1 + n % 28}/03/2026",
            ]
        )
    total = ["Totale generale", *blank[1:]]
    total[5] = sum(row.stock for row in goods)
    write_text("till-2.txt", [*rows, total], "|", "iso8859-15")


GERMAN = {
    "chart": ["Mühlrad", "Drei Hennen", "Lindenallee", "Kirschen im Korb"],
    "fabric": [
        ("Zuschnitt Tenne weiß", "Aida", 14),
        ("Zuschnitt Tenne hell", "Aida", 18),
        ("Zuschnitt Scheune", "Leinen", 32),
        ("Zuschnitt Koppel", "gleichfädig", 28),
    ],
    "shade": [
        "Rahm", "Milch", "Teich", "Mühlbach", "Ruß", "Ziegel", "Pfirsich", "Dotter", "Salbei",
        "Bohnenkraut", "Flieder", "Pflaume", "Stroh", "Nuss", "Feldstein", "Schiefer",
        "Apfelblüte", "Rübe", "Minze", "Kornblume",
    ],
    "pack": [("Bund Bauerngarten", (0, 3, 5, 9))],
    "needle": [("stumpfe Nadeln fein", (26,)), ("stumpfe Nadeln gemischt", (22, 24, 26))],
    "scissors": ["kleine Schere Amsel", "große Schere Krähe"],
    "hoop": [("Holzring schmal", 14), ("Holzring breit", 18)],
    "treat": [("Blechdose", "Dosen"), ("Zierband", "Bänder")],
}  # fmt: skip
OF_GERMAN = {
    "chart": "Muster", "fabric": "Stoff", "thread": "Stickgarn", "needle": "Sticknadeln",
    "scissors": "Scheren", "hoop": "Stickringe",
}  # fmt: skip


def handmade():
    """Write a spreadsheet made by hand: German, marks such as 4/5, a colour a cell, headings."""
    header = [
        "lfd. Nr.", "Ware", "Gruppe", "Preis in €", "Beliebtheit", "noch da", "Stoffart",
        "Fäden/Zoll", "Breite cm", "Länge cm", "Stiche (B)", "Stiche (H)",
        *(f"Farbe {letter}" for letter in "123456"), "Nadelgröße", "Ring-Ø cm", "Notizen",
    ]  # fmt: skip
    rows = [["Hofladen Drei Hennen: was im Regal liegt"], [None], header]
    shown = ""
    for n, row in enumerate(stock_of_goods(GERMAN, first=6)):
        group = OF_GERMAN.get(row.kind) or row.group
        if group != shown:
            rows.append([None, f"--- {group} ---"])
            shown = group
        rows.append(
            [
                f"H{n + 1:02d}",
                row.name,
                group,
                float(row.price),
                f"{row.score}/5",
                row.stock,
                row.weave or None,
                row.count or None,
                *(row.size or (None, None)),
                *(row.stitches or (None, None)),
                *(f"#{c}" for c in row.colours),
                *[None] * (6 - len(row.colours)),
                ";".join(map(str, row.sizes)) or None,
                row.diameter or None,
                "nachbestellen" if n % 10 == 3 else None,
            ]
        )
    write_workbook("handmade-2.xlsx", rows, "Regal")


ENGLISH = {
    "chart": ["Lighthouse Stair", "Four Herons", "Rope and Cleat", "Sea Holly"],
    "fabric": [
        ("Quayside white", "Aida", 14),
        ("Quayside sand", "Aida", 16),
        ("Net loft flax", "Linen", 32),
        ("Harbour even", "Evenweave", 28),
    ],
    "shade": [
        "Sailcloth", "Surf", "Shoal", "Deep water", "Tar", "Buoy", "Shell", "Gorse", "Samphire",
        "Weed", "Sea lavender", "Mussel", "Dune", "Driftwood", "Pebble", "Squall", "Thrift",
        "Rowan", "Spray", "Ensign",
    ],
    "pack": [("Tideline pack", (0, 2, 5, 8))],
    "needle": [("Blunt 26, card of six", (26,)), ("Blunt assorted, card", (22, 24, 26))],
    "scissors": ["Tern scissors", "Gannet scissors"],
    "hoop": [("Spring hoop S", 5), ("Spring hoop L", 8)],
    "treat": [("Wax, half an ounce", "Notions"), ("Folded card", "Stationery")],
}  # fmt: skip
OF_ENGLISH = {
    "chart": "Charts", "fabric": "Fabrics", "thread": "Floss", "needle": "Needles",
    "scissors": "Scissors", "hoop": "Hoops",
}  # fmt: skip
FIBRES_ENGLISH = {"cotton": "Cotton", "metallic": "Metallic"}


def wholesaler():
    """Write a wholesaler's list: English, commas, inches, thousands, a price and a trade price."""
    header = [
        "Stock Code", "Product Description", "Dept", "RRP inc VAT", "Your Price", "Min Qty",
        "Avail", "Buyer Score", "Ground", "HPI", "Width (in)", "Length (in)", "Stitch Width",
        "Stitch Height", "Hex Colours", "Fibre", "Skein Length (m)", "Ply", "Tapestry Size",
        "Hoop Dia (in)", "Barcode", "Country of Origin",
    ]  # fmt: skip
    rows = [header]
    for n, row in enumerate(stock_of_goods(ENGLISH, first=8)):
        thread = row.kind == "thread"
        rows.append(
            [
                f"NQ/{300 + 4 * n}",
                row.name,
                OF_ENGLISH.get(row.kind) or row.group,
                f"£{row.price}",
                f"£{row.cost}",
                6,
                f"{row.stock * 120:,}",
                row.score * 18 + n % 7,
                row.weave,
                row.count or "",
                *(round(side / 2.54) for side in row.size or ()),
                *[""] * (0 if row.size else 2),
                *(row.stitches or ("", "")),
                ";".join(f"#{colour}" for colour in row.colours),
                FIBRES_ENGLISH.get(row.fibre, ""),
                filled("8", thread),
                filled("6", thread),
                ";".join(map(str, row.sizes)),
                row.diameter or "",
                gtin(300 + n),
                "GB",
            ]
        )
    write_text("wholesaler-2.csv", rows, ",", "utf-8-sig")


FRENCH = {
    "chart": [],
    "fabric": [
        ("Coupon Bruyère blanc", "Aïda", 14),
        ("Coupon Bruyère lin", "Aïda", 14),
        ("Coupon Genêt", "Lin", 28),
    ],
    "shade": [
        "Lait", "Givre", "Étang", "Ruisseau", "Encre", "Brique", "Abricot", "Genêt", "Sauge",
        "Fougère", "Bruyère", "Myrtille", "Paille", "Châtaigne", "Caillou", "Orage", "Églantine",
        "Griotte", "Menthe", "Bleuet",
    ],
    "pack": [],
    "needle": [("Aiguille à bout rond", (24,)), ("Aiguille à bout rond, fine", (26,))],
    "scissors": ["Ciseaux à bouts ronds"],
    "hoop": [("Tambour bambou", 15)],
    "treat": [("Dé à coudre", "divers"), ("Mètre ruban", "divers")],
}  # fmt: skip
OF_FRENCH = {
    "fabric": "toile", "thread": "fil", "needle": "aiguille", "scissors": "ciseaux",
    "hoop": "tambour",
}  # fmt: skip


def cupboard():
    """Write what a school's cupboard holds: French, no charts, no scores, colours without #."""
    header = [
        "N° inventaire", "Objet", "Genre", "Quantité restante", "Prix unitaire", "Tiroir",
        "Type de toile", "Points/pouce", "Largeur en cm", "Hauteur en cm", "Teinte (hexa)",
        "N° d'aiguille", "Diamètre en cm", "Vérifié le", "Remarque",
    ]  # fmt: skip
    rows = [["École des Genêts - atelier broderie"], ["Inventaire d'automne"], [], header]
    for n, row in enumerate(stock_of_goods(FRENCH, first=9)):
        rows.append(
            [
                f"EG-{n + 1:02d}",
                row.name,
                OF_FRENCH.get(row.kind) or row.group,
                row.stock,
                comma(row.price),
                f"T{1 + n % 4}",
                row.weave,
                filled(f"{row.count} pts", row.count),
                *(side for side in row.size or ()),
                *[""] * (0 if row.size else 2),
                ";".join(row.colours),
                ";".join(map(str, row.sizes)),
                row.diameter or "",
                f"{1 + n % 28:02d}/10/2026",
                "à racheter" if n % 8 == 2 else "",
            ]
        )
    write_text("cupboard-2.csv", rows, ";", "cp1252")


DUTCH = {
    "chart": ["De ijsvogel", "Sluiswachtershuis", "Drie peren", "Rietzanger"],
    "fabric": [
        ("Doek Polder wit", "aida", 14),
        ("Doek Polder zand", "aida", 16),
        ("Doek Kwelder", "linnen", 28),
        ("Doek Terp", "gelijkdraads", 25),
    ],
    "shade": [
        "Melk", "Rijp", "Plas", "Vaart", "Inkt", "Baksteen", "Perzik", "Brem", "Salie", "Varen",
        "Hei", "Bosbes", "Stro", "Kastanje", "Kei", "Onweer", "Hondsroos", "Kriek", "Munt",
        "Korenbloem",
    ],
    "pack": [("Bundel Polder", (0, 2, 5, 8))],
    "needle": [("Stompe naald fijn", (26,)), ("Stompe naalden, kaartje", (22, 24, 26))],
    "scissors": ["Schaar Reiger", "Schaar Zwaluw"],
    "hoop": [("Ring klein", 130), ("Ring groot", 170)],
    "treat": [("Speldenkussen", "fournituren"), ("Gevouwen kaart", "papier")],
}  # fmt: skip
OF_DUTCH = {
    "chart": "patronen", "fabric": "stoffen", "thread": "garens", "needle": "naalden",
    "scissors": "scharen", "hoop": "ringen",
}  # fmt: skip


def database():
    """Write a database's table: Dutch, names with underscores, millimetres, marks out of ten."""
    header = [
        "artikel_id", "omschrijving_nl", "artikelgroep", "verkoopprijs_incl", "inkoopprijs_excl",
        "voorraad", "klantscore", "weefsel", "draden_per_inch", "lap_breedte_mm",
        "lap_hoogte_mm", "steken_breed", "steken_hoog", "kleuren", "garen_materiaal",
        "naaldmaten", "ring_diameter_mm", "downloadbaar", "leverancier_id", "gewijzigd_op",
    ]  # fmt: skip
    rows = []
    for n, row in enumerate(stock_of_goods(DUTCH, first=10)):
        rows.append(
            [
                90000 + 13 * n,
                row.name,
                OF_DUTCH.get(row.kind) or row.group,
                float(row.price),
                float(row.cost),
                row.stock,
                row.score * 2 - n % 3 * 0.5,
                row.weave or None,
                row.count or None,
                *(side * 10 for side in row.size or ()),
                *[None] * (0 if row.size else 2),
                *(row.stitches or (None, None)),
                ";".join(f"#{colour}" for colour in row.colours) or None,
                {"cotton": "katoen", "metallic": "metallic"}.get(row.fibre),
                ";".join(map(str, row.sizes)) or None,
                row.diameter or None,
                "ja" if row.kind == "chart" and n % 2 else "nee",
                (12, 15, 17)[n % 3],
                f"2026-0{1 + n % 9}-{1 + n % 28:02d} 08:00:00",
            ]
        )
    write_sql("database-2.sql", "artikelen", header, rows)


EXPORTS = (till, handmade, wholesaler, cupboard, database)

if __name__ == "__main__":
    for export in EXPORTS:
        export()
