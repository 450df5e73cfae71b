//! `hours.csv`: recorded work, by person.

use std::collections::{BTreeMap, BTreeSet};

use crate::clock::Day;
use crate::diag::{Code, Diagnostic, FileId, Place, Sources};
use crate::id::{Id, IdVec, PersonId, RuleSetId};
use crate::input::index::Index;
use crate::input::raw::crew::Person as RawPerson;
use crate::input::raw::grid::DayCovered;
use crate::input::raw::hours::{Form, Hours};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::times::Times;
use crate::input::when::Written;
use crate::model::{Person, RecordKind, Recorded};
use crate::rest::{OnCall, RuleSet};
use crate::time::{Minutes, Moment, Span, union};

/// How far back a record is believed; earlier is taken for a wrong year.
pub(super) const OLDEST: Minutes = Minutes::new(400 * 1440);

/// Puts the rows to their people; `complete_from` is what the job says for everybody.
pub(in crate::input) fn hours(
    hours: &Hours,
    complete_from: Option<Moment>,
    people: &mut IdVec<PersonId, Person>,
    sets: &IdVec<RuleSetId, RuleSet>,
    index: &Index,
    times: &Times,
    sink: &Sink,
) {
    let mut by_person: IdVec<PersonId, Vec<(Recorded, Place)>> = IdVec::filled(Vec::new(), people.len());
    strangers(hours, index, sink);
    let (covered, twice) = days(&hours.days, people, index, times, sink);
    for row in &hours.rows {
        let person = index.people.get(row.person.as_str());
        let ends = match row.form {
            Form::FromTo => times.moment(&row.from, sink).zip(times.moment(&row.to, sink)),
            Form::Grid => Some(times.widest(row.from.value, row.to.value)),
        };
        let Some((from, to)) = ends else { continue };
        // Half-hours that the clock skips were not worked.
        if row.form == Form::Grid && from == to {
            continue;
        }
        let Some(span) = Span::new(from, to) else {
            if times.known {
                sink.say(Code::EndsBeforeItBegins, "the row ends before it begins", row.place, "", "correct `from` or `to`");
            }
            continue;
        };
        if times.known && (from < times.start - OLDEST || from >= times.layout_end || span.length() > Minutes::new(7 * 1440)) {
            let message = "recorded hours out of all reach of the job";
            let help = "correct the day, or take the row out if it belongs to another job";
            sink.say(Code::OutsideHorizon, message, row.place, "", help);
            continue;
        }
        if times.known && row.form == Form::FromTo && row.kind != RecordKind::OnCall && span.length() > Minutes::DAY {
            let message = format!("a row of {} of work in one piece", span.length());
            sink.say(Code::RecordLong, message, row.place, "", "see whether `from` and `to` have the right day");
        }
        if let Some(person) = person.filter(|p| p.index() < by_person.len()) {
            by_person[person].push((Recorded { span, kind: row.kind, note: row.note.clone() }, row.place));
        }
    }
    for id in people.ids() {
        let mut list = std::mem::take(&mut by_person[id]);
        list.sort_by_key(|(recorded, place)| (recorded.span, *place));
        let written = list.first().map(|(recorded, _)| times.clock.day(recorded.span.start()));
        // Who is on call may work meanwhile, and is called.
        let (on_call, mut list): (Vec<_>, Vec<_>) = list.into_iter().partition(|(recorded, _)| recorded.kind == RecordKind::OnCall);
        overlaps(&list, &twice, &people[id].code, sink);
        let spans = union(on_call.iter().map(|(recorded, _)| recorded.span).collect());
        if sets[people[id].rest].readings.on_call == OnCall::Work {
            list.extend(on_call);
            list.sort_by_key(|(recorded, place)| (recorded.span, *place));
        }
        let first = covered[id].first().copied().or(written).map(|day| times.clock.day_span(day).start());
        let person = &mut people[id];
        person.on_call = spans;
        person.recorded = list.into_iter().map(|(recorded, _)| recorded).collect();
        person.recorded_from = person.recorded_from.or(complete_from).or(first);
    }
    if times.known {
        too_short(people, index, times, sink);
        // Rows that could not be read may be the last ones.
        if !hours.rows.first().is_some_and(|row| sink.is_unsure_anywhere(row.place)) {
            stale(hours, people, &covered, times, sink);
        }
    }
}

/// A record of rows from-to that has nothing of so long before the start is more likely an old one than one of rest.
const STALE: Minutes = Minutes::hours(72);

