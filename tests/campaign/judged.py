"""Kitsolver's answers on one instance, held against two judges."""

import random
import traceback
from typing import NamedTuple

import naive
from instances.text import to_toml

from campaign.features import QUESTIONS, features_of
from campaign.questions import ASK
from kitsolver import BadInput, pick, read_brief, read_catalogue
from kitsolver.brief.home_source import with_home_list

ASKED_OF = 0.35  # of the instances with a kit


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
    """Pick, and hold the kit against both judges; ask one thing more of some kits."""
    (folder / "brief.toml").write_text(to_toml(drawn.asked), encoding="utf-8")
    brief, catalogue = read_brief(folder / "brief.toml"), shelf
    if drawn.home:
        (folder / "home.csv").write_text(drawn.home, encoding="utf-8")
        brief, catalogue, _ = with_home_list(shelf, brief, folder=folder)
    outcome = pick(catalogue, brief)
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
    rng, question = random.Random(f"question {drawn.seed}"), ""
    if rng.random() < ASKED_OF:
        question = rng.choice(QUESTIONS)
        found = ASK[question](rng, drawn, catalogue, brief, outcome, folder)
        if found is None:
            question = ""
        elif found:
            wrong.append(f"{question}: {found}")
    features = features_of(drawn, listed, question)
    return Verdict(drawn.seed, True, drawn.judge.greedy() == listed["quality"], features, wrong)


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
