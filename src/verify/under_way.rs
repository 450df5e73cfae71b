//! Rule 4, spells under way: a part, or a task that may not stop, goes on at once with its team.

use crate::model::{Stop, Task, UnderWay};
use crate::plan::Spell;
use crate::time::{Moment, Span, union};
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Spells under way that do not go on as they must.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, task) in facts.problem.tasks.pairs() {
        let must = match task.stop {
            Stop::Any { .. } => false,
            Stop::Parts(_) | Stop::Never => true,
        };
        let (Some(under_way), Some(first), true) = (&task.under_way, facts.tasks[id].first(), must) else { continue };
        if first.span().start() != resumes(facts, task, under_way) || first.team != under_way.team {
            breaches.push(Breach::new(Clause::NotGoingOn).of(Thing::Task(id)).during(first.span()));
        }
    }
    breaches
}

/// Whether `spell` is what was under way and has to be brought to its end by its team, whoever was decided for the task: who
/// is at a part, or at a task that may not stop, does not change before that is done (rule 4).
pub(super) fn has_to_go_on(facts: &Facts, spell: &Spell) -> bool {
    let task = &facts.problem.tasks[spell.task];
    let may_stop = matches!(task.stop, Stop::Any { .. });
    let first = facts.tasks[spell.task].first().is_some_and(|first| first.span() == spell.span());
    let goes_on = |w: &UnderWay| w.team == spell.team && spell.span().start() == resumes(facts, task, w);
    first && !may_stop && task.under_way.as_ref().is_some_and(goes_on)
}

/// When it goes on: at the start, or, where a named break of somebody in its team pauses it then, after that.
fn resumes(facts: &Facts, task: &Task, under_way: &UnderWay) -> Moment {
    let start = facts.problem.start;
    if !task.pauses {
        return start;
    }
    let breaks = union(under_way.team.iter().flat_map(|p| facts.people[*p].breaks.iter().copied()).collect());
    breaks.iter().find(|pause| pause.contains(start)).map_or(start, |pause| pause.end())
}

/// Whether `spell` is the one under way going on, which may be as short as it likes.
pub(super) fn goes_on(facts: &Facts, task: &Task, spell: &Spell) -> bool {
    let same = task.under_way.as_ref().is_some_and(|under_way| under_way.team == spell.team);
    let at_once = Span::new(facts.problem.start, spell.span().start()).is_none();
    same && at_once
}
