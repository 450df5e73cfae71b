//! The first answers: ready when, late, short of anything, who breaks rest.

use crate::account::{MilestoneAccount, ShortOf, Shortfall};
use crate::id::{MilestoneId, TaskId};
use crate::out::page::Page;
use crate::out::words;
use crate::report::{Answers, ChainLink, CutBy, HeldBy, Report};
use crate::time::Minutes;

/// Column at which answers begin.
const COLUMN: usize = 8;

/// How many shortfalls the first screen lists; the sheets list all.
const MOST_SHORTFALLS: usize = 5;

/// Writes the answers.
pub(super) fn write(page: &mut Page, report: &Report<'_>) {
    let answers = report.answers();
    page.rule('-');
    page.item("READY", COLUMN, &ready(report, &answers));
    for (id, met) in &answers.milestones {
        page.item(if met.late > Minutes::ZERO { "LATE" } else { "IN TIME" }, COLUMN, &milestone(report, *id, *met));
    }
    if answers.milestones.is_empty() {
        page.item("DUE", COLUMN, "no milestone is set");
    }
    short(page, report, &answers);
    rest(page, report, &answers);
    page.item("HOURS", COLUMN, &labour(report));
    page.item("HELD BY", COLUMN, &held_by(report, &answers.held_by));
    if answers.gap > Minutes::ZERO {
        let links = answers.waits.iter().map(|link| chain_link(report, link)).collect::<Vec<_>>().join(" ");
        page.item("WAITS", COLUMN, &format!("{links}: so this plan ends when it does; that it must is not proven"));
    }
    if let Some(text) = tight(report) {
        page.item("TIGHT", COLUMN, &text);
    }
    for note in &report.solved().notes {
        page.item("NOTE", COLUMN, note);
    }
    page.rule('-');
}

/// When, and what is proven about it.
pub(super) fn ready(report: &Report<'_>, answers: &Answers) -> String {
    let solved = report.solved();
    let when = words::full(report, answers.finish);
    let by = if solved.proof.is_empty() { String::new() } else { format!(" ({})", solved.proof) };
    let mut text = if answers.gap.is_zero() {
        format!("{when}; proven: no plan is ready earlier{by}")
    } else {
        format!("{when}; none can be ready before {}{by}, a gap of {}", words::short(report, answers.bound), words::hours(answers.gap))
    };
    if let Some(bound) = solved.bound_with_overtime.filter(|b| *b != answers.bound) {
        text.push_str("; with all overtime allowed not before ");
        text.push_str(&words::short(report, bound));
    }
    match solved.cut_by {
        CutBy::Nothing | CutBy::Work => {}
        CutBy::Time => text.push_str("; the search was cut by its time cap"),
        CutBy::Signal => text.push_str("; the search was interrupted, this is the best so far"),
    }
    text
}

/// `G2BACK set 2 back: day 9 10:30, due day 9 12:00, 1 h 30 in hand`.
pub(super) fn milestone(report: &Report<'_>, id: MilestoneId, met: MilestoneAccount) -> String {
    let row = &report.problem().milestones[id];
    let (at, due) = (words::short(report, met.met_at), words::short(report, row.due));
    let margin = if met.late > Minutes::ZERO {
        let proven = words::proven_late(row.due, met.met_at, report.solved().earliest[id], |at| words::short(report, at));
        format!("LATE by {}; {proven}", words::hours(met.late))
    } else {
        format!("{} in hand", words::hours(row.due - met.met_at))
    };
    let name = if row.text.is_empty() { row.code.clone() } else { format!("{} {}", row.code, row.text) };
    format!("{name}: {at}, due {due}, {margin}")
}

fn short(page: &mut Page, report: &Report<'_>, answers: &Answers) {
    if answers.shortfalls.is_empty() {
        let text = match (answers.machinery_asked, answers.reserve_asked) {
            (true, true) => "nothing: machinery and reserve are kept at every slot",
            (true, false) => "nothing: machinery is kept at every slot; no reserve is asked for",
            (false, true) => "nothing: the reserve is kept at every slot; no machinery is asked for",
            (false, false) => "nothing: neither machinery nor reserve is asked for",
        };
        page.item("SHORT", COLUMN, text);
        return;
    }
    for row in answers.shortfalls.iter().take(MOST_SHORTFALLS) {
        page.item("SHORT", COLUMN, &shortfall(report, row));
    }
    if answers.shortfalls.len() > MOST_SHORTFALLS {
        page.item("", COLUMN, &format!("and {} more, on the sheets of their days", answers.shortfalls.len() - MOST_SHORTFALLS));
    }
    let machines = report.account().machinery_shortfall;
    if machines > 0 {
        let proven = words::proven_short(machines, report.solved().machines_short);
        page.item("", COLUMN, &format!("machinery: {machines} unit slots in all; {proven}"));
    }
}

/// One shortfall in words.
pub(super) fn shortfall(report: &Report<'_>, row: &Shortfall) -> String {
    let when = words::day_from_to(report, row.span);
    match &row.of {
        ShortOf::Units { group, able, needed } => {
            format!("{when} MACHINERY SHORT: {} has {able} able, {needed} needed", report.problem().groups[*group].code)
        }
        ShortOf::Together { set, out, most_out } => {
            format!("{when} MACHINERY SHORT: {out} of {} out, at most {most_out} may be", report.set_units(*set).join(" "))
        }
        ShortOf::Callable { missing } => {
            format!("{when} RESERVE SHORT: {missing} more must be callable")
        }
        ShortOf::Unbooked { missing } => {
            format!("{} HOURS SHORT: {} too little unbooked", words::day_from_to(report, row.span), words::hours(*missing))
        }
    }
}

