//! The incremental checker against the naive one, on random timelines.

use proptest::prelude::*;
use proptest::test_runner::TestCaseError;

use crate::clock::{ClockChange, ShipClock};
use crate::rest::rule::{
    BestRests, Between, Kind, LongestRest, MostWork, NightWork, RestCount, RestInterval, Rule, TotalRest, UnbrokenWork,
};
use crate::rest::{
    ClosedRules, Edge, Line, LineInput, Readings, RuleSet, RuleSetParts, ShortGap, Sweep, Timeline, Windows, findings, judge,
};
use crate::time::{Minutes, Moment, Span};

/// What is done to a line.
#[derive(Clone, Copy, Debug)]
enum Step {
    /// Ask, and insert if it fits.
    Fit(Span),
    /// Insert, whatever comes of it.
    Force(Span),
    /// Ask only.
    Ask(Span),
    /// Ask for a call.
    Call(Moment, Minutes),
    /// Remember the state.
    Mark,
    /// Go back to the last state remembered.
    Undo,
}

/// A person's past and duties, and what is done.
#[derive(Clone, Debug)]
struct Case {
    recorded: Vec<Span>,
    fixed: Vec<Span>,
    breaks: Vec<Span>,
    scope: Span,
    steps: Vec<Step>,
}

fn span(from: i32, length: i32) -> Span {
    Span::of(Moment::new(from), Minutes::new(length)).expect("the tests make no empty span")
}

/// Spans of whole five minutes from day `from` to day `to`, some kept as short as five minutes.
fn any_span(from: i32, to: i32) -> impl Strategy<Value = Span> {
    let length = prop_oneof![2 => 1..12i32, 6 => 12..60i32, 3 => 60..110i32, 1 => 110..200i32];
    (from * 288..to * 288, length).prop_map(|(start, length)| span(start * 5, length * 5))
}

/// Spans on whole half hours, as the planner makes them.
fn slot_span(from: i32, to: i32) -> impl Strategy<Value = Span> {
    (from * 48..to * 48, 1..12i32).prop_map(|(start, length)| span(start * 30, length * 30))
}

/// A working day: so many hours from about the same hour, with or without a lunch hour.
fn day(number: i32, start: i32, length: i32, lunch: bool) -> Vec<Span> {
    let from = number * 1440 + start * 5;
    if lunch && length > 72 { vec![span(from, 240), span(from + 300, length * 5 - 240)] } else { vec![span(from, length * 5)] }
}

/// Regular days, from light ones to the thirteen hours that leave nothing of the week, and a few strays.
fn past() -> impl Strategy<Value = Vec<Span>> {
    let days = (prop_oneof![Just(156), 100..157i32, 160..175i32], 60..100i32, any::<bool>(), -9..-5i32);
    let regular = days.prop_map(|(length, start, lunch, first)| (first..0).flat_map(|d| day(d, start, length, lunch)).collect());
    let strays = prop::collection::vec(any_span(-9, 1), 0..14);
    prop_oneof![3 => (regular, prop::collection::vec(any_span(-9, 1), 0..2)).prop_map(|(a, b): (Vec<Span>, _)| [a, b].concat()), 2 => strays]
}

/// Turns of four hours, or of six on and six off, or strays; apart.
fn duties() -> impl Strategy<Value = Vec<Span>> {
    let watch = |on: i32, cycle: i32, first: i32, until: i32| (0..until * 1440 / cycle).map(|n| span(first + n * cycle, on)).collect();
    let regular = (prop_oneof![Just((240, 720)), Just((360, 720)), Just((240, 1440))], 0..24i32, 1..12i32)
        .prop_map(move |((on, cycle), first, until)| watch(on, cycle, first * 30, until));
    prop_oneof![regular, prop::collection::vec(any_span(0, 12), 0..6).prop_map(crate::time::union), Just(Vec::new())]
}

