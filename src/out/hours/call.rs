//! Who can be called, as text.

use crate::hours::{Callee, MOST};
use crate::id::{CompetenceId, PersonId};
use crate::out::hours::CallSheet;
use crate::out::hours::words::{self, FIRST};
use crate::out::page::{Page, TIE};
use crate::out::tables::Wide;
use crate::out::words::tied;
use crate::rest::Finding;
use crate::time::{Minutes, Moment, Span};
use crate::verify::{Bar, Bound};

/// Column at which what is said about a person begins.
const COLUMN: usize = 7;

/// The answers as text of at most 80 columns.
#[must_use]
pub fn call_text(sheet: &CallSheet<'_>) -> String {
    let mut page = Page::default();
    let (problem, clock) = (sheet.problem, &sheet.problem.clock);
    page.text(&format!("{} - {}", problem.ship, problem.title));
    let needed = if sheet.places.is_empty() { String::new() } else { format!(", needed: {}", places(sheet)) };
    let when = format!("{} ({})", tied(&clock.day_time(sheet.at)), words::at(clock, sheet.at));
    page.text(&format!("Call at {when} for {}{needed}; plan {}", words::hours(sheet.length), sheet.plan));
    for (set, people) in words::sets_in_use(problem) {
        let whose = if people.len() == problem.people.len() { String::new() } else { format!(" for {}", words::people(problem, &people)) };
        page.text(&format!("Rest rules{whose}: {} ({}); readings at the end.", set.name, set.code));
    }
    page.text(FIRST);
    team(&mut page, sheet);
    let able: Vec<&Callee> = wanted(sheet).filter(|c| c.longest >= sheet.length).collect();
    page.heading(&format!("Can be called for {}, least harm first", words::hours(sheet.length).replace(TIE, " ")));
    if able.is_empty() {
        page.text("nobody.");
    }
    for callee in &able {
        answer(&mut page, sheet, callee);
    }
    let less: Vec<&Callee> = wanted(sheet).filter(|c| c.longest < sheet.length && c.longest > Minutes::ZERO).collect();
    if !less.is_empty() {
        page.heading("For less only");
        for callee in &less {
            answer(&mut page, sheet, callee);
        }
    }
    let none: Vec<&Callee> = wanted(sheet).filter(|c| c.longest.is_zero()).collect();
    if !none.is_empty() {
        page.heading("Not now");
        for callee in &none {
            let why = callee.limit.map_or_else(String::new, |bar| reason(sheet, callee.person, &bar));
            page.item(&code(sheet, callee.person), COLUMN, &format!("{why}. Can: {}.", can(sheet, callee.person)));
        }
    }
    let others: Vec<PersonId> = sheet.callees.iter().map(|c| c.person).filter(|p| !sheet.wanted(*p)).collect();
    if !others.is_empty() {
        page.blank();
        page.text(&format!("Cannot do any of it: {}.", words::people(problem, &others)));
    }
    night(&mut page, sheet);
    page.blank();
    page.text(NOTES);
    page.blank();
    for text in words::sets_read_as(problem) {
        page.text(&text);
    }
    page.finish()
}

/// How the answers are to be read.
const NOTES: &str = "A call is work from its first minute. After it, watches and duties that may not be left are stood as planned; \
     the rest of the plan is taken up again from the time given as `off until`. Harm: rest broken plus planned job work that falls \
     out. A call-out is owed as rest. Records before the plan count.";

fn wanted<'a>(sheet: &'a CallSheet<'_>) -> impl Iterator<Item = &'a Callee> {
    sheet.callees.iter().filter(|c| sheet.wanted(c.person))
}

fn code(sheet: &CallSheet<'_>, person: PersonId) -> String {
    tied(&sheet.problem.people[person].code)
}

fn can(sheet: &CallSheet<'_>, person: PersonId) -> String {
    let can = sheet.can(person);
    if can.is_empty() { "nothing listed".to_owned() } else { can.join(" ") }
}

