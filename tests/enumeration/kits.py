"""The best of all kits, all of them, and what a greedy buyer would take."""

from fractions import Fraction
from itertools import product
from math import prod

from .goods import minor, number
from .parts import Parts
from .till import Till


class Judge(Parts):
    """All kits of a catalogue under a brief; the cap may be another one each time it is asked."""

    def margin(self):
        shop = self.brief.get("shop", {})
        if "sell_at" not in shop:
            return None
        return minor(shop["sell_at"], self.brief["currency"]) * (1 - number(shop["margin_rate"]))

    def best(self, **till):
        """Give the best kit; keys of the till or the cap may be replaced."""
        self.set_till(**till)
        self.first = None
        bounded = []
        for options, shelves in self.parts:
            if all(options):
                gain = sum(max(row.quality for row, _ in s[1:]) for s in shelves if s[1:])
                top = sum(max(points for points, _, _ in option) for option in options)
                bounded.append((top, gain, options, shelves))
        for top, gain, options, shelves in sorted(bounded, key=lambda one: -one[0]):
            if self.reaches(top, gain):
                self.search(options, shelves, gain)
        return self.first and self.first[1]

    def set_till(self, **till):
        asked = dict(self.brief)
        if "cap" in till:
            asked.pop("cap_per_head", None)
            asked["cap"] = till.pop("cap")
        self.till = Till(asked | {"till": self.brief.get("till", {}) | till})
        self.most_trade = self.margin()

    def every(self, most):
        """Give every kit within the cap, in no order: (figures, need lines, lines, places).

        Figures are as the best kit's rank begins, less being better. None if there are more than
        `most` combinations to look at.
        """
        self.set_till()
        self.first = None
        found, tried = [], 0
        for options, shelves in self.parts:
            bundles = list(self.bundles(shelves))
            tried += prod(map(len, options)) * len(bundles)
            if tried > most:
                return None
            for chosen in product(*options):
                points, needs, _ = sum_of(chosen)
                if self.cost_of(needs)[0] is None:
                    continue
                for extra, added in bundles:
                    figures = self.figures(points, extra, needs + added)
                    if figures is not None:
                        found.append((figures, needs, needs + added, chosen[-1][2]))
        return found

    def reaches(self, points, gain):
        """Tell whether this many points, with extras that gain so much, may be best."""
        if self.first is None:
            return True
        if self.spend == "together":
            return -points - self.share * gain <= self.first[0][0]
        return -points <= self.first[0][0]

    def search(self, options, shelves, gain):
        """Try every choice, the best first, and stop where none can be as good."""
        bundles = sorted(self.bundles(shelves), key=lambda one: -one[0])
        plain = [sum_of(choice) for choice in product(*options[:-1])]
        threads = sorted(options[-1], key=lambda one: -one[0])
        for points, lines, _ in sorted(plain, key=lambda one: -one[0]):
            for more, thread_lines, places in threads:
                if not self.reaches(points + more, gain):
                    break
                needs = lines + thread_lines
                if self.cost_of(needs)[0] is None:
                    continue
                for extra, added in bundles:
                    if not self.reaches(points + more, extra):
                        break
                    self.consider(points + more, extra, needs, added, places)

    def bundles(self, shelves):
        most = self.extras.get("most")
        for picked in product(*shelves):
            lines = tuple(one for one in picked if one is not None)
            if most is None or len(lines) <= most:
                yield sum((row.quality for row, _ in lines), Fraction(0)), lines

    def cost_of(self, lines):
        """Give (payable, trade), payable None where goods alone are beyond the cap."""
        goods = delivered = trade = 0
        rates = {}
        for row, units in lines:
            bought = row.bought(units)
            cost = bought * row.price
            goods += cost
            trade += bought * row.trade
            if not row.download:
                delivered += cost
            if row.tax is not None and row.tax != self.till.tax:
                rates[row.tax] = rates.get(row.tax, 0) + cost
        if goods > self.till.most_goods:
            return None, trade
        return self.till.payable(goods, delivered, tuple(sorted(rates.items()))), trade

    def figures(self, points, extra, lines):
        """Give what a kit is ranked by, less being better; None where it breaks a rule."""
        payable, trade = self.cost_of(lines)
        if payable is None or payable > self.till.cap:
            return None
        if self.most_trade is not None and trade > self.most_trade:
            return None
        if self.spend == "together":
            figures = (-points - self.share * extra, payable, -points)
        else:
            figures = (-points, -extra, payable)
        if self.first is not None and figures > self.first[0][:3]:
            return None
        kept = self.keep <= {row.sku for row, _ in lines} and self.rules.allow(lines)
        return figures if kept else None

    def consider(self, points, extra, needs, added, places):
        lines = needs + added
        figures = self.figures(points, extra, lines)
        if figures is None:
            return
        payable = figures[1] if self.spend == "together" else figures[2]
        listed = sorted((row.sku, units) for row, units in lines)
        rank = (*figures, listed, places)
        if self.first is None or rank < self.first[0]:
            roles = [(row.sku, units, "need") for row, units in needs]
            roles += [(row.sku, units, "extra") for row, units in added]
            quality = points / self.total if self.total else Fraction(0)
            self.first = (
                rank,
                {
                    "quality": quality,
                    "extras": extra,
                    "payable": payable,
                    "lines": sorted(roles),
                    "places": [(sku or None, index) for sku, index in places],
                },
            )

    def greedy(self):
        """Give the quality of who takes the best row of each need that money allows, in turn.

        Each choice is the one with most points that goes with those before it and is within the
        cap together with them. None where one need is then left without a choice.
        """
        self.set_till()
        ways = [options for options, _ in self.parts if all(options)]
        total, lines = Fraction(0), ()
        for number_of_part in range(len(self.parts[0][0]) if ways else 0):
            offered = {}
            for options in ways:
                for points, more, _ in options[number_of_part]:
                    payable, _ = self.cost_of(lines + more)
                    if payable is not None and payable <= self.till.cap:
                        key = points, tuple((row.sku, units) for row, units in more)
                        offered.setdefault(key, (more, []))[1].append(options)
            if not offered:
                return None
            key = max(offered, key=lambda one: (one[0], [sku for sku, _ in one[1]]))
            more, ways = offered[key]
            total, lines = total + key[0], lines + more
        return total / self.total if self.total and ways else None


def sum_of(options):
    points, lines = Fraction(0), ()
    for more, added, _ in options:
        points, lines = points + more, lines + added
    return points, lines, ()


def best(text, brief, home_text=""):
    """Give the best kit, or None."""
    return Judge(text, brief, home_text).best()
