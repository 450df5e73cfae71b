//! `duties.toml`: duties laid out, and bans.

use std::collections::BTreeMap;

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{DutyId, IdVec, PersonId, TurnId};
use crate::input::index::Index;
use crate::input::raw::duties::{Ban as RawBan, Duties, Duty as RawDuty};
use crate::input::raw::phrase::Who;
use crate::input::sink::Sink;
use crate::input::text::Text;
use crate::input::times::Times;
use crate::model::{Ban, Duty, OnWatch, Person, Stand, Turn, When};
use crate::time::{Minutes, Span};

/// What duties refer to.
pub(in crate::input) struct DutyContext<'a> {
    /// All codes.
    pub index: &'a Index,
    /// The people.
    pub people: &'a IdVec<PersonId, Person>,
    /// The turns.
    pub turns: &'a IdVec<TurnId, Turn>,
    /// Times.
    pub times: &'a Times,
    /// Where diagnostics go.
    pub sink: &'a Sink,
}

/// All occurrences of all duties, sorted by code, then occurrence; and where each duty is defined.
pub(in crate::input) fn duties(raw: &Duties, context: &DutyContext<'_>) -> (IdVec<DutyId, Duty>, BTreeMap<String, Place>) {
    duties_of(&raw.duties, context)
}

/// The same for a list of duties, wherever it is written.
pub(in crate::input) fn duties_of(raw: &[RawDuty], context: &DutyContext<'_>) -> (IdVec<DutyId, Duty>, BTreeMap<String, Place>) {
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    let mut all: Vec<Duty> = Vec::new();
    for duty in raw {
        let mut names: crate::input::names::Names<DutyId> = crate::input::names::Names::new("duty", Code::NotACode, "", false);
        if names.define(&duty.code, context.sink).is_none() {
            continue;
        }
        places.insert(duty.code.as_str().to_owned(), duty.code.place());
        all.extend(lower(duty, context));
    }
    all.sort_by(|a, b| (&a.code, a.occurrence).cmp(&(&b.code, b.occurrence)));
    clashes(&all, &places, context);
    (IdVec::from(all), places)
}

fn lower(raw: &RawDuty, context: &DutyContext<'_>) -> Vec<Duty> {
    let (sink, times) = (context.sink, context.times);
    let code = raw.code.as_str();
    let who = raw.who.as_ref().map(|(place, who)| (*place, people(who, context)));
    let bans = {
        let mut tags = context.index.tags.find_all(&raw.bans, sink);
        tags.sort_unstable();
        tags
    };
    let takes_out = context.index.units.find_all(&raw.takes_out, sink);
    let hands_back = context.index.units.find_all(&raw.hands_back, sink);
    let mut times_of: Vec<When> = Vec::new();
    for when in &raw.when {
        times_of.extend(times.spans(when, "the duty", sink).into_iter().map(When::Fixed));
    }
    for within in &raw.within {
        let Some(length) = raw.hours.as_ref().map(|h| h.value) else { continue };
        let mut said = false;
        for window in times.spans(within, "the duty", sink).into_iter().filter_map(|s| times.clip(s)) {
            if placeable(window, times) < length {
                if !said && times.known {
                    let message = format!("duty {code} takes {length}, and its window has less");
                    sink.say(Code::DutyTooLong, message, within.place, "", "widen `within`, or lower `hours`");
                }
                said = true;
                continue;
            }
            times_of.push(When::Movable { window, length });
        }
    }
    times_of.sort_by_key(|when| extent(*when));
    let mut away_said = Vec::new();
    let mut nobody_said = false;
    let mut duties = Vec::new();
    for (i, when) in times_of.into_iter().enumerate() {
        let mut aboard = Vec::new();
        if let Some((place, (people, named))) = &who {
            for person in people {
                let here = context.people.get(*person).is_some_and(|p| can_attend(p, when));
                if here {
                    aboard.push(*person);
                } else if *named && !away_said.contains(person) {
                    away_said.push(*person);
                    let who = context.people.get(*person).map_or("", |p| p.code.as_str());
                    let message = format!("{who} is away on {}, during duty {code}", times.say(extent(when).start()));
                    sink.say(Code::AwayInDuty, message, *place, "", "the duty is planned without; take the name out if that is right");
                }
            }
            if aboard.is_empty() && !nobody_said && !context.index.people.unsure() && !sink.is_unsure(raw.code.place()) {
                nobody_said = true;
                let message = format!("nobody is aboard for duty {code} on {}", times.say(extent(when).start()));
                sink.say(Code::NobodyInDuty, message, *place, "", "name somebody who is aboard, or move the duty");
            }
        }
        duties.push(Duty {
            code: code.to_owned(),
            name: raw.name.as_ref().map_or(code, Text::as_str).to_owned(),
            occurrence: u32::try_from(i + 1).unwrap_or(u32::MAX),
            who: aboard,
            when,
            leavable: raw.leavable,
            on_watch: raw.on_watch,
            drill: raw.drill,
            all_hands: raw.all_hands,
            bans: bans.clone(),
            takes_out: takes_out.clone(),
            hands_back: hands_back.clone(),
        });
    }
    duties
}

/// How long a duty that starts on the grid can be in `window`.
fn placeable(window: Span, times: &Times) -> Minutes {
    window.end() - times.grid.moment(times.grid.ceil(window.start()))
}

