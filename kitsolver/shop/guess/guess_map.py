"""Drafts a map of columns for a source, from its headers and the cells below them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from difflib import SequenceMatcher
from typing import Any, NamedTuple

import tomli_w

from kitsolver.shop.records import Records

# What shops call their columns, and their goods (common practice, no source).
_WORDS: Mapping[str, tuple[str, ...]] = {
    "sku": ("sku", "article", "artikel", "item", "code", "reference", "ref", "artnr", "id"),
    "name": ("name", "title", "description", "bezeichnung", "titel", "nom", "nombre", "product"),
    "category": (
        "category",
        "group",
        "kind",
        "type",
        "kategorie",
        "gruppe",
        "warengruppe",
        "rayon",
    ),
    "price": ("price", "preis", "vk", "retail", "prix", "precio", "prezzo", "prijs"),
    "quality": ("quality", "rating", "stars", "score", "sterne", "bewertung", "note", "qualität"),
    "stock": ("stock", "quantity", "qty", "bestand", "lager", "menge", "inventory"),
    "trade_cost": ("cost", "trade", "purchase", "ek", "einkauf", "wholesale"),
    "tags": ("tags", "labels", "keywords", "schlagworte"),
    "gtin": ("gtin", "ean", "barcode", "upc", "strichcode"),
    "stitches_wide": ("stitches wide", "stiche breit", "points larges"),
    "stitches_high": ("stitches high", "stiche hoch", "points hauts"),
    "colours": ("colours", "colors", "colour", "color", "farben", "farbe", "couleurs"),
    "weave": ("weave", "webart", "bindung", "tissage"),
    "count": ("count", "threads per inch", "fäden", "zählung"),
    "width_cm": ("width", "breite", "largeur"),
    "height_cm": ("height", "length", "höhe", "hauteur", "länge"),
    "skein_m": ("skein", "lauflänge", "strang", "métrage"),
    "strands": ("strands", "ply", "fadenzahl", "brins"),
    "needle_sizes": ("needle sizes", "needle size", "nadelstärke", "taille aiguille"),
    "diameter_cm": ("diameter", "durchmesser", "diamètre"),
}
_GOODS: Mapping[str, tuple[str, ...]] = {
    "chart": ("chart", "charts", "pattern", "vorlage", "vorlagen", "diagramme"),
    "fabric": ("fabric", "fabrics", "cloth", "stoff", "stoffe", "tissu", "tela"),
    "thread": ("thread", "threads", "garn", "garne", "floss", "fil", "hilo"),
    "needle": ("needle", "needles", "nadel", "nadeln", "aiguille", "aguja"),
    "scissors": ("scissors", "schere", "scheren", "ciseaux", "tijeras"),
    "hoop": ("hoop", "hoops", "rahmen", "stickrahmen", "tambour", "bastidor"),
}
_UNITS = ("mm", "cm", "m", "in")
_ALIKE = 0.75
# At least this share of a column's cells must look as the column's cells do.
_FITTING = 0.8
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_COMMA = re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})*,[0-9]+|[0-9]+,[0-9]+")
_GTIN = re.compile(r"[0-9]{8}|[0-9]{12,14}")
_SIZES = re.compile(r"[0-9]{2}(?: ?; ?[0-9]{2})*")
_COLOURS = re.compile(r"#[0-9a-fA-F]{6}.*")
_NUMBERS = (
    "price", "quality", "stock", "trade_cost", "stitches_wide", "stitches_high", "count",
    "width_cm", "height_cm", "skein_m", "strands", "diameter_cm",
)  # fmt: skip
_QUALITIES = (5, 6, 10, 20, 100)


class Guess(NamedTuple):
    """A header that may stand for a catalogue's column, and how alike the two are."""

    likeness: float
    ours: str
    theirs: str


