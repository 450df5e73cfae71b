//! `crew.toml`: people, their hours laid out day by day.

use std::collections::BTreeMap;

use crate::clock::Day;
use crate::diag::Code;
use crate::id::{CompetenceId, IdVec, PersonId, TurnId};
use crate::input::index::Index;
use crate::input::lower::hours::OLDEST;
use crate::input::lower::rules::{Age, RuleBook};
use crate::input::names::Names;
use crate::input::near::remedy;
use crate::input::raw::crew::{Crew, Person as RawPerson};
use crate::input::raw::duties::Duties;
use crate::input::raw::job::Job;
use crate::input::raw::phrase::Who;
use crate::input::raw::{HOURS_HELP, hours};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::times::Times;
use crate::input::when::{Hours, When, Written, weekday};
use crate::model::{Named, Person, Stand, Stretch, Turn};
use crate::time::{Minutes, Moment, Span, union};

/// How long before the start named breaks are laid out, for the recorded hours.
const LOOK_BACK_DAYS: i32 = 40;

/// Declares competences: those under `[competence]`, or, where there are none, those people hold.
pub(in crate::input) fn competences(raw: &Crew, names: &mut Names<CompetenceId>, sink: &Sink) -> IdVec<CompetenceId, Named> {
    let mut table = IdVec::new();
    for (code, name) in &raw.competences {
        if names.define(code, sink).is_some() {
            let _: CompetenceId = table.push(Named { code: code.as_str().to_owned(), name: name.as_str().to_owned() });
        }
    }
    if raw.competences.is_empty() {
        for code in raw.people.iter().flat_map(|p| &p.can) {
            if names.get(code.as_str()).is_none() && names.define(code, sink).is_some() {
                let _: CompetenceId = table.push(Named { code: code.as_str().to_owned(), name: String::new() });
            }
        }
    }
    table
}

/// What the job says about everybody's days.
pub(in crate::input) struct Pattern<'a> {
    times: &'a Times,
    breaks: Vec<(&'a str, Hours)>,
    working_days: BTreeMap<&'a str, Vec<Hours>>,
    days_off: Vec<On>,
    short_days: Vec<(On, Vec<Hours>)>,
    /// Working days of which something could not be read.
    broken_days: &'a [String],
    /// Whether a break could not be read.
    broken_breaks: bool,
}

/// One day, or every such day of the week.
#[derive(Clone, Copy)]
enum On {
    Day(Day),
    Weekday(chrono::Weekday),
}

impl<'a> Pattern<'a> {
    /// Reads named breaks, working days, days off and short days.
    pub(in crate::input) fn new(raw: Option<&'a Job>, times: &'a Times, sink: &Sink) -> Self {
        let Some(raw) = raw else {
            return Self {
                times,
                breaks: Vec::new(),
                working_days: BTreeMap::new(),
                days_off: Vec::new(),
                short_days: Vec::new(),
                broken_days: &[],
                broken_breaks: false,
            };
        };
        for (name, list) in &raw.working_days {
            too_long(list, &format!("the working day `{}`", name.as_str()), sink);
        }
        for (name, list) in &raw.short_days {
            // A short day may name more hours than anybody works; past midnight it is short no more.
            let over: Vec<At<Hours>> = list.iter().filter(|h| h.value.to > 1440).cloned().collect();
            too_long(&over, &format!("the short day `{}`", name.as_str()), sink);
        }
        Self {
            times,
            breaks: raw.breaks.iter().map(|(name, hours)| (name.as_str(), hours.value)).collect(),
            working_days: raw.working_days.iter().map(|(name, list)| (name.as_str(), list.iter().map(|h| h.value).collect())).collect(),
            days_off: raw.days_off.iter().filter_map(|t| on(t, times, sink)).collect(),
            short_days: raw
                .short_days
                .iter()
                .filter_map(|(day, list)| Some((on(day, times, sink)?, list.iter().map(|h| h.value).collect())))
                .collect(),
            broken_days: &raw.broken_days,
            broken_breaks: raw.broken_breaks,
        }
    }

    fn is(&self, on: On, day: Day) -> bool {
        match on {
            On::Day(one) => one == day,
            On::Weekday(weekday) => chrono::Datelike::weekday(&self.times.clock.date(day)) == weekday,
        }
    }

