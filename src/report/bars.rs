//! What of the ship, and not of its people, kept a task from beginning sooner: machines, tools, bans, dates.

use super::lines::tools_of;
use crate::account::Account;
use crate::id::{TaskId, ToolId, UnitId};
use crate::model::{Problem, When};
use crate::plan::Plan;
use crate::time::{Moment, Span};

/// Something without which a task could not begin before `until`, with everything else as planned.
pub(super) struct Bar {
    /// When it went away.
    pub(super) until: Moment,
    /// What it was, in words that go behind a comma.
    pub(super) why: String,
    /// The task whose end took it away, if it was a task.
    pub(super) task: Option<TaskId>,
}

/// A stretch in which something bars, with the rest of what a [`Bar`] says.
type Barred = (Span, String, Option<TaskId>);

/// What barred a task last before its `start`, of what still did after `from`: the latest; among equals machines, then tools,
/// then bans, then its own date. What barred it only at hours at which it `could` not have begun either kept it from nothing.
/// Time: rows of machines and spells.
pub(super) fn last_bar(
    problem: &Problem,
    plan: &Plan,
    account: &Account,
    task: TaskId,
    from: Moment,
    start: Moment,
    could: impl Fn(Span) -> bool,
) -> Option<Bar> {
    let row = &problem.tasks[task];
    let mut barred: Vec<Barred> = Vec::new();
    for unit in &row.takes_out {
        short_without(problem, account, *unit, &mut barred);
        apart_from(problem, account, *unit, &mut barred);
    }
    // Begun at any time before that, it would still have had the machine out then.
    for (span, ..) in &mut barred {
        *span = Span::new(from, span.end()).unwrap_or(*span);
    }
    tools(problem, plan, account, task, start, &mut barred);
    bans(problem, plan, task, &mut barred);
    let alone = [(row.not_before, "may not begin before"), (row.pinned.start, "pinned to then")];
    barred.extend(alone.into_iter().filter_map(|(at, why)| Some((Span::new(problem.start, at?)?, why.to_owned(), None))));
    // A stretch that goes on past the start does not bar it as planned.
    let ended = barred.into_iter().filter(|(span, ..)| span.end() <= start);
    let mattered = |span: Span| Span::new(span.start().max(from), span.end()).is_some_and(&could);
    let mut last: Option<Barred> = None;
    for bar in ended.filter(|(span, ..)| mattered(*span)) {
        if last.as_ref().is_none_or(|(span, ..)| bar.0.end() > span.end()) {
            last = Some(bar);
        }
    }
    last.map(|(span, why, task)| Bar { until: span.end(), why, task })
}

/// Where a group has no machine to spare but this one, which is able.
fn short_without(problem: &Problem, account: &Account, unit: UnitId, barred: &mut Vec<Barred>) {
    let rows = account.machinery.iter().filter(|row| {
        let group = &problem.groups[row.group];
        group.units.contains(&unit) && group.lasts.is_none() && !row.out.contains(&unit) && row.able == row.needed
    });
    for row in rows.filter(|row| row.needed > 0) {
        barred.push((
            row.span,
            format!("waits for {}", problem.groups[row.group].code),
            back_by(problem, account, &row.out, row.span.end()),
        ));
    }
}

/// Where as many machines that may not be out with this one are out as may be.
fn apart_from(problem: &Problem, account: &Account, unit: UnitId, barred: &mut Vec<Barred>) {
    for set in problem.never_together.iter().filter(|set| set.units.contains(&unit)) {
        let others = || set.units.iter().copied().filter(|other| *other != unit);
        let outs: Vec<(UnitId, Span)> =
            others().flat_map(|other| out(problem, account, other).into_iter().map(move |span| (other, span))).collect();
        for (other, span) in &outs {
            // Out at the last moment of this stretch: itself and whatever else of the set is out then.
            let count = outs.iter().filter(|(_, s)| s.start() < span.end() && span.end() <= s.end()).count();
            if count >= set.most_out as usize {
                let by = back_by(problem, account, &[*other], span.end());
                barred.push((*span, format!("waits for {}", problem.units[*other].code), by));
            }
        }
    }
}

