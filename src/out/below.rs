//! The rest of a day's sheet: watches, duties, what runs by itself, tools, reserve, machinery, cautions.

use crate::id::PersonId;
use crate::out::page::{self, Page, TIE};
use crate::out::{answers, words};
use crate::report::{DaySheet, DutyRow, KindPeriod, MachineryLine, Part, Period, Report, Trip};
use crate::time::{Minutes, Span};

/// Shorter stretches in which somebody can be called are left out: a half hour between watch and rest helps
/// nobody who looks for help.
const LEAST_SHOWN: Minutes = Minutes::hours(1);

/// Column at which the entries of a section begin.
const COLUMN: usize = 12;

/// What stands before the people: shortfalls, modes, bans, clock, watches, duties.
pub(super) fn before(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    let problem = report.problem();
    for row in &sheet.shortfalls {
        page.item("ATTENTION", COLUMN, &answers::shortfall(report, row));
    }
    for (at, by) in &sheet.clock_changes {
        let way = if *by > Minutes::ZERO { "ahead" } else { "back" };
        let by = words::hours(Minutes::new(by.get().abs()));
        page.item("CLOCK", COLUMN, &format!("put {way} {by}; it then shows {}", problem.clock.hour(*at)));
    }
    let modes: Vec<String> = sheet
        .modes
        .iter()
        .map(|(span, mode)| format!("{} {}", words::from_to(report, *span), name(&problem.modes[*mode].code, &problem.modes[*mode].name)))
        .collect();
    if !modes.is_empty() {
        page.item("Mode", COLUMN, &modes.join("; "));
    }
    // What stands in several rows is said once.
    let mut bans: Vec<(String, usize)> = Vec::new();
    for ban in &sheet.bans {
        let tags: Vec<&str> = ban.tags.iter().map(|t| problem.tags[*t].code.as_str()).collect();
        let why = if ban.reason.is_empty() { String::new() } else { format!(": {}", ban.reason) };
        let text = format!("{} {}{why}", words::from_to(report, ban.span), tags.join(", "));
        match bans.iter_mut().find(|(said, _)| *said == text) {
            Some((_, rows)) => *rows += 1,
            None => bans.push((text, 1)),
        }
    }
    for (text, rows) in bans {
        page.item("BANNED", COLUMN, &if rows > 1 { format!("{text} ({rows} rows say so)") } else { text });
    }
    let mut post = None;
    let mut label = String::new();
    let mut stands: Vec<String> = Vec::new();
    for row in &sheet.watches {
        if post != Some(row.post) {
            flush(page, &label, &mut stands);
            post = Some(row.post);
            label = format!("Watch {}", problem.posts[row.post].code);
        }
        stands.push(format!("{}{TIE}{}", words::from_to(report, row.span), report.person_code(row.person)));
    }
    flush(page, &label, &mut stands);
    for row in &sheet.duties {
        page.item("Duty", COLUMN, &duty(report, row));
    }
    for row in &sheet.by_itself {
        let task = &problem.tasks[row.task];
        let post = task.attended_by.map_or_else(String::new, |p| format!(", attended by the watch of {}", problem.posts[p].code));
        let when = words::day_from_to(report, row.span);
        page.item("By itself", COLUMN, &format!("{when} {} {}{post}", task.code, task.text));
    }
    for row in &sheet.waiting {
        let empty = report.task_code(row.hold.empty);
        let (from, to) = (words::short(report, row.span.start()), words::short(report, row.span.end()));
        let tool = &problem.tools[row.hold.tool];
        let filled = match row.hold.fill.or(row.hold.filling) {
            Some(fill) => format!("{} ended {from}", report.task_code(fill)),
            None => "filled before".to_owned(),
        };
        let text = format!("{} {}: {filled}, {empty} begins {to}; leave it be", tool.code, tool.name);
        page.item("Waits", COLUMN, &text);
    }
}

fn flush(page: &mut Page, label: &str, stands: &mut Vec<String>) {
    if !stands.is_empty() {
        page.item(label, COLUMN, &stands.join(", "));
        stands.clear();
    }
}

/// `anchor (at anchor)`, or one of the two where the other adds nothing.
fn name(code: &str, name: &str) -> String {
    if name.is_empty() || name == code { code.to_owned() } else { format!("{code} ({name})") }
}