    /// `pattern` on `day`: nothing on a day off, less on a short day.
    fn ordinary(&self, pattern: &[Hours], day: Day) -> Vec<Span> {
        if self.days_off.iter().any(|on| self.is(*on, day)) {
            return Vec::new();
        }
        let pieces = union(pattern.iter().filter_map(|h| self.times.on(day, *h)).collect());
        let Some((_, kept)) = self.short_days.iter().find(|(on, _)| self.is(*on, day)) else { return pieces };
        let kept: Vec<Span> = kept.iter().filter_map(|h| self.times.on(day, *h)).collect();
        union(pieces.iter().flat_map(|p| kept.iter().filter_map(|k| p.intersection(*k))).collect())
    }
}

fn on(text: &Text, times: &Times, sink: &Sink) -> Option<On> {
    if let Some(weekday) = weekday(text.as_str()) {
        return Some(On::Weekday(weekday));
    }
    let Some(written) = Written::parse(text.as_str()).filter(|w| w.minute().is_none()) else {
        let message = format!("`{}` is not a day", text.as_str());
        let help = "write a day of the week, \"day 6\", or a date like 2027-03-06, in quotation marks";
        sink.say(Code::TimeNotUnderstood, message, text.place(), "", help);
        return None;
    };
    let moment = times.moment(&At::new(written, text.place()), sink)?;
    times.never_comes("the day", moment, text.place(), sink);
    Some(On::Day(times.clock.day(moment)))
}

/// Everything people are made from.
pub(in crate::input) struct CrewContext<'a, 'r> {
    /// The job's days.
    pub pattern: Pattern<'a>,
    /// Competences.
    pub competences: &'a Names<CompetenceId>,
    /// The sets of rest rules.
    pub rules: &'a mut RuleBook<'r>,
    /// Where diagnostics go.
    pub sink: &'a Sink,
}

/// The people, and those of them whose hours could not be read.
pub(in crate::input) fn people(
    raw: &Crew,
    names: &mut Names<PersonId>,
    context: &mut CrewContext<'_, '_>,
) -> (IdVec<PersonId, Person>, Vec<PersonId>) {
    let (mut people, mut unread) = (IdVec::new(), Vec::new());
    for person in &raw.people {
        let lowered = lower(person, context);
        if names.define(&person.code, context.sink).is_some() {
            let id = people.push(lowered);
            unread.extend(hours_unread(person, &context.pattern).then_some(id));
        }
    }
    if raw.people.is_empty() && !raw.broken {
        context.sink.say(Code::NoPeople, "there is nobody in the crew", raw.head, "", "add a [person.CODE] table");
    }
    (people, unread)
}

fn lower(raw: &RawPerson, context: &mut CrewContext<'_, '_>) -> Person {
    let sink = context.sink;
    let times = context.pattern.times;
    let code = raw.code.as_str();
    let mut competences = context.competences.find_all(&raw.can, sink);
    competences.sort_unstable();
    if raw.can.is_empty() && !sink.is_unsure(raw.code.place()) {
        let message = format!("person {code} can do nothing");
        sink.say(Code::NoCompetence, message, raw.code.place(), "", "list competences under `can`");
    }
    let pattern = ordinary_hours(raw, &context.pattern, sink);
    let stretches = stretches(raw, &pattern, &context.pattern, sink);
    if let Some(evenings) = raw.evenings.as_ref().filter(|_| raw.overtime.is_empty()) {
        let message = format!("person {code} has a limit on evenings and no overtime");
        sink.say(Code::EveningsWithoutOvertime, message, evenings.place, "", "add overtime = \"18:00-20:00\", or take `evenings` out");
    }
    let away = raw.away.iter().flat_map(|w| away_spans(w, times, sink)).collect();
    let recorded_from = raw.recorded_from.as_ref().and_then(|at| times.moment(at, sink));
    Person {
        code: code.to_owned(),
        name: raw.name.as_ref().map_or(code, Text::as_str).to_owned(),
        role: raw.role.as_ref().map_or("", Text::as_str).to_owned(),
        competences,
        stretches,
        breaks: breaks(raw, &pattern, &context.pattern, sink),
        job_cap: raw.cap.as_ref().map(|c| c.value),
        evenings: raw.evenings.as_ref().and_then(|e| u32::try_from(e.value).ok()),
        rest: context.rules.of(raw.rest.as_ref(), Age::of(raw, times, sink)),
        away: union(away),
        recorded: Vec::new(),
        on_call: Vec::new(),
        recorded_from,
        answers_for: raw.answers_for.iter().map(|t| t.as_str().to_owned()).collect(),
        before: crate::model::Before::default(),
    }
}

