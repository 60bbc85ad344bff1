"""The five exports on which the guessing was built."""

import datetime

from exports.goods import gtin, stock_of_goods
from exports.writing import comma, filled, write_sql, write_text, write_workbook

GERMAN = {
    "chart": ["Haubentaucher", "Bootshaus am See", "Drei Kiesel", "Libelle"],
    "fabric": [
        ("Stoff Uferkante weiß", "Aida", 14),
        ("Stoff Uferkante sand", "Aida", 16),
        ("Stoff Schilfmatte", "Leinen", 28),
        ("Stoff Seerosenblatt", "Gleichfädig", 27),
    ],
    "shade": [
        "Mövenfeder", "Schaum", "Flachwasser", "Tiefe Bucht", "Nachtfahrt", "Bojenrot", "Muschel",
        "Dotterblume", "Schilf", "Algengrün", "Flieder", "Brombeere", "Strandhafer", "Torf",
        "Kiesel", "Gewitter", "Heckenrose", "Kirsche", "Minze", "Tinte",
    ],
    "pack": [("Päckchen Uferweg", (0, 2, 5, 8))],
    "needle": [("Sticknadel stumpf, fein", (26,)), ("Sticknadel stumpf, Satz", (22, 24, 26))],
    "scissors": ["Stickschere Reiher", "Fadenschere Eisvogel"],
    "hoop": [("Rahmen Buche klein", 13), ("Rahmen Buche mittel", 16)],
    "treat": [("Nadelkissen Igel", "Zubehör"), ("Merkzettel Erste Stiche", "Papier")],
}  # fmt: skip
OF_GERMAN = {
    "chart": "Vorlagen", "fabric": "Stickstoffe", "thread": "Garne", "needle": "Nadeln",
    "scissors": "Scheren", "hoop": "Stickrahmen",
}  # fmt: skip


def till():
    """Write a till's list: German, semicolons, Windows-1252, decimal commas, titles, a sum."""
    header = (
        "Art.-Nr.", "Bezeichnung", "Warengruppe", "VK brutto", "EK netto", "MwSt", "Bestand",
        "Bewertung", "Webart", "Fadenzahl", "Größe", "Motiv Stiche breit", "Motiv Stiche hoch",
        "Farben", "Nadelstärke", "Durchmesser", "EAN", "Lieferant", "Letzter Verkauf",
    )  # fmt: skip
    blank = [""] * len(header)
    rows = [
        ["Lagerliste Seitenarm 7, Handarbeiten", *blank[1:]],
        ["Stand 14.03.2026 18:02", *blank[1:]],
        blank,
        list(header),
    ]
    goods = stock_of_goods(GERMAN)
    for n, row in enumerate(goods):
        rows.append(
            [
                f"{4100 + n}",
                row.name,
                OF_GERMAN.get(row.kind) or row.group,
                comma(row.price),
                comma(row.cost),
                "19 %",
                row.stock * 3,
                row.score,
                row.weave,
                row.count or "",
                filled("{} x {} cm".format(*row.size or (0, 0)), row.size),
                filled((row.stitches or (0, 0))[0], row.stitches),
                filled((row.stitches or (0, 0))[1], row.stitches),
                ";".join(f"#{colour}" for colour in row.colours),
                ";".join(map(str, row.sizes)),
                filled(f"{row.diameter} cm", row.diameter),
                gtin(4100 + n),
                ("Nordufer", "Halde & Kai")[n % 2],
                f"{1 + n % 28:02d}.02.2026",
            ]
        )
    worth = sum(3 * row.stock * row.cost for row in goods)
    total = ["Summe", *blank[1:]]
    total[4] = f"{worth:,.2f}".translate({ord(","): ".", ord("."): ","})
    total[6] = sum(3 * row.stock for row in goods)
    write_text("till.csv", [*rows, total], ";", "cp1252")