fn breaks() -> impl Strategy<Value = Vec<Span>> {
    let daily = (-9..14i32).flat_map(|d| [span(d * 1440 + 600, 15), span(d * 1440 + 720, 60), span(d * 1440 + 1080, 90)]);
    prop_oneof![Just(daily.collect::<Vec<_>>()), Just(Vec::new())]
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let any = || prop_oneof![any_span(-1, 9), slot_span(0, 9), slot_span(0, 9)];
    let call = (0..9 * 48i32, 1..14i32).prop_map(|(at, length)| Step::Call(Moment::new(at * 30), Minutes::new(length * 30)));
    let step = prop_oneof![
        8 => any().prop_map(Step::Fit),
        1 => any().prop_map(Step::Force),
        3 => any().prop_map(Step::Ask),
        4 => call,
        1 => Just(Step::Mark),
        2 => Just(Step::Undo),
    ];
    prop::collection::vec(step, 1..24)
}

fn case() -> impl Strategy<Value = Case> {
    let scope = (0..3i32, 4..12i32).prop_map(|(from, to)| span(from * 240, to * 1440));
    (past(), duties(), breaks(), scope, steps()).prop_map(|(recorded, fixed, breaks, scope, steps)| Case {
        recorded,
        fixed,
        breaks,
        scope,
        steps,
    })
}

/// The clock goes forward an hour on day 3 and back on day 6.
fn clock() -> ShipClock {
    let change = |day: i32, offset: i32| ClockChange { at: Moment::new(day * 1440 + 120), offset: Minutes::new(offset) };
    let day_one = chrono::NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date");
    ShipClock::new(day_one, Minutes::ZERO, vec![change(2, 60), change(5, 0)]).expect("a clock")
}

/// Every kind of rule the incremental checker takes, with odd numbers, and a shortest rest of half an hour.
fn mixed() -> RuleSet {
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    let hours = Minutes::hours;
    let kinds = [
        Kind::TotalRest(TotalRest { window: hours(48), at_least: hours(21), windows, edge }),
        Kind::TotalRest(TotalRest { window: hours(24), at_least: hours(9), windows: Windows::Calendar, edge }),
        Kind::BestRests(BestRests { window: hours(30), count: 3, at_least: hours(11), windows, edge }),
        Kind::LongestRest(LongestRest { window: hours(168), at_least: hours(14), windows, edge }),
        Kind::RestCount(RestCount { window: hours(72), unit: hours(7), count: 2, windows }),
        Kind::RestInterval(RestInterval { at_most: Minutes::new(15 * 60 + 25) }),
        Kind::MostWork(MostWork { window: hours(72), at_most: hours(43), windows, short_gap: ShortGap::Work }),
        Kind::MostWork(MostWork { window: hours(24), at_most: hours(15), windows, short_gap: ShortGap::Neither }),
        Kind::UnbrokenWork(UnbrokenWork { at_most: hours(9), least_break: Minutes::new(20), between: Between::Counts }),
        Kind::UnbrokenWork(UnbrokenWork { at_most: hours(7), least_break: Minutes::new(45), between: Between::Not }),
        Kind::NightWork(NightWork { from: hours(22), to: hours(4), at_most: Minutes::new(210) }),
    ];
    let rule = |(number, kind)| Rule { code: format!("r{number}"), kind, source: "none".to_owned() };
    let rules = kinds.into_iter().enumerate().map(rule).collect();
    let text = || "mixed".to_owned();
    let (readings, own, permit) = (Readings::default(), true, None);
    let parts = RuleSetParts { code: text(), name: text(), source: text(), min_rest: Minutes::new(30), rules, readings, own, permit };
    RuleSet::new(parts).expect("the numbers make sense")
}

fn timeline(set: &RuleSet, case: &Case, work: &[Span]) -> Timeline {
    Timeline::new(set, work.to_vec(), &case.breaks).on_clock(clock())
}

/// Whether no finding counts against `work`, by the naive checker.
fn naive_clean(set: &RuleSet, case: &Case, work: &[Span]) -> bool {
    judge(set, &timeline(set, case, work), &timeline(set, case, &case.recorded), case.scope).counting.is_empty()
}

