//! Small matters of wording.

/// A number with its noun, in the singular or the plural of the nouns used here.
pub(super) fn counted(number: usize, noun: &str) -> String {
    let plural = match noun {
        _ if number == 1 => noun.to_owned(),
        "person" => "people".to_owned(),
        "doubtful entry" => "doubtful entries".to_owned(),
        "log entry" => "log entries".to_owned(),
        "entry" => "entries".to_owned(),
        "stretch" => "stretches".to_owned(),
        _ => format!("{noun}s"),
    };
    format!("{number} {plural}")
}

/// A paragraph in lines of at most 80 letters, broken between words.
pub(super) fn wrapped(paragraph: &str) -> String {
    let mut lines = vec![String::new()];
    for word in paragraph.split_whitespace() {
        let last = lines.last_mut().expect("there is always a line");
        if last.is_empty() {
            last.push_str(word);
        } else if last.chars().count() + 1 + word.chars().count() <= 80 {
            last.push(' ');
            last.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines.join("\n")
}
