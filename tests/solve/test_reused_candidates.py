"""Candidates that are taken over from another brief are those that are found anew."""

import numpy as np
import pytest

from kitsolver.brief.choosing import keeping, leaving_out
from kitsolver.brief.reading import with_settings
from kitsolver.solve.candidates.places import NearPlaces
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.matching import places_again
from kitsolver.solve.presolve.place_dominance import PlaceDominance


def offered(candidates):
    """Return all that candidates say: places last, of which some may be left out as dominated."""
    places = {asked: set(near) for asked, near in candidates.near.items()}
    return candidates.needs, candidates.extras, candidates.tied_by, places


@pytest.mark.parametrize("category", ["chart", "thread", "fabric"])
@pytest.mark.parametrize("seed", [3, 12, 21])
def test_a_kept_row_changes_what_is_taken_over_as_it_should(seed, category, draw):
    instance = draw(seed)
    if category not in instance.catalogue.rows:
        pytest.skip("the shop has none")
    known = find_candidates(instance.catalogue, instance.brief)
    for sku in sorted(instance.catalogue.rows[category]["sku"])[:3]:
        for asked in (keeping(instance.brief, [sku]), leaving_out(instance.brief, [sku])):
            again = find_candidates(instance.catalogue, asked, known=known)
            assert offered(again) == offered(find_candidates(instance.catalogue, asked))


@pytest.mark.parametrize("seed", [3, 12, 21])
def test_weights_and_heads_change_what_is_taken_over_as_they_should(seed, draw):
    instance = draw(seed)
    known = find_candidates(instance.catalogue, instance.brief)
    needs = [need for need in instance.brief.holds if instance.brief.buys(need)]
    for sets in ([f"needs.{needs[0]}.weight=0"], ["heads=5"], ["fit.waste=0.5"]):
        asked = with_settings(instance.brief, sets=sets)
        again = find_candidates(instance.catalogue, asked, known=known)
        assert offered(again) == offered(find_candidates(instance.catalogue, asked))


def test_no_rows_of_thread_have_no_places():
    """The campaign came to it where `why` asks of a shop without thread that can be bought."""
    none = np.zeros(0, dtype=np.int64)
    near = {("#773b6e", "stranded"): NearPlaces((), none, none, none, none)}
    dominance = PlaceDominance(1, frozenset(), exact=True, alike=False, counted=True)
    assert places_again(near, (), dominance)["#773b6e", "stranded"].listed == []
