#!/usr/bin/env python3
"""Turnto's finishes beside those of a general constraint solver, CP-SAT (package `ortools`).

    compare_cpsat.py public RESULTS.csv   # from: cargo bench --bench public -- --csv RESULTS.csv
    compare_cpsat.py dock FOLDER          # from: cargo bench --bench dock -- --export FOLDER

The solver gets the same instances, once with the wall time turnto took and once with ten times that, on one
core unless `--workers` says otherwise. Ratios are turnto's finish divided by the solver's: under 1, turnto is
ahead. For public instances the raw files are read here anew, in a third way.

The model of a generated job has calendars, watches and fixed duties, teams by competence, single tools and
tools held through waits, order with waits, the three stop codes, pauses, bans, same and different person.
It leaves out: rest rules, reserve, daily caps, open covers, movable duties, overtime, and that nobody works
elsewhere in a pause. An `any` task is done in pieces of fixed length, which may follow on one another, each with a
team of its own. With pieces of one slot that is easier than turnto's rule (no shortest spell), with longer ones
it is narrower but quicker; every length of `--pieces` is tried with the full time, and the best result counts.
With `--told` the solver begins from turnto's plan instead (pieces of one slot only, which can follow any plan), so
that what comes out is how much of it ten times the time can take off.
So the `bare` jobs are nearly the same on both sides, and the `full` ones are easier for the solver.
"""

import argparse
import csv
import json
import os
import re
import statistics
import sys
import threading
import time
from pathlib import Path

try:
    from ortools.sat.python import cp_model
except ImportError:
    print("SKIPPED: the package `ortools` is not installed (pip install ortools); nothing was run", file=sys.stderr)
    sys.exit(0)


# Public instances -----------------------------------------------------------------------------------------


def read_sm(text):
    """Lengths, pairs of order, sizes, loads; no people."""
    lines = text.splitlines()

    def rows(title, skip):
        at = next(i for i, line in enumerate(lines) if line.startswith(title)) + skip
        while at < len(lines) and not lines[at].startswith("*"):
            yield [int(word) for word in lines[at].split()]
            at += 1

    order = [(row[0] - 1, to - 1) for row in rows("PRECEDENCE", 2) for to in row[3:]]
    demand = list(rows("REQUESTS", 3))
    sizes = next(iter(rows("RESOURCEAVAIL", 2)))
    return dict(lengths=[r[2] for r in demand], order=order, sizes=sizes, loads=[r[3:] for r in demand], needs=None)


def read_shop(text):
    """Each machine is a resource of size one."""
    rows = [[int(w) for w in line.split()] for line in text.splitlines() if line.strip() and line[0] != "#"]
    jobs, machines = rows[0]
    lengths, loads, order = [], [], []
    for row in rows[1 : jobs + 1]:
        for k in range(machines):
            if k:
                order.append((len(lengths) - 1, len(lengths)))
            lengths.append(row[2 * k + 1])
            loads.append([1 if m == row[2 * k] else 0 for m in range(machines)])
    return dict(lengths=lengths, order=order, sizes=[1] * machines, loads=loads, needs=None)


def read_dzn(text):
    """People with skills; no other resources."""
    text = re.sub(r"%.*", "", text)
    value = {m[1]: m[2] for m in re.finditer(r"(\w+)\s*=\s*([^;]*);", text)}

    def ints(name):
        return [int(w) for w in re.findall(r"\d+", value[name])]

    skills = ints("nSkills")[0]
    needs, has = ints("sreq"), re.findall(r"true|false", value["mastery"])
    return dict(
        lengths=ints("dur"),
        order=[(a - 1, b - 1) for a, b in zip(ints("pred"), ints("succ"))],
        sizes=[],
        loads=[[] for _ in ints("dur")],
        needs=[needs[i : i + skills] for i in range(0, len(needs), skills)],
        masters=[[w == "true" for w in has[i : i + skills]] for i in range(0, len(has), skills)],
    )