/// `LIFT + 2 GEN`.
fn places(sheet: &CallSheet<'_>) -> String {
    let mut counted: Vec<(CompetenceId, usize)> = Vec::new();
    for place in sheet.places {
        match counted.iter_mut().find(|(known, _)| known == place) {
            Some((_, number)) => *number += 1,
            None => counted.push((*place, 1)),
        }
    }
    let name = |(place, number): &(CompetenceId, usize)| {
        let code = &sheet.problem.competences[*place].code;
        if *number == 1 { code.clone() } else { format!("{number}{TIE}{code}") }
    };
    counted.iter().map(name).collect::<Vec<_>>().join(" + ")
}

fn team(page: &mut Page, sheet: &CallSheet<'_>) {
    if sheet.places.is_empty() {
        return;
    }
    page.blank();
    match sheet.team {
        Some(team) => {
            let member = |(place, person): &(CompetenceId, PersonId)| {
                format!("{}{TIE}({})", code(sheet, *person), sheet.problem.competences[*place].code)
            };
            let members: Vec<String> = team.team.iter().map(member).collect();
            page.text(&format!("Call {}: least harm together, {}.", members.join(", "), words::hours(team.harm)));
        }
        None => {
            page.text(&format!("ATTENTION: {} cannot be filled by different people for {}.", places(sheet), words::hours(sheet.length)));
        }
    }
}

fn answer(page: &mut Page, sheet: &CallSheet<'_>, callee: &Callee) {
    let problem = sheet.problem;
    let up_to = match callee.limit {
        None => format!("up to {} or more", words::hours(MOST)),
        Some(bar) => format!("up to {}, then {}", words::hours(callee.longest), reason(sheet, callee.person, &bar)),
    };
    let now = callee.doing.map_or_else(String::new, |what| format!("now {}; ", words::what(problem, what)));
    page.item(&code(sheet, callee.person), COLUMN, &format!("{now}{up_to}. Can: {}.", can(sheet, callee.person)));
    let harm = callee.harm;
    let mut said = Vec::new();
    if harm.rest_broken > Minutes::ZERO {
        said.push(format!("breaks {} of rest", words::hours(harm.rest_broken)));
    }
    if harm.labour_lost > Minutes::ZERO {
        said.push(format!("{} of job work fall out", words::hours(harm.labour_lost)));
    }
    if said.is_empty() {
        said.push("no rest broken, no job work lost".to_owned());
    }
    page.item("", COLUMN, &format!("Harm: {}. {}", said.join(", "), afterwards(sheet, callee)));
}

/// When the person must rest, and what the call leaves before the next watch.
fn afterwards(sheet: &CallSheet<'_>, callee: &Callee) -> String {
    let clock = &sheet.problem.clock;
    let end = sheet.at + sheet.length.min(callee.longest);
    let by = match callee.limit {
        Some(Bar::Rest(_)) => format!("Must rest from {} at the latest", near(sheet, sheet.at + callee.longest)),
        None | Some(Bar::Away(_) | Bar::Busy(..) | Bar::InSpell(..) | Bar::Begins(..)) => "Rest when the call is over".to_owned(),
    };
    let off = match callee.off_until {
        Some(until) if until > end => format!("; off until {}", near(sheet, until)),
        Some(_) => "; may go on with the plan straight after".to_owned(),
        None => "; the plan cannot be taken up again within three days".to_owned(),
    };
    let next = callee.next.map_or_else(String::new, |(bound, span)| {
        let when = near(sheet, span.start());
        format!(
            " Next {} {when}-{}: {} after a call of {}.",
            bound_name(sheet, bound),
            clock.hour(span.end()),
            words::hours(span.start() - end),
            words::hours(end - sheet.at)
        )
    });
    format!("{by}{off}.{next}")
}

/// `04:00`, with the day where it is another day than that of the call.
fn near(sheet: &CallSheet<'_>, moment: Moment) -> String {
    let clock = &sheet.problem.clock;
    if clock.day(moment) == clock.day(sheet.at) { clock.hour(moment) } else { tied(&clock.day_time(moment)) }
}

