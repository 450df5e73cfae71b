//! What one person does, line by line.

use crate::account::{Account, Attendance, What};
use crate::id::{CompetenceId, DutyId, IdVec, PersonId, TaskId, ToolId, TurnId};
use crate::model::{Person, Problem, Stretch};
use crate::plan::Plan;
use crate::report::hours;
use crate::time::{Minutes, Moment, Span};

/// One thing a person does from–to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// From when to when.
    pub span: Span,
    /// What.
    pub act: Act,
}

/// What a person does in a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Act {
    /// Works on a task.
    Task(TaskLine),
    /// Stands a turn; the duties are done along with the watch.
    Watch(TurnId, Vec<DutyId>),
    /// Attends a duty.
    Duty(DutyId),
    /// Is out on a recorded call.
    Call,
    /// On hand between turning to and knocking off.
    OnHand,
    /// A named break.
    Break,
    /// Free, but too short to be rest.
    Gap,
    /// Rest.
    Rest,
    /// Not aboard.
    Away,
}

/// A person's share in a task: one spell, or several parts in a row by the same team.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TaskLine {
    /// The task.
    pub task: TaskId,
    /// First part of it done here, from 0.
    pub first_part: u32,
    /// Last part of it done here.
    pub last_part: u32,
    /// Which competence the person brings; `None` if the plan has a team that does not fit the task.
    pub need: Option<CompetenceId>,
    /// Everybody else in the team with what each brings, in the order of the task's needs.
    pub with: Vec<(PersonId, Option<CompetenceId>)>,
    /// Time of it outside the person's ordinary hours.
    pub overtime: Minutes,
    /// Who worked on it last before this line, where that was another team; in the order of the task's needs.
    pub taken_from: Vec<PersonId>,
    /// When and by whom the task is taken up again, where that is on a later day or by another team.
    pub next: Option<Next>,
}

/// Where a task goes on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Next {
    /// From when.
    pub at: Moment,
    /// By whom, in the order of the task's needs; empty where the same team goes on.
    pub team: Vec<PersonId>,
}

/// One piece of work of a spell.
struct Piece<'a> {
    span: Span,
    part: u32,
    team: &'a [PersonId],
}

/// All pieces of work of `task`, in time order.
fn pieces(plan: &Plan, task: TaskId) -> Vec<Piece<'_>> {
    let spells = plan.spells.iter().filter(|s| s.task == task);
    let mut pieces: Vec<Piece<'_>> =
        spells.flat_map(|s| s.work.iter().map(|span| Piece { span: *span, part: s.part, team: &s.team })).collect();
    pieces.sort_by_key(|p| (p.span, p.part));
    pieces
}

/// Everything `person` does from the start of the plan to its end, in time order, without gap.
pub(super) fn of(problem: &Problem, plan: &Plan, account: &Account, person: PersonId, hulls: &[(&Stretch, Span)]) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for doing in &account.people[person].stretches {
        match doing.what {
            What::Task(task) => tasks(problem, plan, person, task, doing.span, &mut lines),
            What::Break => breaks(&problem.people[person], hulls, doing.span, &mut lines),
            What::Watch(turn) => {
                let along = along(account, person, doing.span);
                lines.push(Line { span: doing.span, act: Act::Watch(turn, along) });
            }
            What::Duty(duty) => lines.push(Line { span: doing.span, act: Act::Duty(duty) }),
            What::Call => lines.push(Line { span: doing.span, act: Act::Call }),
            What::Rest => lines.push(Line { span: doing.span, act: Act::Rest }),
            What::Away => lines.push(Line { span: doing.span, act: Act::Away }),
        }
    }
    lines
}

/// Duties that `person` does along with the watch during `span`.
fn along(account: &Account, person: PersonId, span: Span) -> Vec<DutyId> {
    let here = |rows: &Vec<Attendance>| rows.iter().any(|a| a.on_watch && a.person == person && a.span.overlaps(span));
    account.duties.pairs().filter(|(_, rows)| here(rows)).map(|(id, _)| id).collect()
}

