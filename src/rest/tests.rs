//! The rules themselves: what the readings mean, what is closed, and what must not change anything.

use chrono::NaiveDate;
use proptest::prelude::*;

use crate::clock::{ClockChange, ShipClock};
use crate::rest::rule::{Kind, Limit, MostWork, RestPeriods, TotalRest};
use crate::rest::{
    CallOuts, ClosedRules, Counted, Departure, Divided, Drills, Edge, Emergencies, Exactly, Finding, OnCall, Readings, RuleSet,
    RuleSetError, ShortGap, Timeline, Unknown, Windows, figures, findings, judge, uncheckable_before,
};
use crate::time::{Minutes, Moment, Span};

mod exceptions;
mod own;
mod readings;

fn span(from: i32, to: i32) -> Span {
    Span::new(Moment::new(from), Moment::new(to)).expect("the tests make no empty span")
}

/// Spans given in hours.
fn hours(spans: &[(i32, i32)]) -> Vec<Span> {
    spans.iter().map(|&(from, to)| span(from * 60, to * 60)).collect()
}

fn everything() -> Span {
    span(-30 * 1440, 40 * 1440)
}

fn default_findings(work: Vec<Span>, breaks: &[Span]) -> Vec<Finding> {
    let set = RuleSet::stcw_mlc_rest();
    findings(&set, &Timeline::new(&set, work, breaks), everything())
}

fn broken(set: &RuleSet, work: Vec<Span>) -> Vec<bool> {
    let found = findings(set, &Timeline::new(set, work, &[]), everything());
    (0..set.rules.len()).map(|rule| found.iter().any(|finding| finding.rule == rule)).collect()
}

/// Up to ten days of work at five-minute times, dense enough that most cases break something.
fn work() -> impl Strategy<Value = Vec<Span>> {
    let piece =
        (0..10 * 288i32, prop_oneof![1..20i32, 20..100i32, 100..180i32]).prop_map(|(from, length)| span(from * 5, (from + length) * 5));
    let regular =
        (60..170i32, 0..288i32).prop_map(|(length, from)| (0..9).map(move |d| span(d * 1440 + from * 5, d * 1440 + (from + length) * 5)));
    prop_oneof![
        2 => prop::collection::vec(piece.clone(), 1..24),
        1 => (regular, prop::collection::vec(piece, 0..4)).prop_map(|(a, b)| a.chain(b).collect()),
    ]
}

