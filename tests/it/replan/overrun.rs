//! What may not stop and was begun late goes on past the hours of those at it.

use turnto::model::{Stop, Stretch};
use turnto::time::{Minutes, Span};

use crate::replan::stage::{at, demo_plan, left, replanned, task, with_log};

/// If this fails, there is no plan while a load hangs that was lifted late, since hours end before it can be set down; or
/// overtime is opened for nobody, or for more than that; or nobody is told of it (common practice, no source).
#[test]
fn what_was_begun_late_and_may_not_stop_goes_on_past_hours() {
    let (problem, plan) = demo_plan();
    let mut tried = 0;
    for spell in plan.spells.iter().filter(|s| !s.team.is_empty() && s.span().length() >= Minutes::new(90)) {
        let row = &problem.tasks[spell.task];
        let first = plan.spells.iter().all(|s| s.task != spell.task || s.span().start() >= spell.span().start());
        if matches!(row.stop, Stop::Any { .. }) || row.emergency || !first {
            continue;
        }
        let day = problem.clock.day(spell.span().start());
        let began = at(day.number(), 16, 0).max(spell.span().start());
        let text = format!("[[entry]]\nat = \"{}\"\nwhat = \"started\"\ntask = \"{}\"\n", problem.clock.day_time(began), row.code);
        let (whole, standing) = with_log(&text);
        let rest = left(&whole, &standing, began + Minutes::new(30));
        let Some(id) = task(&rest.problem, &row.code) else { continue };
        let Some(under_way) = &rest.problem.tasks[id].under_way else { continue };
        let to = rest.problem.start + rest.problem.grid.length(under_way.left);
        let todo = Span::new(rest.problem.start, to).expect("something is left");
        let hours = |stretches: &[Stretch]| -> Vec<Span> { stretches.iter().flat_map(Stretch::hours).collect() };
        let base = |p: &turnto::id::PersonId| hours(&problem.people[*p].stretches);
        let outside: Vec<_> = under_way.team.iter().filter(|p| !todo.without(&base(p)).is_empty()).collect();
        let watch = rest.notes.iter().any(|note| note.contains("which does not stop, goes on until"));
        if outside.is_empty() || watch || rest.problem.people.iter().any(|p| p.breaks.iter().any(|b| b.overlaps(todo))) {
            continue;
        }
        let note = rest.notes.iter().find(|note| note.contains("does not stop for the end of hours")).expect("it is said");
        for person in problem.people.ids() {
            let now = hours(&rest.problem.people[person].stretches);
            let more: Vec<Span> = now.iter().flat_map(|span| span.without(&base(&person))).filter(|s| s.end() > todo.start()).collect();
            let expected = if outside.contains(&&person) { todo.without(&base(&person)) } else { Vec::new() };
            assert_eq!(more, expected, "{} for {}", row.code, problem.people[person].code);
            assert_eq!(note.contains(&problem.people[person].code), outside.contains(&&person), "{note}");
        }
        // Verified.
        replanned(&rest);
        tried += 1;
    }
    assert!(tried >= 3, "{tried} tasks of the demonstration job can be begun so late");
}
