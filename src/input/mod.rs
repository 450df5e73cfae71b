//! From the files of a job folder to a [`Problem`], with every error at once.
//!
//! Pure: text in, values out. A file is parsed as TOML as far as it goes (`syntax`), read table by table
//! into what is written (`raw`), and lowered to what it means (`lower`). Only this module knows TOML
//! and CSV.

mod entry;
mod folder;
mod index;
mod keys;
mod length;
mod lower;
mod names;
mod near;
mod overlay;
mod own;
mod pin_text;
mod raw;
mod row;
mod sink;
mod starter;
mod starts;
mod stream;
mod syntax;
mod team;
mod text;
mod times;
mod typed;
mod when;

use std::collections::BTreeMap;

pub use entry::{EntryText, entry_text};
pub use folder::{File, Folder};
pub use index::{Origin, Origins, Topic};
pub use keys::{KEY_PAGES, Key, KeyPage, KeyTable, SHAPES, key_page, log_words, near_key_page};
pub use overlay::{Overlaid, overlay};
pub use own::{OwnRules, own_rules};
pub use pin_text::{PinText, decided, each_pin, without_pins};
pub use starter::STARTER;
pub use stream::{Stamp, StreamRow, StreamRows, stream_day_one};
pub use typed::moment;

use crate::diag::{Code, Diagnostic, FileId, Place, Sources, any_error, tidy};
use crate::id::{Id, IdVec, PhaseId, TaskId};
use crate::input::index::Index;
use crate::input::lower::crew::{CrewContext, Pattern};
use crate::input::lower::duties::DutyContext;
use crate::input::lower::log::LogGround;
use crate::input::lower::pins::PinContext;
use crate::input::lower::rules::RuleBook;
use crate::input::lower::tasks::TaskContext;
use crate::input::row::Row;
use crate::input::sink::Sink;
use crate::input::syntax::Document;
use crate::input::text::Text;
use crate::model::{Defect, Log, Parts, Problem};

/// What came of reading a folder.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The problem, if nothing is wrong.
    pub problem: Option<Problem>,
    /// All that is wrong or doubtful, by file and place.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts diagnostics point into.
    pub sources: Sources,
    /// Where each thing is defined.
    pub origins: Origins,
    /// What happened while the job ran, where it hangs together with the problem.
    pub log: Log,
}

/// Files turnto reads.
pub const FILES: [&str; 11] = [
    "job.toml",
    "crew.toml",
    "watches.toml",
    "duties.toml",
    "tasks.toml",
    "tools.toml",
    "machinery.toml",
    "rules.toml",
    "pins.toml",
    "log.toml",
    "hours.csv",
];

/// Files without which there is no job.
const NEEDED: [&str; 3] = ["job.toml", "crew.toml", "tasks.toml"];

/// Files without which there is nothing to check a record by.
const NEEDED_BY_A_RECORD: [&str; 2] = ["job.toml", "crew.toml"];

/// Largest file in bytes.
const LARGEST: usize = 4 * 1024 * 1024;

/// Reads a job folder. Files in subfolders are not looked at.
#[must_use]
pub fn read(folder: &Folder) -> Reading {
    understood(folder, &NEEDED, |_| true)
}

/// Reads a job folder for the record of hours in it: there may be no task.
#[must_use]
pub fn read_record(folder: &Folder) -> Reading {
    understood(folder, &NEEDED_BY_A_RECORD, |found| found.code != Code::NoTasks)
}

/// What can be made of a folder that must have the files `needed`, with what is wrong or doubtful of it as far as that is
/// `asked`.
fn understood(folder: &Folder, needed: &[&str], asked: fn(&Diagnostic) -> bool) -> Reading {
    let sink = Sink::default();
    let mut sources = Sources::default();
    let files = take_files(folder, needed, &mut sources, &sink);
    let Understood { parts, starts, log, origins } = parts(&files, &sources, &sink);
    let mut diagnostics = sink.into_found();
    diagnostics.retain(asked);
    tidy(&mut diagnostics);
    let mut problem = None;
    if !any_error(&diagnostics)
        && let Some(parts) = parts
    {
        match Problem::new(parts) {
            Ok(made) => {
                diagnostics.extend(starts::that_cannot_be(&made, &starts, &log));
                tidy(&mut diagnostics);
                problem = (!any_error(&diagnostics)).then_some(made);
            }
            Err(defects) => diagnostics.extend(defects.iter().map(from_defect)),
        }
    }
    Reading { problem, diagnostics, sources, origins, log }
}

