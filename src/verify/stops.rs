//! Rule 4, stop codes: how often a task may stop, and how long its spells are.
//!
//! Tasks without people are judged by [`crate::verify::unmanned`].

use crate::id::TaskId;
use crate::model::{Stop, Task};
use crate::plan::Spell;
use crate::time::{Minutes, Slots};
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::total;
use crate::verify::under_way;

/// Breaches of the stop codes, and spells that do not sit on the grid.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let grid = facts.problem.grid;
    let mut breaches = Vec::new();
    for spell in &facts.plan.spells {
        let off = spell.work.iter().find(|piece| !grid.aligned(piece.start()) || !grid.aligned(piece.end()));
        breaches.extend(off.map(|piece| Breach::new(Clause::OffGrid).of(Thing::Task(spell.task)).during(*piece)));
    }
    for (id, task) in facts.problem.tasks.pairs() {
        let spells = &facts.tasks[id];
        if spells.is_empty() {
            breaches.push(Breach::new(Clause::NotDone).of(Thing::Task(id)));
        } else if !task.unmanned() {
            breaches.extend(one_at_a_time(id, spells));
            breaches.extend(match task.stop {
                Stop::Any { min_spell } => any(facts, id, task, spells, min_spell),
                Stop::Parts(_) => parts(facts, id, task, spells),
                Stop::Never => never(facts, id, task, spells),
            });
        }
    }
    breaches
}

fn work(spell: &Spell) -> Minutes {
    total(&spell.work)
}

/// One spell of a task at a time. Parts out of order are named as such elsewhere.
fn one_at_a_time(id: TaskId, spells: &[&Spell]) -> Vec<Breach> {
    let pairs = spells.windows(2).filter(|pair| pair[0].part == pair[1].part);
    pairs
        .filter_map(|pair| pair[0].span().intersection(pair[1].span()))
        .map(|window| Breach::new(Clause::SpellsOverlap).of(Thing::Task(id)).during(window))
        .collect()
}

/// May stop at any slot; each spell but the last is at least `min_spell` long.
fn any(facts: &Facts, id: TaskId, task: &Task, spells: &[&Spell], min_spell: Slots) -> Vec<Breach> {
    let grid = facts.problem.grid;
    let mut breaches = Vec::new();
    let least = grid.length(min_spell);
    for spell in &spells[..spells.len() - 1] {
        if work(spell) < least && !under_way::goes_on(facts, task, spell) {
            breaches.push(Breach::new(Clause::ShortSpell).of(Thing::Task(id)).during(spell.span()).time(work(spell), least));
        }
    }
    breaches.extend(unnumbered(id, spells));
    let done: Minutes = spells.iter().map(|s| work(s)).sum();
    breaches.extend(length(facts, id, task, done));
    breaches
}

/// One spell.
fn never(facts: &Facts, id: TaskId, task: &Task, spells: &[&Spell]) -> Vec<Breach> {
    if spells.len() != 1 {
        return vec![Breach::new(Clause::SpellCount).of(Thing::Task(id)).count(spells.len(), 1)];
    }
    let mut breaches = unnumbered(id, spells);
    breaches.extend(length(facts, id, task, work(spells[0])));
    breaches
}

/// One spell a part, in order, each of its own length.
fn parts(facts: &Facts, id: TaskId, task: &Task, spells: &[&Spell]) -> Vec<Breach> {
    let lengths = task.part_lengths();
    let about = |clause| Breach::new(clause).of(Thing::Task(id));
    if spells.len() != lengths.len() {
        return vec![about(Clause::SpellCount).count(spells.len(), lengths.len())];
    }
    let mut by_part = spells.to_vec();
    by_part.sort_by_key(|s| s.part);
    let mut breaches = Vec::new();
    for (number, (spell, slots)) in by_part.iter().zip(&lengths).enumerate() {
        let part = usize::try_from(spell.part).unwrap_or(usize::MAX);
        if part != number {
            breaches.push(about(Clause::PartNumber).during(spell.span()).count(part, number));
        }
        let needed = facts.problem.grid.length(*slots);
        if work(spell) != needed {
            breaches.push(about(Clause::PartLength).during(spell.span()).time(work(spell), needed));
        }
    }
    for pair in by_part.windows(2) {
        if pair[1].span().start() < pair[0].span().end() {
            breaches.push(about(Clause::PartOrder).during(pair[1].span()));
        }
    }
    breaches
}

/// Spells of a task that is not done in parts carry no part number.
fn unnumbered(id: TaskId, spells: &[&Spell]) -> Vec<Breach> {
    let numbered = spells.iter().filter(|s| s.part != 0);
    let number = |spell: &Spell| usize::try_from(spell.part).unwrap_or(usize::MAX);
    numbered.map(|s| Breach::new(Clause::PartNumber).of(Thing::Task(id)).during(s.span()).count(number(s), 0)).collect()
}

/// The whole of a task is done, and no more.
fn length(facts: &Facts, id: TaskId, task: &Task, done: Minutes) -> Option<Breach> {
    let needed = facts.problem.grid.length(task.length);
    (done != needed).then(|| Breach::new(Clause::WrongLength).of(Thing::Task(id)).time(done, needed))
}