def public_model(data):
    """The usual interval model; teams by one literal a person, activity and skill."""
    model = cp_model.CpModel()
    lengths = data["lengths"]
    horizon = sum(lengths)
    starts = [model.new_int_var(0, horizon, "") for _ in lengths]
    intervals = [model.new_fixed_size_interval_var(s, n, "") for s, n in zip(starts, lengths)]
    finish = model.new_int_var(0, horizon, "")
    for start, length in zip(starts, lengths):
        model.add(finish >= start + length)
    for before, after in data["order"]:
        model.add(starts[after] >= starts[before] + lengths[before])
    for r, size in enumerate(data["sizes"]):
        users = [i for i in range(len(lengths)) if data["loads"][i][r] > 0]
        if size == 1:
            model.add_no_overlap([intervals[i] for i in users])
        else:
            model.add_cumulative([intervals[i] for i in users], [data["loads"][i][r] for i in users], size)
    if data["needs"] is not None:
        at_work = [[] for _ in data["masters"]]
        for i, need in enumerate(data["needs"]):
            on = {}
            for skill, number in enumerate(need):
                if number == 0:
                    continue
                brings = {p: model.new_bool_var("") for p, has in enumerate(data["masters"]) if has[skill]}
                model.add(sum(brings.values()) == number)
                for p, literal in brings.items():
                    on.setdefault(p, []).append(literal)
            for p, literals in on.items():
                there = literals[0]
                if len(literals) > 1:
                    there = model.new_bool_var("")
                    model.add(sum(literals) == there)
                at_work[p].append(model.new_optional_fixed_size_interval_var(starts[i], lengths[i], there, ""))
        for intervals_of_one in at_work:
            model.add_no_overlap(intervals_of_one)
        # Redundant, and what makes it quick: how many of each skill there are.
        for skill in range(len(data["masters"][0]) if data["masters"] else 0):
            users = [i for i, need in enumerate(data["needs"]) if need[skill] > 0]
            holders = sum(has[skill] for has in data["masters"])
            model.add_cumulative([intervals[i] for i in users], [data["needs"][i][skill] for i in users], holders)
        users = [i for i, need in enumerate(data["needs"]) if sum(need) > 0]
        model.add_cumulative([intervals[i] for i in users], [sum(data["needs"][i]) for i in users], len(data["masters"]))
    model.minimize(finish)
    return model


# Generated jobs -------------------------------------------------------------------------------------------


def domain_of(starts):
    return cp_model.Domain.from_values(sorted(starts))


