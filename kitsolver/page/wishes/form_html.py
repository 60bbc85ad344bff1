"""The parts of the form as HTML, remembered: between two views hardly any of them changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from typing import Any

from markupsafe import Markup

from kitsolver.page.wishes.fields import Sentence
from kitsolver.page.wishes.form_view import FormView, Wishes
from kitsolver.page.wishes.values import Values
from kitsolver.show.sheet.texts import texts
from kitsolver.show.templates import templates

# How many parts are remembered: of some ten catalogues, each with a few values.
_REMEMBERED = 2048


def part(look: str, one: Sentence, values: Values, faults: Mapping[str, Any]) -> Markup:
    """Return a sentence of the form with what its blanks hold.

    Parameters
    ----------
    look : str
        The macro that draws it.
    values, faults : mapping
        Of all blanks of the form, by their names: what they hold, and what is wrong with them.
    """
    if any(field.name in faults for field in one.fields):
        return _drawn(look, one, values, faults)
    return _sound(look, one, tuple(tuple(values.get(field.name, ())) for field in one.fields))


@lru_cache(_REMEMBERED)
def _sound(look: str, one: Sentence, held: Sequence[Sequence[str]]) -> Markup:
    values = {field.name: given for field, given in zip(one.fields, held, strict=True)}
    return _drawn(look, one, values, {})


@lru_cache(16)
def swatches(words: tuple[str, ...], threads: tuple[tuple[str, str], ...]) -> Markup:
    """Return the choice of colours by words, and by swatches of threads with their names."""
    return _drawn("swatches", words, threads)


def wish_groups(form: FormView) -> Markup:
    """Return all groups of sentences below the first ones."""
    if form.typed or form.faults:
        return _groups(form.wishes, form.words, form.swatches, form.values, form.faults)
    return _sound_groups(form.wishes, form.words, form.swatches)


@lru_cache(16)
def _sound_groups(
    wishes: Wishes, words: tuple[str, ...], threads: tuple[tuple[str, str], ...]
) -> Markup:
    return _groups(wishes, words, threads, wishes.values, {})


def _groups(
    wishes: Wishes,
    words: tuple[str, ...],
    threads: tuple[tuple[str, str], ...],
    values: Values,
    faults: Mapping[str, Any],
) -> Markup:
    macro = _macros_of("groups.html").groups_of
    return Markup(macro(wishes.groups, values, faults, words, threads))


def _drawn(macro: str, *given: object) -> Markup:
    return Markup(getattr(_macros_of("sentence.html"), macro)(*given))


@cache
def _macros_of(name: str) -> Any:
    template = templates("kitsolver.page", "kitsolver.show.sheet").get_template(name)
    known = {"t": texts("kitsolver.page"), "part": part, "swatches": swatches}
    return template.make_module(known)
