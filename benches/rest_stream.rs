//! Rest checks by the ship-year: person-days a second on records in memory, and rows a second of one stream.
//!
//! ```text
//! cargo bench --bench rest_stream -- --ships 20
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

use std::fs;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use clap::Parser;
use turnto::clock::ShipClock;
use turnto::hours::Fleet;
use turnto::input::{StreamRows, stream_day_one};
use turnto::rest::{ClosedRules, RuleSet, Sweep, Timeline, findings};
use turnto::rng::Stream;
use turnto::time::{Minutes, Moment, Span};

/// Rest checks by the ship-year.
#[derive(Parser, Debug)]
struct Args {
    /// Ships, of so many people each.
    #[arg(long, default_value_t = 20)]
    ships: u32,
    /// People of a ship.
    #[arg(long, default_value_t = 22)]
    people: u32,
    /// Days of each record.
    #[arg(long, default_value_t = 365)]
    days: i32,
    /// Start of the random choices.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

/// A year of one person: watches of four hours twice a day or day work with a break, with call-outs, drills and short
/// nights in between; sorted.
fn record(rng: &mut Stream, days: i32) -> Vec<Span> {
    let watch = rng.below(2) == 0;
    let first = i32::try_from(rng.below(12)).unwrap_or(0) * 60;
    let mut work = Vec::new();
    let mut add = |from: i32, length: i32| work.extend(Span::of(Moment::new(from), Minutes::new(length)));
    for day in 0..days {
        let midnight = day * 1440;
        let late = i32::try_from(rng.below(13)).unwrap_or(0) * 5;
        if watch {
            add(midnight + first, 240);
            add(midnight + first + 720, 240 + late);
        } else if rng.below(7) > 0 {
            add(midnight + 480, 240);
            add(midnight + 780, 240 + late);
        }
        match rng.below(12) {
            0 => add(midnight + i32::try_from(rng.below(288)).unwrap_or(0) * 5, 60),
            1 => add(midnight + 600, 45),
            _ => {}
        }
    }
    work.sort_unstable();
    work
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// Processor time of this process so far, where the system tells, so that other work on the machine does not count.
fn processor_time() -> Option<Duration> {
    let text = fs::read_to_string("/proc/self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}

fn timed(mut work: impl FnMut() -> usize) -> (Duration, usize) {
    let mut found = 0;
    let mut times = Vec::new();
    for _ in 0..5 {
        let (start, begun) = (Instant::now(), processor_time());
        found = work();
        let used = begun.zip(processor_time()).map(|(begun, now)| now.saturating_sub(begun));
        times.push(used.unwrap_or_else(|| start.elapsed()));
    }
    (median(times), found)
}

/// A number to be divided.
fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

/// Most memory the process ever held, in MB, where the system tells.
fn most_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse::<u64>().ok().map(|kb| kb / 1024)
}

fn main() {
    let args = Args::parse();
    let mut rng = Stream::new(args.seed, 0);
    let people = args.ships * args.people;
    let records: Vec<Vec<Span>> = (0..people).map(|_| record(&mut rng, args.days)).collect();
    let rows: usize = records.iter().map(Vec::len).sum();
    let days = f64::from(people) * f64::from(args.days);
    println!("{} ships, {people} people, {days:.0} person-days, {rows} rows; median of five runs, processor time of one core", args.ships);
    let day_one = NaiveDate::from_ymd_opt(2027, 1, 4).expect("a date");
    let clock = ShipClock::new(day_one, Minutes::ZERO, Vec::new()).expect("a clock");
    let scope = Span::of(Moment::ORIGIN, Minutes::new(args.days * 1440)).expect("days");

    println!("\n| rule set, in memory | person-days a second | findings |\n|---|---|---|");
    for code in ["stcw-mlc-rest", "mlc-work", "both", "under-18", "shore-eu"] {
        let set = RuleSet::by_code(code).expect("built in");
        let rules = ClosedRules::new(&set).expect("closed");
        let mut sweep = Sweep::new(&rules, &clock, scope);
        let (time, found) = timed(|| records.iter().map(|work| sweep.findings(work, &[]).len()).sum());
        let naive = findings(&set, &Timeline::new(&set, records[0].clone(), &[]).on_clock(clock.clone()), scope).len();
        assert_eq!(sweep.findings(&records[0], &[]).len(), naive, "the naive checker finds the same");
        println!("| `{code}` | {:.1} million | {found} |", days / time.as_secs_f64() / 1e6);
    }

    let mut stream = b"ship,person,from,to,kind,note\n".to_vec();
    let clock = ShipClock::new(stream_day_one(), Minutes::ZERO, Vec::new()).expect("a clock");
    for (number, work) in records.iter().enumerate() {
        let (ship, person) = (number / args.people as usize, number % args.people as usize);
        for span in work {
            let [from, to] = [span.start(), span.end()].map(|at| clock.local(at).format("%Y-%m-%dT%H:%M+00:00"));
            stream.extend(format!("Ship {ship:03},P{person:02},{from},{to},duty,\n").bytes());
        }
    }
    println!(
        "\n| rule set, one stream of {:.0} MB | rows a second | person-days a second | findings |\n|---|---|---|---|",
        count(stream.len()) / 1e6
    );
    for code in ["stcw-mlc-rest", "both", "ibf"] {
        let set = RuleSet::by_code(code).expect("built in");
        let (time, found) = timed(|| {
            let mut lines = stream.split(|byte| *byte == b'\n');
            let columns = StreamRows::begin(lines.next().expect("a first line")).expect("columns");
            let mut fleet = Fleet::new(&set);
            for line in lines {
                if let Some(row) = columns.row(line).expect("sound rows") {
                    fleet.push(&row).expect("usable rows");
                }
            }
            fleet.finish().iter().map(turnto::hours::ShipHours::windows).sum()
        });
        let seconds = time.as_secs_f64();
        println!("| `{code}` | {:.2} million | {:.2} million | {found} |", count(rows) / seconds / 1e6, days / seconds / 1e6);
    }
    if let Some(mb) = most_memory() {
        println!("\nmost memory of this benchmark, which holds all records and the stream itself: {mb} MB");
    }
}