/// Away may begin before the job, so it is not cut at the start; repeats are. It may even end before it: the record knows
/// then that its gap is no slip.
fn away_spans(when: &At<When>, times: &Times, sink: &Sink) -> Vec<Span> {
    if let When::Once(from, to) = when.value {
        let Some(span) = times.once(from, to, when.place, sink) else { return Vec::new() };
        if span.end() <= times.start && times.start - span.start() <= OLDEST {
            return vec![span];
        }
    }
    times.spans(when, "the time away", sink)
}

/// Longest piece of ordinary hours, in minutes, that is no slip: more is nobody's day.
const LONGEST_DAY: i32 = 14 * 60;

/// How hours are written whose two times stand the wrong way round.
fn turned(Hours { from, to }: Hours) -> String {
    let clock = |minute: i32| format!("{:02}:{:02}", minute / 60 % 24, minute % 60);
    format!("write \"{}-{}\" if that is what is meant", clock(to), clock(from))
}

/// Reports ordinary hours that are nobody's day in one piece: their two times probably stand the wrong way round.
fn too_long(hours: &[At<Hours>], whose: &str, sink: &Sink) {
    if let Some(long) = hours.iter().find(|h| h.value.to - h.value.from > LONGEST_DAY) {
        let length = Minutes::new(long.value.to - long.value.from);
        sink.say(Code::LongHours, format!("{whose} has ordinary hours of {length} in one piece"), long.place, "", turned(long.value));
    }
}

/// Hours of an ordinary day: written out, or by the name of a working day.
fn ordinary_hours(raw: &RawPerson, pattern: &Pattern<'_>, sink: &Sink) -> Vec<Hours> {
    let mut written = Vec::new();
    let mut read: Vec<Hours> = Vec::new();
    for text in &raw.hours {
        if text.is("none") {
            continue;
        }
        if let Some(named) = pattern.working_days.get(text.as_str()) {
            read.extend(named);
        } else if text.as_str().starts_with(|c: char| c.is_ascii_digit()) {
            written.push(text.clone());
        } else {
            let message = format!("there is no working day `{}`", text.as_str());
            let near = remedy(text.as_str(), pattern.working_days.keys().copied(), &["none"]);
            let help = near.unwrap_or_else(|| format!("{HOURS_HELP}, or name the working day under [hours] in job.toml"));
            sink.say(Code::HoursNotUnderstood, message, text.place(), "", help);
        }
    }
    let written = hours(&written, sink);
    too_long(&written, raw.code.as_str(), sink);
    read.extend(written.iter().map(|h| h.value));
    read.sort_unstable();
    read
}

/// One overtime entry.
enum Overtime {
    Daily(Hours),
    Once(Span),
}

fn stretches(raw: &RawPerson, hours: &[Hours], pattern: &Pattern<'_>, sink: &Sink) -> Vec<Stretch> {
    let times = pattern.times;
    let mut entries: Vec<(Overtime, &Text, bool)> = Vec::new();
    for text in &raw.overtime {
        if let Some(daily) = Hours::parse(text.as_str()) {
            entries.push((Overtime::Daily(daily), text, false));
        } else if let Some(when) = When::parse(text.as_str()) {
            for span in times.spans(&At::new(when, text.place()), "the overtime", sink) {
                entries.push((Overtime::Once(span), text, false));
            }
        } else {
            let message = format!("`{}` is not hours of overtime", text.as_str());
            let help = "write \"18:00-20:00\" for every day, or \"day 5 18:00-20:00\" for one";
            sink.say(Code::HoursNotUnderstood, message, text.place(), "", help);
        }
    }
    let mut all: Vec<Stretch> = Vec::new();
    for day in times.days() {
        let ordinary: Vec<Span> = pattern.ordinary(hours, day).into_iter().filter_map(|s| times.clip(s)).collect();
        let mut day_stretches = split(&ordinary, pattern, day);
        let extra: Vec<(usize, Span)> = entries
            .iter()
            .enumerate()
            .filter_map(|(i, (entry, _, _))| {
                let span = match entry {
                    Overtime::Daily(hours) => times.on(day, *hours),
                    Overtime::Once(span) => (times.clock.day(span.start()) == day).then_some(*span),
                };
                span.and_then(|s| times.clip(s)).map(|s| (i, s))
            })
            .collect();
        let taken: Vec<Span> = ordinary.iter().copied().chain(all.last().map(Stretch::hull)).collect();
        for (i, span) in extra {
            for piece in span.without(&taken) {
                if attach(piece, &mut day_stretches, pattern, day) {
                    entries[i].2 = true;
                }
            }
            // Overtime that lies inside ordinary hours altogether adds nothing and harms nobody.
            entries[i].2 |= span.without(&taken).is_empty();
        }
        all.extend(joined(day_stretches, pattern, day));
    }
    let unread = hours_unread(raw, pattern);
    for (entry, text, used) in &entries {
        if !used && times.known && !unread {
            let message = format!("overtime `{}` does not touch ordinary hours", text.as_str());
            let help = match entry {
                Overtime::Daily(hours) if hours.to - hours.from > LONGEST_DAY => turned(*hours),
                Overtime::Daily(_) | Overtime::Once(_) => {
                    "let it begin where ordinary hours end, or name the gap under [breaks] in job.toml".to_owned()
                }
            };
            sink.say(Code::OvertimeApart, message, text.place(), "", help);
        }
    }
    all
}