/// When a machine is out, by the rows of the first group it is in.
fn out(problem: &Problem, account: &Account, unit: UnitId) -> Vec<Span> {
    let Some((group, _)) = problem.groups.pairs().find(|(_, group)| group.units.contains(&unit)) else { return Vec::new() };
    let mut spans: Vec<Span> = Vec::new();
    for row in account.machinery.iter().filter(|row| row.group == group && row.out.contains(&unit)) {
        match spans.last_mut() {
            Some(last) if last.end() == row.span.start() => *last = last.hull(row.span),
            _ => spans.push(row.span),
        }
    }
    spans
}

/// The task that hands back one of these machines at this moment.
fn back_by(problem: &Problem, account: &Account, units: &[UnitId], at: Moment) -> Option<TaskId> {
    let backs = |id: &TaskId| problem.tasks[*id].hands_back.iter().any(|unit| units.contains(unit));
    problem.tasks.ids().find(|id| backs(id) && account.tasks[*id].end == at)
}

/// Where a tool of the task was away, or was held by others so that too few were left, up to its start.
fn tools(problem: &Problem, plan: &Plan, account: &Account, task: TaskId, start: Moment, barred: &mut Vec<Barred>) {
    for (tool, number) in tools_of(problem, task) {
        let row = &problem.tools[tool];
        let why = || format!("waits for {}", row.code);
        barred.extend(row.away.iter().map(|span| (*span, why(), None)));
        let held = holders(problem, plan, account, tool, task);
        // Only what was let go exactly then: before that, how many were free is a matter of how long the task goes on.
        let ended: Vec<_> = held.iter().filter(|(span, ..)| span.start() < start && span.end() == start).collect();
        let at_end: u32 = held.iter().filter(|(span, ..)| span.start() < start && span.end() >= start).map(|(_, n, _)| n).sum();
        if let Some((span, _, by)) = ended.first().filter(|_| at_end + number > row.number) {
            barred.push((*span, why(), Some(*by)));
        }
    }
}

/// Who holds a tool when, `task` and holds it has a part in left out: the stretch, how many, and whose end lets it go.
fn holders(problem: &Problem, plan: &Plan, account: &Account, tool: ToolId, task: TaskId) -> Vec<(Span, u32, TaskId)> {
    let spells = plan.spells.iter().filter(|spell| spell.task != task);
    let used = |t: TaskId| problem.tasks[t].tools.iter().find(|(own, _)| *own == tool).map(|(_, n)| *n);
    let mut held: Vec<(Span, u32, TaskId)> = spells.filter_map(|spell| Some((spell.span(), used(spell.task)?, spell.task))).collect();
    for hold in problem.holds.iter().filter(|h| h.tool == tool && ![h.fill, h.filling, Some(h.empty)].contains(&Some(task))) {
        let from = hold.fill.map_or(problem.start, |fill| account.tasks[fill].start);
        held.extend(Span::new(from, account.tasks[hold.empty].end).map(|span| (span, hold.number, hold.empty)));
    }
    held
}

/// Where tags of the task are banned, by a window or a duty.
fn bans(problem: &Problem, plan: &Plan, task: TaskId, barred: &mut Vec<Barred>) {
    let tags = &problem.tasks[task].tags;
    let duties = problem.duties.pairs().filter_map(|(id, duty)| {
        let length = match duty.when {
            When::Fixed(span) => span.length(),
            When::Movable { length, .. } => length,
        };
        Some((Span::of(*plan.duties.get(id)?, length)?, &duty.bans))
    });
    for (span, banned) in problem.bans.iter().map(|ban| (ban.span, &ban.tags)).chain(duties) {
        if let Some(tag) = banned.iter().find(|tag| tags.contains(tag)) {
            barred.push((span, format!("{} banned", problem.tags[*tag].code), None));
        }
    }
}
