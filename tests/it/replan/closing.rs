//! Closing up early: what is left out, what has to be done, and that it can be planned.

use turnto::id::TaskId;
use turnto::model::{CloseUp, Stop, Task};
use turnto::plan::Spell;
use turnto::replan::{Closing, Left, Overnight, State, StopPoint, close_up, night, overnight};
use turnto::time::{Minutes, Moment, Slots, Span};
use turnto::verify::verify;

use crate::replan::stage::{at, demo_plan, first_plan, left, task, with_log};

/// Spells of a task of the first plan, in order of time.
fn spells(code: &str) -> Vec<&'static Spell> {
    let (problem, plan) = demo_plan();
    let id = task(problem, code).expect("it is in the job");
    let mut spells: Vec<&Spell> = plan.spells.iter().filter(|s| s.task == id).collect();
    spells.sort_by_key(|s| s.span());
    spells
}

fn end(code: &str) -> Moment {
    spells(code).last().expect("it is planned").span().end()
}

fn closing(now: Moment) -> Closing {
    let (whole, standing) = with_log("");
    match close_up(&whole, &standing, now, 0) {
        Ok(StopPoint::Open(closing)) => *closing,
        other => panic!("{other:?}"),
    }
}

fn row<'a>(closing: &'a Closing, code: &str) -> Option<&'a Task> {
    closing.problem.tasks.iter().find(|t| t.code == code)
}

/// If this fails, there is something to close up before the set is out, or after it is back.
#[test]
fn nothing_is_open_before_the_set_is_stopped_and_after_it_is_back() {
    let (whole, standing) = with_log("");
    let out = spells("A05")[0].span().start();
    for now in [demo_plan().0.start, out] {
        assert!(matches!(close_up(&whole, &standing, now, 0), Ok(StopPoint::NothingOpen)), "{now:?}");
    }
    assert!(matches!(close_up(&whole, &standing, end("A60"), 0), Ok(StopPoint::NothingOpen)));
    // Half an hour later it is stopped, and what is not begun is left out but the load test and the hand-back.
    let early = closing(out + Minutes::new(30));
    assert!(row(&early, "A60").is_some() && row(&early, "A58").is_some());
    assert!(row(&early, "A10").is_none() && row(&early, "A48").is_none() && row(&early, "A59").is_none());
}

/// If this fails, heads that were never lifted are to be fitted, or lifted ones are forgotten.
#[test]
fn between_parts_the_rest_is_left_out_and_as_many_are_put_back_as_were_opened() {
    let drawn = spells("A14");
    assert_eq!(drawn.len(), 3, "each piston is a part");
    let base = &demo_plan().0;
    let lengths = base.tasks[task(base, "A44").expect("it is there")].part_lengths();
    for (done, spell) in (1..3_usize).zip(&drawn) {
        let part = closing(spell.span().end());
        let told_next = drawn[done].span().start() == spell.span().end();
        assert!(row(&part, "A14").is_none(), "after {done} parts no further piston is drawn, told next at once: {told_next}");
        let refit = row(&part, "A44").expect("what was drawn is fitted");
        assert_eq!(refit.stop, Stop::Parts(u32::try_from(done).expect("few")));
        assert_eq!(refit.length, Slots::new(lengths[..done].iter().map(|l| l.count()).sum()));
        assert!(row(&part, "A45").is_none() && row(&part, "A43").is_none(), "no other piston and no liner was touched");
        assert!(row(&part, "A46").is_some() && row(&part, "A59").is_some(), "check and running-in are not left out");
    }
    let all = closing(drawn[2].span().end());
    assert_eq!(row(&all, "A44").map(|t| t.length), base.tasks.iter().find(|t| t.code == "A44").map(|t| t.length));
}

/// If this fails, a piston hangs in the crane when everybody goes to close up.
#[test]
fn the_part_under_way_is_brought_to_its_end_and_put_back() {
    let second = spells("A14")[1];
    let now = second.work[0].start() + Minutes::new(30);
    assert!(now < second.span().end(), "a piston takes an hour");
    let half = closing(now);
    let going = row(&half, "A14").expect("it goes on");
    assert_eq!((going.stop, going.length), (Stop::Parts(1), going.under_way.as_ref().expect("by its team").left));
    assert_eq!(row(&half, "A44").map(|t| t.stop), Some(Stop::Parts(2)), "the first and this one");
}

