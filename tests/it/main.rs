//! One test binary: what holds for the whole program, seen from outside.

#![allow(clippy::needless_raw_string_hashes, reason = "recorded output is written that way by the tool that records it")]

mod calendar;
mod clock_back;
mod commands;
mod critical_path;
mod day_work;
mod diagnostics;
mod examples;
mod folders;
mod hours;
mod labour;
mod layers;
mod least_finish;
mod lp_textbook;
mod output;
mod reading;
mod readme;
mod replan;
mod rest_brute;
mod rest_vectors;
mod roster;
mod search;
mod slack;
mod source;
mod support;
mod verify;
