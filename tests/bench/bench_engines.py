"""kitsolver beside general-purpose solvers on the same problem, from 1 to 10,000 charts.

Run ``python tests/bench/bench_engines.py``; ``--plot FILE`` draws it. The problem is written once,
as kitsolver's own whole model (`kitsolver.solve.model`), and handed to each engine: HiGHS, SCIP and
CP-SAT through MathOpt, CBC through OR-Tools' older interface, GLPK through swiglpk if it is
installed. An engine proves the first figure only (quality), and only its solving counts;
kitsolver's time is a whole pick: candidates, all figures, tie-break and audit. All run on one core.
No test: these machines are noisy.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import timedelta
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from shop import shop_text

from kitsolver import brief_of, pick, read_catalogue

SIZES = (1, 10, 100, 1_000, 10_000)
OTHERS = 3_000
SEED, CAP = 3, "20.00"
# What building a model may take: above, the machine has nothing left for the engines.
BUILD_SECONDS, BUILD_BYTES = 300, 8 * 2**30


@dataclass(frozen=True)
class Run:
    """How an engine ended: seconds, the best value and the bound found, as quality."""

    seconds: float
    best: float | None
    bound: float | None
    proven: bool

    def cell(self, fastest: float) -> str:
        """Return the run as a cell of the table."""
        if self.proven:
            return f"{self.seconds:.2f} ({self.seconds / fastest:.0f} ×)"
        if self.best is None or self.bound is None:
            return "no kit found"
        return f"no proof, gap {self.bound - self.best:.2f}"


def build(shop: Path, folder: Path) -> float:
    """Write the model of the open-chart brief; return the points of one of quality."""
    from ortools.math_opt.io.python import mps_converter

    from kitsolver.solve.engine import Solver
    from kitsolver.solve.figures import unit_of
    from kitsolver.solve.model.lexicographic import LexicographicSearch
    from kitsolver.solve.presolve.find import find_candidates
    from kitsolver.solve.time_limit import TimeLimit

    resource.setrlimit(resource.RLIMIT_AS, (BUILD_BYTES, BUILD_BYTES))
    brief = brief_of({"currency": "EUR", "cap": CAP})
    candidates = find_candidates(read_catalogue(shop, currency="EUR"), brief)
    search = LexicographicSearch(candidates, Solver.HIGHS, TimeLimit(None), brief.total_cap)
    model = search.model.model
    model.minimize(-1.0 * search.weighed)
    proto = model.export_model()
    (folder / "model.pb").write_bytes(proto.SerializeToString())
    (folder / "model.mps").write_text(mps_converter.model_proto_to_mps(proto), encoding="utf-8")
    unit = float(unit_of(candidates) * search.scale)
    (folder / "unit.json").write_text(json.dumps([unit, float(search.step * search.scale)]))
    return unit


def by_mathopt(engine: str) -> Callable[[Path, float, float], Run]:
    """Return what runs one of MathOpt's solvers."""

    def run(folder: Path, seconds: float, gap: float) -> Run:
        from ortools.math_opt import model_pb2
        from ortools.math_opt.python import mathopt

        proto = model_pb2.ModelProto.FromString((folder / "model.pb").read_bytes())
        model = mathopt.Model.from_model_proto(proto)
        parameters = mathopt.SolveParameters(
            threads=None if engine == "HIGHS" else 1,
            time_limit=timedelta(seconds=seconds),
            relative_gap_tolerance=0.0,
            absolute_gap_tolerance=gap,
        )
        parameters.highs.string_options["parallel"] = "off"
        start = time.perf_counter()
        result = mathopt.solve(model, mathopt.SolverType[engine], params=parameters)
        took = time.perf_counter() - start
        bounds = result.termination.objective_bounds
        proven = result.termination.reason is mathopt.TerminationReason.OPTIMAL
        best = -bounds.primal_bound if result.has_primal_feasible_solution() else None
        return Run(took, best, -bounds.dual_bound, proven)

    return run


def by_cbc(folder: Path, seconds: float, _gap: float) -> Run:
    """Run CBC, which MathOpt does not offer."""
    from ortools.linear_solver import pywraplp
    from ortools.linear_solver.python import model_builder

    builder = model_builder.ModelBuilder()
    builder.import_from_mps_string((folder / "model.mps").read_text(encoding="utf-8"))
    solver = pywraplp.Solver.CreateSolver("CBC")
    solver.LoadModelFromProto(builder.export_to_proto())
    solver.SetTimeLimit(round(seconds * 1000))
    parameters = pywraplp.MPSolverParameters()
    parameters.SetDoubleParam(pywraplp.MPSolverParameters.RELATIVE_MIP_GAP, 0.0)
    start = time.perf_counter()
    status = solver.Solve(parameters)
    took = time.perf_counter() - start
    proven = status == pywraplp.Solver.OPTIMAL
    found = status in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE)
    best = -solver.Objective().Value() if found else None
    return Run(took, best, -solver.Objective().BestBound() if found else None, proven)


def by_glpk(folder: Path, seconds: float, _gap: float) -> Run:
    """Run GLPK."""
    import swiglpk as glpk

    problem = glpk.glp_create_prob()
    glpk.glp_read_mps(problem, glpk.GLP_MPS_FILE, None, str(folder / "model.mps"))
    settings = glpk.glp_iocp()
    glpk.glp_init_iocp(settings)
    settings.presolve, settings.tm_lim = glpk.GLP_ON, round(seconds * 1000)
    start = time.perf_counter()
    ended = glpk.glp_intopt(problem, settings)
    took = time.perf_counter() - start
    status = glpk.glp_mip_status(problem)
    found = status in (glpk.GLP_OPT, glpk.GLP_FEAS)
    best = -glpk.glp_mip_obj_val(problem) if found else None
    return Run(took, best, None, ended == 0 and status == glpk.GLP_OPT)