def draft(records: Records) -> str:
    """Return a draft of the map as TOML, with a remark for each required column not found."""
    below = {
        header: [text for text in coded.texts.tolist() if text]
        for header, coded in records.columns.items()
    }
    found = dict(_columns(below))
    comma = any(
        _share(below[found[name]], _COMMA.fullmatch) > 0 for name in found if name in _NUMBERS
    )
    data: dict[str, Any] = {"decimal_comma": True} if comma else {}
    if "quality" in found and (most := _most(below[found["quality"]], comma)) != 100:
        data["quality_most"] = most
    renamed = {ours: theirs for ours, theirs in found.items() if ours != theirs}
    if renamed:
        data["columns"] = renamed
    if goods := dict(_categories(below.get(found.get("category", ""), []))):
        data["categories"] = goods
    if lengths := dict(_lengths(found)):
        data["lengths"] = lengths
    missing = [
        name for name in ("sku", "name", "category", "price", "quality") if name not in found
    ]
    remarks = [f"# No header looks like {name}.\n" for name in missing]
    return "".join(["# A draft: look it over before it is used.\n", *remarks, tomli_w.dumps(data)])


def _columns(below: Mapping[str, list[str]]) -> Iterator[tuple[str, str]]:
    """Yield the catalogue's columns with the headers that are most like them, each used once."""
    guesses = sorted(
        guess
        for ours, words in _WORDS.items()
        for theirs, texts in below.items()
        if theirs and (guess := _guess(ours, words, theirs, texts)).likeness >= _ALIKE
    )
    ours_taken: set[str] = set()
    theirs_taken: set[str] = set()
    for guess in reversed(guesses):
        if guess.ours not in ours_taken and guess.theirs not in theirs_taken:
            ours_taken.add(guess.ours)
            theirs_taken.add(guess.theirs)
            yield guess.ours, guess.theirs


def _guess(ours: str, words: Iterable[str], theirs: str, texts: list[str]) -> Guess:
    if theirs == ours:
        return Guess(2.0, ours, theirs)
    likeness = max(_likeness(word, theirs) for word in (ours.replace("_", " "), *words))
    return Guess(likeness if _fits(ours, texts) else 0.0, ours, theirs)


def _likeness(word: str, header: str) -> float:
    """Return how alike a word and a header are, from 0 to 1; a header may hold the word."""
    header = re.sub(r"[^\w]+|_", " ", header.casefold()).strip()
    if word in header.split() or word == header:
        return 1.0 - 0.01 * (len(header) - len(word)) / max(1, len(header))
    return SequenceMatcher(None, word, header).ratio() * 0.95


def _fits(ours: str, texts: list[str]) -> bool:
    """Tell whether the cells below a header look like those of a catalogue's column."""
    looks: Callable[[str], object] = bool
    if ours in _NUMBERS:
        looks = _is_number
    elif ours == "needle_sizes":
        looks = _SIZES.fullmatch
    elif ours == "gtin":
        looks = _GTIN.fullmatch
    elif ours == "colours":
        looks = _COLOURS.fullmatch
    return not texts or _share(texts, looks) >= _FITTING


def _is_number(text: str) -> bool:
    return bool(_NUMBER.fullmatch(text) or _COMMA.fullmatch(text))


def _share(texts: list[str], looks: Callable[[str], object]) -> float:
    return sum(bool(looks(text)) for text in texts) / len(texts) if texts else 0.0


def _most(texts: list[str], comma: bool) -> int:
    """Return the best quality of the scale that the given qualities fit into."""
    plain = (text.replace(".", "").replace(",", ".") if comma else text for text in texts)
    best = max((Decimal(text) for text in plain if _NUMBER.fullmatch(text)), default=Decimal(100))
    return next((most for most in _QUALITIES if best <= most), 100)


def _categories(texts: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield the shop's categories that a catalogue does not have, each with the catalogue's."""
    for text in sorted(texts):
        likeness, ours = max(
            (max(_likeness(word, text) for word in words), ours) for ours, words in _GOODS.items()
        )
        exact = text in _GOODS[ours]
        if text != ours and (exact or (likeness >= _ALIKE and text != text.lower())):
            yield text, ours
        elif text != text.lower():
            yield text, text.lower()


def _lengths(found: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield the columns of lengths whose header names another unit than the column's."""
    for ours, theirs in found.items():
        own = ours.rpartition("_")[2]
        words = re.findall(r"[a-z]+", theirs.casefold())
        for unit in _UNITS:
            if own in _UNITS and unit in words and unit != own:
                yield ours, unit
