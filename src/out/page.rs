//! Lays text out on lines of at most 80 columns.

/// Columns of a line.
pub(super) const WIDTH: usize = 80;

/// A space that no line is broken at; printed as a space.
pub(super) const TIE: char = '\u{a0}';

/// Lines under construction; none is longer than [`WIDTH`].
#[derive(Default)]
pub(super) struct Page {
    lines: Vec<String>,
}

impl Page {
    /// An empty line, never two in a row and none at the top.
    pub(super) fn blank(&mut self) {
        if self.lines.last().is_some_and(|l| !l.is_empty()) {
            self.lines.push(String::new());
        }
    }

    /// A line across the page.
    pub(super) fn rule(&mut self, with: char) {
        self.lines.push(std::iter::repeat_n(with, WIDTH).collect());
    }

    /// A heading in capitals after an empty line.
    pub(super) fn heading(&mut self, text: &str) {
        self.blank();
        self.text(&text.to_uppercase());
    }

    /// Text from the first column, wrapped; later lines are indented by two.
    pub(super) fn text(&mut self, text: &str) {
        self.hang("", 0, 2, text);
    }

    /// A label and, from `column`, text; wrapped lines start at `column` too.
    pub(super) fn item(&mut self, label: &str, column: usize, text: &str) {
        self.hang(label, column, column, text);
    }

    /// A label, text from `column`, and wrapped lines from `indent`. A label that reaches its column runs on
    /// into the text.
    pub(super) fn hang(&mut self, label: &str, column: usize, indent: usize, text: &str) {
        let room = WIDTH - indent.min(WIDTH / 2);
        let (mut line, all) = if length(label) < column {
            (left(label, column), words(text, room))
        } else {
            (String::new(), words(label, room).into_iter().chain(words(text, room)).collect())
        };
        let mut fresh = true;
        for word in all {
            let gap = usize::from(!fresh);
            if length(&line) + gap + length(&word) > WIDTH {
                self.push(&line);
                line = std::iter::repeat_n(TIE, indent).collect();
                fresh = true;
            }
            if !fresh {
                line.push(' ');
            }
            line.push_str(&word);
            fresh = false;
        }
        self.push(&line);
    }

    /// A line that is known to fit; anything too long is wrapped all the same.
    pub(super) fn row(&mut self, line: &str) {
        if length(line) <= WIDTH { self.push(&printable(line)) } else { self.text(line) }
    }

    /// A line from `column` on, its spaces kept; anything too long is wrapped.
    pub(super) fn row_at(&mut self, column: usize, line: &str) {
        if column + length(line) <= WIDTH {
            self.push(&format!("{}{}", left("", column), printable(line)));
        } else {
            self.item("", column, line);
        }
    }

    fn push(&mut self, line: &str) {
        self.lines.push(line.replace(TIE, " ").trim_end().to_owned());
    }

    /// The text, each line ended.
    pub(super) fn finish(self) -> String {
        let mut text = self.lines.join("\n");
        text.push('\n');
        text
    }
}

/// Number of columns: one for each character. Wide scripts take more on some screens.
pub(super) fn length(text: &str) -> usize {
    text.chars().count()
}

/// Control characters, line breaks included, become spaces: a name must not move the cursor.
pub(super) fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// Words of a text; one that is longer than a line is cut.
fn words(text: &str, most: usize) -> Vec<String> {
    let clean = printable(text);
    let mut found = Vec::new();
    for word in clean.split([' ', '\u{2003}']).filter(|w| !w.is_empty()) {
        let letters: Vec<char> = word.chars().collect();
        found.extend(letters.chunks(most).map(|chunk| chunk.iter().collect::<String>()));
    }
    found
}

/// `text` in a field of `width` columns, at the left.
pub(super) fn left(text: &str, width: usize) -> String {
    let mut field = printable(text);
    while length(&field) < width {
        field.push(TIE);
    }
    field
}

/// `text` in a field of `width` columns, at the right.
pub(super) fn right(text: &str, width: usize) -> String {
    let field = printable(text);
    let pad = width.saturating_sub(length(&field));
    let mut padded: String = std::iter::repeat_n(TIE, pad).collect();
    padded.push_str(&field);
    padded
}