/// A file that is there.
#[derive(Clone, Copy)]
struct Taken {
    file: FileId,
    /// Whether it was not read, so that nothing is known of what it says.
    unread: bool,
}

/// The known files by name; everything else is reported.
fn take_files(folder: &Folder, needed: &[&str], sources: &mut Sources, sink: &Sink) -> BTreeMap<&'static str, Taken> {
    let mut files = BTreeMap::new();
    for file in folder.files() {
        let path = file.path.as_str();
        let known = FILES.iter().find(|f| **f == path);
        if let Some(name) = known {
            let unread = if file.bytes.len() > LARGEST {
                Some((Code::TooLarge, "is larger than 4 MB", "see what is in it; job files are small"))
            } else if is_utf_16(&file.bytes) {
                Some((Code::NotText, "is saved as UTF-16", "save it again as UTF-8"))
            } else {
                None
            };
            if let Some((code, what, help)) = unread {
                let id = sources.add(path, "");
                files.insert(*name, Taken { file: id, unread: true });
                sink.say(code, format!("{path} {what} and was not read"), Place { file: id, start: 0, end: 0 }, "", help);
                continue;
            }
            let text = String::from_utf8_lossy(&file.bytes);
            let id = sources.add(path, text.clone());
            files.insert(*name, Taken { file: id, unread: false });
            if let Err(error) = std::str::from_utf8(&file.bytes) {
                let start = error.valid_up_to();
                let end = text.get(start..).and_then(|t| t.chars().next()).map_or(start, |c| start + c.len_utf8());
                let place = Place { file: id, start, end };
                sink.say(Code::NotText, format!("{path} is not text in UTF-8"), place, "from here on", "save it again as UTF-8");
            }
        } else if !path.contains('/') && path.rsplit_once('.').is_some_and(|(_, ending)| matches!(ending, "toml" | "csv")) {
            let id = sources.add(path, "");
            let place = Place { file: id, start: 0, end: 0 };
            let help = match near::nearest(path, FILES) {
                Some(near) => format!("rename it to {near} if that is what is meant"),
                None => format!("the files are {}", FILES.join(", ")),
            };
            sink.say(Code::UnknownFile, format!("{path} is not one of the files turnto reads"), place, "", help);
        }
    }
    for name in needed.iter().filter(|name| !files.contains_key(*name)) {
        let help = "`turnto new FOLDER` writes a small folder to start from";
        sink.put(Diagnostic::new(Code::MissingFile, format!("there is no {name}")).help(help));
    }
    files
}

/// Whether the bytes look like text in UTF-16: by the mark some editors put first, or since every other one is nought.
fn is_utf_16(bytes: &[u8]) -> bool {
    let marked = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    let noughts = |odd: usize| bytes.len() >= 4 && (0..4).all(|i| (bytes[i] == 0) == (i % 2 == odd));
    marked || noughts(0) || noughts(1)
}

/// All files parsed as TOML.
struct Documents<'a> {
    sink: &'a Sink,
    by_name: BTreeMap<&'static str, Document<'a>>,
}

impl<'a> Documents<'a> {
    fn new(files: &BTreeMap<&'static str, Taken>, sources: &'a Sources, sink: &'a Sink) -> Self {
        let toml = files.iter().filter(|(name, _)| **name != "hours.csv");
        let parse = |taken: &Taken| {
            let document = syntax::parse(taken.file, sources, sink);
            Document { broken: document.broken || taken.unread, ..document }
        };
        let by_name = toml.map(|(name, taken)| (*name, parse(taken))).collect();
        Self { sink, by_name }
    }

