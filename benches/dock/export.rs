//! A job on slots as JSON, for a model in another solver. Slots count from the start.

use serde_json::{Value, json};
use turnto::id::{Id, PersonId};
use turnto::model::{OnWatch, Problem, Stand, Stop, Task, When};
use turnto::plan::Plan;
use turnto::time::{Moment, Slots, Span};

/// The job, with the plan found, its finish and the wall time it took.
pub(crate) fn job(problem: &Problem, plan: &Plan, finish: Moment, seconds: f64) -> String {
    let grid = problem.grid;
    let first = grid.ceil(problem.start);
    let from = |at: Moment| (grid.ceil(at) - first).count();
    let to = |at: Moment| (grid.floor(at) - first).count();
    let last = to(problem.latest_end);
    // Slots wholly inside a span, and slots it touches, cut to the horizon.
    let pair = |a: i32, b: i32| (a.max(0) < b.min(last)).then(|| json!([a.max(0), b.min(last)]));
    let inside = |s: &Span| pair(from(s.start()), to(s.end()));
    let touching = |s: &Span| pair(to(s.start()), from(s.end()));

    let people: Vec<Value> = problem
        .people
        .pairs()
        .map(|(id, person)| {
            let taken = taken(problem, id);
            let free: Vec<Value> =
                person.stretches.iter().flat_map(|s| &s.ordinary).flat_map(|p| p.without(&taken)).filter_map(|s| inside(&s)).collect();
            json!({
                "id": person.code,
                "competences": person.competences.iter().map(|c| c.index()).collect::<Vec<_>>(),
                "free": free,
                "breaks": person.breaks.iter().filter_map(touching).collect::<Vec<_>>(),
            })
        })
        .collect();
    let tasks: Vec<Value> = problem
        .tasks
        .iter()
        .map(|task| {
            let (stop, min_spell) = match task.stop {
                Stop::Any { min_spell } => ("any", min_spell.count()),
                Stop::Parts(_) => ("parts", 0),
                Stop::Never => ("never", 0),
            };
            json!({
                "id": task.code,
                "needs": task.needs.iter().map(|c| c.index()).collect::<Vec<_>>(),
                "length": task.length.count(),
                "stop": stop,
                "min_spell": min_spell,
                "parts": task.part_lengths().iter().map(|p| p.count()).collect::<Vec<_>>(),
                "pauses": task.pauses,
                "emergency": task.emergency,
                "after": task.after.iter().map(|a| json!([a.task.index(), grid.ceil_length(a.lag).count()])).collect::<Vec<_>>(),
                "tools": task.tools.iter().map(|(t, n)| json!([t.index(), n])).collect::<Vec<_>>(),
                "not_before": task.not_before.map_or(0, from),
                "not_after": task.not_after.map_or(last, to).min(last),
                "banned": banned(problem, task).iter().filter_map(touching).collect::<Vec<_>>(),
                "same": task.same,
                "different": task.different.iter().map(|d| json!([d.need, d.other.index(), d.other_needs])).collect::<Vec<_>>(),
                "attended": task.attended_by.map(Id::index),
            })
        })
        .collect();
    let tools: Vec<Value> = problem
        .tools
        .iter()
        .map(|t| json!({"id": t.code, "number": t.number, "away": t.away.iter().filter_map(touching).collect::<Vec<_>>()}))
        .collect();
    let holds: Vec<Value> = problem
        .holds
        .iter()
        .map(|h| json!({"tool": h.tool.index(), "number": h.number, "fill": h.fill.map(Id::index), "empty": h.empty.index()}))
        .collect();
    let spells: Vec<Value> = plan
        .spells
        .iter()
        .map(|s| {
            let work: Vec<Value> = s.work.iter().map(|p| json!([from(p.start()), to(p.end())])).collect();
            json!({"task": s.task.index(), "work": work, "team": s.team.iter().map(|p| p.index()).collect::<Vec<_>>()})
        })
        .collect();
    let value = json!({
        "slot_minutes": grid.slot().get(),
        "horizon": last,
        "day_slots": grid.ceil_length(turnto::time::Minutes::DAY).count(),
        "people": people,
        "tasks": tasks,
        "tools": tools,
        "holds": holds,
        "finish": grid.ceil_length(finish - problem.start).max(Slots::ZERO).count(),
        "seconds": seconds,
        "spells": spells,
    });
    value.to_string()
}

/// Fixed turns, fixed duties and absence of a person.
fn taken(problem: &Problem, person: PersonId) -> Vec<Span> {
    let turns: Vec<Span> = problem.turns.iter().filter(|t| t.stand == Stand::Fixed(person)).map(|t| t.span).collect();
    let mut taken = turns.clone();
    for duty in problem.duties.iter().filter(|d| d.who.contains(&person)) {
        if let When::Fixed(span) = duty.when {
            match duty.on_watch {
                OnWatch::Clash => taken.push(span),
                OnWatch::Excused | OnWatch::DoneOnWatch => taken.extend(span.without(&turns)),
            }
        }
    }
    taken.extend(&problem.people[person].away);
    taken
}

/// When a task may not run because of its tags.
fn banned(problem: &Problem, task: &Task) -> Vec<Span> {
    let by_weather = problem.bans.iter().filter(|b| b.tags.iter().any(|t| task.tags.contains(t))).map(|b| b.span);
    let by_duty = problem.duties.iter().filter(|d| d.bans.iter().any(|t| task.tags.contains(t))).filter_map(|d| match d.when {
        When::Fixed(span) => Some(span),
        When::Movable { .. } => None,
    });
    by_weather.chain(by_duty).collect()
}