ENGLISH = {
    "chart": ["Kettle on the Boil", "Two Wrens", "Allotment Gate", "Runner Beans"],
    "fabric": [
        ("Plain white", "Aida", 14),
        ("Oatmeal", "Aida", 16),
        ("Barn door linen", "Linen", 28),
        ("Dove even", "Evenweave", 28),
    ],
    "shade": [
        "Cream jug", "Milk", "Duck egg", "Teal pot", "Soot", "Brick", "Peach", "Custard", "Sage",
        "Bean green", "Lilac", "Plum", "Biscuit", "Tea", "Pewter", "Slate roof", "Blossom",
        "Beetroot", "Mint", "Overalls",
    ],
    "pack": [("Kitchen shelf four", (0, 2, 5, 8)), ("Garden four", (8, 9, 7, 13))],
    "needle": [("Blunt needles, fine", (26,)), ("Blunt needles, mixed", (22, 24, 26))],
    "scissors": ["Wren snips", "Long beak scissors"],
    "hoop": [("Beech hoop, small", 5), ("Beech hoop, big", 7)],
    "treat": [("Tin with a lid", "tin"), ("Ribbon, a yard", "ribbon")],
}  # fmt: skip
OF_ENGLISH = {
    "chart": "Patterns", "fabric": "Cloth", "thread": "Threads", "needle": "Needles",
    "scissors": "Scissors", "hoop": "Hoops",
}  # fmt: skip


