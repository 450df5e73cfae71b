//! A check of hours as text.

use std::collections::BTreeMap;

use crate::clock::Day;
use crate::hours::{Change, Cure, Group, Of, Origin, PersonHours, View};
use crate::id::PersonId;
use crate::out::hours::owed;
use crate::out::hours::words::{self, FIRST};
use crate::out::page::{self, Page, TIE};
use crate::out::words::{decimal, tied};
use crate::rest::rule::Limit;
use crate::time::{Moment, Span};

/// Column at which what is said about a person begins.
const COLUMN: usize = 7;

/// The check as text of at most 80 columns.
#[must_use]
pub fn check_text(view: &View<'_>) -> String {
    let mut page = Page::default();
    head(&mut page, view);
    findings(&mut page, view);
    margins(&mut page, view);
    tight(&mut page, view);
    departing(&mut page, view);
    owed::sections(&mut page, view);
    excepted(&mut page, view);
    unknown(&mut page, view);
    readings(&mut page, view);
    page.finish()
}

fn head(page: &mut Page, view: &View<'_>) {
    let (problem, clock) = (view.problem, &view.problem.clock);
    page.text(&format!("{} - {}", problem.ship, problem.title));
    let from = view.people.iter().filter_map(|p| p.scope).map(Span::start).min();
    let to = view.people.iter().filter_map(|p| p.scope).map(Span::end).max();
    let span = from.zip(to).and_then(|(from, to)| Span::new(from, to));
    let when = span.map_or_else(|| "nothing to look at".to_owned(), |span| format!("{}, ship's time", words::from_to(clock, span)));
    let what = match (view.of, &view.plan) {
        (Of::Records, _) | (_, None) => "the record".to_owned(),
        (Of::Plan, Some(plan)) => format!("plan {} with the record before it", plan.name),
        (Of::Both, Some(plan)) => format!("the record and plan {}", plan.name),
    };
    page.text(&format!("Hours of rest in {what}: {when}"));
    if let Some(plan) = &view.plan
        && plan.breaches > 0
    {
        page.text(&format!(
            "ATTENTION: with the job folder as it is now the plan breaks hard rules in {}; `turnto check --plan` names them.",
            if plan.breaches == 1 { "1 place".to_owned() } else { format!("{} places", plan.breaches) }
        ));
    }
    for (set, people) in words::sets_in_use(problem) {
        let whose = if people.len() == problem.people.len() { String::new() } else { format!(" for {}", words::people(problem, &people)) };
        page.text(&format!("Rest rules{whose}: {} ({}); readings at the end.", set.name, set.code));
    }
    page.text(FIRST);
}

fn findings(page: &mut Page, view: &View<'_>) {
    let all = view.people.iter().map(|p| p.groups.len()).sum::<usize>();
    let recorded = view.people.iter().flat_map(|p| &p.groups).filter(|g| g.origin == Origin::Recorded).count();
    let split = if view.plan.is_some() && all > 0 { format!(", {recorded} recorded, {} planned", all - recorded) } else { String::new() };
    page.heading(&format!("Findings: {}{split}", if all == 0 { "none".to_owned() } else { all.to_string() }));
    for person in view.people {
        let mut label = tied(&view.problem.people[person.person].code);
        for same in person.groups.chunk_by(|a, b| (a.worst.window, a.origin) == (b.worst.window, b.origin)) {
            window(page, view, person.person, &label, same);
            label.clear();
        }
    }
}

/// All rules broken in one window, and what helps.
fn window(page: &mut Page, view: &View<'_>, person: PersonId, label: &str, same: &[Group]) {
    let (set, clock) = (words::set(view.problem, person), &view.problem.clock);
    let Some(first) = same.first() else { return };
    let origin = match first.origin {
        Origin::Recorded => "recorded",
        Origin::Planned => "PLANNED",
    };
    page.item(label, COLUMN, &format!("{}, {origin}", words::from_to(clock, first.worst.window)));
    for group in same {
        let rule = words::rule(set, &group.worst);
        let others = match group.others {
            0 => String::new(),
            1 => " One more window finds the same.".to_owned(),
            more => format!(" {more} more windows find the same."),
        };
        let numbers = words::numbers(rule, &group.worst);
        let said = format!("{}, {}: {numbers} ({}).{others}", tied(&rule.code), rule.kind.text(), rule.source);
        page.hang("", COLUMN, COLUMN + 2, &said);
        if let Some(emergency) = &group.excuse {
            let (when, reason) = (words::from_to(clock, emergency.span), emergency.reason.as_deref().unwrap_or(""));
            page.hang("", COLUMN + 2, COLUMN + 2, &format!("EXCUSED by the emergency {when}: {reason}. The finding stays."));
        }
    }
    if !first.drills.is_empty() {
        let when: Vec<String> = first.drills.iter().map(|span| words::from_to(clock, *span)).collect();
        page.item("", COLUMN, &format!("DRILL in this window: {}. Drills count as work; let them disturb rest least.", when.join("; ")));
    }
    // What helps against all of them is said once.
    let mut remedies: Vec<(Vec<&str>, String)> = Vec::new();
    for group in same {
        let (code, text) = (words::rule(set, &group.worst).code.as_str(), remedy(view, person, group));
        match remedies.iter_mut().find(|(_, known)| *known == text) {
            Some((codes, _)) => codes.push(code),
            None => remedies.push((vec![code], text)),
        }
    }
    let several = remedies.len() > 1;
    for (codes, text) in remedies {
        page.item("", COLUMN, &if several { format!("{}: {text}", tied(&codes.join(", "))) } else { text });
    }
}

