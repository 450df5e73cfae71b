//! Short phrases inside quotation marks: `LEAD + 2 GEN`, `A20 + 12h`, `SOAK until A22`, `MEAS not from A44`.

use crate::diag::{Code, Place};
use crate::input::length::length_minutes;
use crate::input::near::slip;
use crate::input::sink::Sink;
use crate::input::text::Text;
use crate::time::Minutes;

/// So many of something.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) struct Counted {
    /// How many; at least 1 unless nothing was allowed.
    pub number: u32,
    /// Of what.
    pub word: Text,
}

/// The words for nothing of it.
pub(in crate::input) const NONE: [&str; 2] = ["none", "nobody"];

/// Most of anything that can be asked for in one phrase.
const MOST: u32 = 99;

/// `LEAD + 2 GEN`, `2 GEN, 1 EMG`, `none`; `zero` says whether `0 LPUR` may stand there.
pub(in crate::input) fn counted(texts: &[Text], example: &str, sink: &Sink) -> Vec<Counted> {
    let items = texts.iter().flat_map(|t| t.split(&['+', ',']));
    let mut counted = Vec::new();
    for item in items {
        if item.as_str().is_empty() || NONE.iter().any(|none| item.is(none)) {
            if item.as_str().is_empty() && texts.len() == 1 && texts[0].as_str().trim().is_empty() {
                continue;
            }
            if item.as_str().is_empty() {
                not_understood(&item, &[], example, sink);
            }
            continue;
        }
        let read = match item.as_str().split_once(char::is_whitespace) {
            None => Some(Counted { number: 1, word: item.clone() }),
            Some((number, _)) => {
                number.parse::<u32>().ok().map(|n| Counted { number: n, word: item.part(number.len(), item.as_str().len()) })
            }
        };
        match read {
            Some(read) if read.word.as_str().contains(char::is_whitespace) => not_understood(&item, &[], example, sink),
            Some(read) if read.number > MOST => {
                let message = format!("{} {} is out of range", read.number, read.word.as_str());
                sink.say(Code::OutOfRange, message, item.place(), "", format!("give a number up to {MOST}"));
            }
            Some(read) => counted.push(read),
            None => not_understood(&item, &[], example, sink),
        }
    }
    counted
}

/// `words` are those that phrases of its kind are made with.
fn not_understood(item: &Text, words: &[&str], example: &str, sink: &Sink) {
    let what =
        if item.as_str().is_empty() { "something is missing here".to_owned() } else { format!("`{}` cannot be read", item.as_str()) };
    let help = slip(item.as_str(), words).unwrap_or_else(|| format!("write it like {example}"));
    sink.say(Code::NotUnderstood, what, item.place(), "", help);
}

/// What a task comes after.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) struct After {
    /// The earlier task.
    pub task: Text,
    /// The wait.
    pub lag: Minutes,
}

/// `A13`, `A20 + 12h`, `A05 + 30 min`.
pub(in crate::input) fn after(texts: &[Text], sink: &Sink) -> Vec<After> {
    const LONGEST: i64 = 365 * 24 * 60;
    let mut list = Vec::new();
    for text in texts {
        let mut parts = text.split(&['+']).into_iter();
        let Some(task) = parts.next() else { continue };
        let lag = parts.next().map(|lag| length_minutes(lag.as_str()));
        let fits = |minutes: &i64| (0..=LONGEST).contains(minutes);
        let minutes = match lag {
            None => Some(0),
            Some(read) => read.filter(fits),
        };
        match minutes.and_then(|m| i32::try_from(m).ok()) {
            Some(minutes) if parts.next().is_none() && !task.as_str().is_empty() && !task.as_str().contains(char::is_whitespace) => {
                list.push(After { task, lag: Minutes::new(minutes) });
            }
            Some(_) | None => not_understood(text, &[], "\"A13\" or \"A20 + 12h\"", sink),
        }
    }
    list
}

/// A tool held through a wait.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) struct Hold {
    /// How many.
    pub number: u32,
    /// The tool.
    pub tool: Text,
    /// The task at whose end it is free again.
    pub until: Text,
}

/// `SOAK until A22`, `2 RACK until A22`.
pub(in crate::input) fn holds(texts: &[Text], sink: &Sink) -> Vec<Hold> {
    const EXAMPLE: &str = "\"SOAK until A22\"";
    let mut list = Vec::new();
    for text in texts {
        let Some((what, until)) = text.around("until") else {
            not_understood(text, &["until"], EXAMPLE, sink);
            continue;
        };
        let tools = counted(std::slice::from_ref(&what), EXAMPLE, sink);
        match tools.as_slice() {
            [one] if one.number > 0 && !until.as_str().is_empty() && !until.as_str().contains(char::is_whitespace) => {
                list.push(Hold { number: one.number, tool: one.word.clone(), until });
            }
            _ => not_understood(text, &["until"], EXAMPLE, sink),
        }
    }
    list
}

/// Who may not fill a place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) struct Different {
    /// The place in this task, by its competence.
    pub need: Text,
    /// The other tasks, each with a place or all of its team.
    pub others: Vec<(Option<Text>, Text)>,
}

