//! What a plan says about each person and each task, sorted out once for all checks.

use crate::account::Attendance;
use crate::clock::Day;
use crate::id::{DutyId, Id, IdVec, PersonId, TaskId, TurnId};
use crate::model::{OnWatch, Problem, RecordKind, Recorded, When};
use crate::plan::{Plan, Spell};
use crate::time::{Minutes, Moment, Span, union};
use crate::verify::hull;
use crate::verify::spans::{hull as shortest_cover, within};

/// A plan sorted out by task and by person. Made only from a plan whose shape is sound.
#[derive(Debug)]
pub(super) struct Facts<'a> {
    /// The problem the plan answers.
    pub(super) problem: &'a Problem,
    /// The plan as it was given.
    pub(super) plan: &'a Plan,
    /// End of the last task; the start where there is none.
    pub(super) finish: Moment,
    /// From the start to the end of the plan.
    pub(super) time: Span,
    /// Ship's days with their times, from the day before the start to the day after the end.
    pub(super) days: Vec<(Day, Span)>,
    /// Spells of each task, in time order.
    pub(super) tasks: IdVec<TaskId, Vec<&'a Spell>>,
    /// When each duty is done, as the plan says; `None` where it says nothing usable.
    pub(super) duties: IdVec<DutyId, Option<Span>>,
    /// Who attends each duty when.
    pub(super) attendance: IdVec<DutyId, Vec<Attendance>>,
    /// What each person has to do.
    pub(super) people: IdVec<PersonId, Own<'a>>,
}

/// What one person has to do, from the start of the plan on.
#[derive(Clone, Default, Debug)]
pub(super) struct Own<'a> {
    /// Spells the person is in, in time order.
    pub(super) spells: Vec<&'a Spell>,
    /// Turns the person stands, to the end of the layout, in time order.
    pub(super) turns: Vec<(TurnId, Span)>,
    /// Duties the person attends, the parts done along with a watch left out, in time order.
    pub(super) attended: Vec<(DutyId, Span)>,
    /// Duties done along with the person's watch, in time order.
    pub(super) along: Vec<(DutyId, Span)>,
    /// Recorded work as far as it reaches past the start of the plan, in time order.
    pub(super) recorded: Vec<(RecordKind, Span)>,
    /// Named breaks; those that touch are joined.
    pub(super) breaks: Vec<Span>,
    /// Listed time on hand, in time order.
    pub(super) on_hand: Vec<Span>,
    /// Pieces of work on tasks, joined.
    pub(super) labour: Vec<Span>,
    /// From the first to the last piece of work or time on hand in each working stretch that has any.
    pub(super) hulls: Vec<Span>,
    /// All time at work or on hand, the record included, joined. Named breaks and gaps too short to be rest
    /// are no part of it.
    pub(super) occupied: Vec<Span>,
}

impl<'a> Facts<'a> {
    /// Sorts out `plan`.
    pub(super) fn new(problem: &'a Problem, plan: &'a Plan) -> Self {
        let finish = plan.spells.iter().map(|s| s.span().end()).fold(problem.start, Moment::max);
        let end = problem.end_for(finish);
        // A problem starts before its first end, so this span always exists.
        let time = Span::new(problem.start, end).expect("a plan has some time");
        let mut tasks: IdVec<TaskId, Vec<&Spell>> = IdVec::filled(Vec::new(), problem.tasks.len());
        let mut people: IdVec<PersonId, Own> = IdVec::filled(Own::default(), problem.people.len());
        for spell in &plan.spells {
            tasks[spell.task].push(spell);
            let mut team = spell.team.clone();
            team.sort_unstable();
            team.dedup();
            for person in team {
                people[person].spells.push(spell);
            }
        }
        for hand in &plan.on_hand {
            people[hand.person].on_hand.push(hand.span);
        }
        for (id, turn) in problem.turns.pairs() {
            if let (Some(person), Some(span)) = (plan.turns.get(id), after_start(problem, turn.span))
                && problem.people.get(*person).is_some()
            {
                people[*person].turns.push((id, span));
            }
        }
        let duties: IdVec<DutyId, Option<Span>> = problem.duties.ids().map(|id| duty_span(problem, plan, id)).collect();
        let mut attendance = IdVec::filled(Vec::new(), problem.duties.len());
        for (id, duty) in problem.duties.pairs() {
            for person in &duty.who {
                let whole = duties[id].and_then(|span| after_start(problem, span));
                attend(id, *person, duty.on_watch, whole, &mut people[*person], &mut attendance[id]);
            }
        }
        for spells in &mut tasks {
            spells.sort_by_key(|s| (s.span(), s.part));
        }
        for (id, own) in people.iter_mut().enumerate().map(|(i, own)| (PersonId::from_index(i), own)) {
            own.finish(problem, id);
        }
        Self { problem, plan, finish, time, days: days(problem, time), tasks, duties, attendance, people }
    }