/// The meaning of a call, written out: cut off at `at`, the call, the duties after it; against the same
/// without the call.
fn naive_call(set: &RuleSet, case: &Case, work: &[Span], at: Moment, length: Minutes) -> bool {
    let call = Span::of(at, length).expect("a call is not empty");
    let cut = work.iter().filter_map(|w| Span::new(w.start(), w.end().min(at)));
    let after = case.fixed.iter().copied().filter(|f| f.start() >= call.end());
    let without: Vec<Span> = cut.chain(after).collect();
    let with: Vec<Span> = without.iter().copied().chain([call]).collect();
    let old = findings(set, &timeline(set, case, &without), call);
    findings(set, &timeline(set, case, &with), call).iter().all(|f| old.iter().any(|o| f.no_worse_than(o)))
}

/// How often each answer was given, so that a test cannot pass by always hearing the same one.
#[derive(Default, Debug)]
struct Answers {
    fits: [usize; 2],
    calls: [usize; 2],
}

fn play(set: &RuleSet, case: &Case, answers: &mut Answers) -> Result<(), TestCaseError> {
    let rules = ClosedRules::new(set).expect("the readings are closed");
    let mut line = Line::new(LineInput {
        rules: &rules,
        recorded: &case.recorded,
        fixed: &case.fixed,
        breaks: &case.breaks,
        scope: case.scope,
        clock: &clock(),
    });
    let mut work = [case.recorded.clone(), case.fixed.clone()].concat();
    let mut marks = Vec::new();
    // A line stays unclean until undone, also where work past the end of the scope would move a broken
    // window out of it.
    let mut clean = naive_clean(set, case, &work);
    let mut sweep = Sweep::new(&rules, &clock(), case.scope);
    for &step in &case.steps {
        prop_assert_eq!(line.is_clean(), clean, "before {:?}", step);
        match step {
            Step::Fit(span) | Step::Ask(span) | Step::Force(span) => {
                let fits = clean && naive_clean(set, case, &[work.clone(), vec![span]].concat());
                answers.fits[usize::from(fits)] += usize::from(clean);
                prop_assert_eq!(line.fits(span), fits, "{:?}", step);
                if matches!(step, Step::Force(_)) || (matches!(step, Step::Fit(_)) && fits) {
                    line.insert(span);
                    work.push(span);
                    clean = fits;
                }
            }
            Step::Call(at, length) => {
                let fits = naive_call(set, case, &work, at, length);
                answers.calls[usize::from(fits)] += 1;
                prop_assert_eq!(line.call_fits(at, length, &case.fixed), fits, "{:?}", step);
            }
            Step::Mark => marks.push((line.mark(), work.clone(), clean)),
            Step::Undo => {
                if let Some((mark, before, was_clean)) = marks.pop() {
                    line.undo(mark);
                    (work, clean) = (before, was_clean);
                }
            }
        }
        let whole = timeline(set, case, &work);
        prop_assert_eq!(line.blocks(), whole.blocks());
        prop_assert_eq!(line.work(), whole.work());
        let mut sorted = work.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sweep.findings(&sorted, &case.breaks), findings(set, &whole, case.scope));
    }
    Ok(())
}

/// Plays `cases` random cases and asks that each answer was given often.
fn agree(set: &RuleSet, cases: u32) {
    let mut answers = Answers::default();
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let cell = std::cell::RefCell::new(&mut answers);
    let result = runner.run(&case(), |case| play(set, &case, &mut cell.borrow_mut()));
    if let Err(error) = result {
        panic!("{error}");
    }
    let least = cases as usize / 8;
    assert!(answers.fits.iter().chain(&answers.calls).all(|&n| n >= least), "one-sided: {answers:?}");
}

/// If it fails, the planner and the verifier disagree on the default rules.
#[test]
fn agrees_on_rest_rules() {
    agree(&RuleSet::stcw_mlc_rest(), 600);
}

/// If it fails, the planner and the verifier disagree on limits on work, which look at pieces, not blocks.
#[test]
fn agrees_on_both_regimes() {
    agree(&RuleSet::by_code("both").expect("built in"), 300);
}

/// If it fails, the planner and the verifier disagree where short gaps are work, and longer named breaks neither.
#[test]
fn agrees_where_short_gaps_are_work() {
    let both = RuleSet::by_code("both").expect("built in");
    agree(&both.read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() }), 300);
}