fn piece() -> impl Strategy<Value = Span> {
    (0..10 * 288i32, 1..120i32).prop_map(|(from, length)| span(from * 5, (from + length) * 5))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// If it fails, a plan that is legal so far may become legal only through more work, and the planner,
    /// which gives up on the first finding, would miss plans (or worse, the rule is wrong).
    #[test]
    fn more_work_cures_nothing(work in work(), more in piece()) {
        let closed = RuleSet::codes().filter_map(RuleSet::by_code).filter(|set| ClosedRules::new(set).is_ok());
        for set in closed {
            let before = broken(&set, work.clone());
            let after = broken(&set, [work.clone(), vec![more]].concat());
            prop_assert!(before.iter().zip(&after).all(|(before, after)| *after || !before), "{}", set.code);
        }
    }

    /// If it fails, more work makes less of what counts as work where short gaps are.
    #[test]
    fn more_work_cures_nothing_where_short_gaps_are_work(work in work(), more in piece()) {
        let set = RuleSet::by_code("both").expect("built in").read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() });
        let breaks: Vec<Span> = (0..11).map(|day| span(day * 1440 + 720, day * 1440 + 765)).collect();
        let filled = |work: Vec<Span>| Timeline::new(&set, work, &breaks).filled().to_vec();
        let (before, after) = (filled(work.clone()), filled([work, vec![more]].concat()));
        prop_assert!(before.iter().all(|span| span.without(&after).is_empty()), "{:?} {:?}", before, after);
    }

    /// If it fails, a finding depends on the date, or windows are laid out from the wrong place.
    #[test]
    fn whole_days_shift_findings(work in work(), days in -3..4i32) {
        let by = Minutes::new(days * 1440);
        let moved = |span: Span| Span::new(span.start() + by, span.end() + by).expect("as long as before");
        for day in [Windows::Anchored, Windows::FirstWorkOfDay, Windows::Calendar, Windows::BackFromWorkStart] {
            let set = RuleSet::stcw_mlc_rest().read_as(Readings { day, ..Readings::default() });
            let here = findings(&set, &Timeline::new(&set, work.clone(), &[]), everything());
            let there = findings(&set, &Timeline::new(&set, work.iter().copied().map(moved).collect(), &[]), moved(everything()));
            let expected: Vec<Finding> = here.into_iter().map(|f| Finding { window: moved(f.window), ..f }).collect();
            prop_assert_eq!(there, expected);
        }
    }

    /// If it fails, how work is written down changes what is found.
    #[test]
    fn cutting_and_order_change_nothing(work in work(), at in 0..10 * 288i32) {
        let at = Moment::new(at * 5);
        let mut cut: Vec<Span> = work.iter().flat_map(|s| [Span::new(s.start(), s.end().min(at)), Span::new(s.start().max(at), s.end())]).flatten().collect();
        cut.reverse();
        prop_assert_eq!(default_findings(cut, &[]), default_findings(work, &[]));
    }

    /// If it fails, the figures that are shown and the findings contradict one another.
    #[test]
    fn figures_agree_with_findings(work in work()) {
        let set = RuleSet::stcw_mlc_rest();
        let timeline = Timeline::new(&set, work, &[]);
        let found = findings(&set, &timeline, everything());
        let shown = figures(&timeline, everything());
        let broken = |rule: usize| found.iter().any(|f| f.rule == rule);
        prop_assert_eq!(broken(0), shown.least_24h < Minutes::hours(10));
        prop_assert_eq!(broken(1), shown.best_two_24h < Minutes::hours(10));
        prop_assert_eq!(broken(2), shown.longest_24h < Minutes::hours(6));
        prop_assert_eq!(broken(4), shown.least_7d < Minutes::hours(77));
        if let Some(from) = shown.least_24h_from.filter(|_| broken(0)) {
            prop_assert!(found.iter().any(|f| f.rule == 0 && f.window.start() == from && f.found == shown.least_24h));
        }
    }
}

proptest! {
    // Every minute of two weeks, four times: few cases.
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Windows that reach only minutes into what is looked at start and end with no work in it, and count all the same.
    ///
    /// If it fails, the least rest that is shown is not the least there is.
    #[test]
    fn figures_are_the_least_of_every_minute(work in work(), from in -2000..9000i32, length in 1..9000i32) {
        let timeline = Timeline::new(&RuleSet::stcw_mlc_rest(), work, &[]);
        let scope = span(from, from + length);
        let shown = figures(&timeline, scope);
        for (window, found, at) in [
            (Minutes::DAY, shown.least_24h, shown.least_24h_from),
            (Minutes::WEEK, shown.least_7d, shown.least_7d_from),
        ] {
            let every = Kind::TotalRest(TotalRest { window, at_least: Minutes::ZERO, windows: Windows::EveryMinute, edge: Edge::Part });
            let measured = every.measure(&timeline, scope);
            prop_assert_eq!(Some(found), measured.iter().map(|m| m.found).min());
            let named = measured.iter().find(|m| Some(m.window.start()) == at);
            prop_assert_eq!(named.map_or(window, |m| m.found), found, "the window that is named");
        }
    }

    /// If it fails, "at every moment" and "at starts and ends of work" are not the same rule for sums, and the
    /// default reading is not what it says.
    #[test]
    fn anchors_are_every_moment(work in work()) {
        let set = RuleSet::stcw_mlc_rest();
        let timeline = Timeline::new(&set, work, &[]);
        let scope = span(-1440, 12 * 1440);
        for (length, edge, short_gap) in [(Minutes::DAY, Edge::Part, ShortGap::Neither), (Minutes::WEEK, Edge::Part, ShortGap::Work)] {
            let rest = |windows| Kind::TotalRest(TotalRest { window: length, at_least: Minutes::ZERO, windows, edge });
            let most = |windows| Kind::MostWork(MostWork { window: length, at_most: Minutes::ZERO, windows, short_gap });
            let worst = |kind: Kind| {
                let found = kind.measure(&timeline, scope).into_iter().map(|m| m.found);
                if matches!(kind.limit(), Limit::AtLeast(_)) { found.min() } else { found.max() }
            };
            prop_assert_eq!(worst(rest(Windows::Anchored)), worst(rest(Windows::EveryMinute)));
            prop_assert_eq!(worst(most(Windows::Anchored)), worst(most(Windows::EveryMinute)));
        }
    }
}