/// Reports records that end well before the start: all of them together, or that of a person whose grid of days stops.
fn stale(hours: &Hours, people: &IdVec<PersonId, Person>, covered: &IdVec<PersonId, BTreeSet<Day>>, times: &Times, sink: &Sink) {
    let worked = |p: &Person| p.recorded.iter().map(|r| r.span.end()).chain(p.on_call.iter().map(|span| span.end())).max();
    let help = "add the days up to the start, or see whether hours.csv is the one of this job";
    let say = |place: Place, message: String| sink.say(Code::RecordStale, message, place, "the last row", help);
    let last = hours.rows.iter().filter(|row| row.form == Form::FromTo).max_by_key(|row| row.place);
    if let (Some(row), true, Some(end)) = (last, hours.days.is_empty(), people.iter().filter_map(worked).max())
        && end + STALE <= times.start
    {
        say(row.place, format!("nothing is recorded of anybody after {}", times.say(end)));
    }
    let eve = times.clock.day(times.start).number() - 1;
    let mut missing: BTreeMap<Day, (Vec<&str>, Place)> = BTreeMap::new();
    for (id, days) in covered.pairs() {
        let Some(last) = days.last() else { continue };
        let row = hours.days.iter().filter(|row| row.person.is(&people[id].code)).map(|row| row.place).max();
        let aboard = |day: Day| !people[id].away.iter().any(|away| away.covers(times.clock.day_span(day)));
        let first = (last.number() + 1..=eve).map(Day::new).find(|day| aboard(*day));
        if let (Some(day), Some(place)) = (first, row) {
            let (codes, last) = missing.entry(day).or_insert_with(|| (Vec::new(), place));
            codes.push(&people[id].code);
            *last = place.max(*last);
        }
    }
    for (day, (codes, place)) in missing {
        say(place, format!("there is no row of {} on {}, nor after that", codes.join(", "), times.clock.date(day)));
    }
}

/// Reports people who are not in the crew, each once, however many rows there are.
fn strangers(hours: &Hours, index: &Index, sink: &Sink) {
    let mut rows: BTreeMap<&str, (&Text, BTreeSet<Place>)> = BTreeMap::new();
    let all = hours.days.iter().map(|day| (&day.person, day.place)).chain(hours.rows.iter().map(|row| (&row.person, row.place)));
    for (person, place) in all.filter(|(person, _)| index.people.get(person.as_str()).is_none()) {
        rows.entry(person.as_str()).or_insert_with(|| (person, BTreeSet::new())).1.insert(place);
    }
    for (person, places) in rows.into_values() {
        let label = match places.len() {
            0 | 1 => "not known".to_owned(),
            2 => "not known, here and in one more row".to_owned(),
            some => format!("not known, here and in {} more rows", some - 1),
        };
        index.people.find_or_say(person, &label, sink);
    }
}

/// The days of which a grid says everything, by person, in order. Days that are missing between the first and the
/// last, while the person was aboard, and days that stand twice, are reported: a day without a row is no day of rest. With
/// them, the rows of a day that were reported to be several, each with its day.
fn days(
    rows: &[DayCovered],
    people: &IdVec<PersonId, Person>,
    index: &Index,
    times: &Times,
    sink: &Sink,
) -> (IdVec<PersonId, BTreeSet<Day>>, BTreeMap<Place, Day>) {
    let mut covered: IdVec<PersonId, BTreeMap<Day, Place>> = IdVec::filled(BTreeMap::new(), people.len());
    let mut twice = BTreeMap::new();
    for row in rows {
        let Some(person) = index.people.get(row.person.as_str()).filter(|p| p.index() < covered.len()) else { continue };
        let day = times.clock.day(times.widest(row.day.value, row.day.value).0);
        if let Some(first) = covered[person].insert(day, row.place)
            && times.known
        {
            let message = format!("two rows are of {} on {}", people[person].code, times.clock.date(day));
            let diagnostic = Diagnostic::new(Code::BrokenRow, message).at(row.place, "this row").also(first, "and this row");
            sink.put(diagnostic.help("put them together into one row"));
            twice.extend([(first, day), (row.place, day)]);
        }
    }
    for (id, days) in covered.pairs().filter(|_| times.known) {
        let pairs = days.iter().zip(days.iter().skip(1));
        for ((before, _), (after, place)) in pairs {
            let missing = (before.number() + 1..after.number()).map(Day::new);
            let aboard = |day: &Day| !people[id].away.iter().any(|away| away.covers(times.clock.day_span(*day)));
            if let Some(first) = missing.into_iter().find(aboard) {
                let message = format!("there is no row of {} on {}", people[id].code, times.clock.date(first));
                let help = "add the row, with empty half-hours if it was a day of rest; a person not aboard is said in crew.toml (away)";
                sink.say(Code::BrokenRow, message, *place, "before this row", help);
            }
        }
    }
    (covered.iter().map(|days| days.keys().copied().collect()).collect(), twice)
}

