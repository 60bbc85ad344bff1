"""The exports as a shop would open them, and the goods that they hold."""

import shutil
import sqlite3

from exports import first, second
from exports.goods import stock_of_goods
from exports.writing import FILES

# By file the names and the beginning of the figures of its goods.
HELD = {
    "till.csv": (first.GERMAN, 0),
    "handmade.xlsx": (first.ENGLISH, 3),
    "wholesaler.txt": (first.FRENCH, 5),
    "cupboard.csv": (first.DUTCH, 2),
    "database.sql": (first.SPANISH, 1),
    "till-2.txt": (second.ITALIAN, 4),
    "handmade-2.xlsx": (second.GERMAN, 6),
    "wholesaler-2.csv": (second.ENGLISH, 8),
    "cupboard-2.csv": (second.FRENCH, 9),
    "database-2.sql": (second.DUTCH, 10),
    "till-3.csv": (first.SPANISH, 12),
    "handmade-3.xlsx": (second.ITALIAN, 13),
    "wholesaler-3.csv": (second.GERMAN, 14),
    "cupboard-3.xlsx": ({**first.ENGLISH, "chart": [], "pack": []}, 15),
    "database-3.sql": (first.FRENCH, 16),
    "till-4.csv": (first.GERMAN, 18),
    "handmade-4.xlsx": (first.FRENCH, 19),
    "wholesaler-4.csv": (second.DUTCH, 20),
    "cupboard-4.csv": ({**second.ITALIAN, "chart": [], "pack": []}, 21),
    "database-4.sql": (first.ENGLISH, 22),
    "till-5.csv": (first.SPANISH, 24),
    "handmade-5.xlsx": (first.ENGLISH, 25),
    "wholesaler-5.txt": (first.GERMAN, 26),
    "cupboard-5.csv": ({**first.ENGLISH, "chart": [], "pack": []}, 27),
    "database-5.sql": (first.GERMAN, 28),
}


def goods_of(name):
    """Return the goods of an export."""
    names, begin = HELD[name]
    return stock_of_goods(names, first=begin)


def opened(name, folder):
    """Return the address of an export in a folder: the SQL of a database makes one there."""
    if not name.endswith(".sql"):
        return str(shutil.copy(FILES / name, folder))
    path = folder / f"{name.removesuffix('.sql')}.db"
    with sqlite3.connect(path) as database:
        database.executescript((FILES / name).read_text(encoding="utf-8"))
        (table,) = database.execute("SELECT name FROM sqlite_master").fetchone()
    database.close()
    return f"sqlite:///{path}#{table}"