fn bound_name(sheet: &CallSheet<'_>, bound: Bound) -> String {
    match bound {
        Bound::Turn(turn) => format!("watch {}", sheet.problem.posts[sheet.problem.turns[turn].post].code),
        Bound::Duty(duty) => format!("duty {}", sheet.problem.duties[duty].code),
        Bound::Recorded(kind) => format!("recorded {}", words::kind(kind)),
    }
}

/// Why not, or why not longer.
fn reason(sheet: &CallSheet<'_>, person: PersonId, bar: &Bar) -> String {
    let till = |span: &Span| near(sheet, span.end());
    match bar {
        Bar::Away(span) => away(sheet, *span),
        Bar::Busy(bound, span) => format!("{} till {}", bound_name(sheet, *bound), till(span)),
        Bar::InSpell(task, span) => format!("task {} may not stop before {}", sheet.problem.tasks[*task].code, till(span)),
        Bar::Begins(bound, span) => format!("{} begins {}", bound_name(sheet, *bound), near(sheet, span.start())),
        Bar::Rest(finding) => broken(sheet, person, finding),
    }
}

/// Not aboard from when to when: hours alone where both lie on the day of the call.
fn away(sheet: &CallSheet<'_>, span: Span) -> String {
    let clock = &sheet.problem.clock;
    let day = clock.day_span(clock.day(sheet.at));
    if day.covers(span) {
        let end = if span.end() == day.end() { "24:00".to_owned() } else { clock.hour(span.end()) };
        return format!("not aboard {} to {end}", clock.hour(span.start()));
    }
    let when = |moment| tied(&clock.day_time(moment));
    if span.end() >= sheet.problem.layout_end {
        return format!("not aboard from {} on", when(span.start()));
    }
    format!("not aboard {} to {}", when(span.start()), when(span.end()))
}

fn broken(sheet: &CallSheet<'_>, person: PersonId, finding: &Finding) -> String {
    let rule = words::rule(words::set(sheet.problem, person), finding);
    // Both ends with their day: "of 24 h" beside two equal times of the day would be a riddle.
    let clock = &sheet.problem.clock;
    let window = format!("{} to {}", tied(&clock.day_time(finding.window.start())), tied(&clock.day_time(finding.window.end())));
    format!("it breaks {} ({}: {}; {window})", rule.code, rule.kind.text(), words::numbers(rule, finding))
}

/// The sign of a bar in the table of the night.
pub(super) const fn sign(bar: Option<&Bar>) -> &'static str {
    match bar {
        None => "yes",
        Some(Bar::Away(_)) => "A",
        Some(Bar::Busy(Bound::Turn(_), _)) => "W",
        Some(Bar::Busy(Bound::Duty(_), _)) => "D",
        Some(Bar::Busy(Bound::Recorded(_), _)) => "C",
        Some(Bar::InSpell(..)) => "T",
        Some(Bar::Begins(..)) => "w",
        Some(Bar::Rest(_)) => "R",
    }
}

fn night(page: &mut Page, sheet: &CallSheet<'_>) {
    if sheet.night.is_empty() {
        return;
    }
    let clock = &sheet.problem.clock;
    page.heading(&format!("Through the night: who can be called for {}", words::hours(sheet.length).replace(TIE, " ")));
    let people: Vec<PersonId> = sheet.problem.people.ids().filter(|p| sheet.wanted(*p)).collect();
    let asks = !sheet.places.is_empty();
    let names = people.iter().map(|p| sheet.problem.people[*p].code.clone());
    // First, so that it stays beside the time where the people take several blocks.
    let heads: Vec<String> = asks.then(|| "need".to_owned()).into_iter().chain(names).collect();
    let rows = sheet.night.iter().map(|hour| {
        let met = asks.then(|| if hour.met { "met" } else { "SHORT" }.to_owned());
        let cells = people.iter().map(|p| sign(hour.people[*p].as_ref()).to_owned());
        (clock.day_time(hour.at), met.into_iter().chain(cells).collect())
    });
    Wide { corner: "call at".to_owned(), heads, rows: rows.collect() }.write(page);
    page.text(
        "yes can be called; W on watch, D in a duty that may not be left, C on another call, w a watch, such a duty or such a call begins \
         too soon, T in work that may not stop, R would break a rest rule, A not aboard.",
    );
}
