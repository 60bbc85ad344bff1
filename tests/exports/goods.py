"""The goods that the exports share: figures without names, which each export gives in its words."""

from dataclasses import dataclass
from decimal import Decimal

# Twenty colours of thread; a chart's colours lie close to some of them.
SHADES = (
    "e8e0c8", "f2efe6", "7fc4c8", "3f7f8c", "1d2b36", "c9543f", "e59a7d", "f3c35b", "8a9a5b",
    "4d6b3c", "b7a1c4", "6b4f7a", "d8b48f", "8c6244", "9aa7ad", "55626b", "f0b7bf", "a8324a",
    "bfe0d2", "2f4f9a",
)  # fmt: skip


@dataclass(frozen=True)
class Goods:
    """One row of goods, of one kind; blank is what it has not."""

    kind: str
    name: str
    price: Decimal
    score: int
    stock: int
    size: tuple[int, int] = ()
    stitches: tuple[int, int] = ()
    colours: tuple[str, ...] = ()
    weave: str = ""
    count: int = 0
    sizes: tuple[int, ...] = ()
    diameter: int = 0
    fibre: str = ""
    group: str = ""

    @property
    def cost(self):
        """What the shop pays."""
        return (self.price * Decimal("0.55")).quantize(Decimal("0.01"))


def near(shade, by):
    """Return a colour that hardly differs from a shade."""
    red, green, blue = (int(shade[n : n + 2], 16) for n in (0, 2, 4))
    return f"{min(255, red + by):02x}{max(0, green - by):02x}{blue:02x}"


def stock_of_goods(names, first=0, charts=4):
    """Return the goods of a shop.

    Parameters
    ----------
    names : dict of str to list of str
        By kind the names, of charts, weaves, shades, needles, scissors, hoops and treats.
    first : int
        Where the figures begin, so that no two shops have the same.
    charts : int
        How many charts there are.
    """

    def figure(number, among):
        return among[(first + number) % len(among)]

    def price(number, low):
        cents = low + 35 * ((first + 3 * number) % 7) + 5 * ((first + number) % 3)
        return Decimal(cents) / 100

    goods = []
    for n, name in enumerate(names["chart"][:charts]):
        shades = [SHADES[(first + 3 * n + 2 * k) % len(SHADES)] for k in range(4 + n % 3)]
        colours = [f"{near(shade, k % 3)}:{620 - 90 * k - 7 * n}" for k, shade in enumerate(shades)]
        stitches = (figure(n, (48, 56, 64, 70)), figure(n, (77, 60, 52, 66, 58)))
        goods.append(
            Goods("chart", name, price(n, 250), figure(n, (3, 5, 4, 2)), 5 + n, stitches=stitches,
                  colours=tuple(colours))
        )  # fmt: skip
    for n, (name, weave, count) in enumerate(names["fabric"]):
        size = figure(n, ((30, 45), (40, 50), (35, 45), (50, 70)))
        goods.append(
            Goods("fabric", name, price(n, 310), figure(n, (4, 3, 5)), 4 + 2 * n, size=size,
                  weave=weave, count=count)
        )  # fmt: skip
    for n, name in enumerate(names["shade"]):
        goods.append(
            Goods("thread", name, price(n, 95), figure(n, (3, 4, 4, 5)), 10 + n % 9,
                  colours=(SHADES[n],), fibre=figure(n, ("cotton",) * 12 + ("metallic",)))
        )  # fmt: skip
    for n, (name, places) in enumerate(names["pack"]):
        goods.append(
            Goods("thread", name, price(n, 390), 4, 3, colours=tuple(SHADES[p] for p in places),
                  fibre="cotton")
        )  # fmt: skip
    for n, (name, sizes) in enumerate(names["needle"]):
        goods.append(Goods("needle", name, price(n, 180), figure(n, (3, 5, 4)), 9, sizes=sizes))
    for n, name in enumerate(names["scissors"]):
        goods.append(Goods("scissors", name, price(n, 590), figure(n, (3, 4, 5)), 4))
    for n, (name, diameter) in enumerate(names["hoop"]):
        goods.append(Goods("hoop", name, price(n, 420), figure(n, (4, 3)), 6, diameter=diameter))
    for n, (name, group) in enumerate(names["treat"]):
        goods.append(Goods("treat", name, price(n, 120), figure(n, (2, 4, 3)), 8, group=group))
    return goods


def gtin(number):
    """Return a number of a shop's own (they begin with 2), with its check digit (GS1)."""
    digits = f"20{number:010d}"
    total = sum(int(d) * (3 if place % 2 else 1) for place, d in enumerate(digits))
    return f"{digits}{-total % 10}"
