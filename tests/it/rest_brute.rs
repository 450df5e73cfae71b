//! Every minute of a timeline, by brute force, against the checkers: a second reading of the rules that shares nothing
//! with them but the numbers.
//!
//! A few timelines of every rule set and reading are tried in each run; `TURNTO_TIMELINES=10000` tries so many of each.

use turnto::clock::ShipClock;
use turnto::input::own_rules;
use turnto::rest::rule::{Between, Kind, Limit, NightWork};
use turnto::rest::{
    ClosedRules, Counted, Divided, Edge, Exactly, Finding, Readings, RuleSet, ShortGap, Sweep, Timeline, Windows, findings,
};
use turnto::time::{Minutes, Moment, Span};

use crate::support::dice::Dice;

/// Minutes before the first day of a timeline, and after its last, that are looked at: all of them rest.
const MARGIN: i32 = 8 * 1440;

/// Days of a timeline.
const DAYS: i32 = 6;

/// A stretch of minutes, from and to.
type Run = (i32, i32);

/// A rest without end.
const ENDLESS: i32 = 1_000_000;

/// A timeline minute by minute.
struct Bitmap {
    /// Runs of work.
    work: Vec<Run>,
    /// Runs of minutes that are no rest.
    taken: Vec<Run>,
    /// Runs of minutes of work, or in a gap too short to be rest.
    filled: Vec<Run>,
    /// Minutes of each, before each minute.
    work_before: Vec<i32>,
    taken_before: Vec<i32>,
    filled_before: Vec<i32>,
}

const LEN: i32 = DAYS * 1440 + 2 * MARGIN;

fn index(minute: i32) -> usize {
    usize::try_from((minute + MARGIN).clamp(0, LEN)).unwrap()
}

/// Runs of equal true minutes.
fn runs(minutes: &[bool]) -> Vec<Run> {
    let mut all: Vec<Run> = Vec::new();
    for (i, on) in minutes.iter().enumerate() {
        let minute = i32::try_from(i).unwrap() - MARGIN;
        if *on {
            match all.last_mut() {
                Some((_, end)) if *end == minute => *end = minute + 1,
                _ => all.push((minute, minute + 1)),
            }
        }
    }
    all
}

fn before(minutes: &[bool]) -> Vec<i32> {
    let mut sums = vec![0];
    for on in minutes {
        sums.push(sums.last().unwrap() + i32::from(*on));
    }
    sums
}

impl Bitmap {
    fn new(work: &[Run], breaks: &[Run], min_rest: i32) -> Self {
        let mut at_work = vec![false; usize::try_from(LEN).unwrap()];
        let mut on_break = at_work.clone();
        for (list, minutes) in [(work, &mut at_work), (breaks, &mut on_break)] {
            for (from, to) in list {
                for minute in *from..*to {
                    minutes[index(minute)] = true;
                }
            }
        }
        let work = runs(&at_work);
        let (mut taken, mut filled) = (at_work.clone(), at_work.clone());
        for pair in work.windows(2) {
            let (from, to) = (pair[0].1, pair[1].0);
            let named = (from..to).all(|minute| on_break[index(minute)]);
            if to - from < min_rest || named {
                (from..to).for_each(|minute| taken[index(minute)] = true);
            }
            if to - from < min_rest {
                (from..to).for_each(|minute| filled[index(minute)] = true);
            }
        }
        let (work_before, taken_before, filled_before) = (before(&at_work), before(&taken), before(&filled));
        Self { work, work_before, taken_before, filled_before, taken: runs(&taken), filled: runs(&filled) }
    }

    fn filled_in(&self, (from, to): Run) -> i32 {
        self.filled_before[index(to)] - self.filled_before[index(from)]
    }

    fn work_in(&self, (from, to): Run) -> i32 {
        self.work_before[index(to)] - self.work_before[index(from)]
    }

    fn rest_in(&self, (from, to): Run) -> i32 {
        (to - from) - (self.taken_before[index(to)] - self.taken_before[index(from)])
    }

    /// Lengths of the rests that share a minute with a window, cut at its edges or whole; longest first.
    fn rests(&self, (from, to): Run, edge: Edge) -> Vec<i32> {
        let mut gaps: Vec<Run> = Vec::new();
        let mut since = -ENDLESS;
        for (start, end) in &self.taken {
            gaps.push((since, *start));
            since = *end;
        }
        gaps.push((since, ENDLESS));
        let touching = gaps.into_iter().filter(|(a, b)| *a < to && from < *b);
        let mut lengths: Vec<i32> = match edge {
            Edge::Part => touching.map(|(a, b)| b.min(to) - a.max(from)).collect(),
            Edge::Whole => touching.map(|(a, b)| b - a).collect(),
        };
        lengths.sort_unstable_by(|a, b| b.cmp(a));
        lengths
    }
}

