//! Diagnostics as text: file, line, excerpt, labels, remedy.

use std::collections::BTreeMap;
use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};

use crate::diag::{Code, Diagnostic, Label, Severity, Sources, unseen};

/// How diagnostics are to look.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Look {
    /// With colour, which never says anything the words do not.
    pub color: Color,
    /// Columns to keep to, as far as words and excerpts can be broken; at least 40 are used.
    pub width: usize,
}

/// Whether there is colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Color {
    /// Plain text.
    Plain,
    /// Terminal colours.
    Styled,
}

impl Look {
    /// Plain text, 80 columns.
    pub const PLAIN: Self = Self { color: Color::Plain, width: 80 };
    /// Terminal colours, 80 columns.
    pub const STYLED: Self = Self { color: Color::Styled, width: 80 };
}

/// How many of one code are shown before the rest are counted only.
const MOST_OF_ONE_CODE: usize = 15;

/// How many places besides the first are shown of one diagnostic.
const MOST_LABELS: usize = 12;

/// All of `diagnostics` as text, in the order given, an empty line after each; of one code at most 15, and
/// a line that says how many more there are. Empty if there are none.
#[must_use]
pub fn render(diagnostics: &[Diagnostic], sources: &Sources, look: Look) -> String {
    let mut shown: BTreeMap<Code, usize> = BTreeMap::new();
    let mut text = String::new();
    for diagnostic in diagnostics {
        let count = shown.entry(diagnostic.code).or_default();
        *count += 1;
        if *count <= MOST_OF_ONE_CODE {
            text.push_str(&one(diagnostic, sources, look));
            text.push_str("\n\n");
        }
    }
    for (code, count) in shown.into_iter().filter(|(_, count)| *count > MOST_OF_ONE_CODE) {
        let more = count - MOST_OF_ONE_CODE;
        text.push_str(&["... and ", &more.to_string(), " more like ", code.text(), ": ", code.title(), "\n\n"].concat());
    }
    text
}