/// If it fails, a reading that is not closed is thought to be, or one was changed: for each there is a
/// timeline on which more work cures a finding.
#[test]
fn readings_that_are_not_closed() {
    let day = |day| RuleSet::stcw_mlc_rest().read_as(Readings { day, ..Readings::default() });
    let all_rest = RuleSet::stcw_mlc_rest().read_as(Readings { divided: Divided::AllRest, ..Readings::default() });
    let split_all = all_rest.rules.iter().position(|rule| matches!(rule.kind, Kind::RestPeriods(_))).expect("it was added");
    let cases = [
        // From 03:00 there are 9 h of rest; with work from 00:00 to 02:00 the window starts at 00:00 and holds
        // 1 + 9 h, and no other start has six hours off before it but 15:00, from where there are 12 h.
        (day(Windows::AfterRest(Minutes::hours(6))), 0, hours(&[(3, 6), (15, 27)]), hours(&[(0, 2)])),
        // The same: the day is counted from 00:00 instead of 03:00.
        (day(Windows::FirstWorkOfDay), 0, hours(&[(3, 6), (15, 27)]), hours(&[(0, 2)])),
        // Back from 22:00 of day 1 there are 9 h; joined with the work before, 22:00 is no start any more.
        (day(Windows::BackFromWorkStart), 0, hours(&[(-2, 13), (22, 24)]), hours(&[(13, 22)])),
        // Rests of 1, 2 and 8 h are three; without the first they are two.
        (all_rest, split_all, hours(&[(8, 12), (13, 18), (20, 24), (32, 36)]), hours(&[(12, 13)])),
    ];
    for (set, rule, before, more) in cases {
        assert!(broken(&set, before.clone())[rule], "{}: broken before", set.rules[rule].kind.text());
        assert!(!broken(&set, [before, more].concat())[rule], "{:?}: cured", set.readings);
    }
}

/// If it fails, a gap counts as rest that must not, or the other way round.
#[test]
fn gaps_between_work() {
    let set = RuleSet::stcw_mlc_rest();
    let blocks = |work: &[(i32, i32)], breaks: &[(i32, i32)]| {
        let spans = |list: &[(i32, i32)]| list.iter().map(|&(from, to)| span(from, to)).collect::<Vec<_>>();
        Timeline::new(&set, spans(work), &spans(breaks)).blocks().len()
    };
    // An hour is rest, a minute less is not.
    assert_eq!(blocks(&[(0, 100), (160, 200)], &[]), 2);
    assert_eq!(blocks(&[(0, 100), (159, 200)], &[]), 1);
    // A lunch hour is no rest when the gap is that break alone; nor is a gap inside a longer break.
    assert_eq!(blocks(&[(600, 720), (780, 900)], &[(720, 780)]), 1);
    assert_eq!(blocks(&[(600, 725), (790, 900)], &[(720, 800)]), 1);
    // Work that ends a minute before the break makes the gap longer than the break.
    assert_eq!(blocks(&[(600, 719), (780, 900)], &[(720, 780)]), 2);
    // Two breaks that touch are one.
    assert_eq!(blocks(&[(600, 720), (800, 900)], &[(720, 760), (760, 800)]), 1);
}