/// The windows of a reading. Day 1 is a Monday, and days are those of a clock without changes. `every` stands for "every
/// moment", where a reading means that: it is then taken at its word.
fn windows(reading: Windows, length: i32, anchors: &[Run], every: bool) -> Vec<Run> {
    let forward = |from: i32| (from, from + length);
    match reading {
        Windows::Anchored if every => (1 - length..DAYS * 1440).map(forward).collect(),
        Windows::EveryMinute => (1 - MARGIN..DAYS * 1440 + MARGIN - length).map(forward).collect(),
        Windows::Anchored => anchors.iter().flat_map(|(from, to)| [forward(*from), forward(*to - length)]).collect(),
        Windows::AfterRest(rest) => {
            let rested = |i: usize| i == 0 || anchors[i].0 - anchors[i - 1].1 >= rest.get();
            (0..anchors.len()).filter(|i| rested(*i)).map(|i| forward(anchors[i].0)).collect()
        }
        Windows::FirstWorkOfDay => {
            let day = |i: usize| anchors[i].0.div_euclid(1440);
            (0..anchors.len()).filter(|i| *i == 0 || day(*i) != day(*i - 1)).map(|i| forward(anchors[i].0)).collect()
        }
        Windows::Calendar => {
            let step = if length < 7 * 1440 { 1440 } else { 7 * 1440 };
            (-2..=DAYS + 2).map(|n| forward(n * step)).filter(|(from, to)| *from < DAYS * 1440 + MARGIN && *to > -MARGIN).collect()
        }
        Windows::BackFromWorkStart => anchors.iter().map(|(from, _)| forward(*from - length)).collect(),
    }
}

/// The worst that a rule finds: the least where it asks for a least, else the most; `None` where it has no window.
fn worst(kind: &Kind, map: &Bitmap) -> Option<i32> {
    let list = |reading: Windows, length: Minutes, every: bool| windows(reading, length.get(), &map.taken, every);
    match kind {
        Kind::TotalRest(rule) => {
            let every = rule.edge == Edge::Part;
            let found = |window| if every { map.rest_in(window) } else { map.rests(window, rule.edge).into_iter().sum() };
            list(rule.windows, rule.window, every).into_iter().map(found).min()
        }
        Kind::BestRests(rule) => {
            let best = |window| map.rests(window, rule.edge).into_iter().take(rule.count).sum();
            list(rule.windows, rule.window, false).into_iter().map(best).min()
        }
        Kind::LongestRest(rule) => {
            let longest = |window| map.rests(window, rule.edge).first().copied().unwrap_or(0);
            list(rule.windows, rule.window, false).into_iter().map(longest).min()
        }
        Kind::RestCount(rule) => {
            let unit = rule.unit.get();
            let counted = |window| map.rests(window, Edge::Part).into_iter().map(|rest| rest / unit * unit).sum();
            list(rule.windows, rule.window, false).into_iter().map(counted).min()
        }
        Kind::RestPeriods(rule) => {
            let beyond = |window| map.rests(window, Edge::Part).into_iter().skip(rule.count).sum();
            list(rule.windows, rule.window, false).into_iter().map(beyond).max()
        }
        Kind::RestInterval(_) => map.taken.iter().map(|(from, to)| to - from).max(),
        Kind::MostWork(rule) => {
            let (anchors, filled) = match rule.short_gap {
                ShortGap::Neither => (&map.work, false),
                ShortGap::Work => (&map.filled, true),
            };
            let length = rule.window.get();
            let found = |window: Run| if filled { map.filled_in(window) } else { map.work_in(window) };
            windows(rule.windows, length, anchors, true).into_iter().map(found).max()
        }
        Kind::UnbrokenWork(rule) => {
            let mut longest: Option<i32> = None;
            let (mut from, mut sum, mut end) = (0, 0, i32::MIN);
            for (start, to) in &map.work {
                if end == i32::MIN || start - end >= rule.least_break.get() {
                    (from, sum) = (*start, 0);
                }
                sum += to - start;
                end = *to;
                let found = if rule.between == Between::Counts { end - from } else { sum };
                longest = Some(longest.unwrap_or(0).max(found));
            }
            longest
        }
        Kind::NightWork(NightWork { from, to, .. }) => {
            let night = |day: i32| {
                let end = if to > from { day * 1440 + to.get() } else { (day + 1) * 1440 + to.get() };
                map.work_in((day * 1440 + from.get(), end))
            };
            (-2..=DAYS + 2).map(night).max()
        }
        Kind::SplitExcepted(_) | Kind::WeekExcepted(_) => panic!("exceptions have tests of their own"),
    }
}

