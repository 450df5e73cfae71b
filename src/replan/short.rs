//! For how long groups of machines have been short before planning begins.

use crate::id::{GroupId, ModeId, TaskId, UnitId};
use crate::model::{Duty, Group, When};
use crate::replan::broken::broken;
use crate::replan::progress::Work;
use crate::replan::{Effects, Standing, State, Whole};
use crate::time::{Minutes, Moment, Span, union};

/// What is known about the past of the machines.
pub(super) struct Known<'a> {
    /// The job.
    pub(super) whole: &'a Whole,
    /// What people were told.
    pub(super) standing: &'a Standing,
    /// How the work went.
    pub(super) work: &'a Work,
    /// What the log says.
    pub(super) effects: &'a Effects,
    /// The modes that held.
    pub(super) modes: &'a [(Span, ModeId)],
    /// When planning begins.
    pub(super) start: Moment,
}

impl Known<'_> {
    /// The run of shortness of a group that planning begins in, or from which the group has not recovered by then.
    pub(super) fn short_before(&self, id: GroupId, group: &Group) -> Option<Span> {
        let outs: Vec<Vec<Span>> = group.units.iter().map(|unit| self.out(*unit)).collect();
        let mut run: Option<Span> = None;
        for span in self.pieces(&outs) {
            let mode = self.modes.iter().find(|(s, _)| s.covers(span)).map(|(_, mode)| &self.whole.parts.modes[*mode]);
            let needed = mode.and_then(|m| m.needs.iter().find(|(g, _)| *g == id)).map_or(0, |(_, n)| *n);
            let able = outs.iter().filter(|out| !out.iter().any(|o| o.covers(span))).count();
            if usize::try_from(needed).is_ok_and(|needed| able >= needed) {
                continue;
            }
            run = Some(run.filter(|run| goes_on(*run, span.start(), group.recover)).map_or(span, |run| run.hull(span)));
        }
        run.filter(|run| goes_on(*run, self.start, group.recover))
    }

    /// The time before planning begins in pieces in which nothing changes.
    fn pieces(&self, outs: &[Vec<Span>]) -> Vec<Span> {
        let first = self.whole.parts.start;
        let edges = outs.iter().flatten().copied().chain(self.modes.iter().map(|(s, _)| *s)).flat_map(|s| [s.start(), s.end()]);
        let mut edges: Vec<Moment> = edges.chain([first, self.start]).filter(|at| (first..=self.start).contains(at)).collect();
        edges.sort_unstable();
        edges.dedup();
        edges.windows(2).filter_map(|pair| Span::new(pair[0], pair[1])).collect()
    }

    /// When a machine was out before planning begins.
    fn out(&self, unit: UnitId) -> Vec<Span> {
        let back = self.handed_back(unit);
        let broken = broken(self.whole, self.work, self.effects, unit, self.start).into_iter().map(|(span, _)| span);
        let borrowed = self.duties().filter(|(duty, _)| duty.borrows(unit)).map(|(_, span)| span);
        let own = self.whole.parts.units[unit].out.iter().copied();
        let opened = self.since(unit).and_then(|taken| {
            let end = if self.is_still_to_be_handed_back(unit) { None } else { back.iter().copied().max() };
            Span::new(taken, end.unwrap_or(self.start))
        });
        let all = own.chain(broken).chain(opened).chain(borrowed).filter_map(|s| Span::new(s.start(), s.end().min(self.start))).collect();
        union(all)
    }

    /// Since when a machine is out for work and duties: what is only ever handed back was out from the beginning.
    fn since(&self, unit: UnitId) -> Option<Moment> {
        let parts = &self.whole.parts;
        let own = || parts.tasks.iter().take(self.whole.own);
        let takes = own().any(|t| t.takes_out.contains(&unit)) || parts.duties.iter().any(|d| d.opens(unit));
        let backs = own().any(|t| t.hands_back.contains(&unit)) || parts.duties.iter().any(|d| d.closes(unit));
        let from_the_beginning = (backs && !takes).then_some(parts.start);
        self.taken_out(unit).into_iter().chain(from_the_beginning).min()
    }

    /// When work or a duty took a machine out.
    fn taken_out(&self, unit: UnitId) -> Vec<Moment> {
        let tasks = self.whole.parts.tasks.pairs().filter(|(_, t)| t.takes_out.contains(&unit));
        let begun = tasks.filter_map(|(id, _)| self.spells(id).map(Span::start).min());
        let duties = self.duties().filter(|(duty, _)| duty.opens(unit)).map(|(_, span)| span.start());
        begun.chain(duties).collect()
    }

    /// When work that is done, or a duty that is over, handed a machine back.
    fn handed_back(&self, unit: UnitId) -> Vec<Moment> {
        let tasks = self.whole.parts.tasks.pairs().filter(|(_, t)| t.hands_back.contains(&unit));
        let done = tasks.filter_map(|(id, _)| match self.work.left[id].state {
            State::Done(end) => Some(end),
            State::Open | State::Dropped | State::Ahead => None,
        });
        let duties = self.duties().filter(|(duty, _)| duty.closes(unit)).map(|(_, span)| span.end());
        done.chain(duties.filter(|end| *end <= self.start)).collect()
    }

    /// Whether work that is left, or a duty to come, hands a machine back.
    fn is_still_to_be_handed_back(&self, unit: UnitId) -> bool {
        let tasks = self.whole.parts.tasks.pairs().filter(|(_, t)| t.hands_back.contains(&unit));
        let to_come = |(duty, span): (&Duty, Span)| duty.closes(unit) && span.end() > self.start;
        tasks.into_iter().any(|(id, _)| self.work.left[id].is_open()) || self.duties().any(to_come)
    }

    /// Spells of a task of the whole table that were begun.
    fn spells(&self, id: TaskId) -> impl Iterator<Item = Span> {
        let spells = self.work.earlier.iter().chain(&self.work.spells).filter(move |s| s.task == id);
        spells.map(crate::plan::Spell::span).filter(|s| s.start() < self.start)
    }

    /// Duties of the job with when they lay; one that may be moved is known only from the plan people were told.
    fn duties(&self) -> impl Iterator<Item = (&Duty, Span)> {
        let added = self.whole.log.duties.iter().map(|(_, duty)| duty);
        self.whole.parts.duties.iter().chain(added).filter_map(|duty| Some((duty, self.when(duty)?)))
    }

    fn when(&self, duty: &Duty) -> Option<Span> {
        let (window, length) = match duty.when {
            When::Fixed(span) => (span, span.length()),
            When::Movable { window, length } => (window, length),
        };
        let moved = self.effects.moved.iter().find(|(code, n, _)| *code == duty.code && *n == duty.occurrence);
        let told = || {
            let id = self.standing.problem.duties.find(|d| d.code == duty.code && d.occurrence == duty.occurrence)?;
            self.standing.plan.duties.get(id).copied()
        };
        let at = match (moved, duty.when) {
            (Some((_, _, at)), _) => Some(*at),
            (None, When::Fixed(_)) => Some(window.start()),
            (None, When::Movable { .. }) => told(),
        };
        at.and_then(|at| Span::of(at, length))
    }
}

/// Whether a run that lasted until its end goes on with shortness from `at` on.
fn goes_on(run: Span, at: Moment, recover: Minutes) -> bool {
    run.end() >= at || at - run.end() < recover
}
