//! Tests of how text is laid out.

use crate::out::page::{Page, WIDTH, length, printable};
use crate::out::tables::Wide;
use crate::out::words;
use crate::time::Minutes;

fn page(write: impl FnOnce(&mut Page)) -> String {
    let mut page = Page::default();
    write(&mut page);
    page.finish()
}

/// If this fails, tables show hours that are off by a hundredth or have the wrong sign.
#[test]
fn decimals() {
    // 20 min = 0.333 h, 10 min = 0.1667 h, 50 min = 0.8333 h, 1 min = 0.0167 h.
    let cases = [(0, "-"), (30, "0.5"), (60, "1.0"), (20, "0.33"), (10, "0.17"), (50, "0.83"), (1, "0.02"), (-90, "-1.5"), (-20, "-0.33")];
    for (minutes, text) in cases {
        assert_eq!(words::decimal(Minutes::new(minutes)), text);
    }
}

/// If this fails, wrapped lines do not line up under their text.
#[test]
fn wrapped_text_hangs_under_its_column() {
    let text = page(|p| p.item("label", 10, &"word ".repeat(20)));
    // 70 columns hold 14 words of four letters with a space between (14 x 5 - 1 = 69).
    let first = format!("label     {}", ["word"; 14].join(" "));
    let second = format!("          {}", ["word"; 6].join(" "));
    assert_eq!(text, format!("{first}\n{second}\n"));
}

/// If this fails, a number is parted from its unit at the end of a line.
#[test]
fn ties_hold() {
    let filler = "x".repeat(WIDTH - 3);
    assert_eq!(page(|p| p.text(&format!("{filler} {}", words::hours(Minutes::new(450))))), format!("{filler}\n  7 h 30\n"));
}

/// If this fails, something runs over the edge of the page: a word longer than a line, or a label longer
/// than its column.
#[test]
fn nothing_is_wider_than_the_page() {
    let long = "y".repeat(3 * WIDTH);
    for text in [
        page(|p| p.text(&long)),
        page(|p| p.item(&long, 12, &long)),
        page(|p| p.item("label", 12, &long)),
        page(|p| p.hang(&format!("{long} {long}"), 12, 30, "text")),
        page(|p| p.row(&long)),
    ] {
        assert!(text.lines().all(|l| length(l) <= WIDTH), "{text}");
        assert!(text.matches('y').count() >= 3 * WIDTH, "letters are lost:\n{text}");
    }
}

/// If this fails, a wide table loses a column, or repeats rows with nothing in them.
#[test]
fn wide_tables_are_folded() {
    let heads: Vec<String> = (1..=30).map(|n| format!("d{n}")).collect();
    let only_first = std::iter::once("1.0".to_owned()).chain(std::iter::repeat_n("-".to_owned(), 29)).collect();
    let all = std::iter::repeat_n("2.0".to_owned(), 30).collect();
    let table = Wide { corner: "hours".to_owned(), heads, rows: vec![("first".to_owned(), only_first), ("all".to_owned(), all)] };
    let text = page(|p| table.write(p));
    assert!(text.lines().all(|l| length(l) <= WIDTH), "{text}");
    assert_eq!(text.split_whitespace().filter(|w| w.starts_with('d')).count(), 30);
    assert_eq!(text.matches("2.0").count(), 30);
    assert_eq!(text.matches("first").count(), 1);
}

/// If this fails, a name can move the cursor or colour the screen.
#[test]
fn control_characters_are_gone() {
    assert_eq!(printable("a\u{1b}[31m\tb\r\nc\u{9b}"), "a [31m b  c ");
}