/// If it fails, the lunch hour of a day worker becomes one of the two rests, or work.
#[test]
fn a_named_break_is_neither_work_nor_rest() {
    // 06:00 to 12:00 and 13:00 to 21:00, lunch between: a block of 15 h, over the 14 h between rests.
    let work = hours(&[(6, 12), (13, 21)]);
    let with = default_findings(work.clone(), &hours(&[(12, 13)]));
    assert!(with.iter().any(|f| f.rule == 3 && f.found == Minutes::hours(15) && f.required == Minutes::hours(14)), "{with:?}");
    assert_eq!(default_findings(work.clone(), &[]), Vec::new());
    // To the limits on work the hour is no work: 14 h in 24 pass, also where short gaps are read as work.
    let set = RuleSet::by_code("mlc-work").expect("built in");
    let strict = set.read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() });
    let most = |set: &RuleSet, work: &[Span], breaks: &[Span]| {
        let found = findings(set, &Timeline::new(set, work.to_vec(), breaks), everything());
        found.iter().filter(|f| set.rules[f.rule].code == "work-24h").map(|f| f.found).max()
    };
    for set in [&set, &strict] {
        assert_eq!(most(set, &work, &hours(&[(12, 13)])), None);
    }
    // 06:00 to 12:00 and 12:40 to 20:40: the gap is too short to be rest. Read as work it makes 14 h 40, by name or not.
    let short = [span(360, 720), span(760, 1240)];
    let minutes = |found: i32| Some(Minutes::new(found));
    assert_eq!((most(&set, &short, &[]), most(&strict, &short, &[])), (None, minutes(880)));
    assert_eq!(most(&strict, &short, &[span(720, 760)]), minutes(880));
    assert_eq!(most(&strict, &short, &[span(730, 760)]), minutes(880));
}

/// If it fails, a plan is blamed for what was worked before it, or excused for making it worse.
#[test]
fn findings_of_the_record_do_not_count_unless_made_worse() {
    let set = RuleSet::stcw_mlc_rest();
    let scope = span(0, 3 * 1440);
    // The record: 15 h up to midnight before the plan begins, then rest.
    let record = hours(&[(-15, 0)]);
    let judged = |more: &[(i32, i32)]| {
        let recorded = Timeline::new(&set, record.clone(), &[]);
        let whole = Timeline::new(&set, [record.clone(), hours(more)].concat(), &[]);
        judge(&set, &whole, &recorded, scope)
    };
    // The window from -15:00 reaches to 09:00: 9 h of rest, one too few, but so the record leaves it.
    let free = judged(&[(10, 12)]);
    assert_eq!(free.counting, Vec::new());
    assert!(free.recorded.iter().any(|f| f.rule == 0 && f.found == Minutes::hours(9)));
    // Work from 08:00 takes one more hour of that window.
    let worse = judged(&[(8, 10)]);
    assert!(worse.counting.iter().any(|f| f.rule == 0 && f.found == Minutes::hours(8)));
}

/// If it fails, a plan is called checked although it may break a rule with what was worked before the record.
#[test]
fn unknown_time_is_tried_as_work() {
    let set = RuleSet::stcw_mlc_rest();
    let scope = span(0, 12 * 1440);
    let known = |work: &[(i32, i32)], from: i32| {
        let timeline = Timeline::new(&set, hours(work), &[]);
        uncheckable_before(&set, &timeline, &[], Moment::new(from * 60), scope)
    };
    // Nothing known before the start, 8 h of work each day from 08:00. The window of 168 h that ends at 16:00
    // of day 5 holds the rest since the start, 112 - 40 = 72 h; a day later 88 h, which is enough.
    let days: Vec<(i32, i32)> = (0..8).map(|d| (d * 24 + 8, d * 24 + 16)).collect();
    assert_eq!(known(&days, 0), Some(Moment::new(4 * 1440 + 16 * 60)));
    // With a week and more on record everything can be checked.
    assert_eq!(known(&days, -200), None);
}

