//! The list of keys against what the readers ask for.

use std::collections::BTreeSet;

use crate::diag::Sources;
use crate::input::keys::{KEY_PAGES, KeyPage, KeyTable};
use crate::input::row::{ANY, Row};
use crate::input::sink::Sink;
use crate::input::{FILES, key_page, raw, syntax};

/// A key as readers ask for it, with the path of its table.
type Asked = BTreeSet<(String, String)>;

/// The first table of a file at a path.
fn table(file: &str, path: &str) -> &'static KeyTable {
    let page = key_page(file).expect("it is one of the files");
    page.tables.iter().find(|t| t.path == path).expect("it is one of its tables")
}

/// The keys of a table, those of the table it is like included; capitals stand for any name.
fn keys(of: &KeyTable) -> Vec<String> {
    let any = |key: &str| key.chars().all(|c| c.is_ascii_uppercase() || c == '_');
    let own = of.keys.iter().map(|k| if any(k.key) { ANY.to_owned() } else { k.key.to_owned() });
    let like = of.like.map(|(file, path)| keys(table(file, path))).unwrap_or_default();
    own.chain(like).collect()
}

/// A file with every table of the page, empty but for what the keys go `with`.
fn text(page: &KeyPage, with: &str) -> String {
    let mut text = String::new();
    for table in page.tables.iter().filter(|t| t.with.is_empty() && !t.path.is_empty()) {
        let rule = if page.tables.iter().any(|t| t.path == table.path && !t.with.is_empty()) { with } else { "" };
        let head = if table.many { format!("[[{}]]", table.path) } else { format!("[{}]", table.path) };
        text.extend([&head, "\n", rule, "\n"]);
    }
    text
}

/// What the reader of a file asks for, tables left out.
fn asked(page: &KeyPage, with: &str) -> Asked {
    let sink = Sink::default();
    let mut sources = Sources::default();
    let file = sources.add(page.file, text(page, with));
    let document = syntax::parse(file, &sources, &sink);
    let row = Row::root(&document, &sink, page.file);
    match page.file {
        "job.toml" => drop(raw::job::read(row)),
        "crew.toml" => drop(raw::crew::read(row)),
        "watches.toml" => drop(raw::watches::read(row)),
        "duties.toml" => drop(raw::duties::read(row)),
        "tasks.toml" => drop(raw::tasks::read(row)),
        "tools.toml" => drop(raw::tools::read(row)),
        "machinery.toml" => drop(raw::machinery::read(row)),
        "rules.toml" => drop(raw::rules::read(row)),
        "pins.toml" => drop(raw::pins::read(row)),
        "log.toml" => drop(raw::log::read(row)),
        other => panic!("nothing reads {other}"),
    }
    let under = |path: &str, key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    let is_table = |path: &str| page.tables.iter().any(|t| t.path == path || t.path.starts_with(&format!("{path}.")));
    let all = sink.keys().into_iter().filter(|(path, key)| !is_table(&under(path, key)));
    all.map(|(path, key)| (path, key.to_owned())).collect()
}

/// If this fails, a reader knows a key that `turnto explain` does not list, or the list has one that no reader knows.
#[test]
fn the_list_has_every_key_that_is_read_and_no_other() {
    for page in KEY_PAGES.iter().filter(|page| !["hours.csv", "options"].contains(&page.file)) {
        let kinds: BTreeSet<&str> = page.tables.iter().map(|t| t.with).filter(|w| !w.is_empty()).collect();
        let kinds = if kinds.is_empty() { BTreeSet::from([""]) } else { kinds };
        for with in kinds {
            let tables = page.tables.iter().filter(|t| t.with.is_empty() || t.with == with);
            let listed: Asked = tables.flat_map(|t| keys(t).into_iter().map(|key| (t.path.to_owned(), key))).collect();
            assert_eq!(listed, asked(page, with), "{} {with}", page.file);
        }
    }
}

/// If this fails, a file is read that the list does not have, or a kind of rule.
#[test]
fn the_list_has_every_file_and_every_kind_of_rule() {
    let files: Vec<&str> = KEY_PAGES.iter().map(|page| page.file).filter(|file| *file != "options").collect();
    assert_eq!(files, FILES);
    let rules = key_page("rules").expect("it is one of the files");
    let kinds: Vec<&str> = rules.tables.iter().map(|t| t.with).filter(|w| !w.is_empty()).collect();
    let known = raw::rules::KINDS.map(|kind| format!("kind = \"{kind}\""));
    assert_eq!(kinds, known);
    for word in raw::log::WORDS {
        let entry = keys(table("log.toml", "entry"));
        assert!(word.needs.iter().chain(word.may).all(|key| entry.iter().any(|k| k == key)), "{}", word.text);
    }
}

/// If this fails, the columns of hours.csv that are listed are not those that are read.
#[test]
fn the_columns_of_recorded_hours_are_those_that_are_read() {
    let page = key_page("hours.csv").expect("it is one of the files");
    let of = |with: &str| page.tables.iter().find(|t| t.with == with).map(keys).expect("it is listed");
    assert_eq!(of("rows from-to"), raw::hours::COLUMNS);
    let grid = of("a grid");
    let halves = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30));
    let columns: Vec<String> = grid.iter().flat_map(|key| if key == ANY { halves.clone().collect() } else { vec![key.clone()] }).collect();
    let row = columns.join(",");
    let sink = Sink::default();
    let mut sources = Sources::default();
    let file = sources.add("hours.csv", format!("{row}\nA,2027-03-01{}\n", ",".repeat(49)));
    let hours = raw::hours::read(file, &sources, &sink);
    assert_eq!((hours.days.len(), sink.into_found().len()), (1, 0));
}

/// If this fails, a key is listed twice in a table, or said to be something in empty words.
#[test]
fn every_key_is_listed_once_and_said_in_words() {
    for table in KEY_PAGES.iter().flat_map(|page| page.tables) {
        let mut names = keys(table);
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count, "{}", table.path);
        assert!(!table.about.is_empty());
        for key in table.keys {
            assert!([key.shape, key.left_out, key.means].iter().all(|words| !words.is_empty() && !words.ends_with('.')), "{}", key.key);
        }
    }
}