/// Work of some days at five-minute times: regular days, watches, or strays; some of it overlapping.
fn work(dice: &mut Dice) -> Vec<Run> {
    let mut work = Vec::new();
    match dice.number(0, 2) {
        0 => {
            let (start, length) = (dice.number(0, 150) * 5, dice.number(100, 200) * 5);
            work.extend((0..DAYS - 1).map(|day| (day * 1440 + start, day * 1440 + start + length.min(1440))));
        }
        1 => {
            let (on, cycle) = dice.pick(&[(240, 720), (360, 720), (240, 480)]);
            let first = dice.number(0, 100) * 5;
            work.extend((0..(DAYS - 1) * 1440 / cycle).map(|n| (first + n * cycle, first + n * cycle + on)));
        }
        _ => {}
    }
    for _ in 0..dice.number(1, 9) {
        let (from, length) = (dice.number(0, (DAYS - 1) * 288) * 5, dice.number(1, 60) * 5);
        work.push((from, from + length));
    }
    work
}

/// Every built-in set as it is, and the usual ones in every other reading.
fn sets() -> Vec<(String, RuleSet)> {
    let rest = RuleSet::stcw_mlc_rest();
    let mut all: Vec<(String, RuleSet)> =
        RuleSet::codes().map(|code| (code.to_owned(), RuleSet::by_code(code).expect("built in"))).collect();
    let six = Windows::AfterRest(Minutes::hours(6));
    for (name, readings) in [
        ("A1 after six hours", Readings { day: six, ..Readings::default() }),
        ("A1 first work of day", Readings { day: Windows::FirstWorkOfDay, ..Readings::default() }),
        ("A1 calendar", Readings { day: Windows::Calendar, ..Readings::default() }),
        ("A1 back from work", Readings { day: Windows::BackFromWorkStart, ..Readings::default() }),
        ("A2 calendar", Readings { week: Windows::Calendar, ..Readings::default() }),
        ("A3 every minute", Readings { split: Windows::EveryMinute, ..Readings::default() }),
        ("A3 calendar", Readings { split: Windows::Calendar, ..Readings::default() }),
        ("A4 all rest", Readings { divided: Divided::AllRest, ..Readings::default() }),
        ("A7 whole", Readings { edge: Edge::Whole, ..Readings::default() }),
    ] {
        all.push((name.to_owned(), rest.read_as(readings)));
    }
    let both = RuleSet::by_code("both").expect("built in");
    all.push(("A16 fails".to_owned(), both.read_as(Readings { exactly: Exactly::Fails, ..Readings::default() })));
    all.push(("A6 work".to_owned(), both.read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() })));
    let own = own_rules(OWN);
    assert!(own.diagnostics.is_empty() && own.sets.len() == 3, "{:?}", own.diagnostics);
    all.extend(own.sets.into_iter().map(|set| (set.code.clone(), set)));
    let mut parts = rest.into_parts();
    parts.min_rest = Minutes::new(30);
    all.push(("A5 half an hour".to_owned(), RuleSet::new(parts).expect("a sound set")));
    all
}

/// A user's own sets, as they are written: the road and the air (from memory, as in the tests of reading), and one with
/// every kind of rule and odd numbers.
const OWN: &str = r#"
[set.road]
name = "road haulage"
source = "Regulation (EC) No 561/2006"
least_rest = 0.25
rule.break     = { kind = "unbroken work", at_most = 4.5, break = "45 min", gaps = "do not count" }
rule.day       = { kind = "unbroken work", at_most = 9, break = 9, gaps = "do not count" }
rule.week      = { kind = "work", within = 168, at_most = 56, windows = "calendar" }
rule.two-weeks = { kind = "work", within = 336, at_most = 90, windows = "calendar" }
rule.rest      = { kind = "longest rest", within = 24, at_least = 9, windows = "after 9 h of rest" }

[set.air]
name = "air crew"
source = "14 CFR part 117"
rule.168h   = { kind = "work", within = 168, at_most = 60 }
rule.weekly = { kind = "longest rest", within = 168, at_least = 30, windows = "back from work" }
rule.before = { kind = "longest rest", within = 10, at_least = 10, windows = "back from work" }

