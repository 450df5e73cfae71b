//! The command line: the only place that reads arguments, files, the clock and the surroundings, and the
//! only one that writes.

mod account;
mod args;
mod arrange;
mod call;
mod check;
mod console;
mod decide;
mod exit;
mod explain;
mod fault;
mod files;
mod interrupt;
mod job;
mod latest;
mod log;
mod new;
mod options;
mod papers;
mod pin;
mod pin_cost;
mod plan;
mod possible;
mod proof;
mod record;
mod refusal;
mod replan;
mod rest;
mod rules;
mod sets;
mod solve;
mod standing;
mod stops;
mod stream;
mod trial;
mod watch;
mod watches;
mod what_if;
mod without;
mod words;
mod write;

use std::panic;
use std::process::ExitCode;
use std::sync::{Arc, Mutex, PoisonError};

use clap::Parser;

use crate::cli::args::{Args, Command};
use crate::cli::console::Console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;

/// Runs the command line of this process.
#[must_use]
pub fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            // Help and version are answers, anything else is a mistake; clap knows which stream is meant. A closed
            // pipe is no failure.
            return match error.print() {
                Err(fault) if !error.use_stderr() && fault.kind() != std::io::ErrorKind::BrokenPipe => {
                    console::complain(&Fault::system("write to", std::path::Path::new("standard output"), fault).to_string());
                    Exit::Machine
                }
                _ if error.use_stderr() => Exit::Wrong,
                _ => Exit::Done,
            }
            .into();
        }
    };
    let console = Console::new(&args, asks_for_no_color());
    caught(|| run(&args, &console)).into()
}

/// Does what was asked.
fn run(args: &Args, console: &Console) -> Exit {
    let done = match &args.command {
        Command::New(new) => new::run(new, console),
        Command::Check(check) => check::run(check, console),
        Command::Plan(plan) => plan::run(plan, console),
        Command::Log(log) => log::run(log, console),
        Command::Pin(pin) => pin::pin(pin, console),
        Command::Unpin(unpin) => pin::unpin(unpin, console),
        Command::Account(at) => account::account(at, console),
        Command::Norms(at) => account::norms(at, console),
        Command::Without(without) => without::run(without, console),
        Command::Stops(stops) => stops::run(stops, console),
        Command::Options(options) => options::run(options, console),
        Command::Replan(replan) => replan::run(replan, console),
        Command::Rest(rest) => rest::run(rest, console),
        Command::Call(call) => call::run(call, console),
        Command::Rules(rules) => rules::run(rules, console),
        Command::Watches(watches) => watches::run(watches, console),
        Command::WhatIf(what_if) => what_if::run(what_if, console),
        Command::Explain(explain) => explain::run(explain),
    };
    done.unwrap_or_else(|faults| {
        for fault in &faults {
            console::complain(&fault.to_string());
        }
        faults.iter().map(Fault::exit).max().unwrap_or(Exit::Machine)
    })
}

/// Whether the surroundings ask for plain text, by the custom of `NO_COLOR` and of terminals without colour.
#[expect(clippy::disallowed_methods, reason = "the command line is where the surroundings are looked at")]
fn asks_for_no_color() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty()) || std::env::var_os("TERM").is_some_and(|v| v == "dumb")
}

/// Runs `work`; if turnto itself is at fault, says so in a few lines that help to mend it.
///
/// The usual report of a panic is kept instead of printed, because some panics are caught and put right further
/// down (a numerical back-end that gives up) and nobody should have to read of those.
fn caught(work: impl FnOnce() -> Exit) -> Exit {
    let last = Arc::new(Mutex::new(String::new()));
    let kept = Arc::clone(&last);
    panic::set_hook(Box::new(move |report| {
        *kept.lock().unwrap_or_else(PoisonError::into_inner) = report.to_string();
    }));
    panic::catch_unwind(panic::AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let report = last.lock().unwrap_or_else(PoisonError::into_inner);
        console::show(&format!(
            "This is a fault in turnto {}, not in your files. Nothing was written.\nTo have it mended, send the lines below, the command and the job folder.\n{report}",
            env!("CARGO_PKG_VERSION"),
        ));
        Exit::Ours
    })
}