/// What `close_up` in tasks.toml says, for one task that is left at that moment, put once more.
fn has_to_be_done(whole: &[Task], left: &[Left], id: usize) -> bool {
    let begun = |t: &TaskId| left[turnto::id::Id::index(*t)].begun;
    match &whole[id].close_up {
        CloseUp::Needed => true,
        CloseUp::LeftOut => {
            begun(&turnto::id::Id::from_index(id)) && (left[id].under_way.is_some() || !matches!(left[id].stop, Stop::Parts(_)))
        }
        CloseUp::PutsBack(opened) => {
            let opened = opened
                .iter()
                .any(|t| begun(t) || has_to_be_done(whole, left, turnto::id::Id::index(*t)) && left[turnto::id::Id::index(*t)].is_open());
            opened || begun(&turnto::id::Id::from_index(id))
        }
    }
}

/// If this fails, from some half day on tasks get lost or are done for nothing, or no legal plan closes up.
#[test]
fn from_every_half_day_closing_up_is_a_job_that_can_be_planned() {
    let (whole, standing) = with_log("");
    let table: Vec<Task> = whole.parts.tasks.iter().cloned().collect();
    let mut planned = 0;
    for now in (2..9).flat_map(|day| [at(day, 0, 0), at(day, 12, 0)]) {
        let rest = left(&whole, &standing, now);
        let closing = closing(now);
        assert_eq!(closing.problem.tasks.len() + closing.left_out.len(), rest.problem.tasks.len());
        let stood: Vec<Left> = rest.left.iter().cloned().collect();
        for (id, row) in stood.iter().enumerate().filter(|(_, l)| l.state == State::Open) {
            let there = closing.problem.tasks.iter().any(|t| t.code == table[id].code);
            assert_eq!(there, has_to_be_done(&table, &stood, id), "{} at {now:?}: {row:?}", table[id].code);
        }
        assert!(closing.problem.milestones.is_empty(), "dates of the whole job say nothing of closing up");
        let verified = verify(&closing.problem, first_plan(&closing.problem)).expect("it is legal");
        assert!(verified.account().finish > now);
        planned += 1;
    }
    assert_eq!(planned, 14);
}

/// If this fails, a part that lunch pauses at the very moment of planning again is thought impossible.
#[test]
fn a_part_paused_at_the_very_moment_goes_on_after_lunch() {
    let (problem, plan) = demo_plan();
    let in_parts = |s: &&Spell| matches!(problem.tasks[s.task].stop, Stop::Parts(_)) && s.work.len() > 1;
    let spell = plan.spells.iter().find(in_parts).expect("lunch falls into a part of the first plan");
    let (whole, standing) = with_log("");
    let rest = left(&whole, &standing, spell.work[0].end());
    let id = task(&rest.problem, &problem.tasks[spell.task].code).expect("it is under way");
    let again = first_plan(&rest.problem);
    let first = again.spells.iter().filter(|s| s.task == id).min_by_key(|s| s.span()).expect("it goes on");
    assert_eq!((first.span().start(), &first.team), (spell.work[1].start(), &spell.team));
    assert!(verify(&rest.problem, again).is_ok());
}

/// If this fails, something is interrupted in the night that must not be.
#[test]
fn the_soak_and_the_running_in_are_named_as_not_to_be_interrupted() {
    let (problem, plan) = demo_plan();
    let named = |now: Moment| overnight(problem, plan, night(problem, now));
    let code = |id: TaskId| problem.tasks[id].code.as_str();
    let filled = end("A20");
    assert!(
        named(filled).iter().any(|o| matches!(o, Overnight::Held { tool, until, span, .. }
            if problem.tools[*tool].code == "SOAK" && code(*until) == "A22" && span.end() == end("A22"))),
        "the tank is full"
    );
    let running = spells("A59")[0].span();
    let tonight = night(problem, running.start());
    if running.overlaps(tonight) {
        assert!(
            named(running.start())
                .iter()
                .any(|o| matches!(o, Overnight::ByItself { task, attended_by: Some(_), .. } if code(*task) == "A59"))
        );
    }
    // No spell that may stop at any time is among them.
    for day in 1..9 {
        let night = night(problem, at(day, 14, 0));
        assert_eq!(Some(night), Span::new(at(day, 18, 0), at(day + 1, 8, 0)));
        for one in overnight(problem, plan, night) {
            assert!(one.span().overlaps(night));
            if let Overnight::Spell { task, .. } = one {
                assert!(!matches!(problem.tasks[task].stop, Stop::Any { .. }));
            }
        }
    }
    assert_eq!(night(problem, at(3, 2, 0)), Span::new(at(3, 2, 0), at(3, 8, 0)).expect("what is left of it"));
}
