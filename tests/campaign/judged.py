"""Kitsolver's answers on one instance, held against two judges."""

import random
import traceback
from typing import NamedTuple
from unittest.mock import patch

import naive
from instances.text import money, to_toml

from campaign.drawn import BRIEFS
from campaign.features import features_of, question_about
from campaign.questions import ASK
from kitsolver import BadInput, pick, read_brief, read_catalogue
from kitsolver.brief.home_source import with_home_list


class Verdict(NamedTuple):
    """What came of an instance; nothing in `wrong` where all agree."""

    seed: int
    has_kit: bool
    greedy_is_best: bool
    features: list[str]
    wrong: list[str]


def verdicts(instances, folder):
    """Judge the instances of one shop, which is read once."""
    catalogue = None
    for drawn in instances:
        try:
            if catalogue is None:
                path = folder / "shop.csv"
                path.write_text(drawn.text, encoding="utf-8", newline="")
                catalogue = read_catalogue(path, currency=drawn.asked["currency"])
            yield verdict(drawn, catalogue, folder)
        except BadInput as bad:
            yield Verdict(drawn.seed, False, False, [], [f"bad input: {bad}"])
        except Exception:  # a fault of the program is a line of the log, and no end of the run
            yield Verdict(drawn.seed, False, False, [], [f"fault: {traceback.format_exc()}"])


def verdict(drawn, shelf, folder):
    """Pick, and hold the kit against both judges; ask one thing more of some kits.

    The first rung above the cap takes as long as the kit, and is asked of a shop's first brief.
    """
    (folder / "brief.toml").write_text(to_toml(drawn.asked), encoding="utf-8")
    brief, catalogue = read_brief(folder / "brief.toml"), shelf
    if drawn.home:
        (folder / "home.csv").write_text(drawn.home, encoding="utf-8")
        brief, catalogue, _ = with_home_list(shelf, brief, folder=folder)
    with_rung = drawn.seed % BRIEFS == 0
    outcome = pick(catalogue, brief) if with_rung else without_rung(catalogue, brief)
    twin = naive.best(drawn.text, drawn.asked, drawn.home)
    listed = drawn.judge.best()
    ours = figures_of(outcome)
    wrong = []
    if ours != answer_of(twin):
        wrong.append(f"twin: {answer_of(twin)} not {ours}")
    if ours != answer_of(listed):
        wrong.append(f"enumeration: {answer_of(listed)} not {ours}")
    if listed is None or wrong:
        return Verdict(drawn.seed, listed is not None, False, [], wrong)
    if with_rung and (said := wrong_rung(drawn, listed, outcome)):
        wrong.append(f"next rung: {said}")
    rng = random.Random(f"question {drawn.seed}")
    question = question_about(rng, features_of(drawn, listed))
    if question:
        found = ASK[question](rng, drawn, catalogue, brief, outcome, folder)
        if found is None:
            question = ""
        elif found:
            wrong.append(f"{question}: {found}")
    features = features_of(drawn, listed, question)
    return Verdict(drawn.seed, True, drawn.judge.greedy() == listed["quality"], features, wrong)


def without_rung(catalogue, brief):
    """Pick without the first rung above the cap."""
    with patch("kitsolver.solve.pick._next_rung", return_value=None):
        return pick(catalogue, brief)


def wrong_rung(drawn, kit, outcome):
    """Look whether a kit is better from the rung's cap on, and none is below; empty if so."""
    rung, currency = outcome.next_rung, drawn.asked["currency"]
    if rung is None:
        return ""
    at = drawn.judge.best(cap=money(rung.cap, currency))
    told = rung.figures.quality, rung.figures.extras, rung.figures.payable
    expected = at["quality"], at["extras"], at["payable"]
    if told != expected:
        return f"at {rung.cap} {expected} not {told}"
    below = drawn.judge.best(cap=money(rung.cap - 1, currency))
    same = (below["quality"], below["extras"]) == (kit["quality"], kit["extras"])
    return "" if same else f"below {rung.cap} a kit is better: {below['lines']}"


def figures_of(outcome):
    """Give what a kit comes to, its lines, and the rows that colour the chart."""
    kit = outcome.kit
    if kit is None:
        return None
    lines = sorted((line.sku, line.units, str(line.role)) for line in kit.lines)
    colours = [shade.sku or None for shade in kit.shades]
    return kit.figures.quality, kit.figures.extras, kit.receipt.payable, lines, colours


def answer_of(kit):
    """Give the same of a judge's kit."""
    if kit is None:
        return None
    colours = [sku for sku, _ in kit["places"]]
    return kit["quality"], kit["extras"], kit["payable"], kit["lines"], colours
