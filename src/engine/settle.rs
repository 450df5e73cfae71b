//! Movable duties at the end of the search: where they take least from people's rest.
//!
//! No aim counts when a duty is done, so that the search leaves it anywhere. Drills are to disturb rest as little as can be
//! (STCW Code A-VIII/1 paragraph 4, MLC 2006 Standard A2.3 paragraph 7), and nobody likes to be called to any duty by night.

use std::sync::Arc;

use super::context::{Context, attendance, duty_span, turns_of};
use super::field::{Asked, Found};
use super::ground::Ground;
use super::place::Effort;
use super::roster::starts;
use crate::id::DutyId;
use crate::model::When;
use crate::time::Moment;

/// Moments tried for each duty.
const TRIES: usize = 24;

/// How many of them are as easy as one another.
const ALIKE: usize = 2;

/// `best` with every movable duty as people were told, or else where those who attend it are least called outside their
/// hours and by night, as far as a plan in the same order is found that is no worse by anything people
/// would notice.
pub(super) fn settled<'g>(mut best: Found<'g>, asked: &Asked, effort: &mut Effort) -> Found<'g> {
    let ground = best.field.base.ground;
    for (duty, row) in ground.problem.duties.pairs() {
        if matches!(row.when, When::Fixed(_)) {
            continue;
        }
        for at in easier(ground, &best.field.base.context, duty, best.field.base.end) {
            let mut context = (*best.field.base.context).clone();
            context.duties[duty] = at;
            let field = best.field.changed(Arc::new(context), asked, effort);
            let found = if field.legal() { field.build(&best.genes, None, false, i64::MAX, effort).ok() } else { None };
            let found = found.filter(|found| found.missing() <= best.missing() && !best.is_gain_over(found));
            // Where a week's rest is short, work matters to calls further away than is looked at while tasks are placed.
            if let Some(found) = found.filter(|found| found.state.clone().reserve_holds_everywhere(&mut effort.calls).is_ok()) {
                best = found;
                break;
            }
        }
    }
    best
}

/// Starts that are easier on people than the one in `context`, the easiest first, and of those the nearest to it.
fn easier(ground: &Ground, context: &Context, duty: DutyId, end: usize) -> Vec<Moment> {
    let now = context.duties[duty];
    let harm = |at: Moment| harm(ground, context, duty, at);
    let limit = harm(now);
    let mut found: Vec<_> = starts(ground, context, duty, end).into_iter().map(|at| (harm(at), (at - now).get().abs(), at)).collect();
    found.retain(|(harm, ..)| *harm < limit);
    found.sort_unstable();
    let alike = found.chunk_by(|a, b| a.0 == b.0).flat_map(|alike| alike.iter().take(ALIKE));
    alike.take(TRIES).map(|(.., at)| *at).collect()
}

/// Whether it is not as told, and in how many slots people attend a duty outside their hours, those by night once more.
fn harm(ground: &Ground, context: &Context, duty: DutyId, at: Moment) -> (bool, usize) {
    let row = &ground.problem.duties[duty];
    let span = duty_span(row, at);
    let slots = row.who.iter().map(|person| {
        let turns = turns_of(ground.problem, &context.turns, *person);
        let attends = attendance(row, span, &turns).into_iter().map(|piece| ground.touching(piece));
        let outside = |(a, b): (usize, usize)| b - a - ground.people[*person].ordinary.count_range(a, b) + ground.night.count_range(a, b);
        attends.map(outside).sum::<usize>()
    });
    let told = ground.told.as_ref().and_then(|told| told.duty(duty));
    (told.is_some_and(|told| told != at), slots.sum())
}
