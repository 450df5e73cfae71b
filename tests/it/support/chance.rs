//! What jobs made by chance have in common, whatever their size.

use turnto::id::{DutyId, PersonId, TagId};
use turnto::model::{Group, Mode, OnWatch, Reserve, Unit, When};
use turnto::time::{Minutes, Span};

use super::dice::Dice;
use super::job::Job;

/// Those of `people` who may be asked to a duty: who is away at a fixed time is not.
pub(crate) fn could_attend(job: &Job, when: &When, people: &[PersonId]) -> Vec<PersonId> {
    let asked = |person: &&PersonId| match when {
        When::Fixed(span) => job.parts.people[**person].aboard(*span),
        When::Movable { .. } => true,
    };
    people.iter().filter(asked).copied().collect()
}

/// Whether a duty may be left, what it is to the watch, and whether it bans a tag.
pub(crate) fn how_it_is_done(dice: &mut Dice, job: &mut Job, duty: DutyId, tag: TagId) {
    let row = job.duty_edit(duty);
    row.leavable = dice.once_in(2);
    row.on_watch = dice.pick(&[OnWatch::Clash, OnWatch::Excused, OnWatch::DoneOnWatch]);
    if dice.once_in(2) {
        row.bans = vec![tag];
    }
}

/// Two machines of which one must be able, the second out for a while, and one mode with a reserve for all of the time.
pub(crate) fn two_machines(job: &mut Job, out: Span, reserve: Reserve) {
    let unit = |code: &str| Unit { code: code.to_owned(), name: String::new(), state: String::new(), out: Vec::new() };
    let units = vec![job.parts.units.push(unit("U1")), job.parts.units.push(unit("U2"))];
    job.parts.units[units[1]].out = vec![out];
    let group = Group { code: "G".to_owned(), name: String::new(), units, lasts: None, recover: Minutes::ZERO, short_before: None };
    let group = job.parts.groups.push(group);
    let mode = Mode { code: "M".to_owned(), name: String::new(), needs: vec![(group, 1)], weight: 2, reserve: Some(reserve) };
    let mode = job.parts.modes.push(mode);
    let whole = Span::new(job.parts.start, job.parts.layout_end).expect("a layout has time");
    job.parts.mode_spans = vec![(whole, mode)];
}
