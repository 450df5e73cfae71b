//! Questions about hours of rest: worked cases, checks with cures, record against plan, calls, months, arrangements.

mod arrange;
mod call;
mod cases;
mod check;
mod compare;
mod debt;
mod departure;
mod emergency;
mod month;