def handmade():
    """Write a spreadsheet made by hand: stars, units in cells, a colour a cell, headings."""
    header = [
        "Code", "What it is", "Kind of goods", "Price each", "How good", "Left", "Cloth type", "ct",
        "Size (in)", "wide", "high", *(f"Colour {n}" for n in range(1, 7)), "Needle no",
        "Hoop size", "Remarks",
    ]  # fmt: skip
    rows = [["Everything on the shelves, counted by Ottilie"], [], header]
    shown = ""
    goods = stock_of_goods(ENGLISH, first=3)
    for n, row in enumerate(goods):
        kind = OF_ENGLISH.get(row.kind) or row.group
        if kind != shown:
            rows.append([f"~ {kind} ~"])
            shown = kind
        rows.append(
            [
                f"{kind[:2].upper()}{n:03d}",
                row.name,
                kind,
                f"£{row.price}",
                "★" * row.score,
                row.stock,
                row.weave or None,
                f"{row.count} ct" if row.count else None,
                "{} x {}".format(*(side // 2 - 3 for side in row.size)) if row.size else None,
                *(row.stitches or (None, None)),
                *(f"#{c}" for c in row.colours),
                *[None] * (6 - len(row.colours)),
                "; ".join(map(str, row.sizes)) or None,
                f"{row.diameter} in" if row.diameter else None,
                "nearly out" if n % 11 == 4 else None,
            ]
        )
    rows.append([None, "Total", None, None, None, sum(row.stock for row in goods)])
    write_workbook("handmade.xlsx", rows, "Shelves")


FRENCH = {
    "chart": ["Martin-pêcheur", "La barque verte", "Trois poires", "Le phare"],
    "fabric": [
        ("Toile Aubépine blanche", "Aïda", 14),
        ("Toile Aubépine écrue", "Aïda", 18),
        ("Toile Grand Pré", "Lin", 32),
        ("Toile Petit Pré", "Étamine", 25),
    ],
    "shade": [
        "Crème", "Écume", "Lagune", "Canal", "Encre", "Tuile", "Pêche", "Mirabelle", "Tilleul",
        "Mousse", "Lilas", "Mûre", "Sable", "Noisette", "Galet", "Ardoise", "Églantine", "Cerise",
        "Menthe", "Bleuet",
    ],
    "pack": [("Assortiment Rivière", (2, 3, 8, 14))],
    "needle": [("Aiguilles fines, étui de six", (26,)), ("Aiguilles, étui assorti", (24, 26))],
    "scissors": ["Ciseaux Sarcelle", "Ciseaux Courlis"],
    "hoop": [("Tambour hêtre, petit", 130), ("Tambour hêtre, grand", 180)],
    "treat": [("Étui à aiguilles brodé", "Mercerie"), ("Carte pliée", "Papeterie")],
}  # fmt: skip
OF_FRENCH = {
    "chart": "Diagrammes", "fabric": "Toiles", "thread": "Fils à broder", "needle": "Aiguilles",
    "scissors": "Ciseaux", "hoop": "Tambours",
}  # fmt: skip
FIBRES_FRENCH = {"cotton": "coton", "metallic": "métallisé"}


def wholesaler():
    """Write a wholesaler's list: French, UTF-16, tabs, millimetres, marks out of twenty."""
    header = [
        "Réf.", "Désignation", "Famille", "Prix public TTC", "Prix d'achat HT", "Qté en stock",
        "Note /20", "Armure", "Fils par pouce", "Laize (mm)", "Longueur (mm)",
        "Points en largeur", "Points en hauteur", "Couleurs", "Matière", "Longueur échevette",
        "Brins", "Taille aiguille", "Diamètre (mm)", "Code-barres", "Conditionnement",
        "Fournisseur", "Remise", "Statut",
    ]  # fmt: skip
    rows = [header]
    for n, row in enumerate(stock_of_goods(FRENCH, first=5)):
        thread = row.kind == "thread"
        rows.append(
            [
                f"GP-{700 + 3 * n}",
                row.name,
                OF_FRENCH.get(row.kind) or row.group,
                f"{comma(row.price)} €",
                f"{comma(row.cost)} €",
                row.stock * 100,
                f"{row.score * 3 + n % 4}/20",
                row.weave,
                row.count or "",
                *(side * 10 for side in row.size or ()),
                *[""] * (0 if row.size else 2),
                *(row.stitches or ("", "")),
                ";".join(f"#{colour}" for colour in row.colours),
                FIBRES_FRENCH.get(row.fibre, ""),
                filled("8 m", thread),
                filled(6, thread),
                ";".join(map(str, row.sizes)),
                row.diameter or "",
                gtin(7000 + n),
                "à la pièce",
                "Maison du Grand Pré",
                f"{5 * (n % 3)} %",
                "épuisé" if n == 11 else "suivi",
            ]
        )
    write_text("wholesaler.txt", rows, "\t", "utf-16")


DUTCH = {
    "chart": [],
    "fabric": [
        ("Lap Duinpan wit", "Aida", 14),
        ("Lap Duinpan ecru", "Aida", 14),
        ("Lap Wad", "Linnen", 28),
    ],
    "shade": [
        "Room", "Schuim", "Lagune", "Diep", "Inkt", "Dakpan", "Perzik", "Boterbloem", "Salie",
        "Mos", "Sering", "Braam", "Zand", "Turf", "Kiezel", "Leisteen", "Wilde roos", "Kers",
        "Munt", "Korenbloem",
    ],
    "pack": [],
    "needle": [("Stompe naald", (24,)), ("Stompe naald fijn", (26,))],
    "scissors": ["Schaar met ronde punt"],
    "hoop": [("Ring bamboe", 15)],
    "treat": [("Vingerhoed", "overig"), ("Meetlint", "overig")],
}  # fmt: skip
OF_DUTCH = {
    "fabric": "stof", "thread": "garen", "needle": "naalden", "scissors": "scharen",
    "hoop": "borduurringen",
}  # fmt: skip


def cupboard():
    """Write what a school's cupboard holds: Dutch, no charts, no scores, colours without #."""
    header = [
        "Nummer", "Omschrijving", "Soort", "Aantal", "Kast", "Prijs", "Stofsoort", "Draadtelling",
        "Breedte", "Hoogte", "Kleurcode", "Naaldmaat", "Doorsnede", "Laatst geteld", "Opmerking",
    ]  # fmt: skip
    rows = [["Handvaardigheid, kasten in lokaal 12"], [], header]
    for n, row in enumerate(stock_of_goods(DUTCH, first=2)):
        rows.append(
            [
                f"HV{n + 1:03d}",
                row.name,
                OF_DUTCH.get(row.kind) or row.group,
                row.stock,
                "ABC"[n % 3],
                f"€ {comma(row.price)}",
                row.weave.lower(),
                filled(f"{row.count} draads", row.count),
                *(f"{side} cm" for side in row.size or ()),
                *[""] * (0 if row.size else 2),
                ";".join(row.colours).upper(),
                filled(f"nr. {'; '.join(map(str, row.sizes))}", row.sizes),
                filled(f"{row.diameter} cm", row.diameter),
                f"{1 + n % 28}-9-2026",
                "bijna op" if n % 9 == 5 else "",
            ]
        )
    write_text("cupboard.csv", rows, ";", "utf-8-sig")


SPANISH = {
    "chart": ["El faro", "Dos gorriones", "La parra", "Barca azul"],
    "fabric": [
        ("Lienzo Ribera blanco", "aida", 14),
        ("Lienzo Ribera crudo", "aida", 16),
        ("Lienzo Era", "lino", 28),
        ("Lienzo Umbral", "etamina", 25),
    ],
    "shade": [
        "Nata", "Espuma", "Laguna", "Canal", "Tinta", "Teja", "Melocotón", "Retama", "Salvia",
        "Musgo", "Lila", "Mora", "Arena", "Avellana", "Canto", "Pizarra", "Zarza", "Cereza",
        "Menta", "Añil",
    ],
    "pack": [("Surtido Ribera", (0, 2, 5, 8))],
    "needle": [("Aguja roma fina", (26,)), ("Aguja roma, juego", (24, 26))],
    "scissors": ["Tijera Garza", "Tijera Vencejo"],
    "hoop": [("Bastidor pequeño", 12), ("Bastidor grande", 18)],
    "treat": [("Alfiletero", "mercería"), ("Cinta métrica", "mercería")],
}  # fmt: skip
OF_SPANISH = {
    "chart": "gráficos", "fabric": "telas", "thread": "hilos", "needle": "agujas",
    "scissors": "tijeras", "hoop": "bastidores",
}  # fmt: skip


def database():
    """Write a database's table: Spanish, names with underscores, marks out of ten, NULLs."""
    header = [
        "codigo_articulo", "descripcion", "familia", "pvp", "precio_compra", "existencias",
        "valoracion", "tipo_tela", "hilos_por_pulgada", "ancho_cm", "alto_cm", "ancho_puntos",
        "alto_puntos", "colores", "numero_aguja", "diametro_cm", "descargable", "proveedor",
        "fecha_alta",
    ]  # fmt: skip
    rows = []
    for n, row in enumerate(stock_of_goods(SPANISH, first=1)):
        rows.append(
            [
                f"R{2000 + 7 * n}",
                row.name,
                OF_SPANISH.get(row.kind) or row.group,
                float(row.price),
                float(row.cost),
                row.stock,
                row.score * 2 - n % 2 * 0.5,
                row.weave or None,
                row.count or None,
                *(row.size or (None, None)),
                *(row.stitches or (None, None)),
                ";".join(f"#{colour}" for colour in row.colours) or None,
                ";".join(map(str, row.sizes)) or None,
                row.diameter or None,
                "sí" if row.kind == "chart" and n % 2 else "no",
                ("Ribera", "La Era")[n % 2],
                datetime.date(2025, 1 + n % 12, 1 + n % 28).isoformat(),
            ]
        )
    write_sql("database.sql", "articulos", header, rows)


EXPORTS = (till, handmade, wholesaler, cupboard, database)

if __name__ == "__main__":
    for export in EXPORTS:
        export()