/// Whether the ordinary hours of a person, or a break, could not be read: that has been said, and more would only follow
/// from it.
fn hours_unread(raw: &RawPerson, pattern: &Pattern<'_>) -> bool {
    let unread = |text: &Text| {
        let broken = pattern.broken_days.iter().any(|name| text.is(name));
        let odd = !text.is("none") && !pattern.working_days.contains_key(text.as_str()) && Hours::parse(text.as_str()).is_none();
        broken || odd
    };
    pattern.broken_breaks || raw.hours.iter().any(unread)
}

/// Pieces of one day joined across named breaks into stretches.
fn split(pieces: &[Span], pattern: &Pattern<'_>, day: Day) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for piece in pieces {
        match stretches.last_mut() {
            Some(last) if bridged(last.hull(), *piece, pattern, day) => last.ordinary.push(*piece),
            _ => stretches.push(Stretch { day, ordinary: vec![*piece], overtime: Vec::new() }),
        }
    }
    stretches
}

/// Stretches of one day that overtime has brought together become one.
fn joined(stretches: Vec<Stretch>, pattern: &Pattern<'_>, day: Day) -> Vec<Stretch> {
    let mut joined: Vec<Stretch> = Vec::new();
    for stretch in stretches {
        match joined.last_mut() {
            Some(last) if bridged(last.hull(), stretch.hull(), pattern, day) => {
                last.ordinary.extend(stretch.ordinary);
                last.overtime.extend(stretch.overtime);
                last.overtime = union(std::mem::take(&mut last.overtime));
            }
            _ => joined.push(stretch),
        }
    }
    joined
}

/// Whether nothing, or named breaks alone, lie between two stretches of time.
fn bridged(a: Span, b: Span, pattern: &Pattern<'_>, day: Day) -> bool {
    let (first, second) = if a.start() <= b.start() { (a, b) } else { (b, a) };
    let Some(gap) = Span::new(first.end(), second.start()) else { return true };
    let breaks: Vec<Span> = pattern.breaks.iter().filter_map(|(_, h)| pattern.times.on(day, *h)).collect();
    gap.without(&breaks).is_empty()
}

fn attach(piece: Span, stretches: &mut [Stretch], pattern: &Pattern<'_>, day: Day) -> bool {
    for stretch in stretches.iter_mut() {
        if bridged(stretch.hull(), piece, pattern, day) {
            stretch.overtime.push(piece);
            stretch.overtime = union(std::mem::take(&mut stretch.overtime));
            return true;
        }
    }
    false
}

