//! How far machines fall short of what is needed, where it is known which of them are out when.

use crate::bits::Bits;
use crate::id::{IdVec, ModeId, UnitId};
use crate::model::Problem;
use crate::time::{Minutes, Moment, Span};

/// Missing units × slots × mode weight before slot `end`, and units that are out together and must not be × slots. `out` has the
/// slots in which each unit is out, `moment` the beginning of a slot, `mode` the mode of the ship in it. More slots out never come
/// to less.
#[must_use]
pub fn units_short(
    problem: &Problem,
    out: &IdVec<UnitId, Bits>,
    end: usize,
    moment: impl Fn(usize) -> Moment,
    mode: impl Fn(usize) -> Option<ModeId>,
) -> i64 {
    let any_out = |units: &[UnitId]| {
        let mut any = Bits::none(end);
        for slot in units.iter().flat_map(|unit| out[*unit].iter()).filter(|slot| *slot < end) {
            any.insert(slot);
        }
        any
    };
    let mut total = 0;
    for (id, group) in problem.groups.pairs() {
        let lasts = group.lasts.unwrap_or(Minutes::ZERO);
        // With none of its units out it is short only where more are needed than there are.
        let needs = problem.modes.iter().flat_map(|mode| &mode.needs);
        let always = needs.filter(|(g, _)| *g == id).any(|(_, needed)| *needed as usize > group.units.len());
        let slots = if always { Bits::all(end) } else { any_out(&group.units) };
        // When the present run of short slots began, and when the last one ended.
        let (mut began, mut ended) = (group.short_before.map(Span::start), group.short_before.map(Span::end));
        for slot in slots.iter() {
            let Some(mode) = mode(slot) else { continue };
            let mode = &problem.modes[mode];
            let Some(needed) = mode.needs.iter().find(|(g, _)| *g == id).map(|(_, n)| *n) else { continue };
            let able = group.units.iter().filter(|u| !out[**u].has(slot)).count();
            let missing = i64::from(needed) - i64::try_from(able).unwrap_or(0);
            if missing <= 0 {
                continue;
            }
            let (from, to) = (moment(slot), moment(slot + 1));
            let goes_on = ended.is_some_and(|end| end >= from || from - end < group.recover);
            let since = began.filter(|_| goes_on).unwrap_or(from);
            (began, ended) = (Some(since), Some(to));
            if to - since > lasts {
                total += missing * i64::from(mode.weight);
            }
        }
    }
    for set in &problem.never_together {
        let most = set.most_out as usize;
        let too_many = |slot: &usize| set.units.iter().filter(|u| out[**u].has(*slot)).count() > most;
        total += any_out(&set.units).iter().filter(too_many).map(|_| 1_i64).sum::<i64>();
    }
    total
}
