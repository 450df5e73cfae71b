//! Questions about hours of rest: worked cases, checks with cures, calls, the record of a month.

mod call;
mod cases;
mod check;
mod month;
