//! Linear programs printed in textbooks, with their printed optima and shadow prices, through the
//! modelling layer.

use turnto::id::IdVec;
use turnto::lp::{Col, Direction, Model, Outcome, Relation, Row};

use Relation::{AtLeast, AtMost, Exactly};

/// One row as printed: coefficients, relation and right side, each multiplied by `times` to be whole.
struct Printed {
    coefficients: &'static [i64],
    relation: Relation,
    right: i64,
    times: i64,
}

/// A row whose printed numbers are whole.
const fn whole(coefficients: &'static [i64], relation: Relation, right: i64) -> Printed {
    Printed { coefficients, relation, right, times: 1 }
}

/// A row whose printed numbers are `1/times` of these.
const fn parts(times: i64, coefficients: &'static [i64], relation: Relation, right: i64) -> Printed {
    Printed { coefficients, relation, right, times }
}

/// A printed program: costs multiplied by `times`, rows, printed optimum, point and prices.
struct Program {
    direction: Direction,
    costs: &'static [i64],
    times: i64,
    rows: Vec<Printed>,
    optimum: f64,
    point: &'static [f64],
    prices: &'static [f64],
}

fn model(program: &Program, most: Option<i64>) -> (Model, Vec<Col>, Vec<Row>) {
    let mut model = Model::new(program.direction);
    let cols: Vec<Col> =
        program.costs.iter().enumerate().map(|(i, cost)| model.column(format!("x{}", i + 1), Some(0), most, *cost)).collect();
    let mut rows = Vec::new();
    for (i, row) in program.rows.iter().enumerate() {
        let terms = cols.iter().copied().zip(row.coefficients.iter().copied());
        rows.push(model.row(format!("row {}", i + 1), terms, row.relation, row.right));
    }
    (model, cols, rows)
}

#[expect(clippy::cast_precision_loss, reason = "printed numbers are small")]
fn agrees(program: &Program) {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + b.abs());
    let (open, cols, rows) = model(program, None);
    let Outcome::Optimal(solution) = open.solve() else { panic!("no optimum: {:?}", open.solve()) };
    let times = program.times as f64;
    assert!(near(solution.cost() / times, program.optimum), "optimum {} printed {}", solution.cost() / times, program.optimum);
    for (col, printed) in cols.iter().zip(program.point) {
        assert!(near(solution.value(*col), *printed), "{} is {}, printed {printed}", open.column_name(*col), solution.value(*col));
    }
    let prices = open.prices().expect("it has an optimum");
    assert!(near(prices.optimum() / times, program.optimum), "the dual optimum is another: {}", prices.optimum());
    for ((row, printed), data) in rows.iter().zip(program.prices).zip(&program.rows) {
        // The price of a row multiplied by k is 1/k of the price of the row as printed.
        let found = prices.of(*row) * data.times as f64 / times;
        assert!(near(found, *printed), "price of {} is {found}, printed {printed}", open.row_name(*row));
    }
    proven(program);
}

/// The printed optimum is also proven in whole numbers, to a thousandth, once the columns are put into a box
/// that does not cut it off.
#[expect(clippy::cast_precision_loss, reason = "printed numbers are small")]
fn proven(program: &Program) {
    let (boxed, _, _) = model(program, Some(100_000));
    let proof = boxed.certify(&boxed.prices().expect("it has an optimum")).expect("every column is in a box");
    let (bound, optimum) = (proof.thousandths(program.direction) as f64, program.optimum * program.times as f64 * 1000.0);
    let safe = match program.direction {
        Direction::Minimise => bound <= optimum + 1e-6,
        Direction::Maximise => bound >= optimum - 1e-6,
    };
    assert!(safe, "more is proven than is true: {bound} against {optimum}");
    assert!((bound - optimum).abs() <= 1.0 + 1e-6, "too little is proven: {bound} against {optimum}");
}

/// Hillier & Lieberman, glass factory: Z = 36 at (2, 6), shadow prices 0, 3/2, 1. If this fails, prices of
/// "at most" rows of a maximum are wrong.
#[test]
fn glass_factory_product_mix() {
    agrees(&Program {
        direction: Direction::Maximise,
        costs: &[3, 5],
        times: 1,
        rows: vec![whole(&[1, 0], AtMost, 4), whole(&[0, 2], AtMost, 12), whole(&[3, 2], AtMost, 18)],
        optimum: 36.0,
        point: &[2.0, 6.0],
        prices: &[0.0, 1.5, 1.0],
    });
}

/// Taha, paint company: z = 21 at (3, 1.5), dual prices 0.75, 0.5, 0, 0.
#[test]
fn paint_company() {
    agrees(&Program {
        direction: Direction::Maximise,
        costs: &[5, 4],
        times: 1,
        rows: vec![whole(&[6, 4], AtMost, 24), whole(&[1, 2], AtMost, 6), whole(&[-1, 1], AtMost, 1), whole(&[0, 1], AtMost, 2)],
        optimum: 21.0,
        point: &[3.0, 1.5],
        prices: &[0.75, 0.5, 0.0, 0.0],
    });
}