/// At most 14 h of work in 24 (MLC 2006 Standard A2.3 paragraph 5(a)), where short gaps are work: 06:00 to 17:00 with an hour
/// of lunch by name leaves four hours for a call in the evening, since "hours of work" leave short breaks out (paragraph 1).
/// If it fails, whoever went to lunch cannot be called for as long as he may be.
#[test]
fn a_named_lunch_takes_nothing_from_a_call() {
    let mut parts = RuleSet::by_code("mlc-work").expect("built in").into_parts();
    parts.rules.retain(|rule| rule.code == "work-24h");
    let set = RuleSet::new(parts).expect("one rule").read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() });
    let rules = ClosedRules::new(&set).expect("closed");
    let (work, lunch, scope) = ([span(360, 360), span(780, 240)], [span(720, 60)], span(0, 1440));
    let at = Moment::new(19 * 60);
    for (breaks, longest) in [(&lunch[..], 240), (&[], 240), (&[span(715, 30)], 240)] {
        let line = Line::new(LineInput { rules: &rules, recorded: &[], fixed: &work, breaks, scope, clock: &clock() });
        let case = Case { recorded: Vec::new(), fixed: work.to_vec(), breaks: breaks.to_vec(), scope, steps: Vec::new() };
        for length in [longest, longest + 1].map(Minutes::new) {
            let fits = length == Minutes::new(longest);
            assert_eq!((line.call_fits(at, length, &work), naive_call(&set, &case, &work, at, length)), (fits, fits), "{length}");
        }
    }
}

/// A company's order on top of the rest rules: a larger total in the window of the split, as the last rule.
///
/// If it fails, the planner and the verifier disagree where a total does not follow from the split beside it.
#[test]
fn agrees_on_a_total_beyond_the_split() {
    let mut parts = RuleSet::stcw_mlc_rest().into_parts();
    let total = TotalRest { window: Minutes::DAY, at_least: Minutes::hours(11), windows: Windows::Anchored, edge: Edge::Part };
    parts.rules[0].kind = Kind::TotalRest(total);
    parts.rules.rotate_left(1);
    agree(&RuleSet::new(parts).expect("the numbers make sense"), 400);
}

/// If it fails, the planner and the verifier disagree on some other kind of rule.
#[test]
fn agrees_on_every_kind() {
    agree(&mixed(), 300);
}

/// A day worker who knocks off at 20:00 and turns to at 08:00 may be called at 02:00 for one hour and a half
/// (worked out: 20:00 to 02:00 is 6 h, 03:30 to 08:00 is 4.5 h, together 10.5 h), but not at 01:30 (5.5 + 5 h,
/// no six hours). What may be dropped after the call does not matter, what may not does. If it fails, people
/// are called who may not be.
#[test]
fn calls_in_the_night() {
    let rules = ClosedRules::new(&RuleSet::stcw_mlc_rest()).expect("closed");
    let lunch = span(1440 + 720, 60);
    let day = |d: i32| [span(d * 1440 + 480, 240), span(d * 1440 + 780, 420)];
    let fixed = [day(0), day(1)].concat();
    let input = LineInput {
        rules: &rules,
        recorded: &[],
        fixed: &fixed,
        breaks: &[span(720, 60), lunch],
        scope: span(0, 2 * 1440),
        clock: &clock(),
    };
    let line = Line::new(input);
    let call = |hour: i32, minute: i32, tail: &[Span]| line.call_fits(Moment::new(1440 + hour * 60 + minute), Minutes::new(90), tail);
    assert!(call(2, 0, &fixed));
    assert!(!call(1, 30, &fixed));
    // A turn at 06:00 leaves 6 + 2.5 h around the call; a task there is dropped.
    let mut busy = line.clone();
    let start = busy.mark();
    let early = span(1440 + 360, 60);
    busy.insert(early);
    let at = Moment::new(1440 + 120);
    assert!(busy.is_clean() && busy.call_fits(at, Minutes::new(90), &fixed));
    assert!(!busy.call_fits(at, Minutes::new(90), &[day(0).as_slice(), &[early], &day(1)].concat()));
    busy.undo(start);
    assert!(busy.is_clean() && busy.blocks() == line.blocks());
}