[set.odd]
name = "odd numbers"
source = "invented"
least_rest = "40 min"
rule.total    = { kind = "total rest", within = 31, at_least = 14 }
rule.best     = { kind = "best rests", periods = 3, within = 26, at_least = 11 }
rule.long     = { kind = "longest rest", within = 72, at_least = 12 }
rule.count    = { kind = "rest count", within = 60, each = 7, count = 3 }
rule.periods  = { kind = "rest periods", within = 24, periods = 2 }
rule.interval = { kind = "rest interval", at_most = "13 h 35" }
rule.unbroken = { kind = "unbroken work", at_most = 7, break = "20 min" }
rule.night    = { kind = "night work", between = "22:30-05:00", at_most = 3 }
rule.first    = { kind = "best rests", periods = 1, within = 24, at_least = 8, windows = "first work of day" }
"#;

fn span((from, to): Run) -> Span {
    Span::new(Moment::new(from), Moment::new(to)).expect("a run has a length")
}

/// How many timelines of each set and reading are tried.
#[expect(clippy::disallowed_methods, reason = "a person may ask for the long run")]
fn timelines() -> u64 {
    std::env::var("TURNTO_TIMELINES").ok().and_then(|text| text.parse().ok()).unwrap_or(25)
}

/// The worst of what a checker found by rule; `None` where the rule is kept.
fn worst_found(set: &RuleSet, found: &[Finding]) -> Vec<Option<i32>> {
    let worst = |rule: usize| found.iter().filter(|f| f.rule == rule).max_by_key(|f| f.shortfall()).map(|f| f.found.get());
    (0..set.rules.len()).map(worst).collect()
}

/// If this fails, a checker overlooks a breach, sees one that is not there, or gives another figure for the worst than
/// counting every minute gives.
#[test]
fn every_minute_by_brute_force_finds_the_same() {
    let scope = span((-MARGIN, DAYS * 1440 + MARGIN));
    let clock = ShipClock::new(chrono::NaiveDate::from_ymd_opt(2001, 1, 1).expect("a Monday"), Minutes::ZERO, Vec::new()).expect("a clock");
    for (number, (name, set)) in sets().into_iter().enumerate() {
        let closed = ClosedRules::new(&set).ok();
        let mut dice = Dice::new(u64::try_from(number).unwrap());
        let mut broken = vec![0_u64; set.rules.len()];
        for round in 0..timelines() {
            let work = work(&mut dice);
            let lunch = dice.once_in(3);
            let breaks: Vec<Run> = if lunch { (0..DAYS).map(|day| (day * 1440 + 720, day * 1440 + 790)).collect() } else { Vec::new() };
            let map = Bitmap::new(&work, &breaks, set.min_rest.get());
            let expected: Vec<Option<i32>> = set
                .rules
                .iter()
                .map(|rule| worst(&rule.kind, &map).filter(|found| !rule.kind.limit().passes(Minutes::new(*found))))
                .collect();
            let mut spans: Vec<Span> = work.iter().copied().map(span).collect();
            spans.sort_unstable();
            let named: Vec<Span> = breaks.iter().copied().map(span).collect();
            let timeline = Timeline::new(&set, spans.clone(), &named).on_clock(clock.clone());
            let naive = findings(&set, &timeline, scope);
            assert_eq!(worst_found(&set, &naive), expected, "{name}, timeline {round}: {work:?}");
            if let Some(rules) = &closed {
                assert_eq!(Sweep::new(rules, &clock, scope).findings(&spans, &named), naive, "{name}, timeline {round}: {work:?}");
            }
            broken.iter_mut().zip(&expected).for_each(|(count, found)| *count += u64::from(found.is_some()));
        }
        // A test that never sees a rule broken, or never kept, shows little: but for averages over months.
        let seen = |(rule, count): (usize, &u64)| *count > 0 || set.rules[rule].kind.window().is_some_and(|w| w > Minutes::WEEK);
        assert!(broken.iter().enumerate().filter(|row| seen(*row)).count() * 2 > set.rules.len(), "{name}: {broken:?}");
    }
}