fn duty(report: &Report<'_>, row: &DutyRow) -> String {
    let duty = &report.problem().duties[row.duty];
    let mut said = Vec::new();
    let off_watch: Vec<PersonId> = row.people.iter().copied().filter(|p| !row.on_watch.contains(p)).collect();
    if !off_watch.is_empty() || row.people.is_empty() {
        said.push(words::people(report, &off_watch));
    }
    if !row.on_watch.is_empty() {
        said.push(format!("{} along with the watch", words::people(report, &row.on_watch)));
    }
    if !row.excused.is_empty() {
        said.push(format!("excused, on watch: {}", words::people(report, &row.excused)));
    }
    said.push(if duty.leavable { "may be left when called" } else { "not to be left" }.to_owned());
    if duty.all_hands {
        said.push("all hands, its own reserve".to_owned());
    }
    if duty.drill {
        said.push("counts as drill".to_owned());
    }
    if !duty.bans.is_empty() {
        let tags: Vec<&str> = duty.bans.iter().map(|t| report.problem().tags[*t].code.as_str()).collect();
        said.push(format!("BANNED meanwhile: {}", tags.join(", ")));
    }
    format!("{} {}: {}", words::from_to(report, row.span), duty.name, said.join("; "))
}

/// What stands after the people: tools, reserve, machinery, cautions, hours, initials.
pub(super) fn after(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    let problem = report.problem();
    if !sheet.cautions.is_empty() {
        page.heading("Cautions for today's tasks");
        for row in &sheet.cautions {
            let tag = &problem.tags[row.tag];
            let text = if tag.caution.is_empty() {
                words::tasks(report, &row.tasks)
            } else {
                format!("{} ({})", tag.caution, words::tasks(report, &row.tasks))
            };
            page.item(&tag.code, COLUMN, &text);
        }
    }
    if !sheet.tools.is_empty() {
        page.heading("Tools");
        for row in &sheet.tools {
            let uses: Vec<String> =
                row.uses.iter().map(|(span, task)| format!("{}{TIE}{}", words::from_to(report, *span), report.task_code(*task))).collect();
            page.item(&problem.tools[row.tool].code, COLUMN, &uses.join(", "));
        }
    }
    reserve(page, report, sheet);
    machinery(page, report, sheet);
    page.heading("Hours");
    let over = if sheet.overtime.is_zero() { "no overtime".to_owned() } else { format!("OVERTIME {}", words::hours(sheet.overtime)) };
    page.text(&format!("Labour {}, {over}.", words::hours(sheet.labour)));
    let seen: Vec<String> = problem.people.iter().map(|p| format!("{}{TIE}______", words::tied(&p.code))).collect();
    page.item("Seen:", 7, &seen.join("  "));
}

fn reserve(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    let reserve = &sheet.reserve;
    let unbooked = reserve.unbooked_needed > Minutes::ZERO;
    if reserve.periods.is_empty() && !unbooked {
        return;
    }
    let calls: Vec<Minutes> = sheet.modes.iter().filter_map(|(_, m)| report.problem().modes[*m].reserve.as_ref().map(|r| r.call)).collect();
    let length = calls.iter().max().map_or_else(String::new, |call| format!(" for {}", words::hours(*call)));
    page.heading(&format!("Reserve: who can be called{length}"));
    for period in &reserve.periods {
        for (i, kind) in period.kinds.iter().enumerate() {
            let label = if i == 0 { when(report, period) } else { String::new() };
            page.hang(&label, 19, 21, &callable(report, kind));
        }
    }
    if unbooked {
        let short = if reserve.unbooked < reserve.unbooked_needed { "; SHORT" } else { "" };
        let (has, asked) = (words::hours(reserve.unbooked), words::hours(reserve.unbooked_needed));
        page.hang("Unbooked", 19, 21, &format!("{has}, {asked} asked for{short}"));
    }
}

fn when(report: &Report<'_>, period: &Period) -> String {
    let clock = &report.problem().clock;
    let (from, to) = (clock.hour(period.span.start()), clock.hour(period.span.end()));
    let name = match period.part {
        Part::SmallHours => "Till morning",
        Part::Day => "Day",
        Part::Night => "Night",
    };
    words::tied(&format!("{} {from}-{to}", page::left(name, 6)))
}