/// The smallest cure, or that there is none; and what is owed.
pub(super) fn remedy(view: &View<'_>, person: PersonId, group: &Group) -> String {
    let owed = words::hours(group.worst.shortfall());
    match (group.origin, &group.cure) {
        // Nobody is told when an emergency should have been.
        (Origin::Recorded, _) if group.excuse.is_some() => format!("It has happened and stands: {owed} of rest owed."),
        (Origin::Planned, Some(cure)) => format!("Cure: {}.", change(view, person, cure, Tense::ToDo)),
        (Origin::Planned, None) => {
            format!("No change of one piece of work cures it. If it is done so, the finding stands: {owed} of rest owed.")
        }
        (Origin::Recorded, Some(cure)) => {
            let kept = change(view, person, cure, Tense::Done);
            format!("It has happened and stands: {owed} of rest owed. {kept} would have kept the rule.")
        }
        (Origin::Recorded, None) => {
            format!("It has happened and stands: {owed} of rest owed. No change of one piece of work would have kept it.")
        }
    }
}

/// How a change is said.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tense {
    /// As something to do.
    ToDo,
    /// As something that would have helped.
    Done,
}

fn change(view: &View<'_>, person: PersonId, cure: &Cure, tense: Tense) -> String {
    let clock = &view.problem.clock;
    let doing = words::doing(view, person, cure.part);
    let doing = if doing.is_empty() { String::new() } else { format!(" ({doing})") };
    let (start, end, leave) = match tense {
        Tense::ToDo => ("start", "end", "leave"),
        Tense::Done => ("Starting", "Ending", "Leaving"),
    };
    let instead = |moment: Moment, of: Moment| {
        let of = if clock.day(of) == clock.day(moment) { clock.hour(of) } else { words::at(clock, of) };
        format!("at {} instead of {of}{doing}", words::at(clock, moment))
    };
    match cure.change {
        Change::StartAt(moment) => format!("{start} {}", instead(moment, cure.piece.start())),
        Change::EndAt(moment) => format!("{end} {}", instead(moment, cure.piece.end())),
        Change::LeaveOut => format!("{leave} out {}{doing}", words::from_to(clock, cure.piece)),
    }
}

fn margins(page: &mut Page, view: &View<'_>) {
    page.heading("Least rest of each person");
    let clock = &view.problem.clock;
    page.row("   any 24 h from      best two from       longest from       any 7 d from");
    for person in view.people.iter().filter(|p| p.scope.is_some()) {
        let f = &person.figures;
        let when = |at: Option<Moment>| at.map_or_else(|| "-".to_owned(), |at| clock.local(at).format("%m-%d %H:%M").to_string());
        let least = [
            (f.least_24h, f.least_24h_from),
            (f.best_two_24h, f.best_two_24h_from),
            (f.longest_24h, f.longest_24h_from),
            (f.least_7d, f.least_7d_from),
        ];
        let columns = least.map(|(found, from)| format!("{} {}", page::right(&decimal(found), 6), page::left(&when(from), 11)));
        // Together just 80 columns: six for the code, four times eighteen and a blank between.
        let code = page::left(&view.problem.people[person.person].code, COLUMN - 2);
        page.row(&format!("{code}{}", columns.join(" ")));
    }
    page.text(
        "Hours and hundredths, and the month, day and hour from which the 24 h or 7 days run. Best two and longest: least sum of the two \
         longest rests, least longest rest, of any 24 h.",
    );
}

fn tight(page: &mut Page, view: &View<'_>) {
    if view.people.iter().all(|p| p.tight.is_empty()) {
        return;
    }
    page.heading("Kept with an hour or less to spare");
    for person in view.people {
        let set = words::set(view.problem, person.person);
        let mut label = tied(&view.problem.people[person.person].code);
        for tight in &person.tight {
            let rule = &set.rules[tight.rule];
            let spare = if tight.spare.is_zero() { "nothing".to_owned() } else { words::hours(tight.spare) };
            let (when, found) = (words::from_to(&view.problem.clock, tight.window), words::hours(tight.found));
            let (word, limit) = match rule.kind.limit() {
                Limit::AtLeast(limit) => ("at least", limit),
                Limit::AtMost(limit) => ("at most", limit),
            };
            page.item(&label, COLUMN, &format!("{}: {spare} to spare, {found} of {word} {}, {when}", rule.code, words::hours(limit)));
            label.clear();
        }
    }
}

