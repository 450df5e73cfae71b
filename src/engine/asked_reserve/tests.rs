//! When people and hours are asked for, where a stand-by does not keep to the slots, or the clock not to the day.

use crate::clock::{ClockChange, Day, ShipClock};
use crate::engine::calls::tests::demo;
use crate::engine::ground::Ground;
use crate::model::{Problem, When};
use crate::time::{Minutes, Span};

/// If this fails, nobody is asked for in slots that a stand-by of all hands only touches: the verifier asks for people there.
#[test]
fn a_stand_by_frees_the_slots_inside_it() {
    let mut parts = demo("1 OOW, 1 GEN", "2").into_parts();
    let mode = parts.mode_spans.first().expect("a mode holds").1;
    parts.mode_spans = vec![(Span::new(parts.start, parts.layout_end).expect("it lasts"), mode)];
    let from = parts.start + Minutes::new(26 * 60 + 15);
    let duty = parts.duties.iter_mut().find(|d| d.all_hands).expect("arrival has all hands out");
    duty.when = When::Fixed(Span::of(from, Minutes::new(90)).expect("it lasts"));
    let problem = Problem::new(parts).expect("it hangs together");
    let ground = Ground::new(&problem);
    let free: Vec<usize> = (0..ground.len).filter(|s| ground.reserve.at[*s].is_none()).collect();
    assert_eq!(free, [53, 54], "10:30 to 11:30 of day 2");
}

/// If this fails, hours that stay unbooked are looked for on the wrong day once the clock has been set back over midnight: 00:30
/// of day 2 becomes 23:30, and the day goes on. And each day asks for six hours all the same, the one of 25 hours too.
#[test]
fn days_follow_one_another_though_the_clock_goes_back_over_midnight() {
    let mut parts = demo("1 OOW, 1 GEN", "2").into_parts();
    let midnight = parts.clock.day_span(Day::new(2)).start();
    let change = ClockChange { at: midnight + Minutes::new(30), offset: Minutes::hours(2) };
    parts.clock = ShipClock::new(parts.clock.day_one(), Minutes::hours(3), vec![change]).expect("a clock");
    for mode in parts.modes.iter_mut() {
        if let Some(reserve) = &mut mode.reserve {
            (reserve.unbooked, reserve.hours) = (Minutes::hours(6), (Minutes::ZERO, Minutes::DAY));
        }
    }
    let (first, anchor) = parts.mode_spans[0];
    // A mode that changes in the middle of a day asks for its share of it, and rounds nothing by itself.
    let middle = midnight + Minutes::hours(80) + Minutes::new(7);
    let halves = [Span::new(first.start(), middle), Span::new(middle, parts.layout_end)];
    parts.mode_spans = halves.into_iter().flatten().map(|span| (span, anchor)).collect();
    let problem = Problem::new(parts).expect("it hangs together");
    let ground = Ground::new(&problem);
    assert_eq!(ground.day_starts.len(), ground.n_days + 1);
    for day in 1..ground.n_days {
        let span = problem.clock.day_span(Day::new(i32::try_from(day).expect("few days") + 1));
        assert_eq!(ground.moment(ground.day_starts[day]), span.start(), "day {}", day + 1);
        let whole = span.end() <= problem.latest_end;
        assert!(!whole || ground.reserve.unbooked[day] == 360, "day {}: {}", day + 1, ground.reserve.unbooked[day]);
    }
}