class DockModel:
    """A generated job, as the head of this file says."""

    def __init__(self, job, horizon, piece):
        self.job, self.horizon, self.piece = job, horizon, piece
        self.model = cp_model.CpModel()
        self.free = []
        self.breaks = []
        self.legal = {}
        for person in job["people"]:
            slots = [False] * horizon
            for a, b in person["free"]:
                slots[a : min(b, horizon)] = [True] * (min(b, horizon) - a)
            self.free.append(slots)
            pauses = [False] * horizon
            for a, b in person["breaks"]:
                pauses[a : min(b, horizon)] = [True] * (min(b, horizon) - a)
            self.breaks.append(pauses)
        self.spans = [[] for _ in job["people"]]  # every spell of a person
        self.tool_use = [[] for _ in job["tools"]]
        self.starts, self.ends, self.used = [], [], []
        self.rows = []  # by task, by spell: start, end, pause, whole length, what it may be, a row of people a need
        self.held = []  # how long each tool is held
        self.on = []  # a literal that says that one of others holds
        for task in job["tasks"]:
            self.add_task(task)
        self.join()

    def legal_starts(self, person, length, paused):
        """Starts at which a person can work `length` slots, in one go or paused by his own breaks, and how
        long that takes."""
        key = (person, length, paused)
        if key in self.legal:
            return self.legal[key]
        free, breaks = self.free[person], self.breaks[person]
        legal = self.legal[key] = {}
        for s in range(self.horizon - length + 1):
            if not free[s]:
                continue
            left, t, gap = length, s, 0
            while left and t < self.horizon:
                if free[t]:
                    left -= 1
                elif paused and breaks[t]:
                    gap += 1
                else:
                    break
                t += 1
            if left == 0 and bool(gap) == paused and gap * self.job["slot_minutes"] <= 90:
                legal[s] = t - s
        return legal

    def add_task(self, task):
        model, horizon = self.model, self.horizon
        low, high = task["not_before"], min(task["not_after"], horizon)
        spells = []  # start, end, interval
        teams = []
        if not task["needs"] or task["emergency"]:
            # Round the clock: emergencies are let off the calendar as well.
            s = model.new_int_var(low, high, "")
            spells.append((s, s + task["length"], model.new_fixed_size_interval_var(s, task["length"], "")))
            teams.append(self.team(task, spells[0]))
            self.rows.append([(s, None, None, None, [], teams[0])])
        else:
            self.rows.append([])
            for length in self.lengths(task):
                spell, team = self.spell(task, length, low, high)
                if spells:
                    model.add(spell[0] >= spells[-1][1])
                spells.append(spell)
                teams.append(team)
        for need in task["same"]:
            for team in teams[1:]:
                for p, literal in team[need].items():
                    model.add(literal == teams[0][need][p])
        for spell in spells:
            for tool, number in task["tools"]:
                self.tool_use[tool].append((spell[2], number))
        banned = [model.new_fixed_size_interval_var(a, min(b, horizon) - a, "") for a, b in task["banned"] if a < horizon]
        if banned:
            model.add_no_overlap([s[2] for s in spells] + banned)
        self.starts.append(spells[0][0])
        self.ends.append(spells[-1][1])
        self.used.append(teams)

    def team(self, task, spell):
        """One literal a need and person; all different. For what runs at any hour."""
        model = self.model
        s, e, _ = spell
        team, of_person = [], {}
        for need in task["needs"]:
            row = {p: model.new_bool_var("") for p, who in enumerate(self.job["people"]) if need in who["competences"]}
            model.add(sum(row.values()) == 1)
            team.append(row)
            for p, literal in row.items():
                of_person.setdefault(p, []).append(literal)
        for p, literals in of_person.items():
            on = literals[0]
            if len(literals) > 1:
                on = model.new_bool_var("")
                model.add(sum(literals) == on)
                self.on.append((on, literals))
            self.spans[p].append(model.new_optional_interval_var(s, task["length"], e, on, ""))
        return team

    def lengths(self, task):
        """Its parts; an `any` task is cut into pieces, which may follow on one another."""
        if task["stop"] != "any":
            return task["parts"]
        whole, rest = divmod(task["length"], self.piece)
        return [self.piece] * whole + ([rest] if rest else [])

    def spell(self, task, length, low, high):
        """A spell: where a person may start is a list, with and without a pause."""
        model = self.model
        s, e = model.new_int_var(low, high, ""), model.new_int_var(low, high, "")
        paused = model.new_bool_var("") if task["pauses"] or task["stop"] == "any" else None
        size = model.new_int_var(length, length + 3, "")
        plain, with_pause, pauses, wholes = {}, {}, {}, []
        holders = {p for need in task["needs"] for p, who in enumerate(self.job["people"]) if need in who["competences"]}
        for p in holders:
            plain[p] = self.legal_starts(p, length, False)
            with_pause[p] = self.legal_starts(p, length, True) if paused is not None else {}
            pauses.update(with_pause[p])
        if paused is None or not pauses:
            if paused is not None:
                model.add(paused == 0)
            model.add(size == length)
        else:
            model.add(size == length).only_enforce_if(~paused)
            by_size = []
            for whole in sorted(set(pauses.values())):
                literal = model.new_bool_var("")
                by_size.append(literal)
                wholes.append((literal, whole))
                starts = domain_of([t for t, n in pauses.items() if n == whole])
                model.add_linear_expression_in_domain(s, starts).only_enforce_if(literal)
                model.add(size == whole).only_enforce_if(literal)
                model.add_implication(literal, paused)
            model.add_bool_or([*by_size, ~paused])
        interval = model.new_interval_var(s, size, e, "")
        team, of_person = [], {}
        for need in task["needs"]:
            row = {p: model.new_bool_var("") for p in holders if need in self.job["people"][p]["competences"]}
            model.add(sum(row.values()) == 1)
            team.append(row)
            for p, literal in row.items():
                of_person.setdefault(p, []).append(literal)
        for p, literals in of_person.items():
            on = literals[0]
            if len(literals) > 1:
                on = model.new_bool_var("")
                model.add(sum(literals) == on)
                self.on.append((on, literals))
            unpaused = [on] if paused is None else [on, ~paused]
            model.add_linear_expression_in_domain(s, domain_of(plain[p])).only_enforce_if(unpaused)
            if paused is not None:
                model.add_linear_expression_in_domain(s, domain_of(with_pause[p])).only_enforce_if([on, paused])
            self.spans[p].append(model.new_optional_interval_var(s, size, e, on, ""))
        self.rows[-1].append((s, e, paused, size, wholes, team))
        return (s, e, interval), team

    def join(self):
        model, job = self.model, self.job
        for i, task in enumerate(job["tasks"]):
            for before, lag in task["after"]:
                model.add(self.starts[i] >= self.ends[before] + lag)
            for need, other, other_needs in task["different"]:
                for team in self.used[i]:
                    for p, literal in team[need].items():
                        for other_team in self.used[other]:
                            for n, row in enumerate(other_team):
                                if p in row and (not other_needs or n in other_needs):
                                    model.add_bool_or([~literal, ~row[p]])
        for p in range(len(job["people"])):
            model.add_no_overlap(self.spans[p])
        for hold in job["holds"]:
            s, e = self.starts[hold["fill"]], self.ends[hold["empty"]]
            size = model.new_int_var(0, self.horizon, "")
            self.tool_use[hold["tool"]].append((model.new_interval_var(s, size, e, ""), hold["number"]))
            self.held.append((size, hold))
        for tool, uses in zip(job["tools"], self.tool_use):
            away = [
                (model.new_fixed_size_interval_var(a, min(b, self.horizon) - a, ""), tool["number"])
                for a, b in tool["away"]
                if a < self.horizon
            ]
            rows = uses + away
            if rows:
                model.add_cumulative([r[0] for r in rows], [r[1] for r in rows], tool["number"])
        for post in {t["attended"] for t in job["tasks"] if t["attended"] is not None}:
            run_by_watch = [i for i, t in enumerate(job["tasks"]) if t["attended"] == post]
            model.add_no_overlap(
                [model.new_fixed_size_interval_var(self.starts[i], job["tasks"][i]["length"], "") for i in run_by_watch]
            )
        self.finish = finish = model.new_int_var(0, self.horizon, "")
        for end in self.ends:
            model.add(finish >= end)
        model.minimize(finish)
        # A first schedule is found by starting early what can start early.
        model.add_decision_strategy(self.starts, cp_model.CHOOSE_LOWEST_MIN, cp_model.SELECT_MIN_VALUE)

    def tell(self):
        """Begins the solver at turnto's plan."""
        assert self.piece == 1, "longer pieces do not follow every plan"
        hint, job = self.model.add_hint, self.job
        spells = [[] for _ in job["tasks"]]
        for spell in job["spells"]:
            spells[spell["task"]].append(spell)
        starts, ends, true = [], [], set()
        for task, rows, own in zip(job["tasks"], self.rows, spells):
            done = [(s["work"][0][0], s["work"][-1][1], sum(b - a for a, b in s["work"]), s["team"]) for s in own]
            if task["stop"] == "any" and rows[0][1] is not None:
                done = [(t, t + 1, 1, s["team"]) for s in own for a, b in s["work"] for t in range(a, b)]
            assert len(rows) == len(done), task["id"]
            starts.append(done[0][0])
            ends.append(done[-1][1])
            for (s, e, paused, size, wholes, team), (start, end, worked, people) in zip(rows, done):
                hint(s, start)
                if e is not None:
                    hint(e, end)
                    hint(size, end - start)
                if paused is not None:
                    hint(paused, end - start > worked)
                for literal, whole in wholes:
                    hint(literal, end - start > worked and whole == end - start)
                for row, person in zip(team, people):
                    for p, literal in row.items():
                        hint(literal, p == person)
                        if p == person:
                            true.add(literal.index)
        for on, literals in self.on:
            hint(on, any(literal.index in true for literal in literals))
        for size, hold in self.held:
            hint(size, ends[hold["empty"]] - starts[hold["fill"]])
        hint(self.finish, job["finish"])


