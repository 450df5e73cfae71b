//! The rows of the labour model, one kind a file. Each is true of every legal plan that keeps the premises
//! and ends by the asked finish, once the plan is counted out into the model's columns; each file says why.

mod filled;
mod order;
mod persons;
mod placed;
mod sequence;
mod tools;
mod unbooked;

use std::fmt;

use crate::clock::Day;
use crate::id::{Id, TaskId, ToolId};

pub(super) use filled::filled;
pub(super) use order::order;
pub(super) use persons::persons;
pub(super) use placed::placed;
pub(super) use sequence::sequence;
pub(super) use tools::tools;
pub(super) use unbooked::{Booked, unbooked};

/// What a row says.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Meaning {
    /// All work of a task is placed or left unplaced.
    Placed(TaskId),
    /// What tasks need of a pool of people in a period is filled by them; the pool by its number.
    Filled(usize, usize),
    /// A class of people gives a period no more than its time.
    Time(usize, usize),
    /// The later task is no further on by the end of a period than the earlier one had to be.
    Order(TaskId, TaskId, usize),
    /// Tasks that come after one another share the time of a period.
    Sequence(usize),
    /// A tool is used in a period no more than there are.
    Tool(ToolId, usize),
    /// A class of people keeps its cap on a ship's day.
    Cap(usize, Day),
    /// A class of people keeps its number of evenings.
    Evenings(usize),
    /// A class of people keeps a rule on total rest in a window, by position of the rule and first ship's day.
    Rest(usize, usize, Day),
    /// What a class with a cap keeps unbooked is time it has left.
    SpareTime(usize, Day),
    /// What a class with a cap keeps unbooked is left of its cap.
    SpareCap(usize, Day),
    /// A ship's day keeps its unbooked time.
    Unbooked(Day),
}

impl fmt::Display for Meaning {
    /// A name for the row, by numbers.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Placed(task) => write!(f, "placed {}", task.index()),
            Self::Filled(k, pool) => write!(f, "filled {k} {pool}"),
            Self::Time(class, k) => write!(f, "time {class} {k}"),
            Self::Order(before, after, k) => write!(f, "order {} {} {k}", before.index(), after.index()),
            Self::Sequence(k) => write!(f, "sequence {k}"),
            Self::Tool(tool, k) => write!(f, "tool {} {k}", tool.index()),
            Self::Cap(class, day) => write!(f, "cap {class} day {}", day.number()),
            Self::Evenings(class) => write!(f, "evenings {class}"),
            Self::Rest(class, rule, day) => write!(f, "rest {class} rule {rule} day {}", day.number()),
            Self::SpareTime(class, day) => write!(f, "spare time {class} day {}", day.number()),
            Self::SpareCap(class, day) => write!(f, "spare cap {class} day {}", day.number()),
            Self::Unbooked(day) => write!(f, "unbooked day {}", day.number()),
        }
    }
}
