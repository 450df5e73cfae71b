//! Rule 4, teams: every spell has its whole team, all different people, each able to do his part.

use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Breaches in the teams of all spells.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for spell in &facts.plan.spells {
        let needs = &facts.problem.tasks[spell.task].needs;
        let about = |clause| Breach::new(clause).of(Thing::Task(spell.task)).during(spell.span());
        if spell.team.len() != needs.len() {
            breaches.push(about(Clause::TeamSize).count(spell.team.len(), needs.len()));
        }
        for (position, person) in spell.team.iter().enumerate() {
            if spell.team[..position].contains(person) {
                breaches.push(about(Clause::TeamRepeats).by(*person));
            }
            if let Some(need) = needs.get(position)
                && !facts.problem.people[*person].holds(*need)
            {
                breaches.push(about(Clause::Unable).by(*person).against(Thing::Competence(*need)));
            }
        }
    }
    breaches
}
