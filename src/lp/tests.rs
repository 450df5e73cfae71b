//! Models by hand, and random ones, through the layer.

use super::{Certificate, Direction, Failure, Model, Outcome, Prices, Relation};
use crate::id::IdVec;

fn optimal(model: &Model) -> super::Solution {
    match model.solve() {
        Outcome::Optimal(solution) => solution,
        other => panic!("expected an optimum, got {other:?}"),
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// If this fails, rows of the three kinds are not handed over with the right sense.
#[test]
fn the_three_relations_mean_what_they_say() {
    for (relation, least, most) in [(Relation::AtMost, 0.0, 4.0), (Relation::AtLeast, 4.0, 9.0), (Relation::Exactly, 4.0, 4.0)] {
        for (direction, expected) in [(Direction::Minimise, least), (Direction::Maximise, most)] {
            let mut model = Model::new(direction);
            let x = model.column("x", Some(0), Some(9), 1);
            model.row("r", [(x, 1)], relation, 4);
            assert!(close(optimal(&model).value(x), expected), "{relation:?} {direction:?}");
        }
    }
}

/// If this fails, repeated terms reach the back-end twice, which it refuses by a panic.
#[test]
fn repeated_terms_are_added_up() {
    let mut model = Model::new(Direction::Maximise);
    let x = model.column("x", Some(0), None, 1);
    model.row("2x + 3x <= 10", [(x, 2), (x, 3)], Relation::AtMost, 10);
    assert!(close(optimal(&model).cost(), 2.0));
}

/// If this fails, a model without a point is not told from one that has one.
#[test]
fn contradictory_rows_are_infeasible() {
    let mut model = Model::new(Direction::Minimise);
    let x = model.column("x", Some(0), None, 1);
    let y = model.column("y", Some(0), None, 1);
    model.row("together at most 3", [(x, 1), (y, 1)], Relation::AtMost, 3);
    model.row("together at least 4", [(x, 1), (y, 1)], Relation::AtLeast, 4);
    assert_eq!(model.solve(), Outcome::Infeasible);
    assert_eq!(model.prices(), Err(Failure::NoOptimum));
}

/// If this fails, a row without terms (which the back-end is never shown) is taken for kept.
#[test]
fn an_empty_row_that_asks_for_something_is_infeasible() {
    let mut model = Model::new(Direction::Minimise);
    let x = model.column("x", Some(0), Some(1), 1);
    model.row("nothing is at most one", [], Relation::AtMost, 1);
    assert!(close(optimal(&model).value(x), 0.0));
    model.row("x less x is one", [(x, 1), (x, -1)], Relation::Exactly, 1);
    assert_eq!(model.solve(), Outcome::Infeasible);
}

/// If this fails, crossed bounds reach the back-end.
#[test]
fn crossed_bounds_are_infeasible() {
    let mut model = Model::new(Direction::Minimise);
    model.column("x", Some(2), Some(1), 1);
    assert_eq!(model.solve(), Outcome::Infeasible);
}

/// If this fails, a model without a limit is not told from one that has one.
#[test]
fn a_free_ride_is_unbounded() {
    let mut model = Model::new(Direction::Maximise);
    let x = model.column("x", Some(0), None, 1);
    let y = model.column("y", Some(0), None, 0);
    model.row("x at most y", [(x, 1), (y, -1)], Relation::AtMost, 0);
    assert_eq!(model.solve(), Outcome::Unbounded);
    assert_eq!(model.prices(), Err(Failure::NoOptimum));
}

/// If this fails, columns measured from an upper bound, from a lower bound other than zero, or from none,
/// are turned round on the way into the dual model.
#[test]
fn prices_hold_for_every_kind_of_column() {
    // min 2x − y + 3z with x ≥ −5, y ≤ 7, z free, fixed w = 3:
    //   r1: x + z      ≥ 4
    //   r2: y + w      ≤ 9     → y ≤ 6 binds before y ≤ 7
    //   r3: z − x      = 1     → z = x + 1, with r1: 2x + 1 ≥ 4, x = 1.5, z = 2.5
    // cost = 3 − 6 + 7.5 = 4.5
    // r1 one higher: x, z both half higher: + 2.5. r2 one higher: y one higher: −1.
    // r3 one higher: x half lower, z half higher: −1 + 1.5 = 0.5.
    let build = |turn: i64| {
        let mut model = Model::new(if turn > 0 { Direction::Minimise } else { Direction::Maximise });
        let x = model.column("x", Some(-5), None, 2 * turn);
        let y = model.column("y", None, Some(7), -turn);
        let z = model.column("z", None, None, 3 * turn);
        let w = model.column("w", Some(3), Some(3), 0);
        model.row("r1", [(x, 1), (z, 1)], Relation::AtLeast, 4);
        model.row("r2", [(y, 1), (w, 1)], Relation::AtMost, 9);
        model.row("r3", [(z, 1), (x, -1)], Relation::Exactly, 1);
        model
    };
    for (turn, sign) in [(1, 1.0), (-1, -1.0)] {
        let model = build(turn);
        assert!(close(optimal(&model).cost(), 4.5 * sign));
        let prices = model.prices().expect("it has an optimum");
        assert!(close(prices.optimum(), 4.5 * sign), "{prices:?}");
        let found: Vec<f64> = model.row_ids().map(|r| prices.of(r)).collect();
        assert!(found.iter().zip([2.5, -1.0, 0.5]).all(|(a, b)| close(*a, b * sign)), "{found:?}");
    }
}

fn boxed() -> Model {
    // max 3x + 5y, x ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18 in a box that does not cut: optimum 36, prices 0, 3/2, 1.
    let mut model = Model::new(Direction::Maximise);
    let x = model.column("x", Some(0), Some(100), 3);
    let y = model.column("y", Some(0), Some(100), 5);
    model.row("one", [(x, 1)], Relation::AtMost, 4);
    model.row("two", [(y, 2)], Relation::AtMost, 12);
    model.row("three", [(x, 3), (y, 2)], Relation::AtMost, 18);
    model
}

/// If this fails, a certificate is weaker than the prices allow, or stronger than the truth.
#[test]
fn good_prices_prove_the_optimum() {
    let model = boxed();
    let proof = model.certify(&model.prices().expect("it has an optimum")).expect("every column is in a box");
    // The prices 0, 3/2, 1 are exact multiples of 2^-32, so nothing is lost at all.
    assert!(!proof.above(36) && !proof.below(36));
    assert_eq!(proof.thousandths(Direction::Maximise), 36_000);
}

/// If this fails, something is called proven that bad prices do not prove: a bound from any prices at all,
/// wrong signs, noise and nonsense included, must stay on the safe side of the optimum.
#[test]
fn bad_prices_prove_less_but_never_too_much() {
    let model = boxed();
    for guess in [[0.0, 0.0, 0.0], [0.0, 1.4, 1.1], [-3.0, 1.5, 1.0], [0.1, 1.499_999_9, 1.000_000_1], [1e9, 0.0, 0.0]] {
        let proof: Certificate = model.certify(&Prices::from_guess(IdVec::from(guess.to_vec()))).expect("every column is in a box");
        assert!(!proof.below(36), "{guess:?} proves {proof:?}");
    }
    let nonsense = Prices::from_guess(IdVec::from(vec![f64::NAN, 0.0, 0.0]));
    assert_eq!(model.certify(&nonsense), None);
}

/// If this fails, a column without the bound that the proof leans on is taken to have one.
#[test]
fn nothing_is_proven_without_a_box() {
    let mut model = Model::new(Direction::Maximise);
    let x = model.column("x", Some(0), None, 1);
    model.row("x at most 4", [(x, 1)], Relation::AtMost, 4);
    let short = Prices::from_guess(IdVec::from(vec![0.5]));
    assert_eq!(model.certify(&short), None);
    let enough = Prices::from_guess(IdVec::from(vec![1.0]));
    assert!(model.certify(&enough).is_some_and(|proof| !proof.above(4) && !proof.below(4)));
}

/// If this fails, numbers that a float cannot hold exactly are handed over all the same.
#[test]
fn numbers_too_large_to_be_exact_are_refused() {
    let mut model = Model::new(Direction::Minimise);
    model.column("x", Some(0), Some(super::LARGEST + 1), 1);
    assert_eq!(model.solve(), Outcome::Failed(Failure::TooLarge));
    assert_eq!(model.prices(), Err(Failure::TooLarge));
}

/// If this fails, whole columns are treated as continuous.
#[test]
fn whole_columns_take_whole_values() {
    // max x + y, 2x + 2y ≤ 7: 3.5 in between, 3 in whole numbers.
    let mut model = Model::new(Direction::Maximise);
    let x = model.whole_column("x", 0, 10, 1);
    let y = model.whole_column("y", 0, 10, 1);
    model.row("room", [(x, 2), (y, 2)], Relation::AtMost, 7);
    assert!(close(optimal(&model).cost(), 3.0));
    assert!(close(model.prices().expect("it has an optimum").optimum(), 3.5));
}

/// If this fails, the exact check of a whole-numbered point lets a broken row or bound pass.
#[test]
fn a_broken_row_is_measured_exactly() {
    let model = boxed();
    let excess = |x: i64, y: i64| -> Vec<i128> {
        let point = IdVec::from(vec![x, y]);
        model.row_ids().map(|r| model.row_excess(r, &point)).chain(model.column_ids().map(|c| model.bound_excess(c, &point))).collect()
    };
    assert_eq!(excess(2, 6), [0, 0, 0, 0, 0]);
    assert_eq!(excess(5, 7), [1, 2, 11, 0, 0]);
    assert_eq!(excess(-1, 101), [0, 190, 181, 1, 1]);
}

/// If this fails, free columns of the dual model reach the back-end as they are. On the first of these it
/// then claims that there is no limit, on the second it never ends, on the third it gives no number.
#[test]
fn dual_models_with_many_free_columns_are_solved() {
    use Relation::{AtLeast, AtMost, Exactly};
    type Case<'a> = (Direction, [i64; 4], &'a [([i64; 4], Relation, i64)]);
    let cases: [Case<'_>; 3] = [
        (
            Direction::Maximise,
            [-1, 5, 4, 3],
            &[
                ([2, 1, -1, 3], AtLeast, 26),
                ([1, -1, -4, -2], Exactly, -17),
                ([-3, -3, 3, 4], Exactly, 0),
                ([-2, -3, -4, 3], Exactly, -9),
                ([-4, -1, 1, 0], Exactly, -20),
                ([2, -4, 3, -3], Exactly, -27),
            ],
        ),
        (
            Direction::Minimise,
            [-2, -3, -3, -3],
            &[
                ([1, -3, 4, 3], AtLeast, 12),
                ([3, 4, -3, 3], Exactly, -12),
                ([-3, -4, 2, -3], AtMost, 8),
                ([3, -1, 2, -3], Exactly, 8),
                ([-2, -3, -2, -1], Exactly, -8),
                ([-4, 4, 4, 3], AtMost, 16),
            ],
        ),
        (
            Direction::Maximise,
            [0, -5, 5, 5],
            &[
                ([4, 1, 3, -4], AtLeast, -8),
                ([1, -2, -3, -4], Exactly, -17),
                ([2, 0, 4, 3], Exactly, 21),
                ([4, -2, -3, 0], AtLeast, 12),
                ([3, -1, 1, 1], Exactly, 14),
                ([0, 3, -2, 3], AtMost, 18),
            ],
        ),
    ];
    for (direction, costs, rows) in cases {
        let mut model = Model::new(direction);
        let cols: Vec<_> = costs.iter().map(|cost| model.column("x", Some(0), Some(6), *cost)).collect();
        for (coefficients, relation, right) in rows {
            model.row("r", cols.iter().copied().zip(coefficients.iter().copied()), *relation, *right);
        }
        let prices = model.prices().expect("it has an optimum");
        assert!(close(prices.optimum(), optimal(&model).cost()));
    }
}

mod random {
    use proptest::prelude::*;

    use super::super::{Direction, Model, Outcome, Relation};
    use crate::id::IdVec;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

        /// If this fails, one of three things is wrong: the back-end's optimum, the dual model, or the
        /// certificate. For models in a box, made so that a known whole point keeps every row, the primal
        /// optimum, the dual optimum and the proven bound must agree, and the known point is no better.
        #[test]
        fn primal_dual_and_proof_agree(
            point in proptest::collection::vec(0_i64..=6, 4),
            costs in proptest::collection::vec(-5_i64..=5, 4),
            rows in proptest::collection::vec((proptest::collection::vec(-4_i64..=4, 4), 0_u8..3, 0_i64..=4), 1..7),
            maximise in any::<bool>(),
        ) {
            let mut model = Model::new(if maximise { Direction::Maximise } else { Direction::Minimise });
            let cols: Vec<_> = costs.iter().enumerate().map(|(i, c)| model.column(format!("x{i}"), Some(0), Some(6), *c)).collect();
            for (i, (coefficients, kind, slack)) in rows.iter().enumerate() {
                let sum: i64 = coefficients.iter().zip(&point).map(|(a, x)| a * x).sum();
                let (relation, right) = match kind {
                    0 => (Relation::AtMost, sum + slack),
                    1 => (Relation::AtLeast, sum - slack),
                    _ => (Relation::Exactly, sum),
                };
                model.row(format!("r{i}"), cols.iter().copied().zip(coefficients.iter().copied()), relation, right);
            }
            let known = IdVec::from(point.clone());
            prop_assert!(model.row_ids().all(|r| model.row_excess(r, &known) == 0));
            let Outcome::Optimal(solution) = model.solve() else { panic!("no optimum: {:?}", model.solve()) };
            let prices = model.prices().expect("it has an optimum");
            prop_assert!((solution.cost() - prices.optimum()).abs() < 1e-5);
            let proof = model.certify(&prices).expect("every column is in a box");
            #[expect(clippy::cast_precision_loss, reason = "small numbers")]
            let proven = proof.thousandths(model.direction()) as f64 / 1000.0;
            prop_assert!((proven - solution.cost()).abs() < 0.002);
            let here: i64 = costs.iter().zip(&point).map(|(c, x)| c * x).sum();
            if maximise { prop_assert!(!proof.below(here)); } else { prop_assert!(!proof.above(here)); }
        }
    }
}