/// Named breaks laid out from well before the start, without those that overlap ordinary hours.
fn breaks(raw: &RawPerson, hours: &[Hours], pattern: &Pattern<'_>, sink: &Sink) -> Vec<Span> {
    let times = pattern.times;
    let mut chosen: Vec<Hours> = Vec::new();
    match &raw.breaks {
        None => chosen.extend(pattern.breaks.iter().map(|(_, h)| *h)),
        Some(list) => {
            for text in list.iter().filter(|t| !t.is("none")) {
                if let Some((_, hours)) = pattern.breaks.iter().find(|(name, _)| *name == text.as_str()) {
                    chosen.push(*hours);
                    continue;
                }
                if pattern.broken_breaks {
                    continue;
                }
                let message = format!("there is no break `{}`", text.as_str());
                let near = remedy(text.as_str(), pattern.breaks.iter().map(|(name, _)| *name), &["none"]);
                let help = near.unwrap_or_else(|| "name it under [breaks] in job.toml".to_owned());
                sink.say(Code::NotAChoice, message, text.place(), "", help);
            }
        }
    }
    let first = times.clock.day(times.start).number() - LOOK_BACK_DAYS;
    let last = times.clock.day(times.layout_end).number();
    let mut spans = Vec::new();
    for day in (first..=last).map(Day::new) {
        let ordinary: Vec<Span> = [day, Day::new(day.number() - 1)].iter().flat_map(|d| pattern.ordinary(hours, *d)).collect();
        spans.extend(
            chosen
                .iter()
                .filter_map(|h| times.on(day, *h))
                .filter(|b| !ordinary.iter().any(|o| o.overlaps(*b)) && b.start() < times.layout_end),
        );
    }
    union(spans)
}

/// Reports breaks that nobody has, since they lie in the ordinary hours of those who work then: a break is what the hours
/// leave out.
pub(in crate::input) fn breaks_of_nobody(raw: &Job, people: &IdVec<PersonId, Person>, times: &Times, sink: &Sink) {
    for (name, hours) in &raw.breaks {
        let laid: Vec<Span> = times.days().filter_map(|day| times.on(day, hours.value)).collect();
        // A break on a day off is nobody's: who has it works before it, or after it.
        let works =
            |p: &Person, span: Span| p.stretches.iter().map(Stretch::hull).any(|h| h.start() <= span.end() && span.start() <= h.end());
        let has = |p: &Person, span: Span| p.breaks.iter().any(|has| has.covers(span)) && works(p, span);
        let had = people.iter().any(|p| laid.iter().any(|span| has(p, *span)));
        let worked = people.iter().flat_map(|p| &p.stretches).flat_map(|s| &s.ordinary).any(|o| laid.iter().any(|span| o.overlaps(*span)));
        if worked && !had {
            let message = format!("nobody has the break `{}`: ordinary hours go on through it", name.as_str());
            let help = "leave it out of the hours, as in \"08:00-10:00, 10:30-12:00\", or take the break out";
            sink.say(Code::BreakOfNobody, message, hours.place, "", help);
        }
    }
}

/// Reports people the plan can never use.
pub(in crate::input) fn idle(people: &IdVec<PersonId, Person>, turns: &IdVec<TurnId, Turn>, duties: &Duties, index: &Index, sink: &Sink) {
    let named = |code: &str| {
        let who = duties.duties.iter().filter_map(|d| d.who.as_ref());
        who.into_iter().any(|(_, who)| matches!(who, Who::Named(words) if words.iter().any(|w| w.as_str() == code)))
    };
    for (id, person) in people.pairs().filter(|(_, p)| p.stretches.is_empty()) {
        let watch = turns.iter().any(|turn| match &turn.stand {
            Stand::Fixed(one) => *one == id,
            Stand::Open(some) => some.contains(&id),
        });
        let Some(place) = index.people.place(&person.code).filter(|_| !watch && !named(&person.code)) else { continue };
        let message = format!("person {} is never free for the job, and has no watch", person.code);
        sink.say(Code::NoHours, message, place, "", "add hours = \"08:00-12:00, 13:00-17:00\", or take the person out");
    }
}

/// The moment from which the record of everybody is complete, if the job says so.
pub(in crate::input) fn recorded_from(raw: Option<&Job>, times: &Times, sink: &Sink) -> Option<Moment> {
    raw.and_then(|j| j.rest.recorded_from.as_ref()).and_then(|at| times.moment(at, sink))
}

/// Longest time in one go a person's stretches allow, overtime and, if `across` breaks, both sides of a
/// break included.
pub(in crate::input) fn longest_in_one_go(person: &Person, across: bool) -> Minutes {
    person
        .stretches
        .iter()
        .map(|s| {
            let hours = s.hours();
            if across { hours.iter().map(|p| p.length()).sum() } else { hours.iter().map(|p| p.length()).max().unwrap_or(Minutes::ZERO) }
        })
        .max()
        .unwrap_or(Minutes::ZERO)
}
