//! Tables for spreadsheets: UTF-8, a header row, ISO times with offset, hours as decimals.

mod people;
mod rest;
mod table;
mod tasks;
mod totals;
mod watches;

pub use people::people_csv;
pub use rest::rest_csv;
pub(super) use table::{Table, hours, text};
pub use tasks::tasks_csv;
pub use totals::totals_csv;
pub use watches::watches_csv;
