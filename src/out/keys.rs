//! The keys of a file of the job folder, as text.

use crate::input::{KeyPage, KeyTable, SHAPES, log_words};
use crate::out::page::Page;

/// Column at which what is said of a key begins.
const COLUMN: usize = 19;

/// A page of keys: every table with its keys, then what the words in capitals stand for.
#[must_use]
pub fn keys_text(page: &KeyPage) -> String {
    let mut text = Page::default();
    text.text(&format!("{}: {}.", page.file, page.about));
    text.text("Of each key: how it is written; in brackets, what counts where it is left out; and what it means.");
    for table in page.tables {
        text.blank();
        text.text(&head(table));
        if let Some((file, path)) = table.like {
            let like = if table.keys.is_empty() { "" } else { ", and" };
            text.hang("", 2, 4, &format!("the keys of [{path}], see `turnto explain {file}`{like}"));
        }
        for key in table.keys {
            text.item(&format!("  {}", key.key), COLUMN, &format!("{} ({})", key.shape, key.left_out));
            text.item("", COLUMN, key.means);
        }
    }
    if page.file == "log.toml" {
        words(&mut text);
    }
    legend(page, &mut text);
    text.finish()
}

/// The files of which keys are listed, a line each.
#[must_use]
pub fn key_pages_text(pages: &[KeyPage]) -> String {
    let mut text = Page::default();
    for page in pages {
        text.item(page.file, COLUMN, page.about);
    }
    text.finish()
}

fn head(table: &KeyTable) -> String {
    let place = match (table.path, table.many) {
        ("", _) => "",
        (path, true) => &format!("[[{path}]] "),
        (path, false) => &format!("[{path}] "),
    };
    let with = match (table.path, table.with) {
        (_, "") => String::new(),
        ("", with) => format!("{with}: "),
        (_, with) => format!("with {with}: "),
    };
    if table.path.is_empty() && table.with.is_empty() {
        return format!("Before any table: {}", table.about);
    }
    let between = if table.with.is_empty() && !place.is_empty() { "- " } else { "" };
    format!("{place}{between}{with}{}", table.about)
}

/// What goes with each word of the log.
fn words(text: &mut Page) {
    text.blank();
    text.text("What goes with each word, what it needs first:");
    for (word, needs, may) in log_words() {
        let may = if may.is_empty() { String::new() } else { format!("; may have {}", may.join(", ")) };
        let needs = if needs.is_empty() { "nothing".to_owned() } else { needs.join(", ") };
        text.item(&format!("  {word}"), COLUMN, &format!("{needs}{may}"));
    }
}

/// The words in capitals that the page has, with what may stand for them.
fn legend(page: &KeyPage, text: &mut Page) {
    let used = |word: &str| page.tables.iter().flat_map(|t| t.keys).any(|key| key.shape.contains(word));
    let mut first = true;
    for (word, meaning) in SHAPES.iter().filter(|(word, _)| used(word)) {
        if first {
            text.blank();
            text.text("Where it says");
            first = false;
        }
        text.item(&format!("  {word}"), COLUMN, meaning);
    }
}