    fn root(&'a self, name: &str) -> Option<Row<'a>> {
        self.by_name.get(name).map(|document| Row::root(document, self.sink, name))
    }

    /// Whether what `name` defines may be incomplete.
    fn unsure(&self, name: &str) -> bool {
        match self.by_name.get(name) {
            Some(document) => document.broken,
            // A needed file that is missing is reported as such, and nothing more is said about its codes.
            None => NEEDED.contains(&name),
        }
    }
}

/// What the files say.
struct Understood {
    /// The problem in parts, if its times could be read.
    parts: Option<Parts>,
    /// The starts of tasks that were decided, each with its place.
    starts: Vec<(TaskId, Place)>,
    log: Log,
    origins: Origins,
}

fn parts(files: &BTreeMap<&'static str, Taken>, sources: &Sources, sink: &Sink) -> Understood {
    let documents = Documents::new(files, sources, sink);
    let job = documents.root("job.toml").map(raw::job::read);
    let crew = documents.root("crew.toml").map(raw::crew::read);
    let watches = documents.root("watches.toml").map(raw::watches::read).unwrap_or_default();
    let duties = documents.root("duties.toml").map(raw::duties::read).unwrap_or_default();
    let tasks = documents.root("tasks.toml").map(raw::tasks::read);
    let tools = documents.root("tools.toml").map(raw::tools::read).unwrap_or_default();
    let machinery = documents.root("machinery.toml").map(raw::machinery::read).unwrap_or_default();
    let pins = documents.root("pins.toml").map(raw::pins::read).unwrap_or_default();
    let log = documents.root("log.toml").map(raw::log::read).unwrap_or_default();
    let hours = files.get("hours.csv").map(|taken| raw::hours::read(taken.file, sources, sink)).unwrap_or_default();

    let mut index = Index::new(|name| documents.unsure(name));
    let times = lower::job::times(job.as_ref(), sink);

    let own_sets = documents.root("rules.toml").map(raw::rules::read).unwrap_or_default();
    let no_rest = raw::rest::Rest::default();
    let rest = job.as_ref().map_or(&no_rest, |job| &job.rest);
    let mut book = RuleBook::new(rest, &own_sets, documents.unsure("rules.toml"), sink);
    let (mut people, unread, competences) = match &crew {
        None => (IdVec::new(), Vec::new(), IdVec::new()),
        Some(crew) => {
            let competences = lower::crew::competences(crew, &mut index.competences, sink);
            let pattern = Pattern::new(job.as_ref(), &times, sink);
            let mut context = CrewContext { pattern, competences: &index.competences, rules: &mut book, sink };
            let (people, unread) = lower::crew::people(crew, &mut index.people, &mut context);
            if people.is_empty() {
                index.people.set_unsure();
            }
            (people, unread, competences)
        }
    };
    if let Some(job) = job.as_ref().filter(|job| unread.is_empty() && times.known && !job.broken_breaks) {
        lower::crew::breaks_of_nobody(job, &people, &times, sink);
    }
    let tools = lower::tools::tools(&tools, &mut index.tools, &times, sink);
    let units = lower::machinery::units(&machinery, &mut index, &times, sink);
    let groups = lower::machinery::groups(&machinery, &mut index, sink);
    let never_together = lower::machinery::never_together(&machinery, &index, sink);
    let reserves = job.as_ref().map_or(&[][..], |j| &j.reserves);
    let modes = lower::machinery::modes(&machinery, reserves, &groups, &people, &mut index, sink);
    if unread.is_empty() && times.known && !index.people.unsure() {
        lower::unbooked::more_than_there_is(reserves, &people, &times, sink);
    }
    let mode_spans = lower::machinery::mode_spans(&machinery, &modes, &index, &times, sink);
    let mut posts = lower::watches::posts(&watches, &people, &mode_spans, &mut index, &times, sink);
    let (turns, _) = lower::watches::turns(&watches, &posts, &people, &index, &times, sink);
    lower::watches::by_mode(&watches, &mut posts, &people, &index, &times);

    let (mut phases, mut tags) = (IdVec::new(), IdVec::new());
    let (mut lowered, mut holds) = (IdVec::new(), Vec::new());
    let mut written = Vec::new();
    if let Some(raw) = &tasks {
        phases = lower::tasks::phases(raw, &mut index, sink);
        tags = lower::tasks::tags(raw, &mut index, sink);
        written = lower::tasks::define(raw, &mut index, sink);
        let last_phase = PhaseId::from_index(phases.len().saturating_sub(1));
        let context =
            TaskContext { index: &index, people: &people, unread: &unread, tools: &tools, tags: &tags, last_phase, times: &times, sink };
        (lowered, holds) = lower::tasks::tasks(&written, &context);
    }
    lower::watches::attends_none(&watches, &written, sink);
    let starts =
        lower::pins::pins(&pins, &mut lowered, &PinContext { index: &index, people: &people, unread: &unread, times: &times, sink });
    let context = DutyContext { index: &index, people: &people, turns: &turns, times: &times, sink };
    let (lowered_duties, duty_places) = lower::duties::duties(&duties, &context);
    let bans = lower::duties::bans(&duties.bans, &index, &times, sink);
    lower::crew::idle(&people, &turns, &duties, &index, sink);
    lower::machinery::handing_over(&written, &lowered, &duties, &index, sink);
    let raw_milestones = job.as_ref().map_or(&[][..], |j| &j.milestones);
    let milestones = lower::job::milestones(raw_milestones, &mut index.milestones, &index.tasks, &times, sink);
    let aims = lower::job::aims(job.as_ref().map_or(&[][..], |j| &j.aims), !milestones.is_empty(), sink);
    let complete_from = lower::crew::recorded_from(job.as_ref(), &times, sink);
    lower::hours::hours(&hours, complete_from, &mut people, &book.table, &index, &times, sink);
    if let (Some(taken), Some(from)) = (files.get("hours.csv").filter(|taken| !taken.unread), &rest.recorded_from) {
        lower::hours::empty(&hours, taken.file, from, sources, &times, sink);
    }
    if times.known && rest.recorded_from.is_none() && files.get("hours.csv").is_none_or(|taken| !taken.unread) {
        lower::hours::missing(&hours, crew.as_ref().map_or(&[], |crew| &crew.people), &times, sink);
    }
    if times.known {
        lower::rest::fixed_work(&people, &turns, &lowered_duties, &book.table, &index, &times, sink);
        lower::rest::hours_without_a_break(&people, &book.table, &index, sink);
        lower::rest::cannot_plan(&people, &book.table, &lowered_duties, rest.head, &times, sink);
    }
    let event = lower::log::phase(&log, &mut phases, &mut index);
    let ground = LogGround {
        written: &written,
        base: &lowered,
        duties: &lowered_duties,
        people: &people,
        unread: &unread,
        turns: &turns,
        tools: &tools,
        tags: &tags,
        last_phase: event,
        times: &times,
        sink,
    };
    let log = lower::log::read(&log, &mut index, &ground);

    let mut origins = Origins::default();
    origins.add_all(&index, sources);
    for (code, place) in &duty_places {
        origins.add(Topic::Duty, code, *place, sources);
    }
    if !times.known {
        return Understood { parts: None, starts, log: Log::default(), origins };
    }
    let word = |text: Option<&Text>| text.map_or(String::new(), |t| t.as_str().to_owned());
    let parts = Parts {
        ship: word(job.as_ref().and_then(|j| j.ship.as_ref())),
        title: word(job.as_ref().and_then(|j| j.title.as_ref())),
        start: times.start,
        end: times.end,
        latest_end: times.latest_end,
        layout_end: times.layout_end,
        grid: times.grid,
        clock: times.clock,
        competences,
        rule_sets: book.table,
        people,
        posts,
        turns,
        duties: lowered_duties,
        phases,
        tags,
        tasks: lowered,
        tools,
        holds,
        bans,
        units,
        groups,
        never_together,
        modes,
        mode_spans,
        milestones,
        aims,
        told: None,
    };
    Understood { parts: Some(parts), starts, log, origins }
}

/// A defect the reader should have found with its place; said without one, and never silently.
fn from_defect(defect: &Defect) -> Diagnostic {
    let code = match defect {
        Defect::Horizon => Code::OffSlot,
        Defect::Dangling(_) => Code::UnknownTask,
        Defect::Repeated(_) => Code::UsedTwice,
        Defect::Unordered(_) | Defect::Stretch(_) => Code::HoursNotUnderstood,
        Defect::Cycle(_) => Code::Cycle,
        Defect::NoTeam(_) => Code::NoTeam,
        Defect::Task(..) => Code::OutOfRange,
        Defect::Cover(_) => Code::Unmanned,
        Defect::MayNotStand(..) => Code::MayNotStand,
        Defect::Modes => Code::ModeGap,
        Defect::HoldEndsBefore(_) => Code::HoldEndsBefore,
        Defect::DutyWindow(_) => Code::DutyTooLong,
    };
    Diagnostic::new(code, defect.to_string())
}
