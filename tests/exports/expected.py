"""What each column of each export is, as whoever wrote it meant it; "" for what is none of ours."""

from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.sources.header_names import folded

SIZE = "width_cm height_cm"
STITCHES = "stitches_wide stitches_high"

FIRST = {
    "till.csv": {
        "Art.-Nr.": "sku", "Bezeichnung": "name", "Warengruppe": "category", "VK brutto": "price",
        "EK netto": "trade_cost", "MwSt": "", "Bestand": "stock", "Bewertung": "quality",
        "Webart": "weave", "Fadenzahl": "count", "Größe": SIZE,
        "Motiv Stiche breit": "stitches_wide", "Motiv Stiche hoch": "stitches_high",
        "Farben": "colours", "Nadelstärke": "needle_sizes", "Durchmesser": "diameter_cm",
        "EAN": "gtin", "Lieferant": "", "Letzter Verkauf": "",
    },
    "handmade.xlsx": {
        "Code": "sku", "What it is": "name", "Kind of goods": "category", "Price each": "price",
        "How good": "quality", "Left": "stock", "Cloth type": "weave", "ct": "count",
        "Size (in)": SIZE, "wide": "stitches_wide", "high": "stitches_high",
        **{f"Colour {n}": "colours" for n in range(1, 7)},
        "Needle no": "needle_sizes", "Hoop size": "diameter_cm", "Remarks": "",
    },
    "wholesaler.txt": {
        "Réf.": "sku", "Désignation": "name", "Famille": "category", "Prix public TTC": "price",
        "Prix d'achat HT": "trade_cost", "Qté en stock": "stock", "Note /20": "quality",
        "Armure": "weave", "Fils par pouce": "count", "Laize (mm)": "width_cm",
        "Longueur (mm)": "height_cm", "Points en largeur": "stitches_wide",
        "Points en hauteur": "stitches_high", "Couleurs": "colours", "Matière": "kind",
        "Longueur échevette": "skein_m", "Brins": "strands", "Taille aiguille": "needle_sizes",
        "Diamètre (mm)": "diameter_cm", "Code-barres": "gtin", "Conditionnement": "",
        "Fournisseur": "", "Remise": "", "Statut": "",
    },
    "cupboard.csv": {
        "Nummer": "sku", "Omschrijving": "name", "Soort": "category", "Aantal": "stock",
        "Kast": "", "Prijs": "price", "Stofsoort": "weave", "Draadtelling": "count",
        "Breedte": "width_cm", "Hoogte": "height_cm", "Kleurcode": "colours",
        "Naaldmaat": "needle_sizes", "Doorsnede": "diameter_cm", "Laatst geteld": "",
        "Opmerking": "",
    },
    "database.sql": {
        "codigo_articulo": "sku", "descripcion": "name", "familia": "category", "pvp": "price",
        "precio_compra": "trade_cost", "existencias": "stock", "valoracion": "quality",
        "tipo_tela": "weave", "hilos_por_pulgada": "count", "ancho_cm": "width_cm",
        "alto_cm": "height_cm", "ancho_puntos": "stitches_wide", "alto_puntos": "stitches_high",
        "colores": "colours", "numero_aguja": "needle_sizes", "diametro_cm": "diameter_cm",
        "descargable": "download", "proveedor": "", "fecha_alta": "",
    },
}  # fmt: skip

SECOND = {
    "till-2.txt": {
        "Cod. art.": "sku", "Descrizione articolo": "name", "Reparto": "category",
        "Pr. vendita": "price", "Pr. acquisto": "trade_cost", "Giac.": "stock", "Aliq. IVA": "",
        "Voto": "quality", "Tipo tessuto": "weave", "Fili/pollice": "count", "Taglio": SIZE,
        "Ricamo (punti)": STITCHES, "Colori": "colours", "Mis. ago": "needle_sizes",
        "Diam. telaio": "diameter_cm", "Cod. EAN": "gtin", "Fornitore": "", "Ult. vendita": "",
    },
    "handmade-2.xlsx": {
        "lfd. Nr.": "sku", "Ware": "name", "Gruppe": "category", "Preis in €": "price",
        "Beliebtheit": "quality", "noch da": "stock", "Stoffart": "weave", "Fäden/Zoll": "count",
        "Breite cm": "width_cm", "Länge cm": "height_cm", "Stiche (B)": "stitches_wide",
        "Stiche (H)": "stitches_high", **{f"Farbe {n}": "colours" for n in range(1, 7)},
        "Nadelgröße": "needle_sizes", "Ring-Ø cm": "diameter_cm", "Notizen": "",
    },
    "wholesaler-2.csv": {
        "Stock Code": "sku", "Product Description": "name", "Dept": "category",
        "RRP inc VAT": "price", "Your Price": "trade_cost", "Min Qty": "", "Avail": "stock",
        "Buyer Score": "quality", "Ground": "weave", "HPI": "count", "Width (in)": "width_cm",
        "Length (in)": "height_cm", "Stitch Width": "stitches_wide",
        "Stitch Height": "stitches_high", "Hex Colours": "colours", "Fibre": "kind",
        "Skein Length (m)": "skein_m", "Ply": "strands", "Tapestry Size": "needle_sizes",
        "Hoop Dia (in)": "diameter_cm", "Barcode": "gtin", "Country of Origin": "",
    },
    "cupboard-2.csv": {
        "N° inventaire": "sku", "Objet": "name", "Genre": "category",
        "Quantité restante": "stock", "Prix unitaire": "price", "Tiroir": "",
        "Type de toile": "weave", "Points/pouce": "count", "Largeur en cm": "width_cm",
        "Hauteur en cm": "height_cm", "Teinte (hexa)": "colours",
        "N° d'aiguille": "needle_sizes", "Diamètre en cm": "diameter_cm", "Vérifié le": "",
        "Remarque": "",
    },
    "database-2.sql": {
        "artikel_id": "sku", "omschrijving_nl": "name", "artikelgroep": "category",
        "verkoopprijs_incl": "price", "inkoopprijs_excl": "trade_cost", "voorraad": "stock",
        "klantscore": "quality", "weefsel": "weave", "draden_per_inch": "count",
        "lap_breedte_mm": "width_cm", "lap_hoogte_mm": "height_cm",
        "steken_breed": "stitches_wide", "steken_hoog": "stitches_high", "kleuren": "colours",
        "garen_materiaal": "kind", "naaldmaten": "needle_sizes",
        "ring_diameter_mm": "diameter_cm", "downloadbaar": "download", "leverancier_id": "",
        "gewijzigd_op": "",
    },
}  # fmt: skip


def guessed(draft, headers):
    """Return what a draft says of each header: which of ours it is, and whether that is marked."""
    # A header that is our own name needs no entry in a map.
    found = {
        header: (folded(header) if folded(header) in KNOWN else "", False) for header in headers
    }
    for guess in draft.guesses:
        if guess.table in ("columns", "join", "split"):
            ours = " ".join(guess.value) if guess.table == "split" else guess.key
            for header in guess.headers:
                found[header] = (ours, guess.certainty == "unsure")
    return found


def held_against(draft, expected):
    """Return the columns that are right, those that are wrong and marked, and wrong unmarked."""
    right, marked, unmarked = [], [], []
    for header, (ours, unsure) in guessed(draft, expected).items():
        where = right if ours == expected[header] else marked if unsure or not ours else unmarked
        where.append(header)
    return right, marked, unmarked
