//! The verifier, seen from outside.

mod fixture;
mod hard_rules;
mod rest_rules;
