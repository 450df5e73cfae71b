//! Questions about hours of rest: what breaks a rule and what would cure it, whether record and plan agree, who can
//! be called, the record of a month, and the records of many ships.
//!
//! Pure views over a problem and, where there is one, a plan. Every figure comes from the naive rest rules.

mod arrange;
mod call;
mod check;
mod compare;
mod cure;
mod debt;
mod departure;
mod excuse;
mod fleet;
mod fleet_view;
mod group;
mod month;
mod need;
mod night;
mod view;

pub use arrange::{Arrangement, Hours as ArrangedHours, OtherDay, arrangements};
pub use call::{Callee, Harm, MOST, call};
pub use check::{CallOut, Drill, Emergency, Excepted, Of, PersonHours, Tight, WHOLE_NIGHT, check};
pub use compare::{Comparison, DayCompared, compare};
pub use cure::{Change, Cure};
pub use debt::{Balance, By};
pub use departure::{Departing, FirstWatch, departing};
pub use fleet::{CameBack, Fleet, Refused, RuleHours, ShipHours};
pub use fleet_view::FleetView;
pub use group::{Group, Origin};
pub use month::{DayRow, Month, covers, month, months};
pub use need::{Filled, fill};
pub use night::{Cell, Hour, night};
pub use view::{PlanLooked, View};
