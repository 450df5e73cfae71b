//! What machines fall short by in every plan.

use crate::bits::Bits;
use crate::bound::chain::windows;
use crate::calendar::{Fit, Hours, People, units_short};
use crate::id::{IdVec, TaskId, UnitId};
use crate::model::Problem;
use crate::time::{Moment, Span};

/// What machines fall short by at least (missing units × slots × mode weight), whatever the plan: what is out by itself is out,
/// and what work or duties hand back is out until the longest chain through calendars lets them, overtime worked. Of what a plan
/// may take out later nothing is said. Nothing where no plan is legal.
#[must_use]
pub fn machines_short(problem: &Problem) -> i64 {
    if problem.units.is_empty() {
        return 0;
    }
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, Hours::WithOvertime);
    let Ok(windows) = windows(problem, &fit) else { return 0 };
    let end_of = |task| fit.moment(windows.of(task).end);
    let out = problem.units.ids().map(|unit| surely_out(problem, unit, end_of));
    // What begins after the earliest finish is counted by plans that go on for longer only.
    let end = problem.end_for(fit.moment(windows.finish()));
    let range = people.range();
    let touched = |spans: Vec<Span>| {
        let mut slots = Bits::none(range.len());
        spans.iter().map(|span| range.touching(*span)).filter(|(from, to)| from < to).for_each(|(from, to)| slots.insert_range(from, to));
        slots
    };
    let out: IdVec<UnitId, Bits> = out.map(touched).collect();
    units_short(problem, &out, range.from(end).min(range.len()), |slot| range.moment(slot), |slot| problem.mode_at(range.moment(slot)))
}

/// When a unit is out in every plan. `end_of` is before when no task ends.
fn surely_out(problem: &Problem, unit: UnitId, end_of: impl Fn(TaskId) -> Moment) -> Vec<Span> {
    let takers = problem.tasks.iter().filter(|task| task.takes_out.contains(&unit));
    let latest_starts = takers.map(|task| task.pinned.start.or(task.not_after).unwrap_or(problem.latest_end));
    let duties = problem.duties.iter();
    let latest_starts = latest_starts.chain(duties.clone().filter(|duty| duty.opens(unit)).map(|duty| duty.when.latest_start()));
    let givers = problem.tasks.pairs().filter(|(_, task)| task.hands_back.contains(&unit));
    let earliest_ends =
        givers.map(|(id, _)| end_of(id)).chain(duties.filter(|duty| duty.closes(unit)).map(|duty| duty.when.earliest_end()));
    // It is out from the first that takes it to the last that hands it back, or else to the end.
    let by_plan = match (latest_starts.min(), earliest_ends.max()) {
        (None, None) => None,
        (None, Some(end)) => Span::new(problem.start, end),
        (Some(start), None) => Span::new(start, problem.layout_end),
        (Some(start), Some(end)) => Span::new(start, end),
    };
    // A duty that may move has it out wherever it lies only in what all its places have in common.
    let borrowed = problem.duties.iter().filter(|duty| duty.borrows(unit));
    let borrowed = borrowed.filter_map(|duty| Span::new(duty.when.latest_start(), duty.when.earliest_end()));
    problem.units[unit].out.iter().copied().chain(by_plan).chain(borrowed).collect()
}
