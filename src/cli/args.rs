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
    /// How many threads may carry a search, as many as the machine has if left out; the plan does not depend on it
    #[arg(long, global = true, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(super) threads: Option<u16>,
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
    /// Write down what happened, or print the log
    Log(Log),
    /// Decide something about a task yourself: who is on it, who is kept off it, when it starts
    Pin(Pin),
    /// Take decisions about a task back
    Unpin(Unpin),
    /// Plan what is left from a time on, with the log taken in, and say what changed for whom
    Replan(Replan),
    /// Plan options laid over the job, and table them side by side
    Options(Options),
    /// Labour planned, done and to go, by task, phase, person and day
    Account(At),
    /// The hours of tasks that are done, to be laid over the next job
    Norms(At),
    /// Who alone holds what is still needed, and what the plan becomes without them
    Without(Without),
    /// How soon what is open is closed up from each half day on, and what may not be interrupted
    Stops(Stops),
    /// Check hours of rest in the record and the newest plan, or print a record
    Rest(Rest),
    /// Say who can be called at a time of the newest plan, and for how long
    Call(Call),
    /// Say who stands which watch and why, and what choices about it cost the job
    Watches(Watches),
    /// Say what one more hand, tool, competence or evening would give, each planned
    WhatIf(WhatIf),
    /// List the sets of rest rules, or show one in full
    Rules(Rules),
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

/// What every search is told.
#[derive(clap::Args, Clone, Copy, Debug)]
pub(super) struct Search {
    /// Start of the random choices of each search; the same seed gives the same plan
    #[arg(long, default_value_t = 0, value_name = "NUMBER")]
    pub(super) seed: u64,
    /// Stop each search after this time (30, 30s, 5m, 1h) with the best plan found until then
    #[arg(long, value_name = "TIME", value_parser = duration)]
    pub(super) time_limit: Option<Duration>,
}

/// How hard a search tries whose plan is to be used.
#[derive(clap::Args, Clone, Copy, Debug)]
pub(super) struct Effort {
    /// How patiently to search: 4 goes on four times as long without gain before it ends; where something is short after
    /// that, or late and not proven to be so, the search is made again four times as patiently
    #[arg(long, default_value_t = 1, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=1000))]
    effort: u32,
}

impl Effort {
    /// So many times `patience`.
    pub(super) fn of(self, patience: u64) -> u64 {
        patience * u64::from(self.effort)
    }
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
    #[command(flatten)]
    pub(super) search: Search,
    #[command(flatten)]
    pub(super) effort: Effort,
}

/// `turnto pin`.
#[derive(clap::Args, Debug)]
pub(super) struct Pin {
    /// Job folder
    pub(super) folder: PathBuf,
    /// The task
    #[arg(required_unless_present_any = ["hold", "cost"])]
    pub(super) task: Option<String>,
    /// Who is put on it, through all of it; more than one with commas
    #[arg(long, value_name = "PERSON", value_delimiter = ',')]
    pub(super) by: Vec<String>,
    /// The competence they are put on it for; any that fits where it is left out
    #[arg(long = "for", value_name = "COMPETENCE", requires = "by")]
    pub(super) fills: Option<String>,
    /// Who is kept off it
    #[arg(long, value_name = "PERSON", value_delimiter = ',')]
    pub(super) not: Vec<String>,
    /// When it starts, like "day 4 08:00"
    #[arg(long, value_name = "TIME")]
    pub(super) at: Option<String>,
    /// Why, for who reads the file after you
    #[arg(long, value_name = "TEXT")]
    pub(super) why: Option<String>,
    /// Instead of a task: hold the list of this day of the newest plan, like 3 or "day 3"
    #[arg(long, value_name = "DAY", value_parser = day_number, conflicts_with_all = ["task", "by", "not", "at", "why"])]
    pub(super) hold: Option<i32>,
    /// Write nothing: plan the job without each pin (of the task, if one is named) by a short search, and say what it costs
    #[arg(long, conflicts_with_all = ["by", "not", "at", "why", "hold"])]
    pub(super) cost: bool,
}

/// `turnto unpin`.
#[derive(clap::Args, Debug)]
pub(super) struct Unpin {
    /// Job folder
    pub(super) folder: PathBuf,
    /// The task
    pub(super) task: Option<String>,
    /// Every pin of every task
    #[arg(long, conflicts_with = "task")]
    pub(super) all: bool,
}

/// `turnto log`.
#[derive(clap::Args, Debug)]
pub(super) struct Log {
    /// Job folder
    pub(super) folder: PathBuf,
    /// What happened and to what, like `done A12`, `out G4`, `unfit M1`, `note "..."`; nothing prints the log
    #[arg(value_name = "WHAT")]
    pub(super) what: Vec<String>,
    /// When it happened, like "day 4 14:20" or 2027-03-04T14:20
    #[arg(long, value_name = "TIME")]
    pub(super) at: Option<String>,
    /// A file with the [task.CODE] tables of tasks that this adds
    #[arg(long, value_name = "FILE")]
    pub(super) add: Option<PathBuf>,
    /// In your words, for the hand-over
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
}

