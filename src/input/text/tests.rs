//! Parts of a text keep their place.

use crate::diag::Sources;
use crate::input::text::Text;

const FILE: &str = "needs = \" LEAD + 2 GEN , Größe \"";

fn text(sources: &mut Sources) -> Text {
    let file = sources.add("x.toml", FILE);
    let start = FILE.find('"').expect("it is there") + 1;
    let place = crate::diag::Place { file, start, end: FILE.len() - 1 };
    Text::exact(&FILE[start..FILE.len() - 1], place)
}

/// If this fails, excerpts underline the wrong word of a phrase.
#[test]
fn parts_point_at_themselves() {
    let mut sources = Sources::default();
    let parts = text(&mut sources).split(&['+', ',']);
    let words: Vec<(&str, &str)> = parts.iter().map(|p| (p.as_str(), sources.excerpt(p.place()))).collect();
    assert_eq!(words, [("LEAD", "LEAD"), ("2 GEN", "2 GEN"), ("Größe", "Größe")]);
}

/// If this fails, an empty part points at nothing, and nothing is underlined.
#[test]
fn empty_parts_point_at_the_whole() {
    let mut sources = Sources::default();
    let text = text(&mut sources);
    assert_eq!(text.part(3, 3).place(), text.place());
}

/// If this fails, phrases with `until`, `not`, `but` are cut at the wrong place.
#[test]
fn words_part_phrases() {
    let mut sources = Sources::default();
    let file = sources.add("x.toml", "SOAK Until A22");
    let phrase = Text::exact("SOAK Until A22", crate::diag::Place { file, start: 0, end: 14 });
    let (tool, task) = phrase.around("until").expect("the word is there");
    assert_eq!((tool.as_str(), task.as_str(), sources.excerpt(task.place())), ("SOAK", "A22", "A22"));
    assert!(phrase.around("til").is_none());
    assert_eq!(phrase.after_word("soak").map(|t| t.as_str().to_owned()), Some("Until A22".to_owned()));
    assert!(phrase.after_word("soa").is_none());
}
