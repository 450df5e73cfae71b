//! The verifier, seen from outside.

mod account;
mod fixture;
mod hard_rules;
mod machinery;
mod reserve;
mod rest_rules;
