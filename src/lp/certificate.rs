//! Bounds that are proven in whole numbers.

use super::dual::Prices;
use super::model::{Direction, Model, Relation};

/// Prices are rounded to whole multiples of 2⁻³².
const SCALE_BITS: u32 = 32;

/// A proven bound on the optimum: the optimum of a model that minimises is at least, of one that
/// maximises at most, `scaled` / 2³².
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Certificate {
    scaled: i128,
}

impl Certificate {
    /// Whether the bound lies above the whole number `n`.
    #[must_use]
    pub const fn above(self, n: i64) -> bool {
        self.scaled > (n as i128) << SCALE_BITS
    }

    /// Whether the bound lies below the whole number `n`.
    #[must_use]
    pub const fn below(self, n: i64) -> bool {
        self.scaled < (n as i128) << SCALE_BITS
    }

    /// The bound in thousandths, rounded towards what the model's direction makes the safe side:
    /// downwards for a lower bound, upwards for an upper one.
    #[must_use]
    pub const fn thousandths(self, direction: Direction) -> i128 {
        let thousand = self.scaled * 1000;
        match direction {
            Direction::Minimise => thousand >> SCALE_BITS,
            Direction::Maximise => -((-thousand) >> SCALE_BITS),
        }
    }
}

impl Model {
    /// What `prices` prove about the optimum, by weak duality: for any prices `y` with the right signs,
    /// `cost ≥ Σ b·y + Σ min over each column's bounds of (c − Σ a·y)·x`. The prices are rounded to whole
    /// multiples of 2⁻³² and the sum is evaluated in 128-bit integers, so the bound holds whatever floats
    /// did before. Where the true prices were good, little is lost by that.
    ///
    /// `None` where a column has no bound on the side that would be needed, a price is not finite, or a
    /// sum does not fit: then nothing is proven.
    #[must_use]
    pub fn certify(&self, prices: &Prices) -> Option<Certificate> {
        if !self.numbers_fit() || prices.of_rows.len() != self.rows.len() {
            return None;
        }
        let turn = i128::from(self.turn());
        let mut reduced: Vec<i128> = self.columns.iter().map(|c| (turn * i128::from(c.cost)) << SCALE_BITS).collect();
        let mut total: i128 = 0;
        for (row, data) in self.rows.pairs() {
            let price = turn * whole(prices.of_rows[row])?;
            let price = match data.relation {
                Relation::AtLeast => price.max(0),
                Relation::AtMost => price.min(0),
                Relation::Exactly => price,
            };
            total = total.checked_add(price.checked_mul(i128::from(data.right))?)?;
            for (col, coefficient) in &data.terms {
                let entry = &mut reduced[crate::id::Id::index(*col)];
                *entry = entry.checked_sub(price.checked_mul(i128::from(*coefficient))?)?;
            }
        }
        for (column, slope) in self.columns.iter().zip(reduced) {
            let at = match slope.signum() {
                1 => column.lower?,
                -1 => column.upper?,
                _ => continue,
            };
            total = total.checked_add(slope.checked_mul(i128::from(at))?)?;
        }
        Some(Certificate { scaled: turn * total })
    }
}

/// A price as a whole multiple of 2⁻³², rounded to the nearest.
#[expect(clippy::cast_possible_truncation, reason = "the size is checked before the cast")]
fn whole(price: f64) -> Option<i128> {
    let scaled = (price * f64::from(1 << 16) * f64::from(1 << 16)).round();
    (scaled.abs() < 1e24).then_some(scaled as i128)
}
