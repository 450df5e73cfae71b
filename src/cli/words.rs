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

/// A line as it is where it has at most 80 letters, else in several, the others two letters further in than it begins.
pub(super) fn folded(line: &str) -> String {
    if line.chars().count() <= 80 {
        return line.to_owned();
    }
    let indent = " ".repeat(line.chars().take_while(|c| *c == ' ').count());
    broken(line, &indent, &format!("{indent}  "))
}

/// A paragraph in lines of at most 80 letters, broken between words.
pub(super) fn wrapped(paragraph: &str) -> String {
    broken(paragraph, "", "")
}

/// Lines of at most 80 letters, broken between words: the first begins with `first`, the others with `later`.
fn broken(paragraph: &str, first: &str, later: &str) -> String {
    let mut lines = vec![first.to_owned()];
    for word in paragraph.split_whitespace() {
        let last = lines.last_mut().expect("there is always a line");
        if last.chars().all(|c| c == ' ') {
            last.push_str(word);
        } else if last.chars().count() + 1 + word.chars().count() <= 80 {
            last.push(' ');
            last.push_str(word);
        } else {
            lines.push(format!("{later}{word}"));
        }
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::folded;

    /// If this fails, a long note runs over the edge, or the lines after its first do not hang under it.
    #[test]
    fn long_lines_are_folded() {
        let short = "   2.2 s  finish day 6 10:30";
        assert_eq!(folded(short), short);
        let long = format!("   2.2 s  finish day 6 10:30, {} end", "and so on, ".repeat(6).trim_end());
        let lines: Vec<String> = folded(&long).lines().map(str::to_owned).collect();
        assert_eq!(lines.len(), 2);
        assert!(lines[0].starts_with("   2.2 s finish") && lines[1].starts_with("     ") && !lines[1].starts_with("      "), "{lines:?}");
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{lines:?}");
    }
}
