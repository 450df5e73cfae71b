//! The programme written out with all its columns, for other solvers and for tests: what the parts are solved by is
//! the same programme, priced and combined instead of written out.

use crate::id::Id;
use crate::lp::{Col, Direction, Model, Relation};
use crate::model::Problem;
use crate::roster::choice::BARRED;
use crate::roster::layout::{FAR, Layout, UNEVEN};
use crate::roster::part::Part;
use crate::roster::solve::core_parts;

/// One programme for each part of the roster of the job's own time, costs in thousandths of a minute. A column is a
/// step of a person from what he stands on one day to what he stands on the next (0 or 1), a turn left to nobody, or
/// minutes over a share. Rest that only shows over more than two days is left out.
#[must_use]
pub fn written_out(problem: &Problem) -> Vec<Model> {
    let mut layout = Layout::default();
    core_parts(problem, &mut layout).iter().map(part).collect()
}

fn part(part: &Part<'_>) -> Model {
    let mut model = Model::new(Direction::Minimise);
    let mut cover: Vec<Vec<(Col, i64)>> = vec![Vec::new(); part.layout.open.len()];
    for (h, hand) in part.hands.iter().enumerate() {
        let mut load: Vec<(Col, i64)> = Vec::new();
        // Into each choice of the row before.
        let mut into: Vec<Vec<Col>> = Vec::new();
        for r in 0..part.rows.len() {
            let froms = if r == 0 { 1 } else { hand.choices[r - 1].len() };
            let mut out: Vec<Vec<Col>> = vec![Vec::new(); froms];
            let mut next: Vec<Vec<Col>> = vec![Vec::new(); hand.choices[r].len()];
            for (from, out) in out.iter_mut().enumerate() {
                for (to, choice) in hand.choices[r].iter().enumerate() {
                    let step = hand.step(r, from, to);
                    if step >= BARRED {
                        continue;
                    }
                    let col = model.whole_column(format!("f{h}.{r}.{from}.{to}"), 0, 1, step + choice.cost);
                    out.push(col);
                    next[to].push(col);
                    load.push((col, choice.load));
                    choice.turns.iter().for_each(|t| cover[*t].push((col, 1)));
                }
            }
            if r == 0 {
                model.row(format!("begin {h}"), out[0].iter().map(|c| (*c, 1)), Relation::Exactly, 1);
            } else {
                for (from, out) in out.iter().enumerate() {
                    let terms = out.iter().map(|c| (*c, 1)).chain(into[from].iter().map(|c| (*c, -1)));
                    model.row(format!("go on {h}.{r}.{from}"), terms, Relation::Exactly, 0);
                }
            }
            into = next;
        }
        for (name, price, most) in [("over", UNEVEN, hand.share), ("far over", FAR * UNEVEN, hand.share + hand.whole)] {
            let over = model.column(format!("{name} {h}"), Some(0), None, price);
            let terms = load.iter().copied().chain([(over, -1)]);
            model.row(format!("{name} the share {h}"), terms, Relation::AtMost, most);
        }
    }
    for turn in &part.turns {
        let mut terms = std::mem::take(&mut cover[*turn]);
        let open = &part.layout.open[*turn];
        terms.push((model.whole_column(format!("hole {}", open.id.index()), 0, 1, open.hole()), 1));
        model.row(format!("turn {}", open.id.index()), terms, Relation::Exactly, 1);
    }
    model
}
