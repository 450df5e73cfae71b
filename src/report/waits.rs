//! What a plan's own finish hangs on: from the task that ends last back to the first, what each waited for.

use super::ChainLink;
use super::bars::last_bar;
use crate::account::Account;
use crate::id::{PersonId, TaskId};
use crate::model::{Problem, Stretch};
use crate::plan::{Plan, Spell};
use crate::time::{Minutes, Moment, Span};

/// The tasks through which the plan ends when it does, first task first, each with what it waited for: the end of the
/// one before and the wait asked for after it; machines that may not be fewer, a tool, a ban or a date; a person; or, where
/// nothing of the kind ends when it begins, hours in which its people work and may be spared.
///
/// It is read off the plan and proves nothing: a plan made in another way may be done earlier. What a task waits for
/// between its spells is not asked. Time: tasks in the chain times spells.
#[must_use]
pub fn waited_for(problem: &Problem, plan: &Plan, account: &Account) -> Vec<ChainLink> {
    let last = problem.tasks.ids().max_by_key(|t| (account.tasks[*t].end, std::cmp::Reverse(*t)));
    let mut links = Vec::new();
    let mut at = last;
    while let Some(task) = at {
        let Waited { before, wait, why } = before(problem, plan, account, task);
        links.push(ChainLink { task, wait, why });
        // Whatever it waited for was done by the time it began, so this comes to an end.
        at = before;
    }
    links.reverse();
    links
}

/// What a task waited for.
struct Waited {
    before: Option<TaskId>,
    wait: Minutes,
    why: String,
}

fn before(problem: &Problem, plan: &Plan, account: &Account, task: TaskId) -> Waited {
    let start = account.tasks[task].start;
    let row = &problem.tasks[task];
    let ready = |after: &crate::model::After| problem.grid.moment(problem.grid.ceil(account.tasks[after.task].end + after.lag));
    let latest = row.after.iter().max_by_key(|after| (ready(after), std::cmp::Reverse(after.task)));
    if let Some(after) = latest.filter(|after| ready(after) == start) {
        return Waited { before: Some(after.task), wait: after.lag, why: String::new() };
    }
    let could = |span: Span| row.needs.is_empty() || at_work_together(problem, plan, task, start, span);
    let from = latest.map_or(problem.start, ready);
    let bar = last_bar(problem, plan, account, task, from, start, could);
    if let Some(bar) = bar.as_ref().filter(|bar| bar.until == start) {
        return Waited { before: bar.task, wait: Minutes::ZERO, why: bar.why.clone() };
    }
    if let Some((before, code)) = person(problem, plan, task, from, start) {
        return Waited { before: Some(before), wait: Minutes::ZERO, why: format!("waits for {code}") };
    }
    match (bar, latest) {
        (Some(bar), _) => Waited { before: bar.task, wait: Minutes::ZERO, why: format!("{}, then for hours", bar.why) },
        (None, Some(after)) => Waited { before: Some(after.task), wait: after.lag, why: "waits for hours".to_owned() },
        (None, None) => Waited { before: None, wait: Minutes::ZERO, why: String::new() },
    }
}

/// Whether the hours of all who begin a task have anything in common in a span.
fn at_work_together(problem: &Problem, plan: &Plan, task: TaskId, start: Moment, span: Span) -> bool {
    let team = plan.spells.iter().filter(|s| s.task == task && s.span().start() == start).flat_map(|s| &s.team);
    let mut common = vec![span];
    for person in team {
        let hours: Vec<Span> = problem.people[*person].stretches.iter().flat_map(Stretch::hours).collect();
        common = common.iter().flat_map(|span| hours.iter().filter_map(|hour| hour.intersection(*span))).collect();
    }
    !common.is_empty()
}

/// Who of the team was at another task until it began, named breaks aside, and still was when it could have begun, at `from`;
/// and at which: the task that ended last, ties to the lower id.
fn person(problem: &Problem, plan: &Plan, task: TaskId, from: Moment, start: Moment) -> Option<(TaskId, String)> {
    let team = &plan.spells.iter().find(|s| s.task == task && s.span().start() == start)?.team;
    let at_it_till_then = |spell: &Spell, person: PersonId| {
        let until = spell.span().end();
        let pause = Span::new(until, start);
        let breaks = &problem.people[person].breaks;
        until == start || pause.is_some_and(|pause| breaks.iter().any(|b| b.start() <= pause.start() && pause.end() <= b.end()))
    };
    let who = |spell: &Spell| spell.team.iter().copied().find(|p| team.contains(p) && at_it_till_then(spell, *p));
    let others = plan.spells.iter().filter(|spell| spell.task != task && spell.span().end() > from && spell.span().end() <= start);
    let last = others.filter_map(|spell| Some((spell, who(spell)?))).max_by_key(|(s, _)| (s.span().end(), std::cmp::Reverse(s.task)))?;
    Some((last.0.task, problem.people[last.1].code.clone()))
}
