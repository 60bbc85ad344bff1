"""The solvers behind the models."""

from instances import instance, to_toml

from kitsolver import Engine, Solver, pick, read_brief, read_catalogue
from kitsolver.solve.model import solver


def test_a_solver_that_goes_round_in_circles_is_left_for_another(tmp_path, monkeypatch):
    """SCIP never comes to an end over this little shop, once its best kit is to cost least."""
    monkeypatch.setattr(solver, "_PATIENCE", 0.5)
    text, asked = instance(1001629)
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    catalogue, read = read_catalogue(shop, currency="EUR"), read_brief(brief)
    model = pick(catalogue, read, engine=Engine.ONE_SHOT, solver=Solver.SCIP)
    assert model.kit == pick(catalogue, read).kit
