//! Spells, from the tasks.

use super::cursor::{Faults, Node};
use crate::id::{PersonId, TaskId};
use crate::model::{Problem, Stop};
use crate::plan::Spell;
use crate::report::tools_of;
use crate::time::Span;

/// Reads `tasks`. A task that is not there has no spells, which the verifier will name.
pub(super) fn read(problem: &Problem, root: &Node<'_>, faults: &mut Faults) -> Vec<Spell> {
    let mut seen: Vec<TaskId> = Vec::new();
    let mut spells = Vec::new();
    for row in root.list("tasks", faults) {
        let Some(id) = row.field("id", faults) else { continue };
        let tasks = problem.tasks.pairs().map(|(t, task)| (t, task.code.as_str()));
        let Some(task) = id.code("task", tasks, faults) else { continue };
        if seen.contains(&task) {
            id.fault(faults, "this task stands here twice".to_owned());
            continue;
        }
        seen.push(task);
        for (index, node) in (0_u32..).zip(row.list("spells", faults)) {
            spells.extend(spell(problem, task, index, &node, faults));
        }
    }
    spells.sort_by(|a, b| (a.span().start(), a.task, a.part, a).cmp(&(b.span().start(), b.task, b.part, b)));
    spells
}

fn spell(problem: &Problem, task: TaskId, index: u32, node: &Node<'_>, faults: &mut Faults) -> Option<Spell> {
    let whole = node.span(&problem.clock, faults);
    let work = whole.and_then(|whole| work(problem, whole, node, faults));
    let team = team(problem, task, node, faults);
    let part = part(problem, task, index, node, faults);
    tools(problem, task, node, faults);
    Some(Spell { work: work?, task, part: part?, team: team? })
}

/// The pieces of work between the pauses.
fn work(problem: &Problem, whole: Span, node: &Node<'_>, faults: &mut Faults) -> Option<Vec<Span>> {
    let mut pauses = Vec::new();
    if let Some(list) = node.optional("paused") {
        for pause in list.items(faults) {
            let span = pause.span(&problem.clock, faults)?;
            if span.start() <= whole.start() || span.end() >= whole.end() {
                pause.fault(faults, "a pause lies inside its spell, with work before and after it".to_owned());
                return None;
            }
            pauses.push(span);
        }
    }
    Some(whole.without(&pauses))
}

/// Which part of the task, from 0. Without the key, spells in parts count as they stand.
fn part(problem: &Problem, task: TaskId, index: u32, node: &Node<'_>, faults: &mut Faults) -> Option<u32> {
    let in_parts = match problem.tasks[task].stop {
        Stop::Parts(_) => true,
        Stop::Any { .. } | Stop::Never => false,
    };
    match node.optional("part") {
        Some(said) if in_parts => {
            let part = said.whole(faults)?.checked_sub(1);
            if part.is_none() {
                said.fault(faults, "parts count from 1".to_owned());
            }
            part
        }
        Some(said) => {
            said.fault(faults, format!("{} is not done in parts", problem.tasks[task].code));
            None
        }
        None => Some(if in_parts { index } else { 0 }),
    }
}

/// One person for each position in the task's needs; entries of the same need fill them in order.
fn team(problem: &Problem, task: TaskId, node: &Node<'_>, faults: &mut Faults) -> Option<Vec<PersonId>> {
    let needs = &problem.tasks[task].needs;
    let list = node.field("team", faults)?;
    let mut filled: Vec<Option<PersonId>> = vec![None; needs.len()];
    let mut sound = true;
    for member in list.items(faults) {
        let person = member.field("person", faults).and_then(|n| {
            let people = problem.people.pairs().map(|(p, who)| (p, who.code.as_str()));
            n.code("person", people, faults)
        });
        let need = member.field("need", faults).and_then(|n| {
            let competences = problem.competences.pairs().map(|(c, row)| (c, row.code.as_str()));
            n.code("competence", competences, faults)
        });
        let (Some(person), Some(need)) = (person, need) else {
            sound = false;
            continue;
        };
        if let Some(i) = (0..needs.len()).find(|i| needs[*i] == need && filled[*i].is_none()) {
            filled[i] = Some(person);
        } else {
            member.fault(faults, format!("{} does not ask for so many {}", problem.tasks[task].code, problem.competences[need].code));
            sound = false;
        }
    }
    let empty: Vec<&str> = (0..needs.len()).filter(|i| filled[*i].is_none()).map(|i| problem.competences[needs[i]].code.as_str()).collect();
    if sound && !empty.is_empty() {
        list.fault(faults, format!("nobody brings {}", empty.join(", ")));
    }
    filled.into_iter().collect::<Option<Vec<PersonId>>>().filter(|_| sound)
}

/// Tools are given by the job; a list that says otherwise is not silently overruled.
fn tools(problem: &Problem, task: TaskId, node: &Node<'_>, faults: &mut Faults) {
    let Some(list) = node.optional("tools") else { return };
    let mut said: Vec<&str> = list.items(faults).iter().filter_map(|n| n.text(faults)).collect();
    let given = tools_of(problem, task).into_iter();
    let mut given: Vec<&str> = given.flat_map(|(t, n)| (0..n).map(move |_| problem.tools[t].code.as_str())).collect();
    said.sort_unstable();
    given.sort_unstable();
    if said != given {
        let names = if given.is_empty() { "no tools".to_owned() } else { given.join(", ") };
        list.fault(faults, format!("the job gives {} {names}; change it there", problem.tasks[task].code));
    }
}