/// `turnto replan`.
#[derive(clap::Args, Debug)]
pub(super) struct Replan {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// The time from which on to plan, like "day 4 14:20"; everything before it is fact
    #[arg(long, value_name = "TIME")]
    pub(super) now: String,
    /// Print plan.json on standard output instead of what changed, and nothing else there
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) search: Search,
    #[command(flatten)]
    pub(super) effort: Effort,
}

/// `turnto options`.
#[derive(clap::Args, Debug)]
pub(super) struct Options {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// An option file, or a folder of them; FOLDER/options if left out
    #[arg(long, value_name = "PATH")]
    pub(super) with: Vec<PathBuf>,
    /// Plan what is left from this time on, like "day 4 14:20"; the whole job if left out
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,
    /// Print one JSON document instead of the table
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) search: Search,
    #[command(flatten)]
    pub(super) effort: Effort,
}

/// `turnto account` and `turnto norms`.
#[derive(clap::Args, Debug)]
pub(super) struct At {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// The time of the account, like "day 4 14:20"
    #[arg(long, value_name = "TIME")]
    pub(super) now: String,
}

/// `turnto without`.
#[derive(clap::Args, Debug)]
pub(super) struct Without {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// From when on they are missing, like "day 4 14:20"
    #[arg(long, value_name = "TIME")]
    pub(super) now: String,
    /// Only this person, alone in something or not
    #[arg(long, value_name = "PERSON")]
    pub(super) person: Option<String>,
    #[command(flatten)]
    pub(super) search: Search,
}

/// `turnto stops`.
#[derive(clap::Args, Debug)]
pub(super) struct Stops {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// From when on, like "day 4 14:20"; from the start of the newest plan if left out
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,
    /// Print one JSON document instead of text
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) search: Search,
}

/// `turnto rest`.
#[derive(clap::Args, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of the command line")]
pub(super) struct Rest {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// Which hours to look at; by default both where there is a plan, else the records
    #[arg(long, value_enum, value_name = "WHICH")]
    pub(super) of: Option<WhichHours>,
    /// Print one JSON document instead of text
    #[arg(long, conflicts_with_all = ["csv", "record"])]
    pub(super) json: bool,
    /// Print a table for spreadsheets instead of text; with --record the record as a table
    #[arg(long)]
    pub(super) csv: bool,
    /// Print the record of this person month by month instead of a check; `all` for everybody
    #[arg(long, value_name = "PERSON")]
    pub(super) record: Option<String>,
    /// Only this month of the record, like 2027-03
    #[arg(long, requires = "record", value_name = "MONTH")]
    pub(super) month: Option<String>,
    /// Write each month of the record, or the table of arrangements, as text, table and page to print (.txt, .csv,
    /// .html) into this folder instead
    #[arg(long, conflicts_with_all = ["csv", "json", "of", "compare", "departure"], value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    /// Also say whether those are rested who stand the first watches after leaving port at this time, like "day 9 18:00"
    #[arg(long, conflicts_with = "record", value_name = "TIME")]
    pub(super) departure: Option<String>,
    /// Set the record against the newest plan, by person and day, instead of a check
    #[arg(long, conflicts_with_all = ["of", "record", "departure"])]
    pub(super) compare: bool,
    /// Print the table of shipboard working arrangements instead; says where the hours of the job are worked
    #[arg(long, value_enum, conflicts_with_all = ["of", "record", "json", "compare", "departure"], value_name = "WHERE")]
    pub(super) arrangements: Option<WhereWorked>,
    /// Check the records of many ships that come on standard input: ship,person,from,to,kind,note, the rows of a ship
    /// together and of a ship those of a person
    #[arg(long, conflicts_with_all = ["of", "record", "compare", "arrangements", "write", "departure"])]
    pub(super) stdin: bool,
    /// Rest rules for --stdin: a built-in set, or one of FOLDER/rules.toml
    #[arg(long, requires = "stdin", default_value = "stcw-mlc-rest", value_name = "CODE")]
    pub(super) rules: String,
}

/// Which hours `turnto rest` looks at.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum WhichHours {
    /// What is recorded in hours.csv.
    Records,
    /// The newest plan, with the record before it.
    Plan,
    /// From the beginning of the record to the end of the plan.
    Both,
}

/// Where the hours of a job are worked.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum WhereWorked {
    /// At sea.
    Sea,
    /// In port or at anchor.
    Port,
}

