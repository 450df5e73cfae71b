//! When people and teams could work at all: what bounds and the labour model start from.
//!
//! Everything here is a relaxation. It knows turns and duties that are fixed, time away, working hours,
//! caps, bans, tools that are away and the task's own window, and leaves out everything that depends on a
//! plan: other tasks, open turns, movable duties, rest, reserve, machinery. So whatever a legal plan does is
//! possible here, and what is impossible here no plan can do.
//!
//! `machines` counts what machines fall short by, for whoever knows when they are out.

mod fit;
mod machines;
mod people;
mod range;
mod share;
mod team;
mod window;

pub use fit::Fit;
pub use machines::units_short;
pub use people::{Hours, People, State, busy};
pub use range::Range;
pub use share::Share;
pub use window::{Because, Deadlines, Earliest, NoFit, Windows};