/// Winston, furniture maker: z = 280 at (2, 0, 8), shadow prices 0, 10, 10.
#[test]
fn furniture_maker() {
    agrees(&Program {
        direction: Direction::Maximise,
        costs: &[60, 30, 20],
        times: 1,
        rows: vec![whole(&[8, 6, 1], AtMost, 48), parts(2, &[8, 4, 3], AtMost, 40), parts(2, &[4, 3, 1], AtMost, 16)],
        optimum: 280.0,
        point: &[2.0, 0.0, 8.0],
        prices: &[0.0, 10.0, 10.0],
    });
}

/// Hillier & Lieberman, therapy dose: Z = 5.25 at (7.5, 4.5), shadow prices −0.5, 1.1, 0. If this fails,
/// the signs of prices of a minimum with all three relations are wrong.
#[test]
fn therapy_dose() {
    agrees(&Program {
        direction: Direction::Minimise,
        costs: &[4, 5],
        times: 10,
        rows: vec![parts(10, &[3, 1], AtMost, 27), parts(10, &[5, 5], Exactly, 60), parts(10, &[6, 4], AtLeast, 60)],
        optimum: 5.25,
        point: &[7.5, 4.5],
        prices: &[-0.5, 1.1, 0.0],
    });
}

const SHIFTS: [&[i64]; 10] = [
    &[1, 0, 0, 0, 0],
    &[1, 1, 0, 0, 0],
    &[1, 1, 0, 0, 0],
    &[1, 1, 1, 0, 0],
    &[0, 1, 1, 0, 0],
    &[0, 0, 1, 1, 0],
    &[0, 0, 1, 1, 0],
    &[0, 0, 0, 1, 0],
    &[0, 0, 0, 1, 1],
    &[0, 0, 0, 0, 1],
];

/// Hillier & Lieberman, five shifts cover ten time bands: Z = 30,610 at (48, 31, 39, 43, 15). The prices
/// beside it follow from complementary slackness with the printed point.
#[test]
fn five_shifts_cover_ten_bands() {
    let needed = [48, 79, 65, 87, 64, 73, 82, 43, 52, 15];
    agrees(&Program {
        direction: Direction::Minimise,
        costs: &[170, 160, 175, 180, 195],
        times: 1,
        rows: SHIFTS.iter().zip(needed).map(|(row, right)| whole(row, AtLeast, right)).collect(),
        optimum: 30_610.0,
        point: &[48.0, 31.0, 39.0, 43.0, 15.0],
        prices: &[10.0, 160.0, 0.0, 0.0, 0.0, 0.0, 175.0, 5.0, 0.0, 195.0],
    });
}

/// A variant of the same exercise in circulation, with other needs and costs; its optimum 29,482 at
/// (45, 30, 40, 42, 16) was computed independently.
#[test]
fn five_shifts_with_other_needs() {
    let needed = [45, 75, 60, 81, 64, 73, 82, 42, 52, 16];
    agrees(&Program {
        direction: Direction::Minimise,
        costs: &[172, 150, 165, 181, 190],
        times: 1,
        rows: SHIFTS.iter().zip(needed).map(|(row, right)| whole(row, AtLeast, right)).collect(),
        optimum: 29_482.0,
        point: &[45.0, 30.0, 40.0, 42.0, 16.0],
        prices: &[22.0, 150.0, 0.0, 0.0, 0.0, 0.0, 165.0, 16.0, 0.0, 190.0],
    });
}

const THIRD: f64 = 1.0 / 3.0;

const WEEK: [&[i64]; 7] = [
    &[1, 0, 0, 1, 1, 1, 1],
    &[1, 1, 0, 0, 1, 1, 1],
    &[1, 1, 1, 0, 0, 1, 1],
    &[1, 1, 1, 1, 0, 0, 1],
    &[1, 1, 1, 1, 1, 0, 0],
    &[0, 1, 1, 1, 1, 1, 0],
    &[0, 0, 1, 1, 1, 1, 1],
];
const ON_DUTY: [i64; 7] = [17, 13, 15, 19, 14, 16, 11];

/// Winston, post office with five days on and two off: the continuous optimum is 67/3 with prices of one
/// third on Monday, Wednesday, Thursday and Saturday. The optimal point is not the only one.
#[test]
fn five_day_week_in_parts_of_people() {
    agrees(&Program {
        direction: Direction::Minimise,
        costs: &[1; 7],
        times: 1,
        rows: WEEK.iter().zip(ON_DUTY).map(|(row, right)| whole(row, AtLeast, right)).collect(),
        optimum: 67.0 / 3.0,
        point: &[],
        prices: &[THIRD, 0.0, THIRD, THIRD, 0.0, THIRD, 0.0],
    });
}

/// The same in whole people: 23. If this fails, whole columns are lost on the way to the back-end.
#[test]
fn five_day_week_in_whole_people() {
    let mut model = Model::new(Direction::Minimise);
    let cols: Vec<Col> = (1..=7).map(|day| model.whole_column(format!("start on day {day}"), 0, 30, 1)).collect();
    for (row, right) in WEEK.iter().zip(ON_DUTY) {
        model.row("on duty", cols.iter().copied().zip(row.iter().copied()), AtLeast, right);
    }
    let Outcome::Optimal(solution) = model.solve() else { panic!("no optimum") };
    assert!((solution.cost() - 23.0).abs() < 1e-6);
    let point: IdVec<Col, i64> = cols.iter().map(|c| solution.thousandths(*c) / 1000).collect();
    assert!(model.row_ids().all(|r| model.row_excess(r, &point) == 0));
}
