//! What may be typed. Every default is written here and shown by `--help`.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Parser, Subcommand, ValueEnum};

/// The whole command line.
#[derive(Parser, Debug)]
#[command(
    name = "turnto",
    version,
    about = "Plans a multi-day overhaul by a ship's own crew",
    long_about = "Plans a multi-day overhaul by a ship's own crew: who does what, when, within rest-hour rules, watches, \
                  single tools, the reserve that can be called, and the machines that must stay able.",
    after_help = "Examples:\n  turnto new my-job          write a small commented job folder\n  turnto check my-job        say what is wrong or doubtful in it\n  turnto plan my-job         plan it, verify the plan, print it, write my-job/plan/\n\nEvery command has a --help of its own.",
    arg_required_else_help = true,
    infer_subcommands = false
)]
pub(super) struct Args {
    /// What to do.
    #[command(subcommand)]
    pub(super) command: Command,
    /// Colour in what is printed; `auto` is colour on a terminal only, and none if `NO_COLOR` is set
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    pub(super) color: Color,
    /// No progress and no notes on standard error; errors are still said
    #[arg(short, long, global = true)]
    pub(super) quiet: bool,
}

/// When to use colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum Color {
    /// On a terminal only.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// The commands.
#[derive(Subcommand, Debug)]
pub(super) enum Command {
    /// Write a small commented job folder that plans as it stands
    New(New),
    /// Read everything, say everything that is wrong or doubtful, plan nothing
    Check(Check),
    /// Plan the job, verify the plan, print it day by day and write it to FOLDER/plan/
    Plan(Plan),
    /// Tell more about a code that `check` or `plan` printed
    Explain(Explain),
}

/// `turnto new`.
#[derive(clap::Args, Debug)]
pub(super) struct New {
    /// Folder to write; must not exist, or be empty
    pub(super) folder: PathBuf,
}

/// `turnto check`.
#[derive(clap::Args, Debug)]
pub(super) struct Check {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// Also verify this plan.json (or the folder it lies in) against the job folder, edited by hand or not
    #[arg(long, value_name = "FILE")]
    pub(super) plan: Option<PathBuf>,
}

/// `turnto plan`.
#[derive(clap::Args, Debug)]
pub(super) struct Plan {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// Print plan.json on standard output instead of the daily plan, and nothing else there
    #[arg(long)]
    pub(super) json: bool,
    /// Start of the random choices of the search; the same seed gives the same plan
    #[arg(long, default_value_t = 0, value_name = "NUMBER")]
    pub(super) seed: u64,
    /// Stop searching after this time (30, 30s, 5m, 1h) with the best plan found until then
    #[arg(long, value_name = "TIME", value_parser = duration)]
    pub(super) time_limit: Option<Duration>,
}

/// `turnto explain`.
#[derive(clap::Args, Debug)]
pub(super) struct Explain {
    /// The code, such as C201; without one, all codes are listed
    pub(super) code: Option<String>,
}

/// A length of time as typed: a number of seconds, or one with `s`, `m` or `h` behind it.
fn duration(text: &str) -> Result<Duration, String> {
    let unit = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let number: u64 = text[..text.len() - unit.len()].parse().map_err(|_| "write it like 30, 30s, 5m or 1h".to_owned())?;
    let seconds = match unit {
        "" | "s" => Some(number),
        "m" => number.checked_mul(60),
        "h" => number.checked_mul(3600),
        _ => None,
    };
    seconds.filter(|s| *s > 0).map(Duration::from_secs).ok_or_else(|| "write it like 30, 30s, 5m or 1h, and not nothing".to_owned())
}

#[cfg(test)]
mod tests;