fn rest(page: &mut Page, report: &Report<'_>, answers: &Answers) {
    let tight = |what: &str, spot: crate::report::RestTight| {
        let who = report.person_code(spot.person);
        format!("{what} {} ({who}, from {})", words::hours(spot.rest), words::short(report, spot.from))
    };
    let mut text = "nobody breaks a rest rule by what is planned".to_owned();
    let mut spots: Vec<String> = answers.least_24h.into_iter().map(|s| tight("least in 24 h", s)).collect();
    spots.extend(answers.least_7d.map(|s| tight("least in 7 days", s)));
    if !spots.is_empty() {
        text.push_str("; ");
        text.push_str(&spots.join("; "));
    }
    page.item("REST", COLUMN, &text);
    if answers.findings > 0 {
        let n = words::count(answers.findings, "finding lies", "findings lie");
        page.item("REST", COLUMN, &format!("{n} in the record before the plan, no worse with it; see rest margins below"));
    }
    if let Some((person, at)) = answers.not_checkable_before {
        let who = report.person_code(person);
        page.item("REST", COLUMN, &format!("not checkable before {} for want of a record ({who})", words::short(report, at)));
    }
}

/// `328 h planned, 0 h 30 of it overtime (1 evening)`.
pub(super) fn labour(report: &Report<'_>) -> String {
    let totals = report.totals();
    let evenings: usize = totals.people.iter().map(|p| p.evenings.len()).sum();
    let over = if totals.overtime.is_zero() {
        "no overtime".to_owned()
    } else {
        format!("{} of them overtime on {}", words::hours(totals.overtime), words::count(evenings, "evening", "evenings"))
    };
    let night = if totals.night.is_zero() { String::new() } else { format!(", {} at night", words::hours(totals.night)) };
    format!("{} of labour in {}, {over}{night}", words::hours(totals.labour), words::count(totals.tasks.len(), "task", "tasks"))
}

fn held_by(report: &Report<'_>, held: &HeldBy) -> String {
    match held {
        HeldBy::Chain(links) => links.iter().map(|link| chain_link(report, link)).collect::<Vec<_>>().join(" "),
        HeldBy::NoSlack(tasks) if tasks.is_empty() => "no task".to_owned(),
        HeldBy::NoSlack(tasks) if report.solved().slack.is_some() => {
            format!("{}: no slack was found for them by planning again", words::tasks(report, tasks))
        }
        HeldBy::NoSlack(tasks) => format!("{}: tasks without slack by order and waits", words::tasks(report, tasks)),
    }
}

/// `A07 A10: no later end was found by planning again; 30 of 60 tasks can end later`, where it was asked.
fn tight(report: &Report<'_>) -> Option<String> {
    let slack = report.solved().slack.as_ref()?;
    let mut none: Vec<TaskId> = slack.pairs().filter(|(_, s)| s.is_zero()).map(|(id, _)| id).collect();
    none.sort_by_key(|t| (report.account().tasks[*t].start, *t));
    let others =
        format!("{} of {} can end later, see tasks by start", slack.len() - none.len(), words::count(slack.len(), "task", "tasks"));
    Some(if none.is_empty() {
        others
    } else {
        format!("{}: planned again, none of them was found to be able to end later; {others}", words::tasks(report, &none))
    })
}

fn chain_link(report: &Report<'_>, link: &ChainLink) -> String {
    let mut reasons: Vec<String> = Vec::new();
    if link.wait > Minutes::ZERO {
        reasons.push(format!("wait {}", words::hours(link.wait)));
    }
    if !link.why.is_empty() {
        reasons.push(link.why.clone());
    }
    let code = report.task_code(link.task);
    if reasons.is_empty() { code } else { format!("({}) {code}", reasons.join(", ")) }
}

/// Two lines that repeat the answers at the end, where a terminal leaves the eye.
pub(super) fn closing(page: &mut Page, report: &Report<'_>) {
    let answers = report.answers();
    page.rule('=');
    let mut parts = vec![format!("ready {}", words::full(report, answers.finish))];
    let late: Vec<Minutes> = answers.milestones.iter().map(|(_, m)| m.late).filter(|l| *l > Minutes::ZERO).collect();
    let spare = |(id, m): &(MilestoneId, MilestoneAccount)| report.problem().milestones[*id].due - m.met_at;
    match (late.iter().max(), answers.milestones.iter().map(spare).min()) {
        (Some(late), _) => parts.push(format!("LATE by {}", words::hours(*late))),
        (None, Some(spare)) => parts.push(format!("{} in hand", words::hours(spare))),
        (None, None) => {}
    }
    parts.push(if answers.shortfalls.is_empty() {
        "nothing short".to_owned()
    } else {
        format!("SHORT in {}", words::count(answers.shortfalls.len(), "stretch", "stretches"))
    });
    parts.push(if answers.findings == 0 {
        "no rest finding".to_owned()
    } else {
        format!("{} in the record", words::count(answers.findings, "rest finding", "rest findings"))
    });
    page.text(&format!("In short: {}.", parts.join("; ")));
}