/// Work is at multiples of five minutes, so that limits are met exactly often enough. If this fails, exactly the limit passes
/// where it is read to fail, or something else changed with it.
#[test]
fn exactly_the_limit_fails_by_brute_force_where_it_is_read_so() {
    let scope = span((-MARGIN, DAYS * 1440 + MARGIN));
    let mut met = 0;
    for (number, code) in RuleSet::codes().enumerate() {
        let plain = RuleSet::by_code(code).expect("built in");
        let strict = plain.read_as(Readings { exactly: Exactly::Fails, ..plain.readings });
        let mut dice = Dice::new(1000 + u64::try_from(number).unwrap());
        for round in 0..timelines() {
            let work = work(&mut dice);
            let map = Bitmap::new(&work, &[], plain.min_rest.get());
            let spans: Vec<Span> = work.iter().copied().map(span).collect();
            let found = worst_found(&strict, &findings(&strict, &Timeline::new(&strict, spans, &[]), scope));
            for (rule, found) in plain.rules.iter().zip(found) {
                let worst = worst(&rule.kind, &map);
                // Numbers of rests are no hours, and nothing is less than no work.
                let (whole, required) = (matches!(rule.kind, Kind::RestCount(_)), rule.kind.limit().required());
                let fails = |worst: &i32| match rule.kind.limit() {
                    Limit::AtLeast(limit) => *worst < limit.get() || (*worst == limit.get() && !whole),
                    Limit::AtMost(limit) => *worst > limit.get() || (*worst == limit.get() && !limit.is_zero()),
                };
                met += u32::from(worst == Some(required.get()) && !whole);
                assert_eq!(found, worst.filter(fails), "{code} {}, timeline {round}: {work:?}", rule.code);
            }
        }
    }
    assert!(met > 10, "limits were met exactly {met} times only");
}

/// What a clock shows that is put forward or back at a minute: runs of its own minutes in place of elapsed ones.
fn shown(list: &[Run], at: i32, by: i32) -> Vec<Run> {
    let mut elapsed = vec![false; usize::try_from(LEN).unwrap()];
    for (from, to) in list {
        (*from..*to).for_each(|minute| elapsed[index(minute)] = true);
    }
    let mut faces = vec![false; elapsed.len()];
    for minute in -MARGIN..DAYS * 1440 + MARGIN {
        if elapsed[index(minute)] {
            faces[index(if minute < at { minute } else { minute + by })] = true;
        }
    }
    // What is left out was worked if what is around it was.
    if elapsed[index(at - 1)] && elapsed[index(at)] {
        (at..at + by).for_each(|face| faces[index(face)] = true);
    }
    runs(&faces)
}

/// If this fails, hours are counted otherwise than the ship's clock shows them, minute by minute, where that is the reading.
#[test]
fn hours_as_the_clock_shows_them_by_brute_force() {
    let scope = span((-MARGIN, DAYS * 1440 + MARGIN));
    let day_one = chrono::NaiveDate::from_ymd_opt(2001, 1, 1).expect("a Monday");
    let six = Windows::AfterRest(Minutes::hours(6));
    let others = [six, Windows::FirstWorkOfDay, Windows::Calendar, Windows::BackFromWorkStart, Windows::Anchored];
    let (mut dice, mut differ) = (Dice::new(77), 0);
    for day in others {
        let readings = Readings { counted: Counted::Shown, day, ..Readings::default() };
        for code in ["stcw-mlc-rest", "both", "under-18"] {
            let set = RuleSet::by_code(code).expect("built in").read_as(readings);
            for round in 0..timelines() {
                let (at, by) = (dice.number(24, 120) * 60, dice.pick(&[60, -60, 30, -120]));
                let change = turnto::clock::ClockChange { at: Moment::new(at), offset: Minutes::new(by) };
                let clock = ShipClock::new(day_one, Minutes::ZERO, vec![change]).expect("a clock");
                let work = work(&mut dice);
                let lunch: Vec<Run> = (0..DAYS).map(|day| (day * 1440 + 720, day * 1440 + 790)).collect();
                let map = Bitmap::new(&shown(&work, at, by), &shown(&lunch, at, by), set.min_rest.get());
                let expected: Vec<Option<i32>> = set
                    .rules
                    .iter()
                    .map(|rule| worst(&rule.kind, &map).filter(|found| !rule.kind.limit().passes(Minutes::new(*found))))
                    .collect();
                let line = |set: &RuleSet| {
                    let spans = work.iter().copied().map(span).collect();
                    Timeline::new(set, spans, &lunch.iter().copied().map(span).collect::<Vec<_>>()).on_clock(clock.clone())
                };
                let found = worst_found(&set, &findings(&set, &line(&set), scope));
                assert_eq!(found, expected, "{code} {day:?}, timeline {round}, {by} at {at}: {work:?}");
                let elapsed = set.read_as(Readings { counted: Counted::Elapsed, ..readings });
                differ += u32::from(worst_found(&elapsed, &findings(&elapsed, &line(&elapsed), scope)) != expected);
            }
        }
    }
    assert!(differ > 20, "the reading made a difference {differ} times only");
}