/// `turnto call`.
#[derive(clap::Args, Debug)]
pub(super) struct Call {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// When the call comes, like "day 4 14:20" or 2027-03-04T14:20
    #[arg(long, value_name = "TIME")]
    pub(super) at: String,
    /// What is needed, one person for each, like LIFT+GEN or "LIFT + 2 GEN"
    #[arg(long, value_name = "COMPETENCES")]
    pub(super) need: Option<String>,
    /// How long the call is to last, in hours, like 4 or 1.5
    #[arg(long, default_value = "4", value_parser = call_hours, value_name = "HOURS")]
    pub(super) hours: i32,
    /// Also table the coming night hour by hour
    #[arg(long)]
    pub(super) night: bool,
    /// Print one JSON document instead of text
    #[arg(long)]
    pub(super) json: bool,
}

/// `turnto watches`.
#[derive(clap::Args, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag that may be typed")]
pub(super) struct Watches {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// Try the roster without this person on any watch, beside the roster as it is; may be given again
    #[arg(long, value_name = "PERSON")]
    pub(super) without: Vec<String>,
    /// Try a second person on a post, like "OOW from day 6 to day 7"; may be given again
    #[arg(long, value_name = "PHRASE")]
    pub(super) double: Vec<String>,
    /// Try a post left unattended, like "OOW from day 3 17:00"; those off the watch then work day hours
    #[arg(long, value_name = "PHRASE")]
    pub(super) unattended: Vec<String>,
    /// Try a post manned day and night in three watches, like "OOW from day 3 17:00"
    #[arg(long, value_name = "PHRASE")]
    pub(super) manned: Vec<String>,
    /// Also plan the job with each, and with the next best rosters, and table finish and overtime
    #[arg(long)]
    pub(super) job: bool,
    /// Start of the random choices of these plans
    #[arg(long, default_value_t = 0, value_name = "NUMBER")]
    pub(super) seed: u64,
    /// Print one JSON document instead of text
    #[arg(long, conflicts_with_all = ["csv", "sheet", "write"])]
    pub(super) json: bool,
    /// Print a table for spreadsheets instead of text
    #[arg(long, conflicts_with_all = ["sheet", "write", "without", "double", "unattended", "manned", "job"])]
    pub(super) csv: bool,
    /// Print the sheet to post where the watch is kept, and nothing else
    #[arg(long, conflicts_with_all = ["write", "without", "double", "unattended", "manned", "job"])]
    pub(super) sheet: bool,
    /// Write table, document, text and sheet into this folder instead; overwrites nothing
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
}

/// `turnto what-if`.
#[derive(clap::Args, Debug)]
pub(super) struct WhatIf {
    /// Job folder
    #[arg(default_value = ".")]
    pub(super) folder: PathBuf,
    /// Instead: what of the chain that holds the finish could be left out, each planned
    #[arg(long)]
    pub(super) leave_out: bool,
    /// How many of them are planned, dearest first by the labour model's prices
    #[arg(long, default_value_t = 6, value_name = "NUMBER")]
    pub(super) first: usize,
    /// Start of the random choices of these plans
    #[arg(long, default_value_t = 0, value_name = "NUMBER")]
    pub(super) seed: u64,
    /// Stop after this time (30, 30s, 5m, 1h) with what was planned until then
    #[arg(long, value_name = "TIME", value_parser = duration)]
    pub(super) time_limit: Option<Duration>,
    /// Print one JSON document instead of text
    #[arg(long)]
    pub(super) json: bool,
}

/// `turnto rules`.
#[derive(clap::Args, Debug)]
pub(super) struct Rules {
    /// Code of a set to show in full
    pub(super) code: Option<String>,
    /// Job folder whose rules.toml counts as well
    #[arg(long, default_value = ".", value_name = "FOLDER")]
    pub(super) folder: PathBuf,
}

/// `turnto explain`.
#[derive(clap::Args, Debug)]
pub(super) struct Explain {
    /// A code, such as C201, or a file, such as tasks.toml; without it, all codes and files are listed
    #[arg(value_name = "CODE or FILE")]
    pub(super) about: Option<String>,
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

/// A day of the job as typed: its number, with the word before it or without.
fn day_number(text: &str) -> Result<i32, String> {
    let text = text.trim();
    let number = text.get(..3).filter(|word| word.eq_ignore_ascii_case("day")).map_or(text, |_| text[3..].trim_start());
    number.parse().map_err(|_| "write the day of the job: 3, or \"day 3\"".to_owned())
}

/// Hours as typed, in minutes: a number of hours with at most two decimals that comes to whole minutes, from a
/// minute to a day.
fn call_hours(text: &str) -> Result<i32, String> {
    let wrong = || "write hours like 4 or 1.5, at most 24".to_owned();
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |text: &str| !text.is_empty() && text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(part) {
        return Err(wrong());
    }
    let number = |text: &str| text.parse::<i32>().map_err(|_| wrong());
    let hundredths = number(whole)? * 100 + if part.len() == 1 { number(part)? * 10 } else { number(part)? };
    let minutes = hundredths * 60 / 100;
    if hundredths * 60 % 100 == 0 && (1..=1440).contains(&minutes) { Ok(minutes) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests;