/// If it fails, calendar days do not follow the ship's clock.
#[test]
fn a_day_of_23_hours() {
    let day_one = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date");
    let change = ClockChange { at: Moment::new(120), offset: Minutes::new(60) };
    let clock = ShipClock::new(day_one, Minutes::ZERO, vec![change]).expect("a clock");
    let set = RuleSet::stcw_mlc_rest().read_as(Readings { day: Windows::Calendar, ..Readings::default() });
    // The clock goes forward at 02:00: day 1 has 23 hours and ends at 23:00 of elapsed time. Work from 09:00 to
    // 22:30 of elapsed time leaves 9.5 h of it; with 24 hours 10.5 h would be left.
    let timeline = Timeline::new(&set, vec![span(540, 1350)], &[]);
    assert_eq!(findings(&set, &timeline, everything()), Vec::new());
    let found = findings(&set, &timeline.on_clock(clock), everything());
    assert_eq!(found, vec![Finding { rule: 0, window: span(0, 1380), found: Minutes::new(570), required: Minutes::hours(10) }]);
}

/// If it fails, a rule set with nonsense in it is taken, or a built-in one is refused.
#[test]
fn sets_are_checked() {
    for set in RuleSet::codes().filter_map(RuleSet::by_code) {
        assert_eq!(RuleSet::new(set.clone().into_parts()), Ok(set));
    }
    let mut parts = RuleSet::stcw_mlc_rest().into_parts();
    parts.min_rest = Minutes::ZERO;
    parts.rules[1].code = "24h".to_owned();
    parts.rules[2].kind = Kind::RestPeriods(RestPeriods { window: Minutes::DAY, count: 9, windows: Windows::Anchored });
    let errors = RuleSet::new(parts).expect_err("three things are wrong");
    assert!(matches!(errors[0], RuleSetError::MinRest { .. }));
    assert!(matches!(&errors[1], RuleSetError::RuleCode { rule, .. } if rule == "24h"));
    assert!(matches!(&errors[2], RuleSetError::Rule { rule, .. } if rule == "6h"));
    assert_eq!(errors.len(), 3);
}

/// If it fails, the planner takes a set that is not closed, or refuses one that is.
#[test]
fn which_sets_steer_the_planner() {
    let refused: Vec<&str> =
        RuleSet::codes().filter(|code| RuleSet::by_code(code).is_none_or(|set| ClosedRules::new(&set).is_err())).collect();
    assert_eq!(refused, ["ibf"]);
    let errors = ClosedRules::new(&RuleSet::by_code("ibf").expect("built in")).expect_err("it is not closed");
    assert_eq!(errors.iter().map(|error| error.rule.as_str()).collect::<Vec<_>>(), ["24h"]);
}

