//! What a person may stand on each day, and how he may go from one day to the next.

use std::collections::BTreeSet;

use crate::id::PersonId;
use crate::model::Problem;
use crate::roster::check::Checker;
use crate::roster::layout::{AGAIN, CHANGE, FAR, Layout, Row, UNEVEN};
use crate::roster::worth::Worth;
use crate::time::{Minutes, Span};

/// A step that rest rules out.
pub(super) const BARRED: i64 = i64::MAX / 4;

/// Most choices of one person on one day; beyond it those with most lines at once are left out.
const MOST: usize = 48;

/// Most lines of one person on one day.
const MOST_LINES: usize = 3;

/// Lines a person stands on one day.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Choice {
    /// Positions in the layout's units.
    pub(super) units: Vec<usize>,
    /// Positions in the layout's open turns.
    pub(super) turns: Vec<usize>,
    /// Ordinary time on the job lost by it.
    pub(super) cost: i64,
    /// What it adds to the person's share.
    pub(super) load: i64,
}

/// Days on which a person cannot choose what is marked on all of them (a mark for each choice of the row): found on
/// whole rosters, where pairs of days show nothing.
pub(super) type Forbidden = Vec<(usize, Vec<bool>)>;

/// All choices of one person.
#[derive(Debug)]
pub(super) struct Hand<'p> {
    pub(super) checker: Checker<'p>,
    /// By row; the first of each is to stand nothing.
    pub(super) choices: Vec<Vec<Choice>>,
    /// By row, from every choice of the row before to every one of the row; for the first row from what was before.
    pub(super) steps: Vec<Vec<i64>>,
    /// Load over which it costs, and how far over it costs more.
    pub(super) share: i64,
    pub(super) whole: i64,
    /// What is barred for this person.
    pub(super) forbidden: Vec<Forbidden>,
    /// Whole paths known to be legal.
    pub(super) known: BTreeSet<Vec<usize>>,
    /// Whether some choices were left out for their number.
    pub(super) cut: bool,
}

impl<'p> Hand<'p> {
    /// The choices of a person on `rows`.
    pub(super) fn new(problem: &Problem, layout: &Layout, rows: &[Row], checker: Checker<'p>, worth: &mut Worth) -> Self {
        let mut hand = Self {
            checker,
            choices: Vec::new(),
            steps: Vec::new(),
            share: 0,
            whole: 1,
            forbidden: Vec::new(),
            known: BTreeSet::new(),
            cut: false,
        };
        for row in rows {
            let time = around(problem, row, row);
            let mut near = time.and_then(|t| hand.checker.near(t));
            let mut choices = hand.of_row(layout, row, near.as_mut());
            for choice in &mut choices {
                let spans = spans(layout, &choice.turns);
                choice.cost = worth.lost(problem, &mut hand.checker, row.day, &spans);
            }
            hand.choices.push(choices);
        }
        hand
    }

    /// Who.
    pub(super) const fn id(&self) -> PersonId {
        self.checker.id()
    }

    /// Sets of units the person can stand on one day within his rest, fewest lines first.
    fn of_row(&mut self, layout: &Layout, row: &Row, mut near: Option<&mut Checker<'p>>) -> Vec<Choice> {
        let id = self.id();
        let able: Vec<usize> = row.units.iter().copied().filter(|u| layout.candidates(*u).contains(&id)).collect();
        let mut sets: Vec<Vec<usize>> = vec![Vec::new()];
        let mut last = 0..1;
        for _ in 0..MOST_LINES {
            let from = sets.len();
            for i in last.clone() {
                let next = sets[i].last().map_or(0, |u| able.iter().position(|a| a == u).map_or(0, |p| p + 1));
                for unit in &able[next..] {
                    let mut set = sets[i].clone();
                    set.push(*unit);
                    let checker = near.as_deref_mut().unwrap_or(&mut self.checker);
                    if stands(layout, checker, &set) {
                        sets.push(set);
                    }
                }
            }
            last = from..sets.len();
        }
        if sets.len() > MOST {
            self.cut = true;
            sets.truncate(MOST);
        }
        let choice = |units: Vec<usize>| {
            let mut turns: Vec<usize> = units.iter().flat_map(|u| layout.units[*u].turns.iter().copied()).collect();
            turns.sort_unstable();
            let load = units.iter().map(|u| layout.units[*u].load).sum();
            Choice { units, turns, cost: 0, load }
        };
        sets.into_iter().map(choice).collect()
    }

