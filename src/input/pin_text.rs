//! Pins as text: one to be appended to `pins.toml`, and the file without those of a task.

/// One decision, to be written.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct PinText<'a> {
    /// The task.
    pub task: &'a str,
    /// Who is put on it.
    pub by: &'a [String],
    /// The competence they bring.
    pub fills: Option<&'a str>,
    /// Who is kept off it.
    pub not: &'a [String],
    /// When it starts.
    pub at: Option<&'a str>,
    /// Why.
    pub why: Option<&'a str>,
}

impl PinText<'_> {
    /// The table as it stands in `pins.toml`.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("[[pin]]\ntask = {}\n", quoted(self.task));
        let mut line = |key: &str, value: &str| text.extend([key, " = ", &quoted(value), "\n"]);
        if !self.by.is_empty() {
            line("by", &self.by.join(", "));
        }
        if let Some(fills) = self.fills {
            line("for", fills);
        }
        if !self.not.is_empty() {
            line("not", &self.not.join(", "));
        }
        if let Some(at) = self.at {
            line("at", at);
        }
        if let Some(why) = self.why {
            line("why", why);
        }
        text
    }
}

/// `text` of `pins.toml` without the pins of `task` (all, where none is given), and how many those were. Comments and
/// everything else stay as they are; what stands between a pin and the next goes with it, but for comments.
#[must_use]
pub fn without_pins(text: &str, task: Option<&str>) -> (String, usize) {
    without(text, |pin| task.is_none_or(|task| names(pin, task)))
}

/// Each pin in `text` of `pins.toml`: its task, what it decides in words, and the text without it.
#[must_use]
pub fn each_pin(text: &str) -> Vec<(String, String, String)> {
    let mut pins = Vec::new();
    let (_, count) = without(text, |_| true);
    for wanted in 0..count {
        let (mut number, mut said) = (0, None);
        let (left, _) = without(text, |pin| {
            let this = number == wanted;
            number += 1;
            if this {
                said = words(pin);
            }
            this
        });
        pins.extend(said.map(|(task, words)| (task, words, left)));
    }
    pins
}

/// Whether `text` of `pins.toml` decides already what `pin` does, for whatever reason.
#[must_use]
pub fn decided(text: &str, pin: &str) -> bool {
    words(pin).is_some_and(|(_, said)| each_pin(text).iter().any(|(_, other, _)| *other == said))
}

/// The task of a pin and what it decides, in words: `A12 by FT, at day 4 08:00`.
fn words(pin: &str) -> Option<(String, String)> {
    let table: toml::Table = pin.parse().ok()?;
    let row = table.get("pin")?.get(0)?;
    let value = |key: &str| {
        row.get(key).map(|value| match value {
            toml::Value::String(text) => text.clone(),
            toml::Value::Array(list) => list.iter().filter_map(toml::Value::as_str).collect::<Vec<_>>().join(", "),
            other => other.to_string(),
        })
    };
    let task = value("task")?;
    let said = [("by", "by"), ("for", "for"), ("not", "not by"), ("at", "at")];
    let said: Vec<String> = said.iter().filter_map(|(key, word)| Some(format!("{word} {}", value(key)?))).collect();
    Some((task.clone(), format!("{task} {}", said.join(", "))))
}

/// `text` without the pins that `goes` picks, and how many those were.
fn without(text: &str, mut goes: impl FnMut(&str) -> bool) -> (String, usize) {
    let mut kept = String::new();
    let mut removed = 0;
    let mut rest = text;
    while let Some(at) = head(rest) {
        kept.push_str(&rest[..at]);
        let after = &rest[at..];
        let body = after.find('\n').map_or(after.len(), |n| n + 1);
        let end = next_table(&after[body..]).map_or(after.len(), |n| body + n);
        let pin = &after[..end];
        if goes(pin) {
            removed += 1;
            kept.extend(pin.split_inclusive('\n').filter(|line| line.trim_start().starts_with('#')));
        } else {
            kept.push_str(pin);
        }
        rest = &after[end..];
    }
    kept.push_str(rest);
    (kept, removed)
}

/// Where the first line that begins a pin starts.
fn head(text: &str) -> Option<usize> {
    starts(text).find(|at| text[*at..].lines().next().is_some_and(|line| line.split('#').next().unwrap_or("").trim() == "[[pin]]"))
}

/// Where the first line that begins a table starts.
fn next_table(text: &str) -> Option<usize> {
    starts(text).find(|at| text[*at..].trim_start_matches([' ', '\t']).starts_with('['))
}

fn starts(text: &str) -> impl Iterator<Item = usize> + '_ {
    std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).filter(|at| *at < text.len())
}

/// Whether a pin is about `task`.
fn names(pin: &str, task: &str) -> bool {
    let value = |line: &str| {
        let (key, value) = line.split_once('=')?;
        (key.trim() == "task").then(|| value.split('#').next().unwrap_or("").trim().trim_matches(['"', '\'']).to_owned())
    };
    pin.lines().find_map(value).is_some_and(|value| value == task)
}

/// A text in the quotation marks of TOML.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

#[cfg(test)]
mod tests {
    use super::{PinText, each_pin, without_pins};

    /// If this fails, unpinning one task takes out more, or less, than that.
    #[test]
    fn only_the_pins_of_the_task_go() {
        let text =
            "# mine\n[[pin]]\ntask = \"A\"\nby = \"X\"\n# why\n\n[[pin]] # two\ntask = 'B'\nat = \"day 2 08:00\"\n[[pin]]\ntask = \"A\"\n";
        let (left, gone) = without_pins(text, Some("A"));
        assert_eq!((left.as_str(), gone), ("# mine\n# why\n[[pin]] # two\ntask = 'B'\nat = \"day 2 08:00\"\n", 2));
        assert_eq!(without_pins(text, Some("C")), (text.to_owned(), 0));
        assert_eq!(without_pins(text, None), ("# mine\n# why\n".to_owned(), 3));
    }

    /// If this fails, a name with a quotation mark in it breaks the file.
    #[test]
    fn what_is_written_is_toml() {
        let by = ["2E".to_owned(), "FT".to_owned()];
        let pin = PinText { task: "A1", by: &by, why: Some("he said \"mine\""), ..PinText::default() };
        let read: toml::Table = pin.text().parse().expect("it is TOML");
        assert_eq!(read["pin"][0]["by"].as_str(), Some("2E, FT"));
        assert_eq!(read["pin"][0]["why"].as_str(), Some("he said \"mine\""));
    }

    /// If this fails, what a pin costs is asked of another pin, or told of another.
    #[test]
    fn each_pin_is_taken_out_by_itself() {
        let text = "[[pin]]\ntask = \"A\"\nby = [\"X\", \"Y\"]\n[[pin]]\ntask = 'B'\nnot = \"Z\"\nat = \"day 2 08:00\"\n";
        let pins = each_pin(text);
        let said: Vec<(&str, &str)> = pins.iter().map(|(task, words, _)| (task.as_str(), words.as_str())).collect();
        assert_eq!(said, [("A", "A by X, Y"), ("B", "B not by Z, at day 2 08:00")]);
        assert_eq!(pins[0].2, "[[pin]]\ntask = 'B'\nnot = \"Z\"\nat = \"day 2 08:00\"\n");
        assert_eq!(pins[1].2, "[[pin]]\ntask = \"A\"\nby = [\"X\", \"Y\"]\n");
    }
}
