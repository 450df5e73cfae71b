//! One test binary: what holds for the whole program, seen from outside.

mod calendar;
mod critical_path;
mod diagnostics;
mod layers;
mod lp_textbook;
mod output;
mod reading;
mod rest_vectors;
mod source;
mod support;
mod verify;