fn callable(report: &Report<'_>, kind: &KindPeriod) -> String {
    let throughout = if kind.throughout.is_empty() { "nobody throughout".to_owned() } else { words::people(report, &kind.throughout) };
    let mut said = vec![format!("{}: {throughout}", kind.kind)];
    let in_part = |(person, spans): &(PersonId, Vec<Span>)| {
        let long = spans.iter().filter(|s| s.length() >= LEAST_SHOWN);
        let times: Vec<String> = long.map(|s| words::from_to_plain(report, *s)).collect();
        (!times.is_empty()).then(|| format!("{}{TIE}{}", report.person_code(*person), times.join("+")))
    };
    let part: Vec<String> = kind.in_part.iter().filter_map(in_part).collect();
    if !part.is_empty() {
        said.push(format!("in part {}", part.join(", ")));
    }
    let weakest = &kind.weakest;
    let (when, who) = (words::from_to_plain(report, weakest.span), words::people(report, &weakest.callable));
    let asked = format!("{} of {}{TIE}asked", weakest.callable.len(), weakest.needed);
    if !weakest.met {
        let only = if weakest.callable.is_empty() { "" } else { "only " };
        said.push(format!("SHORT {when}: {only}{who} ({asked})"));
    } else if worth_naming(kind) {
        said.push(format!("weakest {when}: {who} ({asked})"));
    }
    said.join("; ")
}

/// Whether the weakest stretch is worth naming: others help at other times, and then no more can be called than
/// are asked for, or one more who is not there all the time.
fn worth_naming(kind: &KindPeriod) -> bool {
    let callable = u32::try_from(kind.weakest.callable.len()).unwrap_or(u32::MAX);
    let needed = kind.weakest.needed;
    let bare = callable <= needed;
    let thin = callable <= needed.saturating_add(1) && kind.weakest.callable != kind.throughout;
    !kind.in_part.is_empty() && (bare || thin)
}

fn machinery(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    let machinery = &sheet.machinery;
    if machinery.changing.is_empty() && machinery.whole.is_empty() {
        return;
    }
    page.heading("Machinery: able, needed, and if one more trips");
    for line in &machinery.changing {
        let group = &report.problem().groups[line.group].code;
        page.hang(&format!("{} {}", page::left(group, 6), words::from_to(report, line.span)), 19, 21, &state(report, line));
    }
    let listed = |wanted: fn(Trip) -> bool| -> Vec<String> {
        let here = machinery.whole.iter().filter(|l| wanted(l.trip));
        here.map(|l| format!("{}{TIE}{}/{}", report.problem().groups[l.group].code, l.n_able, l.needed)).collect()
    };
    let bare = listed(|t| matches!(t, Trip::Short | Trip::AlreadyShort));
    if !bare.is_empty() {
        page.hang("Whole, no margin", 19, 21, &format!("{} (able/needed)", bare.join(", ")));
    }
    let spare = listed(|t| matches!(t, Trip::JustEnough | Trip::Enough));
    if !spare.is_empty() {
        page.hang("Whole, some spare", 19, 21, &format!("{} (able/needed)", spare.join(", ")));
    }
    let idle = listed(|t| matches!(t, Trip::NotNeeded));
    if !idle.is_empty() {
        page.hang("Not needed", 19, 21, &idle.join(", "));
    }
}

fn state(report: &Report<'_>, line: &MachineryLine) -> String {
    let codes = |units: &[crate::id::UnitId]| units.iter().map(|u| report.problem().units[*u].code.clone()).collect::<Vec<_>>().join(" ");
    let able = if line.able.is_empty() { "none".to_owned() } else { codes(&line.able) };
    let out = if line.out.is_empty() { String::new() } else { format!(", out {}", codes(&line.out)) };
    let trip = match line.trip {
        Trip::AlreadyShort => "SHORT as it is".to_owned(),
        Trip::Short => format!("no margin, a trip leaves {}", line.n_able.saturating_sub(1)),
        Trip::JustEnough => format!("a trip leaves {}, just enough", line.n_able.saturating_sub(1)),
        Trip::Enough => format!("a trip leaves {}, enough", line.n_able.saturating_sub(1)),
        Trip::NotNeeded => "not needed".to_owned(),
    };
    format!("{} able ({able}), {} needed{out}; {trip}", line.n_able, line.needed)
}