/// One diagnostic, without a line break at its end.
fn one(diagnostic: &Diagnostic, sources: &Sources, look: Look) -> String {
    let renderer = match look.color {
        Color::Plain => Renderer::plain(),
        Color::Styled => Renderer::styled(),
    };
    let width = look.width.max(40);
    let renderer = renderer.term_width(width).decor_style(DecorStyle::Ascii);
    let level = match diagnostic.severity() {
        Severity::Error => Level::ERROR,
        Severity::Doubtful => Level::WARNING.with_name("doubtful"),
    };
    // `doubtful[C999]: ` stands before the first line.
    let title = wrap(&clean(&diagnostic.message), width - 17);
    let mut group = level.primary_title(title).id(diagnostic.code.text()).elements(Vec::<Element<'_>>::new());
    let excerpts = excerpts(diagnostic, sources, width);
    for excerpt in &excerpts {
        // A file that is not shown has nothing to excerpt.
        group = if excerpt.text.is_empty() { group.element(Origin::path(excerpt.path.as_str())) } else { group.element(snippet(excerpt)) };
    }
    let notes: Vec<String> = excerpts.iter().flat_map(|e| &e.notes).map(|note| wrap(note, width - 14)).collect();
    for note in &notes {
        group = group.element(Level::NOTE.message(note.as_str()));
    }
    let helps: Vec<String> = diagnostic.help.iter().map(|help| wrap(&clean(help), width - 14)).collect();
    for help in &helps {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    renderer.render(&[group as Group<'_>])
}

/// The lines of one file that are shown.
struct Excerpt {
    path: String,
    first_line: usize,
    text: String,
    marks: Vec<(AnnotationKind, Range<usize>, String)>,
    /// Labels that would not fit beside their marks.
    notes: Vec<String>,
}

fn snippet(excerpt: &Excerpt) -> Snippet<'_, annotate_snippets::Annotation<'_>> {
    let marks = excerpt.marks.iter().map(|(kind, span, label)| {
        let mark = kind.span(span.clone());
        if label.is_empty() { mark } else { mark.label(label.as_str()) }
    });
    Snippet::source(excerpt.text.as_str()).path(excerpt.path.as_str()).line_start(excerpt.first_line).fold(true).annotations(marks)
}

/// One excerpt for each file a diagnostic points into, the primary one first.
fn excerpts(diagnostic: &Diagnostic, sources: &Sources, width: usize) -> Vec<Excerpt> {
    let mut files: Vec<(&Label, Vec<(AnnotationKind, &Label)>)> = Vec::new();
    let primary = diagnostic.primary.iter().map(|label| (AnnotationKind::Primary, label));
    let others = diagnostic.others.iter().take(MOST_LABELS).map(|label| (AnnotationKind::Context, label));
    for (kind, label) in primary.chain(others) {
        match files.iter_mut().find(|(first, _)| first.place.file == label.place.file) {
            Some((_, labels)) => labels.push((kind, label)),
            None => files.push((label, vec![(kind, label)])),
        }
    }
    files
        .into_iter()
        .map(|(first, labels)| excerpt(sources.text(first.place.file), sources.path(first.place.file), first, &labels, sources, width))
        .collect()
}

fn excerpt(text: &str, path: &str, first: &Label, labels: &[(AnnotationKind, &Label)], sources: &Sources, width: usize) -> Excerpt {
    // Only the lines from the first mark to the last are handed over; the renderer folds what lies between.
    let low = labels.iter().map(|(_, l)| l.place.start.min(text.len())).min().unwrap_or(0);
    let high = labels.iter().map(|(_, l)| l.place.end.min(text.len())).max().unwrap_or(0);
    let start = text.as_bytes()[..low].iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
    let end = text.as_bytes()[high..].iter().position(|b| *b == b'\n').map_or(text.len(), |i| high + i);
    let lowest = crate::diag::Place { start: low, end: low, ..first.place };
    let shown = text.get(start..end).unwrap_or("");
    let mut notes = Vec::new();
    let mut marks = Vec::new();
    for (kind, label) in labels {
        let from = label.place.start.clamp(start, end) - start;
        let to = short_of(shown, from, label.place.end.clamp(start, end) - start, width - 12);
        let mut words = clean(&label.text);
        let before = shown.get(..to).map_or(0, |text| text.chars().rev().take_while(|c| *c != '\n').count());
        // Line number and frame take up to eight columns.
        if 8 + before + 1 + words.chars().count() > width && !words.is_empty() {
            notes.push(std::mem::take(&mut words));
        }
        marks.push((*kind, from..to.max(from), words));
    }
    Excerpt { path: clean(path), first_line: sources.line(lowest), text: same_length(shown), marks, notes }
}

/// The end of a mark from `from` to `to`, cut where a long line would carry it past column `room`; the renderer then cuts
/// the line itself.
fn short_of(text: &str, from: usize, to: usize, room: usize) -> usize {
    let before = text.get(..from).map_or(0, |text| text.chars().rev().take_while(|c| *c != '\n').count());
    let Some(marked) = text.get(from..to).filter(|marked| before < room && !marked.contains('\n')) else { return to };
    marked.char_indices().nth(room - before).map_or(to, |(more, _)| from + more)
}

/// Characters of a file that do not show, or turn what follows, do not reach the terminal; each becomes blanks of the same
/// length.
fn same_length(text: &str) -> String {
    let mut shown = text.to_owned();
    for found in unseen(text) {
        let length = found.character.len_utf8();
        shown.replace_range(found.at..found.at + length, &" ".repeat(length));
    }
    shown
}

/// Words of a person that stand in a message are on one line and without characters that do not show.
fn clean(text: &str) -> String {
    const LONGEST: usize = 400;
    let shown = same_length(text);
    let mut cleaned: String = shown.chars().take(LONGEST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if shown.chars().nth(LONGEST).is_some() {
        cleaned.push_str("...");
    }
    cleaned
}

/// `text` in lines of at most `width` characters, broken between words where that is possible.
fn wrap(text: &str, width: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split(' ') {
        let length = line.chars().count();
        if length > 0 && length + 1 + word.chars().count() > width {
            lines.push(std::mem::take(&mut line));
        } else if length > 0 {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines.join("\n")
}