/// If it fails, the numbers of a built-in set were changed. Sources are with the sets.
#[test]
fn what_built_in_sets_ask_for() {
    let texts = |code: &str| -> Vec<String> {
        let set = RuleSet::by_code(code).expect("built in");
        assert!(!set.name.is_empty() && !set.source.is_empty() && set.rules.iter().all(|rule| !rule.source.is_empty()));
        set.rules.iter().map(|rule| rule.kind.text()).collect()
    };
    let rest = [
        "at least 10 h of rest in any 24 h",
        "at least 10 h of rest in at most 2 periods of any 24 h",
        "a rest of at least 6 h in any 24 h",
        "at most 14 h between two rests",
        "at least 77 h of rest in any 168 h",
    ];
    let work = ["at most 14 h of work in any 24 h", "at most 72 h of work in any 168 h"];
    let with = |more: &[&'static str]| [&rest[..], more].concat();
    assert_eq!(texts("stcw-mlc-rest"), rest);
    assert_eq!(texts("mlc-work"), [&work[..], &rest[1..4]].concat());
    assert_eq!(texts("both"), with(&work));
    let ibf = ["at least 10 h of rest in any 24 h, from the start of work after at least 6 h off"];
    assert_eq!(texts("ibf"), [&ibf[..], &rest[1..]].concat());
    assert_eq!(texts("us-tanker"), with(&["at most 15 h of work in any 24 h", "at most 36 h of work in any 72 h"]));
    assert_eq!(texts("offshore-de"), with(&["at most 12 h of work in any 24 h", "at most 84 h of work in any 168 h"]));
    assert_eq!(texts("offshore-no"), ["a rest of at least 11 h in any 24 h"]);
    let young = |week: &'static str, off: &'static str| {
        let run = "at most 4 h 30 of work without a break of 0 h 30";
        with(&["at most 8 h of work in any 24 h", week, run, "at most 0 h of work between 20:00 and 06:00", off])
    };
    let one_off = "at least 1 × 24 h of unbroken rest in any 168 h";
    let two_off = "at least 2 × 24 h of unbroken rest in any 168 h";
    assert_eq!(texts("under-18-de-sea"), young("at most 48 h of work in any 168 h", one_off));
    assert_eq!(texts("under-18-de-port"), young("at most 40 h of work in any 168 h", two_off));
    assert_eq!(texts("under-18-dk"), with(&["a rest of at least 12 h in any 24 h", two_off]));
    let guideline = [
        "at most 8 h of work in any 24 h",
        "at most 40 h of work in any 168 h",
        "at most 2 h of work without a break of 0 h 15",
        "at most 0 h of work between 21:00 and 06:00",
    ];
    assert_eq!(texts("under-18"), with(&guideline));
    let shore = [
        "a rest of at least 11 h in any 24 h",
        "a rest of at least 35 h in any 168 h",
        "at most 6 h of work without a break of 0 h 20",
        "at most 816 h of work in any 2856 h",
    ];
    assert_eq!(texts("shore-eu"), shore);
    let canada = ["a rest of at least 6 h in any 24 h", "at least 16 h of rest in any 48 h", "at most 18 h between two rests"];
    assert_eq!(texts("canada-domestic"), canada);
}

/// If it fails, a reading has no name to print, or two share one.
#[test]
fn readings_have_names() {
    let set = RuleSet::stcw_mlc_rest();
    let default = set.reading_lines();
    assert!(default.iter().all(|(number, text)| number.starts_with('A') && !text.is_empty()));
    for other in [
        Readings { day: Windows::Calendar, ..Readings::default() },
        Readings { week: Windows::Calendar, ..Readings::default() },
        Readings { split: Windows::EveryMinute, ..Readings::default() },
        Readings { divided: Divided::AllRest, ..Readings::default() },
        Readings { short_gap: ShortGap::Work, ..Readings::default() },
        Readings { edge: Edge::Whole, ..Readings::default() },
        Readings { drills: Drills::Exempt, ..Readings::default() },
        Readings { on_call: OnCall::Work, ..Readings::default() },
        Readings { call_outs: CallOuts::BelowLeast, ..Readings::default() },
        Readings { emergencies: Emergencies::Nothing, ..Readings::default() },
        Readings { emergencies: Emergencies::Removes, ..Readings::default() },
        Readings { counted: Counted::Shown, ..Readings::default() },
        Readings { exactly: Exactly::Fails, ..Readings::default() },
        Readings { departure: Departure::SixInTwelve, ..Readings::default() },
        Readings { unknown: Unknown::Rest, ..Readings::default() },
    ] {
        assert_ne!(default, set.read_as(other).reading_lines(), "{other:?}");
    }
    assert_eq!(RuleSet::stcw_mlc_rest().read_as(Readings::default()), RuleSet::stcw_mlc_rest());
}