/// Reports a record, complete from `from` on, that is there and says nothing: nobody would have worked.
pub(in crate::input) fn empty(hours: &Hours, file: FileId, from: &At<Written>, sources: &Sources, times: &Times, sink: &Sink) {
    let text = sources.text(file);
    let rows = text.lines().filter(|line| !line.trim().is_empty()).count().saturating_sub(1);
    if hours.broken || rows > 0 || !hours.rows.is_empty() || !hours.days.is_empty() {
        return;
    }
    let Some(moment) = times.moment(from, sink).filter(|moment| *moment < times.start && times.known) else { return };
    let message = format!("hours.csv has no row, so everybody counts as rested since {}", times.say(moment));
    let first = Place { file, start: 0, end: text.lines().next().map_or(0, |line| line.trim_end().len()) };
    sink.put(
        Diagnostic::new(Code::RecordEmpty, message)
            .at(first, "nothing is recorded")
            .also(from.place, "the record is said to be complete from here on")
            .help("fill in the hours worked, or take `recorded_from` out; if nobody worked, take hours.csv out"),
    );
}

/// Reports people whose record crew.toml says is complete from some time before the start on, where nothing is recorded of
/// anybody: the record is rather missing than empty. Where job.toml says so of all, nobody has worked.
pub(in crate::input) fn missing(hours: &Hours, crew: &[RawPerson], times: &Times, sink: &Sink) {
    if hours.broken || !hours.rows.is_empty() || !hours.days.is_empty() {
        return;
    }
    let said = crew.iter().filter_map(|person| Some((person, person.recorded_from.as_ref()?)));
    let early = |at: &At<Written>| times.moment(at, &Sink::default()).filter(|moment| *moment < times.start);
    let mut early = said.filter_map(|(person, at)| Some((person, at.place, early(at)?)));
    let Some((first, place, from)) = early.next() else { return };
    let message = format!("nothing is recorded of anybody, so {} counts as rested since {}", first.code.as_str(), times.say(from));
    let mut diagnostic = Diagnostic::new(Code::RecordEmpty, message).at(place, "the record is said to be complete from here on");
    for (person, place, _) in early {
        diagnostic = diagnostic.also(place, format!("and that of {} from here on", person.code.as_str()));
    }
    sink.put(
        diagnostic
            .help("see whether hours.csv is missing, or fill it in; or take `recorded_from` out")
            .help("if nobody has worked, say so of all: recorded_from under [rest] in job.toml"),
    );
}

/// Reports people whose record does not reach back seven days, those whose record begins together at once.
fn too_short(people: &IdVec<PersonId, Person>, index: &Index, times: &Times, sink: &Sink) {
    let mut groups: BTreeMap<Option<Moment>, Vec<&str>> = BTreeMap::new();
    for person in people.iter() {
        if person.recorded_from.is_none_or(|from| from > times.start - Minutes::WEEK) {
            groups.entry(person.recorded_from).or_default().push(&person.code);
        }
    }
    for (from, codes) in groups {
        let message = match from {
            None => format!("there are no recorded hours of {}", codes.join(", ")),
            Some(from) => format!("the recorded hours of {} begin on {}", codes.join(", "), times.say(from)),
        };
        let help = "fill in the seven days before the start, or say under [rest] in job.toml: recorded_from = \"day -6\"";
        let diagnostic = Diagnostic::new(Code::RecordTooShort, message).help(help);
        sink.put(match codes.first().and_then(|code| index.people.place(code)) {
            Some(place) => diagnostic.at(place, ""),
            None => diagnostic,
        });
    }
}

/// Reports rows that have a person at work at the same time, but for those of a day that is reported to stand `twice`.
fn overlaps(list: &[(Recorded, Place)], twice: &BTreeMap<Place, Day>, code: &str, sink: &Sink) {
    for pair in list.windows(2) {
        let ((first, one), (second, other)) = (&pair[0], &pair[1]);
        let said = twice.get(one).is_some_and(|day| twice.get(other) == Some(day));
        if !said && first.span.end() > second.span.start() {
            let message = format!("two rows have {code} at work at the same time");
            sink.put(
                Diagnostic::new(Code::RecordOverlaps, message)
                    .at(*other, "this row")
                    .also(*one, "and this row")
                    .help("correct one of them; the time counts once for the rest rules"),
            );
        }
    }
}
