//! What a plan's own finish hangs on: from the task that ends last back to the first, what each waited for.

use super::ChainLink;
use super::lines::tools_of;
use crate::account::Account;
use crate::id::{PersonId, TaskId};
use crate::model::Problem;
use crate::plan::{Plan, Spell};
use crate::time::{Minutes, Moment};

/// A person who is free again after a named break waited for no longer than this.
const BREAK: Minutes = Minutes::new(90);

/// The tasks through which the plan ends when it does, first task first, each with what it waited for: the end of the
/// one before and the wait asked for after it; a tool; a person; or, where nothing of the kind ends when it begins,
/// hours in which its people work and may be spared.
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
    let mine = tools_of(problem, task);
    let team: Vec<PersonId> =
        plan.spells.iter().find(|s| s.task == task && s.span().start() == start).map_or_else(Vec::new, |s| s.team.clone());
    // Those whose work ends last before this begins; ties to the lower id.
    let ends = |spell: &Spell, by: Moment| spell.task != task && spell.span().end() <= by;
    let tool = plan.spells.iter().filter(|s| ends(s, start) && s.span().end() == start).find_map(|spell| {
        let theirs = tools_of(problem, spell.task);
        let tool = mine.iter().map(|(tool, _)| *tool).find(|tool| theirs.iter().any(|(t, _)| t == tool))?;
        Some((spell.task, problem.tools[tool].code.clone()))
    });
    let person = || {
        let near = plan.spells.iter().filter(|s| ends(s, start) && start - s.span().end() <= BREAK);
        let last = near.filter(|s| s.team.iter().any(|p| team.contains(p))).max_by_key(|s| (s.span().end(), std::cmp::Reverse(s.task)))?;
        let who = last.team.iter().find(|p| team.contains(p))?;
        Some((last.task, problem.people[*who].code.clone()))
    };
    if let Some((before, code)) = tool.or_else(person) {
        return Waited { before: Some(before), wait: Minutes::ZERO, why: format!("waits for {code}") };
    }
    match latest {
        Some(after) => Waited { before: Some(after.task), wait: after.lag, why: "waits for hours".to_owned() },
        None => Waited { before: None, wait: Minutes::ZERO, why: String::new() },
    }
}