    /// First start and last end of `task`; `None` where it is not done.
    pub(super) fn task_span(&self, task: TaskId) -> Option<Span> {
        shortest_cover(self.tasks[task].iter().map(|s| s.span()))
    }
}

impl Own<'_> {
    /// Sorts what was collected and adds what follows from it.
    fn finish(&mut self, problem: &Problem, id: PersonId) {
        let person = &problem.people[id];
        self.spells.sort_by_key(|s| s.span());
        self.turns.sort_by_key(|(_, span)| *span);
        self.attended.sort_by_key(|(_, span)| *span);
        self.along.sort_by_key(|(_, span)| *span);
        self.on_hand.sort_unstable();
        self.labour = union(self.spells.iter().flat_map(|s| s.work.iter().copied()).collect());
        self.breaks = union(person.breaks.clone());
        let after = |r: &Recorded| Some((r.kind, after_start(problem, r.span)?));
        self.recorded = person.recorded.iter().filter_map(after).collect();
        self.hulls = hull::hulls(person, self);
        let recorded = person.recorded.iter().map(|r| r.span);
        let turns = self.turns.iter().map(|(_, span)| *span);
        let attended = self.attended.iter().map(|(_, span)| *span);
        let present = hull::at_work_or_on_hand(&self.breaks, &self.hulls);
        let all = recorded.chain(turns).chain(attended).chain(self.labour.iter().copied()).chain(present);
        self.occupied = union(all.collect());
    }
}

/// Turns and duties of the problem exist from its start on; before it only the record counts.
fn after_start(problem: &Problem, span: Span) -> Option<Span> {
    Span::new(span.start().max(problem.start), span.end())
}

/// When the plan does a duty. A fixed duty that the plan moves counts at its own time, the breach being
/// named elsewhere; a movable one at a time out of reach of its window counts as not placed.
fn duty_span(problem: &Problem, plan: &Plan, id: DutyId) -> Option<Span> {
    let placed = *plan.duties.get(id)?;
    match problem.duties[id].when {
        When::Fixed(span) => Some(span),
        When::Movable { window, length } => {
            let near = Span::new(window.start() - Minutes::WEEK, window.end() + Minutes::WEEK)?;
            if near.contains(placed) { Span::of(placed, length) } else { None }
        }
    }
}

/// Splits a duty between a person's watches and the rest of his time.
fn attend(id: DutyId, person: PersonId, on_watch: OnWatch, whole: Option<Span>, own: &mut Own, rows: &mut Vec<Attendance>) {
    let Some(whole) = whole else { return };
    let watches: Vec<Span> = own.turns.iter().map(|(_, span)| *span).collect();
    let attended = match on_watch {
        OnWatch::Clash => vec![whole],
        OnWatch::Excused | OnWatch::DoneOnWatch => whole.without(&watches),
    };
    let along = match on_watch {
        OnWatch::Clash | OnWatch::Excused => Vec::new(),
        OnWatch::DoneOnWatch => union(within(&watches, whole)),
    };
    own.attended.extend(attended.iter().map(|span| (id, *span)));
    own.along.extend(along.iter().map(|span| (id, *span)));
    rows.extend(attended.iter().map(|span| Attendance { person, span: *span, on_watch: false }));
    rows.extend(along.iter().map(|span| Attendance { person, span: *span, on_watch: true }));
    rows.sort_by_key(|row| (row.person, row.span));
}

/// The ship's days around `time`. A day that the clock skips altogether has no time and is left out.
fn days(problem: &Problem, time: Span) -> Vec<(Day, Span)> {
    let first = problem.clock.day(time.start()).number() - 1;
    let last = problem.clock.day(time.end()).number() + 1;
    let midnight = |day: Day| problem.clock.at(day, Minutes::ZERO);
    (first..=last).map(Day::new).filter_map(|day| Some((day, Span::new(midnight(day), midnight(day.next()))?))).collect()
}
