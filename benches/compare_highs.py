#!/usr/bin/env python3
"""Turnto's rosters beside those of a general solver, HiGHS (package `highspy`), on the same programme.

    cargo bench --bench roster -- --export FOLDER
    python3 benches/compare_highs.py FOLDER [--seconds 60]

Each file of the folder holds the programmes of one roster, written out, with the cost, the bound and the seconds
turnto needed. The solver gets the same columns and rows, on one core. Rest that only shows over more than two days
is in neither, unless turnto had to bar something; then turnto's cost may be above the solver's.
"""

import argparse
import json
import sys
import time
from pathlib import Path

try:
    import highspy
    import numpy as np
except ImportError:
    print("SKIPPED: the package `highspy` is not installed (pip install highspy); nothing was run", file=sys.stderr)
    sys.exit(0)


def solve(part, seconds):
    """Objective, bound, status of one programme."""
    inf = highspy.kHighsInf
    lp = highspy.HighsLp()
    columns, rows = part["columns"], part["rows"]
    lp.num_col_, lp.num_row_ = len(columns), len(rows)
    lp.col_cost_ = np.array([c[0] for c in columns], dtype=float)
    lp.col_lower_ = np.array([-inf if c[1] is None else c[1] for c in columns], dtype=float)
    lp.col_upper_ = np.array([inf if c[2] is None else c[2] for c in columns], dtype=float)
    lp.integrality_ = [highspy.HighsVarType.kInteger if c[3] else highspy.HighsVarType.kContinuous for c in columns]
    lp.row_lower_ = np.array([-inf if r[0] == "<=" else r[1] for r in rows], dtype=float)
    lp.row_upper_ = np.array([inf if r[0] == ">=" else r[1] for r in rows], dtype=float)
    start, index, value = [0], [], []
    for row in rows:
        for col, number in row[2]:
            index.append(col)
            value.append(number)
        start.append(len(index))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(start)
    lp.a_matrix_.index_ = np.array(index)
    lp.a_matrix_.value_ = np.array(value, dtype=float)
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("time_limit", float(seconds))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.passModel(lp)
    highs.run()
    info = highs.getInfo()
    return info.objective_function_value, info.mip_dual_bound, highs.modelStatusToString(highs.getModelStatus())


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seconds", type=float, default=60.0, help="limit for each programme (60)")
    args = parser.parse_args()
    files = sorted(args.folder.glob("*.json"))
    if not files:
        sys.exit(f"no rosters in {args.folder}; run the benchmark with --export first")
    print(f"{'roster':36}{'columns':>9}{'rows':>7}{'turnto':>11}{'s':>8}{'HiGHS':>11}{'s':>8}{'bound':>11}  status")
    wrong = False
    for file in files:
        data = json.loads(file.read_text())
        began = time.process_time()
        answers = [solve(part, args.seconds) for part in data["parts"]]
        took = time.process_time() - began
        total, bound = sum(a[0] for a in answers), sum(a[1] for a in answers)
        status = ", ".join(sorted({a[2] for a in answers}))
        size = [sum(len(p[k]) for p in data["parts"]) for k in ("columns", "rows")]
        print(f"{data['name']:36}{size[0]:>9}{size[1]:>7}{data['total'] / 1000:>11.0f}{data['seconds']:>8.2f}"
              f"{total / 1000:>11.0f}{took:>8.2f}{bound / 1000:>11.0f}  {status}")
        # A proven bound above what somebody reached would be a fault of one of the two.
        if data["bound"] > total + 1:
            print(f"  FAULT: turnto's bound {data['bound'] / 1000:.0f} is above a roster the solver found")
            wrong = True
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
