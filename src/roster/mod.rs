//! The watch roster: who stands the turns that are open.
//!
//! An integer programme over **lines**: on each ship's day a person stands some of the lines that are open to him,
//! or none. Whoever goes from one day to the next pays for a change of line and may not break his rest; every turn
//! is stood by exactly one person or is a hole, which is dearer than anything else. The programme is parted where
//! no person joins two parts. Each part is solved from both sides: good rosters by choosing two or three people at
//! a time anew, exactly but for what would be too much to look at; a bound from below by pricing the turns (a linear programme over whole rosters of persons,
//! and what comes before it), evaluated in integers. What lies between is closed by listing all that could still be
//! better. All work is counted and none is timed, so the same problem always gives the same rosters.
//!
//! Rest is exact: every person's turns are held against his rest rules with his record and his other fixed work
//! ([`crate::rest::Line`]). Pairs of days are tried beforehand; what only shows over more days (the rules of a week)
//! is found on finished rosters and barred, then solved again.

mod answer;
mod check;
mod choice;
mod close;
mod combine;
mod hole;
mod layout;
mod master;
mod part;
mod path;
mod price;
mod sheet;
mod solve;
mod worth;
mod written;

pub use answer::{Costs, Outcome, Proof, Roster, Stint, stints};
pub use hole::{Bar, Hole, Repair};
pub use sheet::{Explained, Other, PersonRow, Reason, explain, people};
pub use solve::solve;
pub use written::written_out;

/// How hard to try, and how much to give.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Options {
    /// Most rosters to give.
    pub few: usize,
    /// Most work, counted in steps from one day of one person to the next, in thousands.
    pub effort: u64,
}

impl Default for Options {
    /// Three rosters; work of a few seconds at most.
    fn default() -> Self {
        Self { few: 3, effort: 400_000 }
    }
}