/// From the first minute a duty can have to the last.
fn extent(when: When) -> Span {
    match when {
        When::Fixed(span) => span,
        When::Movable { window, .. } => window,
    }
}

/// A fixed duty asks for people who are aboard throughout; a movable one for people who are aboard for
/// long enough at some time in its window.
fn can_attend(person: &Person, when: When) -> bool {
    match when {
        When::Fixed(span) => person.aboard(span),
        When::Movable { window, length } => window.without(&person.away).iter().any(|free| free.length() >= length),
    }
}

/// The people a duty calls, in id order, and whether they are named one by one.
fn people(who: &Who, context: &DutyContext<'_>) -> (Vec<PersonId>, bool) {
    let index = context.index;
    match who {
        Who::Named(words) => {
            let mut people = index.people.find_all_beside(&["all"], words, context.sink);
            people.sort_unstable();
            (people, true)
        }
        Who::All { holding, but } => {
            let but = index.people.find_all(but, context.sink);
            let competence = match holding {
                None => None,
                Some(word) => match index.competences.find(word, context.sink) {
                    Some(competence) => Some(competence),
                    None => return (Vec::new(), true),
                },
            };
            let people = context
                .people
                .pairs()
                .filter(|(id, p)| !but.contains(id) && competence.is_none_or(|c| p.holds(c)))
                .map(|(id, _)| id)
                .collect();
            (people, false)
        }
    }
}

/// When somebody with the turns `own` attends a fixed duty besides them; nothing for a movable one.
pub(in crate::input) fn attended(duty: &Duty, own: &[Span]) -> Vec<Span> {
    match (duty.when, duty.on_watch) {
        (When::Movable { .. }, _) => Vec::new(),
        (When::Fixed(span), OnWatch::Clash) => vec![span],
        (When::Fixed(span), OnWatch::Excused | OnWatch::DoneOnWatch) => span.without(own),
    }
}

/// Reports fixed duties during the person's own watch, and fixed duties of one person that overlap.
fn clashes(duties: &[Duty], places: &BTreeMap<String, Place>, context: &DutyContext<'_>) {
    let place = |duty: &Duty| places.get(&duty.code).copied();
    for (id, person) in context.people.pairs() {
        let own: Vec<Span> = context.turns.iter().filter(|t| t.stand == Stand::Fixed(id)).map(|t| t.span).collect();
        let mut attended: Vec<(Span, &Duty)> = Vec::new();
        let mut along: Vec<(Span, &Duty)> = Vec::new();
        let mut said: Vec<(&str, &str)> = Vec::new();
        for duty in duties.iter().filter(|d| d.who.contains(&id)) {
            let When::Fixed(span) = duty.when else { continue };
            match duty.on_watch {
                OnWatch::Clash => {
                    if let Some(watch) = own.iter().find(|w| w.overlaps(span))
                        && !said.contains(&(&duty.code, ""))
                        && let Some(at) = place(duty)
                        && !context.sink.is_unsure(at)
                    {
                        said.push((&duty.code, ""));
                        let message =
                            format!("{} has the watch from {} during duty {}", person.code, context.times.say(watch.start()), duty.code);
                        let help = "write a [[cover]] in watches.toml, or on_watch = \"excused\" or \"done\" here";
                        context.sink.say(Code::DutyOnWatch, message, at, "", help);
                    }
                }
                OnWatch::Excused => {}
                OnWatch::DoneOnWatch => along.extend(own.iter().filter_map(|watch| watch.intersection(span)).map(|s| (s, duty))),
            }
            attended.extend(self::attended(duty, &own).into_iter().map(|s| (s, duty)));
        }
        attended.sort_by_key(|(span, _)| *span);
        along.sort_by_key(|(span, _)| *span);
        for pair in attended.windows(2).chain(along.windows(2)) {
            let ((first, one), (second, other)) = (&pair[0], &pair[1]);
            if first.end() > second.start() && !said.contains(&(&one.code, &other.code)) {
                said.push((&one.code, &other.code));
                let message =
                    format!("duties {} and {} both call {} from {}", one.code, other.code, person.code, context.times.say(second.start()));
                if let (Some(at), Some(also)) = (place(other), place(one)) {
                    let diagnostic = Diagnostic::new(Code::DutiesOverlap, message).at(at, "this one");
                    let diagnostic = if also == at { diagnostic } else { diagnostic.also(also, "and this one") };
                    context.sink.put(diagnostic.help("move one of them, or take the person out of one"));
                }
            }
        }
    }
}

/// Windows in which tags are banned.
pub(in crate::input) fn bans(raw: &[RawBan], index: &Index, times: &Times, sink: &Sink) -> Vec<Ban> {
    let mut bans = Vec::new();
    for ban in raw {
        let mut tags = index.tags.find_all(&ban.tags, sink);
        tags.sort_unstable();
        let reason = ban.why.as_ref().map_or(String::new(), |w| w.as_str().to_owned());
        for when in &ban.when {
            let spans = times.spans(when, "the ban", sink);
            bans.extend(spans.into_iter().filter_map(|s| times.clip(s)).map(|span| Ban {
                span,
                tags: tags.clone(),
                reason: reason.clone(),
            }));
        }
    }
    bans.sort_by_key(|ban| ban.span);
    bans
}
