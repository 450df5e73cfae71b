//! Plans read back from files may hold anything: the verifier judges nonsense without a panic.

use proptest::prelude::*;

use turnto::id::{Id, PersonId, TaskId};
use turnto::model::Problem;
use turnto::plan::{OnHand, Plan, Spell};
use turnto::time::{Minutes, Moment, Span};
use turnto::verify::verify;

use crate::verify::fixture::Fixture;

/// Moments in the job, around it, and as far away as numbers go.
fn moment() -> impl Strategy<Value = Moment> {
    let in_job = (0_i32..12 * 48).prop_map(|slot| Moment::new(slot * 30));
    let near = (-20_000_i32..60_000).prop_map(Moment::new);
    let anywhere = any::<i32>().prop_map(Moment::new);
    let edge = prop::sample::select(vec![i32::MIN, i32::MIN + 1, i32::MAX - 1, i32::MAX]).prop_map(Moment::new);
    prop_oneof![12 => in_job, 4 => near, 1 => anywhere, 1 => edge]
}

/// Stretches between any two moments, most of them short.
fn span() -> impl Strategy<Value = Span> {
    let short = (moment(), 1_i32..20).prop_map(|(start, slots)| Span::new(start, Moment::new(start.minutes().saturating_add(slots * 30))));
    let any = (moment(), moment()).prop_map(|(a, b)| Span::new(a.min(b), a.max(b)));
    prop_oneof![8 => short, 1 => any].prop_filter_map("no time between equal moments", |span| span)
}

fn spell() -> impl Strategy<Value = Spell> {
    let pieces = prop::collection::vec(span(), 0..4);
    let pieces = (pieces, any::<bool>()).prop_map(|(pieces, sort)| if sort { turnto::time::union(pieces) } else { pieces });
    let team = prop::collection::vec((0_usize..9).prop_map(PersonId::from_index), 0..4);
    (pieces, 0_usize..15, prop_oneof![0_u32..4, any::<u32>()], team).prop_map(|(work, task, part, team)| Spell {
        work,
        task: TaskId::from_index(task),
        part,
        team,
    })
}

/// The fixture's plan with spells taken out, spells put in and its tables cut, stretched and overwritten.
fn plan(legal: Plan) -> impl Strategy<Value = Plan> {
    let spells = prop::collection::vec(spell(), 0..12);
    let kept = prop::collection::vec(any::<bool>(), legal.spells.len());
    let on_hand = prop::collection::vec(((0_usize..9).prop_map(PersonId::from_index), span()), 0..4);
    let turns = prop::collection::vec((0_usize..40, 0_usize..10), 0..4);
    let duties = prop::collection::vec((0_usize..9, moment()), 0..4);
    let cut = (0_usize..50, 0_usize..10);
    (spells, kept, on_hand, turns, duties, cut).prop_map(move |(spells, kept, on_hand, turns, duties, cut)| {
        let mut plan = legal.clone();
        let mut keep = kept.iter();
        plan.spells.retain(|_| *keep.next().unwrap_or(&true));
        plan.spells.extend(spells);
        plan.on_hand.extend(on_hand.into_iter().map(|(person, span)| OnHand { person, span }));
        for (turn, person) in turns {
            if let Some(stood) = plan.turns.iter_mut().nth(turn) {
                *stood = PersonId::from_index(person);
            }
        }
        for (duty, moment) in duties {
            if let Some(placed) = plan.duties.iter_mut().nth(duty) {
                *placed = moment;
            }
        }
        if cut.0 == 0 {
            plan.turns = plan.turns.iter().copied().take(cut.1).collect();
            plan.duties = plan.duties.iter().copied().take(cut.1).collect();
        }
        plan
    })
}

fn problem() -> Problem {
    Problem::new(Fixture::new().parts).expect("the job hangs together")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// If this fails, a hand-edited plan file can crash the program instead of being told what is wrong, or
    /// what it is told does not fit the screen.
    #[test]
    fn nonsense_is_named(plan in plan(Fixture::new().plan)) {
        let problem = problem();
        match verify(&problem, plan.clone()) {
            Ok(verified) => prop_assert_eq!(verified.plan(), &plan),
            Err(rejected) => {
                prop_assert_eq!(&rejected.plan, &plan);
                prop_assert!(!rejected.breaches.is_empty());
                for breach in &rejected.breaches {
                    prop_assert!((1..=8).contains(&breach.rule()));
                    let text = breach.describe(&problem);
                    prop_assert!(text.lines().all(|line| line.chars().count() <= 80), "too wide: {}", text);
                }
            }
        }
    }
}

/// If this fails, a plan with thousands of spells of one person at one time takes minutes to refuse.
#[test]
fn a_huge_plan_is_refused_at_once() {
    let fixture = Fixture::new();
    let one = fixture.plan.spells[0].clone();
    let mut plan = fixture.plan;
    plan.spells.extend((0..5000).map(|_| one.clone()));
    let rejected = verify(&problem(), plan).expect_err("five thousand spells too many");
    assert!(rejected.breaches.len() < 50_000, "{} breaches", rejected.breaches.len());
}

/// If this fails, the sums of times overflow for a plan that lies a year away.
#[test]
fn a_year_away() {
    let mut fixture = Fixture::new();
    let start = fixture.parts.layout_end + Minutes::hours(300 * 24);
    fixture.plan.spells[16].work = vec![Span::of(start, Minutes::hours(1)).expect("an hour")];
    assert!(fixture.judge().is_err());
}
