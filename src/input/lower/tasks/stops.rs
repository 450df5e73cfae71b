//! How long a task is and where it may stop.

use crate::diag::{Code, Place};
use crate::input::raw::tasks::{Stop as RawStop, Task as RawTask};
use crate::input::sink::Sink;
use crate::model::{Estimate, Stop};
use crate::time::{Grid, Minutes, Slots};

/// Shortest spell of a task that may stop at any time, unless it says otherwise.
const MIN_SPELL: Minutes = Minutes::hours(1);

/// Least, typical and most hours.
pub(super) fn estimate(raw: &RawTask, sink: &Sink) -> Estimate {
    let one_hour = Estimate { least: Minutes::hours(1), typical: Minutes::hours(1), most: Minutes::hours(1) };
    let Some(list) = &raw.hours else { return one_hour };
    let (least, typical, most) = match list.value.as_slice() {
        [only] => (only, only, only),
        [least, typical, most] => (least, typical, most),
        _ => {
            let message = format!("task {} has {} numbers for its hours", raw.code.as_str(), list.value.len());
            sink.say(Code::HoursOutOfOrder, message, list.place, "", "write one number, or three: [least, typical, most]");
            return one_hour;
        }
    };
    if least.value > typical.value || typical.value > most.value {
        let message = format!("the hours of task {} are not in order", raw.code.as_str());
        sink.say(Code::HoursOutOfOrder, message, list.place, "", "write least, typical, most, none smaller than the one before it");
        return Estimate { least: typical.value, typical: typical.value, most: typical.value };
    }
    Estimate { least: least.value, typical: typical.value, most: most.value }
}

/// Where it may stop.
pub(super) fn stop(raw: &RawTask, unmanned: bool, length: Slots, grid: Grid, sink: &Sink) -> Stop {
    let contradiction = |place: Place, message: &str, help: &str| {
        if sink.is_unsure(raw.code.place()) {
            return;
        }
        sink.say(Code::StopContradiction, format!("task {}: {message}", raw.code.as_str()), place, "", help);
    };
    let place = |key: Option<Place>| key.unwrap_or_else(|| raw.code.place());
    let stop = raw.stop.as_ref().map(|s| s.value);
    let parts_place = raw.parts.as_ref().map(|p| p.place);
    let min_spell_place = raw.min_spell.as_ref().map(|m| m.place);
    if unmanned {
        if let Some(at) = raw.stop.as_ref().map(|s| s.place).or(parts_place).or(min_spell_place) {
            contradiction(at, "a task without people runs in one piece", "take `stop`, `parts` and `min_spell` out");
        }
        return Stop::Never;
    }
    match (stop, &raw.parts) {
        (Some(RawStop::Unit), None) => {
            let at = place(raw.stop.as_ref().map(|s| s.place));
            contradiction(at, "it stops between parts, but has none", "add parts = 3, or the number there are");
            return Stop::Never;
        }
        (Some(RawStop::Any | RawStop::Never), Some(parts)) => {
            contradiction(parts.place, "parts go with stop = \"unit\"", "take `parts` or `stop` out");
        }
        (None | Some(RawStop::Unit), Some(parts)) => {
            if let Some(at) = min_spell_place {
                contradiction(at, "the shortest spell of a part is the part", "take `min_spell` out");
            }
            if parts.value > i64::from(length.count()) {
                let message = format!("task {} has {} parts and {} slots", raw.code.as_str(), parts.value, length.count());
                sink.say(Code::TooManyParts, message, parts.place, "", "ask for fewer parts, or give more hours");
            }
            return Stop::Parts(u32::try_from(parts.value).unwrap_or(1));
        }
        (None | Some(RawStop::Any | RawStop::Never), None) => {}
    }
    if stop == Some(RawStop::Never) {
        if let Some(at) = min_spell_place {
            contradiction(at, "a task that never stops has one spell", "take `min_spell` out");
        }
        return Stop::Never;
    }
    let least = raw.min_spell.as_ref().map_or(MIN_SPELL, |m| m.value);
    Stop::Any { min_spell: Slots::new(grid.ceil_length(least).count().max(1)) }
}
