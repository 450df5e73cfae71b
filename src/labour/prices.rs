//! What one more of something would be worth to the model.

use std::collections::BTreeMap;

use super::Skipped;
use super::answer::laid_out;
use super::build::{Built, solved};
use super::ground::{Ground, Premises};
use super::rows::Meaning;
use crate::clock::Day;
use crate::id::{PersonId, ToolId};
use crate::lp::Prices;
use crate::model::Problem;
use crate::time::Moment;

/// What a price is paid for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Priced {
    /// Time of one person on one ship's day.
    Person(PersonId, Day),
    /// Time of a tool on one ship's day.
    Tool(ToolId, Day),
    /// Unbooked time of the reserve on one ship's day.
    Unbooked(Day),
    /// An evening of overtime of a person.
    Evening(PersonId),
}

/// What one more hour of something would be worth to the model, in thousandths of its cost per hour: a slope,
/// good for ranking candidates and for nothing else.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Price {
    /// What of.
    pub of: Priced,
    /// The worth; positive.
    pub worth: i64,
}

/// The prices of the labour model for `finish`, dearest first.
///
/// # Errors
/// Where there is no answer, and why.
pub fn prices(problem: &Problem, premises: Premises, finish: Moment) -> Result<Vec<Price>, Skipped> {
    laid_out(problem, premises, finish, |ground| {
        let built = Built::new(ground);
        // Only a model that has an answer at all has prices worth anything.
        solved(&built)?;
        Ok(ranked(ground, &built, &built.model.prices()?))
    })
}

/// The prices of rows as worth of what they limit, per hour, dearest first.
fn ranked(ground: &Ground<'_>, built: &Built, prices: &Prices) -> Vec<Price> {
    let mut worth: BTreeMap<Priced, i64> = BTreeMap::new();
    let slots_an_hour = 60 / i64::from(ground.fit.people().range().slot().get()).clamp(1, 60);
    for (row, meaning) in built.model.row_ids().zip(built.meanings.iter()) {
        let price = prices.thousandths(row).abs();
        if price == 0 {
            continue;
        }
        let first = |class: usize| ground.classes[class].one();
        let (of, per_hour) = match *meaning {
            Meaning::Time(class, k) => (Priced::Person(first(class), ground.periods[k].day), slots_an_hour),
            Meaning::Cap(class, day) => (Priced::Person(first(class), day), slots_an_hour),
            Meaning::Rest(class, _, day) | Meaning::SpareTime(class, day) | Meaning::SpareCap(class, day) => {
                (Priced::Person(first(class), day), 60)
            }
            Meaning::Tool(tool, k) => (Priced::Tool(tool, ground.periods[k].day), slots_an_hour),
            Meaning::Unbooked(day) => (Priced::Unbooked(day), 60),
            Meaning::Evenings(class) => (Priced::Evening(first(class)), slots_an_hour),
            Meaning::Placed(_) | Meaning::Filled(..) | Meaning::Order(..) | Meaning::Sequence(_) => continue,
        };
        // Rows of one day are alternatives, so the dearest of them counts.
        let entry = worth.entry(of).or_default();
        *entry = (*entry).max(price * per_hour);
    }
    let mut list: Vec<Price> = worth.into_iter().map(|(of, worth)| Price { of, worth }).collect();
    list.sort_by_key(|p| (std::cmp::Reverse(p.worth), p.of));
    list
}