    /// What it costs to go from each choice to each of the next row, and into the first; barred where rest rules it out.
    /// `before` are the lines the person had before the first row, `known` those of which it is known who had them.
    pub(super) fn link(&mut self, problem: &Problem, layout: &Layout, rows: &[Row], before: &[usize], known: &[usize]) {
        for r in 0..rows.len() {
            let mut steps = Vec::new();
            if r == 0 {
                for to in &self.choices[0] {
                    let taken = fresh(layout, to, before, known);
                    steps.push(i64::try_from(taken).unwrap_or(0) * CHANGE);
                }
            } else {
                let days = rows[r].day.number() - rows[r - 1].day.number();
                let mut near = around(problem, &rows[r - 1], &rows[r]).and_then(|t| self.checker.near(t));
                let checker = near.as_mut().unwrap_or(&mut self.checker);
                let there: Vec<usize> = rows[r - 1].units.iter().map(|u| layout.units[*u].series).collect();
                for from in 0..self.choices[r - 1].len() {
                    let had: Vec<usize> = self.choices[r - 1][from].units.iter().map(|u| layout.units[*u].series).collect();
                    let joined = days <= 2 && from > 0;
                    let mark = joined.then(|| checker.enter(&spans(layout, &self.choices[r - 1][from].turns)));
                    for to in 0..self.choices[r].len() {
                        let choice = &self.choices[r][to];
                        let legal = !joined || to == 0 || checker.legal(&spans(layout, &choice.turns));
                        let again =
                            choice.units.iter().filter(|u| layout.units[**u].rota && had.contains(&layout.units[**u].series)).count();
                        let taken = if days == 1 { fresh(layout, choice, &had, &there) } else { 0 };
                        let again = if days == 1 { i64::try_from(again).unwrap_or(0) * AGAIN } else { 0 };
                        steps.push(if legal { i64::try_from(taken).unwrap_or(0) * CHANGE + again } else { BARRED });
                    }
                    if let Some(mark) = mark {
                        checker.leave(mark);
                    }
                }
            }
            self.steps.push(steps);
        }
    }

    /// The cost of a step into choice `to` of row `r`.
    pub(super) fn step(&self, r: usize, from: usize, to: usize) -> i64 {
        let width = self.choices[r].len();
        if r == 0 { self.steps[0][to] } else { self.steps[r][from * width + to] }
    }

    /// Load of a path.
    pub(super) fn load(&self, path: &[usize]) -> i64 {
        path.iter().zip(&self.choices).map(|(c, row)| row[*c].load).sum()
    }

    /// What a load costs.
    pub(super) fn uneven(&self, load: i64) -> i64 {
        let over = (load - self.share).max(0);
        (over + FAR * (over - self.whole).max(0)) * UNEVEN
    }

    /// What the last unit of a load costs.
    pub(super) fn slope(&self, load: i64) -> i64 {
        UNEVEN * (i64::from(load > self.share) + FAR * i64::from(load > self.share + self.whole))
    }

    /// What the cost of every path is a multiple of; 0 where all cost nothing.
    pub(super) fn grain(&self) -> i64 {
        let choices = || self.choices.iter().flatten();
        let loads = choices().map(|c| c.load).chain([self.share, self.whole]).fold(0, common);
        let steps = self.steps.iter().flatten().copied().filter(|s| *s < BARRED);
        choices().map(|c| c.cost).chain(steps).fold(loads * UNEVEN, common)
    }

    /// Bars a set, if it is new.
    pub(super) fn forbid(&mut self, set: Forbidden) {
        if !self.forbidden.contains(&set) {
            self.forbidden.push(set);
        }
    }
}

/// The greatest number that both are a multiple of.
pub(super) const fn common(a: i64, b: i64) -> i64 {
    if b == 0 { a.abs() } else { common(b, a % b) }
}

/// How many lines of a choice are stood by somebody else before, or by nobody, though they were there.
fn fresh(layout: &Layout, choice: &Choice, had: &[usize], there: &[usize]) -> usize {
    let units = choice.units.iter().map(|u| &layout.units[*u]);
    units.filter(|u| !u.rota && there.contains(&u.series) && !had.contains(&u.series)).count()
}

/// Whether a person can stand all of some units.
fn stands(layout: &Layout, checker: &mut Checker<'_>, units: &[usize]) -> bool {
    let turns: Vec<usize> = units.iter().flat_map(|u| layout.units[*u].turns.iter().copied()).collect();
    let spans = spans(layout, &turns);
    let apart = spans.iter().enumerate().all(|(i, a)| spans[..i].iter().all(|b| !a.overlaps(*b)));
    apart && spans.iter().all(|s| checker.free(*s)) && checker.legal(&spans)
}

/// From two days before one row to three days after another begins.
fn around(problem: &Problem, first: &Row, last: &Row) -> Option<Span> {
    let from = problem.clock.day_span(first.day).start() - Minutes::hours(48);
    Span::new(from, problem.clock.day_span(last.day).start() + Minutes::hours(72))
}

/// The times of turns.
pub(super) fn spans(layout: &Layout, turns: &[usize]) -> Vec<Span> {
    turns.iter().map(|t| layout.open[*t].span).collect()
}

/// Ordinary minutes of a person in `time`.
pub(super) fn ordinary(problem: &Problem, id: PersonId, time: Span) -> Minutes {
    let pieces = problem.people[id].stretches.iter().flat_map(|s| &s.ordinary);
    pieces.filter_map(|o| o.intersection(time)).map(Span::length).sum()
}