/// `MEAS not from A44, A45`; `MEAS not LEAD of A44`.
pub(in crate::input) fn different(texts: &[Text], sink: &Sink) -> Vec<Different> {
    const EXAMPLE: &str = "\"MEAS not from A44, A45\" or \"MEAS not LEAD of A44\"";
    let mut list = Vec::new();
    for text in texts {
        let Some((need, rest)) = text.around("not") else {
            not_understood(text, &["not", "from"], EXAMPLE, sink);
            continue;
        };
        let rest = rest.after_word("from").unwrap_or(rest);
        let mut others = Vec::new();
        for item in rest.split(&[',']) {
            let (place, task) = match item.around("of") {
                Some((place, task)) => (Some(place), task),
                None => (None, item.clone()),
            };
            if task.as_str().is_empty() || task.as_str().contains(char::is_whitespace) {
                not_understood(&item, &["not", "from"], EXAMPLE, sink);
            } else {
                others.push((place, task));
            }
        }
        list.push(Different { need, others });
    }
    list
}

/// Whether a task is needed where the job is closed up early.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) enum CloseUp {
    /// In any case.
    Needed,
    /// Left out; where this stands.
    LeaveOut(Place),
    /// If one of these was begun.
    If(Vec<Text>),
}

/// `needed`, `leave out`, `if A12, A13`.
pub(in crate::input) fn close_up(text: &Text, sink: &Sink) -> Option<CloseUp> {
    let whole = text.trimmed();
    let read = if whole.is("needed") {
        Some(CloseUp::Needed)
    } else if whole.is("leave out") {
        Some(CloseUp::LeaveOut(text.place()))
    } else {
        let tasks = whole.after_word("if").map(|list| list.split(&[',']));
        tasks.filter(|list| list.iter().all(|t| !t.as_str().is_empty() && !t.as_str().contains(char::is_whitespace))).map(CloseUp::If)
    };
    if read.is_none() {
        not_understood(text, &["needed", "leave", "out"], "\"leave out\", \"if A12\", \"if A12, A13\" or \"needed\"", sink);
    }
    read
}

/// Who stands a watch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) enum By {
    /// One person.
    One(Text),
    /// One of these, for the plan to decide.
    Choice(Vec<Text>),
    /// Anybody who may, but these.
    AnybodyBut(Vec<Text>),
    /// One after the other, day by day.
    InTurn(Vec<Text>),
}

/// `3E`, `3E or AE`, `3E, AE`, `open`, `open but 4E`, `3E, 4E, AE in turn`.
pub(in crate::input) fn by(text: &Text, sink: &Sink) -> Option<By> {
    let words = |text: &Text| {
        let mut words = Vec::new();
        for part in text.split(&[',']) {
            let mut rest = part;
            while let Some((one, other)) = rest.around("or") {
                words.push(one);
                rest = other;
            }
            words.push(rest);
        }
        words
    };
    let good = |words: &[Text]| words.iter().all(|w| !w.as_str().is_empty() && !w.as_str().contains(char::is_whitespace));
    let read = if text.trimmed().is("open") {
        Some(By::AnybodyBut(Vec::new()))
    } else if let Some(rest) = text.after_word("open").and_then(|t| t.after_word("but")) {
        let but = words(&rest);
        good(&but).then_some(By::AnybodyBut(but))
    } else if let Some(list) = text.as_str().to_ascii_lowercase().trim_end().strip_suffix("in turn").map(str::len) {
        let people = words(&text.part(0, list));
        good(&people).then_some(By::InTurn(people))
    } else {
        let people = words(text);
        match people.as_slice() {
            list if !good(list) => None,
            [one] => Some(By::One(one.clone())),
            _ => Some(By::Choice(people)),
        }
    };
    if read.is_none() {
        not_understood(text, &["open", "but", "turn"], "\"3E\", \"3E or AE\", \"open\", \"open but 4E\" or \"3E, 4E, AE in turn\"", sink);
    }
    read
}

/// Whom a duty calls.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(in crate::input) enum Who {
    /// These people.
    Named(Vec<Text>),
    /// Everybody, or everybody with a competence, but these.
    All {
        /// The competence, if it is not everybody.
        holding: Option<Text>,
        /// Who is left out.
        but: Vec<Text>,
    },
}

/// `4E, M2`; `all`; `all but CE, 2E`; `all OOW`; `all OOW but 3E`.
pub(in crate::input) fn who(texts: &[Text], sink: &Sink) -> Option<Who> {
    const EXAMPLE: &str = "\"4E, M2\", \"all\", \"all but CE\" or \"all OOW\"";
    let good = |words: &[Text]| words.iter().all(|w| !w.as_str().is_empty() && !w.as_str().contains(char::is_whitespace));
    let split = |texts: &[Text]| texts.iter().flat_map(|t| t.split(&[','])).collect::<Vec<_>>();
    let first = texts.first()?;
    let all = first.trimmed().is("all") || first.after_word("all").is_some();
    if !all {
        let people = split(texts);
        if good(&people) {
            return Some(Who::Named(people));
        }
        not_understood(first, &["all", "but"], EXAMPLE, sink);
        return None;
    }
    let rest = first.after_word("all").filter(|t| !t.as_str().is_empty());
    let (holding, but) = match rest {
        None => (None, Vec::new()),
        Some(rest) => match (rest.after_word("but"), rest.around("but")) {
            (Some(but), _) => (None, split(std::slice::from_ref(&but))),
            (None, Some((kind, but))) => (Some(kind), split(std::slice::from_ref(&but))),
            (None, None) => (Some(rest), Vec::new()),
        },
    };
    if texts.len() == 1 && good(&but) && good(holding.as_slice()) {
        return Some(Who::All { holding, but });
    }
    not_understood(first, &["all", "but"], EXAMPLE, sink);
    None
}
