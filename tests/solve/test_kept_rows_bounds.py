"""The bounds of candidates of which other rows are kept, taken from those known, are the same."""

from seeds import over_seeds

from kitsolver.brief.choosing import keeping
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.presolve.find import find_candidates

# At least one kept row of these leaves charts, fabric and thread as they were.
SEEDS = [6000, 6003, 6004, 6005, 6007, 6009, 6010, 6014, 6017, 6018, 6023, 6027]


@over_seeds(SEEDS, quick=2)
def test_known_bounds_are_those_computed_anew(seed, draw):
    instance = draw(seed, have=False)
    whole = find_candidates(instance.catalogue, instance.brief, thin=True)
    most = whole.most_goods(instance.brief.total_cap)
    known = Subproblems(whole, most, most)
    known.upper_bounds.at(most)
    used = 0
    for sku in sorted(row.sku for row in whole.rows if row.sku):
        brief = keeping(instance.brief, [sku])
        kept = find_candidates(instance.catalogue, brief, thin=True, known=whole)
        if kept.infeasible:
            continue
        again = Subproblems(kept, most, most, known=known)
        anew = Subproblems(kept, most, most)
        assert again.upper_bounds.at(most).tolist() == anew.upper_bounds.at(most).tolist()
        mine, theirs = again.upper_bounds._relaxed, known.upper_bounds._relaxed
        used += mine is not None and theirs is not None and mine._dressed is theirs._dressed
    assert used