fn departing(page: &mut Page, view: &View<'_>) {
    let Some(departing) = view.departing else { return };
    let (problem, clock) = (view.problem, &view.problem.clock);
    page.heading(&format!("First watches after leaving at {}", words::at(clock, departing.at).replace(TIE, " ")));
    if departing.watches.is_empty() {
        page.text("no watch begins or goes on after that.");
    }
    for watch in &departing.watches {
        let turn = &problem.turns[watch.turn];
        let who = watch.person.map_or_else(|| "?".to_owned(), |person| tied(&problem.people[person].code));
        let what = format!("{}, {}", tied(&problem.posts[turn.post].code), words::from_to(clock, turn.span));
        let rest = format!(
            "{} of rest in the {} before, asked {}",
            words::hours(watch.found),
            words::hours(watch.window.length()),
            words::hours(watch.required)
        );
        let said = match (watch.person, watch.rested()) {
            (None, _) => "ATTENTION: not given out yet; plan first".to_owned(),
            (Some(_), true) => rest,
            (Some(_), false) => format!("ATTENTION: {rest}"),
        };
        page.item(&who, COLUMN, &format!("{what}: {said}"));
    }
    page.text("The first watch and those that relieve it are to be rested (STCW Convention regulation VIII/1; the figure is reading A17).");
}

fn excepted(page: &mut Page, view: &View<'_>) {
    if view.people.iter().all(|p| p.excepted.is_empty()) {
        return;
    }
    page.heading("Kept by an exception alone");
    for person in view.people {
        let set = words::set(view.problem, person.person);
        let mut label = tied(&view.problem.people[person.person].code);
        for use_of in &person.excepted {
            let (when, least) = (words::from_to(&view.problem.clock, use_of.span), words::hours(use_of.least));
            let windows = if use_of.windows == 1 { "1 window".to_owned() } else { format!("{} windows", use_of.windows) };
            page.item(&label, COLUMN, &format!("{}: {windows}, {when}, least {least}", tied(&set.rules[use_of.rule].code)));
            label.clear();
        }
    }
}

fn unknown(page: &mut Page, view: &View<'_>) {
    let mut rows: BTreeMap<(Moment, Option<Moment>), Vec<PersonId>> = BTreeMap::new();
    let mut without: Vec<PersonId> = Vec::new();
    for person in view.people {
        match person.uncheckable_before {
            Some(before) => rows.entry((before, person.known_from)).or_default().push(person.person),
            None if person.scope.is_none() => without.push(person.person),
            None => {}
        }
    }
    let claimed: Vec<PersonId> = view.people.iter().filter(|p| p.known_from.is_some() && p.no_work).map(|p| p.person).collect();
    let idle: Vec<&PersonHours> = view.people.iter().filter(|p| !p.days_without.is_empty()).collect();
    if !claimed.is_empty() || !idle.is_empty() {
        page.heading("No work recorded");
    }
    if !claimed.is_empty() {
        page.hang(
            "",
            0,
            COLUMN,
            &format!(
                "{}: hours.csv has no work, and the record counts as complete, so all of it is taken as rest.",
                words::people(view.problem, &claimed)
            ),
        );
    }
    for person in idle {
        let date = |day: Day| view.problem.clock.date(day).to_string();
        let runs = person.days_without.iter().map(|(a, b)| if a == b { date(*a) } else { format!("{} to {}", date(*a), date(*b)) });
        let runs: Vec<String> = runs.collect();
        let said = format!("{}: taken as rest.", runs.join(", "));
        page.item(&tied(&view.problem.people[person.person].code), COLUMN, &said);
    }
    if rows.is_empty() && without.is_empty() {
        return;
    }
    page.heading("Not checkable for want of a record");
    let clock = &view.problem.clock;
    for ((before, from), people) in rows {
        let known = from.map_or_else(|| "nothing is recorded".to_owned(), |from| format!("the record begins {}", words::at(clock, from)));
        let text = format!("before {}: {known}, and windows up to then break a rule if there was work before", words::at(clock, before));
        page.hang("", 0, COLUMN, &format!("{}, {text}.", words::people(view.problem, &people)));
    }
    if !without.is_empty() {
        page.hang("", 0, COLUMN, &format!("{}: nothing is recorded.", words::people(view.problem, &without)));
    }
}

fn readings(page: &mut Page, view: &View<'_>) {
    page.heading("Rest rules and readings");
    for (set, people) in words::sets_in_use(view.problem) {
        page.text(&format!("{} ({}), for {}. Source: {}.", set.name, set.code, words::people(view.problem, &people), set.source));
        for (number, text) in set.reading_lines() {
            page.item(&format!("  {number}"), 7, &text);
        }
    }
    page.text("After the last hour that is recorded or laid out, rest is assumed. Findings are not legal advice.");
}
