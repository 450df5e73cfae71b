//! The verifier, seen from outside.

mod account;
pub(crate) mod brute;
mod demo;
mod faults;
mod fixture;
mod garbage;
mod machinery;
mod odder;
pub(crate) mod oracle;
mod oracle_rules;
mod oracle_shortfalls;
mod people_rules;
mod reserve;
mod rest_rules;
pub(crate) mod tiny;
mod work_rules;
