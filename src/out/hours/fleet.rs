//! Records of many ships as text.

use crate::clock::ShipClock;
use crate::hours::{FleetView, RuleHours, ShipHours};
use crate::input::stream_day_one;
use crate::out::hours::words::{self, FIRST};
use crate::out::page::{Page, TIE};
use crate::out::words::tied;
use crate::rest::rule::Rule;
use crate::time::{Minutes, Span};

/// Column at which what is said about a rule begins.
const COLUMN: usize = 14;

/// The sums of every ship as text of at most 80 columns.
#[must_use]
pub fn fleet_text(view: &FleetView<'_>) -> String {
    let mut page = Page::default();
    let people: usize = view.ships.iter().map(|ship| ship.people).sum();
    let minutes: i64 = view.ships.iter().map(|ship| ship.person_minutes).sum();
    let (ships, windows) = (view.ships.len(), view.ships.iter().map(ShipHours::windows).sum::<usize>());
    page.text(&format!(
        "Hours of rest in the records of {}, {}, {} person-days",
        counted(ships, "ship", "ships"),
        counted(people, "person", "people"),
        grouped(days(minutes))
    ));
    page.text(&format!("Rest rules: {} ({}); readings at the end.", view.set.name, view.set.code));
    let skipped = match view.skipped {
        0 => String::new(),
        more => format!(" ATTENTION: {} not used, named on standard error; what they say is missing below.", counted(more, "row", "rows")),
    };
    page.text(&format!("{} used.{skipped}", counted(view.rows(), "row", "rows")));
    if view.came_back() > 0 {
        page.text(&format!(
            "ATTENTION: {} a ship or a person came back after rows of others. Each part was checked by itself: sort the rows by \
             ship, then person, and check again.",
            counted(view.came_back(), "time", "times")
        ));
    }
    page.text(if windows == 0 { "No findings." } else { "Findings are named below, ship by ship." });
    page.text(FIRST);
    for one in view.ships {
        ship(&mut page, view, one);
    }
    page.heading("How it was checked");
    page.text(
        "Windows that share time with a person's record, from the first recorded minute to the last; time before and after it is \
         taken as rest, so breaches that reach back before the first row are not seen: give the seven days before as well. An \
         occasion is all windows of one person that share time. Times are UTC; days and nights, where a rule needs them, are those of \
         the offset of a person's first row.",
    );
    page.text(&format!("Source: {}.", view.set.source));
    for (number, text) in view.set.reading_lines() {
        page.item(&format!("  {number}"), 7, &text);
    }
    page.text("Findings are not legal advice.");
    page.finish()
}

fn ship(page: &mut Page, view: &FleetView<'_>, ship: &ShipHours) {
    page.blank();
    let when = ship.span.map_or_else(String::new, |span| format!(", {}", words::from_to(&utc(), span)));
    let overlapping = match ship.overlapping {
        0 => String::new(),
        more => format!(" {} with another one of the person; the time counts once.", counted(more, "row overlaps", "rows overlap")),
    };
    page.text(&format!(
        "{}: {}, {} person-days, {}{when}.{overlapping}",
        ship.ship,
        counted(ship.people, "person", "people"),
        grouped(days(ship.person_minutes)),
        counted(ship.rows, "row", "rows"),
    ));
    if ship.came_back > 0 {
        page.text(&format!("ATTENTION: {} somebody came back after others.", counted(ship.came_back, "time", "times")));
    }
    let mut kept = Vec::new();
    for (rule, found) in view.set.rules.iter().zip(&ship.rules) {
        if found.windows == 0 {
            kept.push(tied(&rule.code));
            continue;
        }
        broken(page, rule, found);
    }
    if !kept.is_empty() {
        page.item("  kept", COLUMN, &format!("{}.", kept.join(", ")));
    }
}

fn broken(page: &mut Page, rule: &Rule, found: &RuleHours) {
    let excused = match found.excused {
        0 => String::new(),
        all if all == found.windows => ", all excused by an emergency on record".to_owned(),
        some => format!(", {some} excused by an emergency on record"),
    };
    page.item(
        &format!("  {}", rule.code),
        COLUMN,
        &format!(
            "{}: broken on {} ({}{excused}) by {}.",
            rule.kind.text(),
            counted(found.occasions, "occasion", "occasions"),
            counted(found.windows, "window", "windows"),
            counted(found.people, "person", "people")
        ),
    );
    if let Some((person, worst)) = &found.worst {
        let when = words::from_to(&utc(), worst.window);
        page.item("", COLUMN, &format!("Worst: {}, {when}: {}.", tied(person), words::numbers(rule, worst)));
    }
}

/// The clock of streams: UTC.
pub(super) fn utc() -> ShipClock {
    ShipClock::new(stream_day_one(), Minutes::ZERO, Vec::new()).expect("a clock without changes")
}

/// Whole days, rounded.
pub(super) fn days(minutes: i64) -> i64 {
    (minutes + 720) / 1440
}

/// The window of a finding, in UTC, as RFC 3339.
pub(super) fn stamps(span: Span) -> [String; 2] {
    let clock = utc();
    [span.start(), span.end()].map(|moment| clock.stamp(moment).to_rfc3339_opts(chrono::SecondsFormat::Secs, true))
}

fn counted(number: usize, one: &str, many: &str) -> String {
    let digits = grouped(i64::try_from(number).unwrap_or(i64::MAX));
    format!("{digits}{TIE}{}", if number == 1 { one } else { many })
}

/// `12 345`.
fn grouped(number: i64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(TIE);
        }
        text.push(digit);
    }
    text
}
