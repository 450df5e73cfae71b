//! Ship's clock: changes under way, offsets, days of 23 and 25 hours.

use turnto::time::{Minutes, Moment, Span};

use crate::reading::{folder, plain, sound};

/// A job of three days on which the clock goes forward an hour on day 2, 02:00, and back on day 3, 02:00.
const JOB: &str = "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC-3:30\"\n\
    [[clock_change]]\nat = \"day 2 02:00\"\nclock = \"UTC-2:30\"\n\
    [[clock_change]]\nat = 2027-03-03T02:00\nclock = \"UTC-3:30\"\n\
    [rest]\nrecorded_from = \"day -7\"\n";

fn task(extra: &str) -> String {
    format!("[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n{extra}\n")
}

/// If this fails, days with a clock change have the wrong length, or hours after it are an hour off.
#[test]
fn hours_follow_the_clock() {
    let problem = sound(&folder(&[("job.toml", JOB)]));
    // Day 2 has 23 hours: its 08:00 is 24 + 7 hours after the origin. Day 3 has 25: its 08:00 is 23 + 24 + 9.
    let starts: Vec<i32> = problem.people.iter().nth(1).expect("B").stretches.iter().map(|s| s.hull().start().minutes()).collect();
    assert_eq!(starts[..3], [8 * 60, 31 * 60, 56 * 60]);
    assert_eq!(problem.end, Moment::new(72 * 60));
}

/// If this fails, a time the clock shows twice cannot be said, or is taken for the other one.
#[test]
fn a_time_shown_twice_is_told_apart_by_its_offset() {
    // Day 3: back by an hour at 02:00, so 01:30 is shown first with UTC-2:30, then with UTC-3:30.
    // Day 3 begins 24 + 23 hours after the origin.
    for (written, minutes) in [
        ("\"day 3 01:30 UTC-2:30\"", 47 * 60 + 90),
        ("\"day 3 01:30 UTC-3:30\"", 47 * 60 + 150),
        ("2027-03-03T01:30:00-03:30", 47 * 60 + 150),
    ] {
        let tasks = task(&format!("not_before = {written}"));
        let problem = sound(&folder(&[("job.toml", JOB), ("tasks.toml", &tasks)]));
        assert_eq!(problem.tasks.iter().next().expect("T").not_before, Some(Moment::new(minutes)), "{written}");
    }
}

/// If this fails, a time that the clock skips or shows twice is taken for something without a word.
#[test]
fn skipped_and_doubled_times_are_said() {
    for (written, code) in [("\"day 2 02:30\"", "C302"), ("\"day 3 01:30\"", "C303"), ("\"day 3 01:30 UTC+1\"", "C309")] {
        let tasks = task(&format!("not_before = {written}"));
        let found = plain(&turnto::input::read(&folder(&[("job.toml", JOB), ("tasks.toml", &tasks)])));
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with(code), "{found:?}");
    }
}

/// If this fails, a watch over a clock change is not longer or shorter by the change.
#[test]
fn the_watch_over_a_change_is_longer_or_shorter() {
    let watches = "[post.OOW]\nmanned = \"daily 00:00-04:00\"\n[line.night]\nhours = \"00:00-04:00\"\nOOW = \"A\"\n";
    let problem = sound(&folder(&[("job.toml", JOB), ("watches.toml", watches)]));
    let lengths: Vec<Minutes> = problem.turns.iter().map(|t| t.span.length()).collect();
    assert_eq!(lengths[..3], [Minutes::hours(3), Minutes::hours(5), Minutes::hours(4)]);
    assert_eq!(problem.turns.iter().next().map(|t| t.span), Span::new(Moment::new(24 * 60), Moment::new(27 * 60)));
}

/// If this fails, a grid of half-hours over a clock change gives less work than was done, or cannot be read.
#[test]
fn a_grid_over_a_change_has_the_hours_of_the_day() {
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let row = |date: &str, from: usize, to: usize| {
        let marks: Vec<&str> = (0..48).map(|half| if (from..to).contains(&half) { "w" } else { "" }).collect();
        format!("A,{date},{}\n", marks.join(","))
    };
    let read = |rows: &str| {
        let text = format!("person,date,{}\n{rows}", halves.join(","));
        let problem = sound(&folder(&[("job.toml", JOB), ("hours.csv", &text)]));
        problem.people.iter().next().expect("A").recorded.iter().map(|r| r.span.length()).collect::<Vec<_>>()
    };
    // 00:00-04:00: three hours on the day that skips 02:00-03:00, five on the day that shows 01:00-02:00 twice.
    let rows = row("2027-03-02", 0, 8) + &row("2027-03-03", 0, 8);
    assert_eq!(read(&rows), [Minutes::hours(3), Minutes::hours(5)]);
    // Half-hours that were never shown were not worked.
    assert_eq!(read(&row("2027-03-02", 4, 6)), []);
    // 00:00-01:30, an end that is shown twice: the longer reading, so that the record is never too kind.
    assert_eq!(read(&row("day 3", 0, 3)), [Minutes::new(150)]);
}
