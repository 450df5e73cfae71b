//! Questions about hours of rest: what breaks a rule and what would cure it, who can be called, and the record
//! of a month.
//!
//! Pure views over a problem and, where there is one, a plan. Every figure comes from the naive rest rules.

mod call;
mod check;
mod cure;
mod excuse;
mod fleet;
mod fleet_view;
mod group;
mod month;
mod need;
mod night;
mod view;

pub use call::{Callee, Harm, MOST, call};
pub use check::{CallOut, Drill, Emergency, Excepted, Of, PersonHours, Tight, WHOLE_NIGHT, check};
pub use cure::{Change, Cure};
pub use fleet::{CameBack, Fleet, Refused, RuleHours, ShipHours};
pub use fleet_view::FleetView;
pub use group::{Group, Origin};
pub use month::{DayRow, Month, month, months};
pub use need::{Filled, fill};
pub use night::{Cell, Hour, night};
pub use view::{PlanLooked, View};
