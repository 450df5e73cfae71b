//! The verifier, seen from outside.

mod account;
mod brute;
mod fixture;
mod garbage;
mod hard_rules;
mod machinery;
mod oracle;
mod reserve;
mod rest_rules;
mod tiny;
