//! Plans a multi-day overhaul by a ship's own crew: who does what, when.
//!
//! A job folder becomes a [`model::Problem`]; a labour model and a slot engine turn it into a
//! [`plan::Plan`]; the verifier proves that the plan breaks no rule.

pub mod account;
pub mod bits;
pub mod bound;
pub mod calendar;
pub mod cli;
pub mod clock;
pub mod diag;
pub mod engine;
pub mod hours;
pub mod id;
pub mod input;
pub mod labour;
pub mod lp;
pub mod model;
pub mod out;
pub mod plan;
pub mod replan;
pub mod report;
pub mod rest;
pub mod rng;
pub mod roster;
pub mod time;
pub mod ui;
pub mod variant;
pub mod verify;