ENGINES: dict[str, Callable[[Path, float, float], Run]] = {
    "HiGHS": by_mathopt("HIGHS"),
    "SCIP": by_mathopt("GSCIP"),
    "CP-SAT": by_mathopt("CP_SAT"),
    "CBC": by_cbc,
    "GLPK": by_glpk,
}


def apart(engine: str, folder: Path, seconds: float) -> Run:
    """Run an engine in a process of its own, which is ended if it overstays its time."""
    command = [sys.executable, __file__, "--run", engine, str(folder), "--limit", str(seconds)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=3 * seconds + 60)
        found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    except (subprocess.TimeoutExpired, IndexError, ValueError):
        return Run(seconds, None, None, False)
    return Run(**found)


def built(shop: Path, folder: Path) -> float | None:
    """Return the seconds that building the model takes; None if it takes too much."""
    start = time.perf_counter()
    process = multiprocessing.get_context("spawn").Process(target=build, args=(shop, folder))
    process.start()
    process.join(BUILD_SECONDS)
    if process.is_alive():
        process.kill()
        process.join()
    return time.perf_counter() - start if process.exitcode == 0 else None


def row_of(charts: int, engines: list[str], limit: float) -> dict[str, Any]:
    """Time every engine on a catalogue of so many charts."""
    with tempfile.TemporaryDirectory() as name:
        folder, shop = Path(name), Path(name) / "shop.csv"
        shop.write_text(shop_text(charts, OTHERS, SEED), encoding="utf-8", newline="")
        catalogue = read_catalogue(shop, currency="EUR")
        brief = brief_of({"currency": "EUR", "cap": CAP})
        start = time.perf_counter()
        kit = pick(catalogue, brief).kit
        took = time.perf_counter() - start
        assert kit is not None
        quality = float(kit.figures.quality)
        row: dict[str, Any] = {"charts": charts, "kitsolver": took}
        row["building"] = built(shop, folder)
        for engine in engines if row["building"] is not None else ():
            row[engine] = run = apart(engine, folder, limit)
            if run.proven and run.best is not None and abs(run.best - quality) > 1e-3:
                raise SystemExit(f"{engine} proves {run.best}, kitsolver {quality}")
        return row


def told(row: dict[str, Any], engines: list[str]) -> str:
    """Return a row of the table."""
    fast, building = row["kitsolver"], row["building"]
    cells = [f"{row['charts']:,}", f"{fast:.2f}"]
    cells.append("not built" if building is None else f"{building:.1f}")
    cells += [row[engine].cell(fast) if engine in row else "-" for engine in engines]
    return f"| {' | '.join(cells)} |"


def draw(rows: list[dict[str, Any]], engines: list[str], limit: float, path: Path) -> None:
    """Draw the seconds to a proof; a hollow mark stands where there was none in time."""
    import matplotlib as mpl

    mpl.use("svg")
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(figsize=(7, 4.2), layout="constrained")
    marks = dict(zip(["kitsolver", *engines], "osD^vP", strict=False))
    for name, mark in marks.items():
        shown = [row for row in rows if name in row]
        seconds = [row[name] if name == "kitsolver" else row[name].seconds for row in shown]
        proven = [name == "kitsolver" or row[name].proven for row in shown]
        times = [s if p else limit for s, p in zip(seconds, proven, strict=True)]
        (line,) = axes.plot([row["charts"] for row in shown], times, label=name, marker=mark)
        hollow = [(row["charts"], limit) for row, p in zip(shown, proven, strict=True) if not p]
        if hollow:
            axes.plot(*zip(*hollow, strict=True), mark, color=line.get_color(), mfc="white")
    axes.axhline(limit, color="grey", linewidth=0.8, linestyle=":")
    axes.set(xscale="log", yscale="log", xlabel="charts", ylabel="seconds to proof")
    axes.xaxis.set_major_formatter("{x:,.0f}")
    axes.yaxis.set_major_formatter("{x:g}")
    axes.legend(frameon=False, loc="upper right", bbox_to_anchor=(1, 0.93))
    figure.savefig(path, metadata={"Date": None})


def main() -> None:
    """Print the table, or run one engine for it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--limit", type=float, default=60.0, help="seconds for an engine")
    parser.add_argument("--plot", type=Path, help="an SVG file")
    parser.add_argument("--charts", type=int, nargs="*", default=SIZES)
    parser.add_argument("--run", nargs=2, metavar=("ENGINE", "FOLDER"), help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.run:
        engine, folder = given.run[0], Path(given.run[1])
        unit, step = json.loads((folder / "unit.json").read_text())
        run = ENGINES[engine](folder, given.limit, step / 2)
        scaled = [None if value is None else value / unit for value in (run.best, run.bound)]
        print(json.dumps(asdict(Run(run.seconds, *scaled, run.proven))))
        return
    engines = [name for name in ENGINES if name != "GLPK" or find_spec("swiglpk")]
    print(f"| charts | kitsolver, s | building the model, s | {' | '.join(engines)} |")
    print("|---" * (3 + len(engines)) + "|")
    rows = []
    for charts in given.charts:
        rows.append(row_of(charts, engines, given.limit))
        print(told(rows[-1], engines), flush=True)
    if given.plot:
        draw(rows, engines, given.limit, given.plot)


if __name__ == "__main__":
    main()
