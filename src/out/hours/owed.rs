//! Drills, call-outs and emergencies as text: the rest they took, what of it was given back, and what is still owed.

use std::collections::BTreeMap;

use crate::clock::ShipClock;
use crate::hours::{Balance, By, Drill, PersonHours, View, WHOLE_NIGHT};
use crate::id::PersonId;
use crate::out::hours::words;
use crate::out::page::{Page, TIE};
use crate::out::words::tied;
use crate::time::{Minutes, Span};

/// Column at which what is said about a person begins.
const COLUMN: usize = 7;

/// All three sections, as far as there is anything to say, and what is owed all together.
pub(super) fn sections(page: &mut Page, view: &View<'_>) {
    drills(page, view);
    calls(page, view);
    emergencies(page, view);
    together(page, view);
}

fn drills(page: &mut Page, view: &View<'_>) {
    let mut rows: BTreeMap<Span, Vec<(PersonId, Drill)>> = BTreeMap::new();
    for person in view.people {
        for drill in person.drills.iter().filter(|d| person.scope.is_some_and(|scope| scope.overlaps(d.span))) {
            rows.entry(drill.span).or_default().push((person.person, *drill));
        }
    }
    if rows.is_empty() {
        return;
    }
    page.heading("Drills");
    let clock = &view.problem.clock;
    for (span, people) in rows {
        let took: Vec<(PersonId, Drill)> = people.iter().copied().filter(|(_, drill)| drill.rest_lost > Minutes::ZERO).collect();
        let code = |person: PersonId| tied(&view.problem.people[person].code);
        let lost: Vec<String> = took.iter().map(|(person, d)| format!("{}{TIE}{}", code(*person), words::hours(d.rest_lost))).collect();
        let lost = if lost.is_empty() { "takes nobody's rest".to_owned() } else { format!("takes rest from {}", lost.join(", ")) };
        page.hang(
            "",
            0,
            COLUMN,
            &format!(
                "{}, {}: {lost}",
                words::from_to(clock, span),
                if people.len() == 1 { "1 person".to_owned() } else { format!("{} people", people.len()) }
            ),
        );
        for (person, drill) in took {
            if let Some(balance) = drill.balance {
                page.item(&format!("  {}", code(person)), COLUMN + 2, &became(clock, drill.rest_lost, &balance));
            }
        }
    }
}

fn calls(page: &mut Page, view: &View<'_>) {
    if view.people.iter().all(|p| p.calls.is_empty()) {
        return;
    }
    page.heading("Call-outs: rest owed");
    let clock = &view.problem.clock;
    for person in view.people {
        let mut label = tied(&view.problem.people[person.person].code);
        for call in &person.calls {
            let owed = match (call.owed.is_zero(), call.rest_lost.is_zero()) {
                (true, true) => "nothing, it took no rest".to_owned(),
                (true, false) => format!("nothing: it took {}, and the least of a day was left", words::hours(call.rest_lost)),
                (false, _) => became(clock, call.owed, &call.balance),
            };
            let warning = if call.then_unbroken < WHOLE_NIGHT {
                format!(
                    "; ATTENTION: no {} unbroken in the 24 h after it, longest {}",
                    words::hours(WHOLE_NIGHT),
                    words::hours(call.then_unbroken)
                )
            } else {
                String::new()
            };
            page.item(&label, COLUMN, &format!("{}: {owed}{warning}", words::from_to(clock, call.span)));
            label.clear();
        }
    }
    page.text(
        "Owed is at least the rest lost, in the next rest period, and six hours in one piece (German Seearbeitsgesetz 45(4), \
         Singapore Merchant Shipping (MLC) Act 16(4)); the Codes give no figure.",
    );
}

fn emergencies(page: &mut Page, view: &View<'_>) {
    if view.people.iter().all(|p| p.emergencies.is_empty()) {
        return;
    }
    page.heading("Emergencies: rest owed");
    let clock = &view.problem.clock;
    for person in view.people {
        let mut label = tied(&view.problem.people[person.person].code);
        for emergency in &person.emergencies {
            let reason = emergency.reason.as_deref().unwrap_or("ATTENTION: no reason on record, so it excuses nothing");
            let owed = if emergency.owed.is_zero() { "nothing owed".to_owned() } else { became(clock, emergency.owed, &emergency.balance) };
            page.item(&label, COLUMN, &format!("{}, {reason}: {owed}", words::from_to(clock, emergency.span)));
            label.clear();
        }
    }
    page.text(
        "Only the immediate safety of ship, people or cargo, or help in distress, is an emergency; work that was planned and runs late \
         is none. Adequate rest is given as soon as practicable (STCW Code A-VIII/1 paragraphs 4 and 8, B-VIII/1 paragraph 1).",
    );
}

/// What is still owed to each person, and what was counted as given.
fn together(page: &mut Page, view: &View<'_>) {
    let owing = |p: &PersonHours| {
        let drills = p.drills.iter().any(|drill| drill.balance.is_some() && drill.rest_lost > Minutes::ZERO);
        drills || p.calls.iter().any(|c| c.owed > Minutes::ZERO) || p.emergencies.iter().any(|e| e.owed > Minutes::ZERO)
    };
    let people: Vec<&PersonHours> = view.people.iter().filter(|p| owing(p)).collect();
    if people.is_empty() {
        return;
    }
    let code = |p: &PersonHours| tied(&view.problem.people[p.person].code);
    let still: Vec<String> = people
        .iter()
        .filter(|p| p.still_owed() > Minutes::ZERO)
        .map(|p| format!("{}{TIE}{}", code(p), words::hours(p.still_owed())))
        .collect();
    page.heading(&format!("Still owed: {}", if still.is_empty() { "nothing".to_owned() } else { still.join(", ").replace(TIE, " ") }));
    page.text(
        "Given back is what was rested beyond the least of a day, in each 24 h from the end of what took the rest, oldest first, no \
         minute for two; after the last hour that is known nothing is counted. This way of counting is ours.",
    );
}

/// `2 h owed, given back by 2027-03-05 09:00`, or what is still owed and by when.
pub(super) fn became(clock: &ShipClock, owed: Minutes, balance: &Balance) -> String {
    let owed_words = format!("{} owed", words::hours(owed));
    if let Some(at) = balance.even_at {
        let late = match balance.by {
            By::EndOfRest(due) if due < at => format!(", late: it was due by {}", words::at(clock, due)),
            By::EndOfRest(_) | By::EndOfRestFrom(_) | By::Soon => String::new(),
        };
        return format!("{owed_words}, given back by {}{late}", words::at(clock, at));
    }
    let still = if balance.given.is_zero() {
        "still owed".to_owned()
    } else {
        format!("{} given back, {} still owed", words::hours(balance.given), words::hours(owed - balance.given))
    };
    let first = if balance.given.is_zero() { format!("{} {still}", words::hours(owed)) } else { format!("{owed_words}, {still}") };
    match balance.by {
        By::EndOfRest(due) if balance.overdue => {
            format!("ATTENTION: {first}, was due by {}, the end of the next rest", words::at(clock, due))
        }
        By::EndOfRest(due) => format!("{first}, due by {}, the end of the next rest", words::at(clock, due)),
        By::EndOfRestFrom(start) => format!("{first}, due by the end of the rest that begins {}", words::at(clock, start)),
        By::Soon => format!("{first}, due as soon as practicable"),
    }
}