fn tasks(problem: &Problem, plan: &Plan, person: PersonId, task: TaskId, span: Span, lines: &mut Vec<Line>) {
    let all = pieces(plan, task);
    let needs = &problem.tasks[task].needs;
    let mut left = vec![span];
    for (i, piece) in all.iter().enumerate() {
        let Some(shared) = piece.span.intersection(span).filter(|_| piece.team.contains(&person)) else { continue };
        left = left.iter().flat_map(|l| l.without(&[shared])).collect();
        let before = all[..i].iter().rev().find(|p| p.span.end() <= piece.span.start());
        let later = all[i + 1..].iter().find(|p| p.span.start() >= piece.span.end());
        let next = later.filter(|p| p.team != piece.team || problem.clock.day(p.span.start()) != problem.clock.day(shared.start()));
        let mut members: Vec<(PersonId, Option<CompetenceId>)> =
            piece.team.iter().enumerate().map(|(n, p)| (*p, needs.get(n).copied())).collect();
        let need = members.iter().position(|(p, _)| *p == person).and_then(|n| members.remove(n).1);
        let line = TaskLine {
            task,
            first_part: piece.part,
            last_part: piece.part,
            need,
            with: members,
            overtime: hours::overtime(&problem.people[person], shared),
            taken_from: before.filter(|p| p.team != piece.team).map_or_else(Vec::new, |p| p.team.to_vec()),
            next: next.map(|p| Next { at: p.span.start(), team: if p.team == piece.team { Vec::new() } else { p.team.to_vec() } }),
        };
        join(lines, shared, line);
    }
    // A plan whose account does not match its spells still gets a line, so that nothing is hidden.
    for rest in left {
        let overtime = hours::overtime(&problem.people[person], rest);
        lines.push(Line {
            span: rest,
            act: Act::Task(TaskLine {
                task,
                first_part: 0,
                last_part: 0,
                need: None,
                with: Vec::new(),
                overtime,
                taken_from: Vec::new(),
                next: None,
            }),
        });
    }
}

/// Adds a task line, joined to the one before it where the same team goes on without a gap.
fn join(lines: &mut Vec<Line>, span: Span, line: TaskLine) {
    if let Some(Line { span: before, act: Act::Task(last) }) = lines.last_mut()
        && before.end() == span.start()
        && (last.task, last.need, &last.with) == (line.task, line.need, &line.with)
    {
        *before = before.hull(span);
        last.last_part = line.last_part;
        last.overtime += line.overtime;
        last.next = line.next;
        return;
    }
    lines.push(Line { span, act: Act::Task(line) });
}

/// Splits time that is neither work nor rest into named breaks, time on hand and gaps.
fn breaks(person: &Person, hulls: &[(&Stretch, Span)], span: Span, lines: &mut Vec<Line>) {
    let at_work: Vec<Span> = hulls.iter().map(|(_, hull)| *hull).collect();
    let mut parts: Vec<Line> = Vec::new();
    for free in span.without(&person.breaks) {
        parts.extend(at_work.iter().filter_map(|o| o.intersection(free)).map(|span| Line { span, act: Act::OnHand }));
        parts.extend(free.without(&at_work).into_iter().map(|span| Line { span, act: Act::Gap }));
    }
    parts.extend(person.breaks.iter().filter_map(|b| b.intersection(span)).map(|span| Line { span, act: Act::Break }));
    parts.sort_by_key(|l| l.span);
    lines.append(&mut parts);
}

/// The part of `lines` inside `span`.
pub(super) fn clip(lines: &[Line], span: Span) -> Vec<Line> {
    lines.iter().filter_map(|l| l.span.intersection(span).map(|span| Line { span, act: l.act.clone() })).collect()
}

/// The tools a task blocks while it is worked on, those it holds through a wait included; by tool.
#[must_use]
pub fn tools_of(problem: &Problem, task: TaskId) -> Vec<(ToolId, u32)> {
    let mut number: IdVec<ToolId, u32> = IdVec::filled(0, problem.tools.len());
    for (tool, n) in &problem.tasks[task].tools {
        number[*tool] += n;
    }
    for hold in problem.holds.iter().filter(|h| [h.fill, h.filling, Some(h.empty)].contains(&Some(task))) {
        number[hold.tool] += hold.number;
    }
    number.pairs().filter(|(_, n)| **n > 0).map(|(t, n)| (t, *n)).collect()
}