# The comparison -------------------------------------------------------------------------------------------


class Notes(cp_model.CpSolverSolutionCallback):
    """The best finish by time: processor time with one worker, as turnto's own is measured, else wall time."""

    def __init__(self, workers):
        super().__init__()
        self.clock = time.process_time if workers == 1 else time.monotonic
        self.began, self.gains = self.clock(), []

    def seconds(self):
        return self.clock() - self.began

    def on_solution_callback(self):
        self.gains.append((self.seconds(), int(self.objective_value)))

    def best_at(self, seconds):
        return min((value for at, value in self.gains if at <= seconds), default=None)


def solve(model, seconds, workers, seed):
    """One run of ten times the time; the result at one time is read off on the way. Building the model is not
    counted against the solver."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    # Probing alone would take longer than most of these runs.
    solver.parameters.cp_model_probing_level = 0
    notes = Notes(workers)
    done = threading.Event()

    def watch():
        while not done.wait(0.01):
            if notes.seconds() > 10 * seconds:
                solver.stop_search()

    watcher = threading.Thread(target=watch)
    watcher.start()
    try:
        status = solver.solve(model, notes)
    finally:
        done.set()
        watcher.join()
    proven = status == cp_model.OPTIMAL
    bound = int(solver.best_objective_bound) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return notes.best_at(seconds), notes.best_at(float("inf")), proven, bound


def ratio(ours, theirs):
    return ours / theirs if theirs else None


def show(value, form="{:.3f}"):
    return "none" if value is None else form.format(value)


def public(args):
    folder = os.environ.get("TURNTO_DATASETS")
    if not folder:
        print("SKIPPED: set TURNTO_DATASETS to the folder of public instances; nothing was run", file=sys.stderr)
        return 0
    rows = [r for r in csv.DictReader(open(args.path, newline="")) if r["method"] == "turnto"]
    most = max((int(r["schedules"]) for r in rows), default=0)
    rows = [r for r in rows if int(r["schedules"]) == (args.count or most)]
    readers = {".sm": (read_sm, "psplib"), ".txt": (read_shop, "."), ".dzn": (read_dzn, "mspsp")}
    print(f"{'set':<8} {'files':>5} {'turnto s':>9} {'ratio 1x':>9} {'worst':>7} {'none':>5} {'ratio 10x':>9} {'worst':>7} {'none':>5} {'proven 10x':>10}")
    for name in dict.fromkeys(r["set"] for r in rows):
        ones, tens, lost, lost_ten, proofs, wall = [], [], 0, 0, 0, []
        for row in [r for r in rows if r["set"] == name][:: args.every]:
            read, under = readers[Path(row["file"]).suffix]
            text = Path(folder, under, name, row["file"]).read_text()
            seconds, ours = max(float(row["seconds"]), args.least_seconds), int(row["makespan"])
            one, ten, proven, bound = solve(public_model(read(text)), seconds, args.workers, args.seed)
            if bound is not None and ours < bound:
                print(f"FAULT: {row['file']}: {ours} is below the bound {bound} proven here")
                return 1
            wall.append(seconds)
            proofs += proven
            lost += one is None
            lost_ten += ten is None
            ones += [ours / one] if one else []
            tens += [ours / ten] if ten else []
            if args.each:
                print(f"  {row['file']:<46} {seconds:8.2f} s: turnto {ours}, 1x {one}, 10x {ten}{' proven' if proven else ''}", flush=True)
        mean = lambda values: show(statistics.fmean(values) if values else None)
        print(
            f"{name:<8} {len(wall):>5} {statistics.fmean(wall):>9.2f} {mean(ones):>9} {show(max(ones, default=None)):>7} {lost:>5} "
            f"{mean(tens):>9} {show(max(tens, default=None)):>7} {lost_ten:>5} {proofs:>10}",
            flush=True,
        )
    return 0


def dock(args):
    files = sorted(Path(args.path).glob("dock-*.json"))
    print(f"{'job':<28} {'turnto s':>9} {'turnto':>7} {'1x':>7} {'10x':>7} {'bound':>7} {'ratio 1x':>9} {'ratio 10x':>9}")
    for path in files:
        job = json.loads(path.read_text())
        # A favour to the solver: it is told that nothing much later than turnto's finish is of use.
        horizon = min(job["horizon"], job["finish"] + args.room * job["day_slots"])
        seconds = max(job["seconds"], args.least_seconds)
        ones, tens, bound = [], [], None
        for piece in [1] if args.told else args.pieces:
            model = DockModel(job, horizon, piece)
            if args.told:
                model.tell()
            one, ten, _, least = solve(model.model, seconds, args.workers, args.seed)
            ones += [one] if one else []
            tens += [ten] if ten else []
            # Only pieces of one slot make a model that is nowhere narrower.
            bound = least if piece == 1 else bound
        one, ten, ours = min(ones, default=None), min(tens, default=None), job["finish"]
        print(
            f"{path.stem:<28} {seconds:>9.2f} {ours:>7} {one or '-':>7} {ten or '-':>7} {bound or '-':>7} "
            f"{show(ratio(ours, one)):>9} {show(ratio(ours, ten)):>9}",
            flush=True,
        )
    if not files:
        print(f"no dock-*.json in {args.path}", file=sys.stderr)
        return 1
    return 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=["public", "dock"])
    parser.add_argument("path", help="the CSV file of the public benchmark, or the folder of exported jobs")
    parser.add_argument("--workers", type=int, default=1, help="threads of the solver (default 1)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=0, help="compare at this number of schedules (default: the most)")
    parser.add_argument("--every", type=int, default=1, help="only every n-th file of a set")
    parser.add_argument("--least-seconds", type=float, default=0.1, help="the solver never gets less than this")
    parser.add_argument("--pieces", type=int, nargs="+", default=[1, 2, 4], help="slots of a piece of an `any` task")
    parser.add_argument("--room", type=int, default=10, help="days after turnto's finish that the solver may use")
    parser.add_argument("--told", action="store_true", help="dock: the solver begins from turnto's plan")
    parser.add_argument("--each", action="store_true", help="a line an instance")
    args = parser.parse_args()
    return public(args) if args.what == "public" else dock(args)


if __name__ == "__main__":
    sys.exit(main())
