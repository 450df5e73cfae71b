//! What counts as a near miss.

use crate::input::near::{meant, nearest, slip};

const KEYS: [&str; 6] = ["after", "needs", "hours", "hold", "hands_back", "T12"];

/// If this fails, slips of the pen are no longer recognised for what was meant.
#[test]
fn slips_are_recognised() {
    // One letter swapped, left out, doubled, changed; capitals; a dash for an underscore.
    for (word, meant) in [
        ("afetr", "after"),
        ("need", "needs"),
        ("hourrs", "hours"),
        ("hokd", "hold"),
        ("Hours", "hours"),
        ("hands-back", "hands_back"),
        ("T21", "T12"),
    ] {
        assert_eq!(nearest(word, KEYS), Some(meant), "{word}");
    }
}

/// If this fails, words that have nothing to do with one another are suggested.
#[test]
fn other_words_are_left_alone() {
    for word in ["colour", "", "x", "team", "T", "before"] {
        assert_eq!(nearest(word, KEYS), None, "{word}");
    }
}

/// If this fails, one of many that are as close is suggested as if it were meant, or the suggestion depends on more than
/// closeness.
#[test]
fn the_closest_wins_if_it_is_the_only_one() {
    assert_eq!(nearest("G", ["G1", "g"]), Some("g"));
    assert_eq!(nearest("G3", ["G1", "G2"]), None);
    assert_eq!(nearest("G3", ["G1", "PUMP"]), Some("G1"));
    assert_eq!(nearest("TI", ["T2", "T1", "T3"]), Some("T1"));
    assert_eq!(nearest("A1O", ["A10", "A11", "A1"]), Some("A10"));
    assert_eq!(nearest("gen", ["BEN", "GEN"]), Some("GEN"));
}

/// If this fails, a name is taken for what was meant where a word of the files is as near, or nearer.
#[test]
fn words_of_the_files_are_candidates_beside_names() {
    let people = ["AE", "CE", "2E", "M1"];
    assert_eq!(meant("al", people, &["all"]), ["all", "AE"]);
    assert_eq!(meant("alll", people, &["all"]), ["all"]);
    assert_eq!(meant("aal", ["AAL1", "AE"], &["all"]), ["all", "AAL1"]);
    assert_eq!(meant("A3", people, &["all"]), ["AE"]);
    // Of names that are as near none is meant; the word is, where it is no further.
    assert_eq!(meant("alx", ["ALY", "ALZ"], &["all"]), ["all"]);
    assert_eq!(meant("opne", people, &["open"]), ["open"]);
    assert_eq!(meant("crane", people, &["all", "open"]), Vec::<&str>::new());
}

/// If this fails, a slip in a phrase is answered by examples alone.
#[test]
fn slips_in_phrases() {
    let words = ["day", "daily", "every", "Monday", "Sunday", "to"];
    let said = |near: &str, word: &str| Some(format!("write `{near}` in place of `{word}` if that is what is meant"));
    assert_eq!(slip("dialy 08:00-09:00", &words), said("daily", "dialy"));
    assert_eq!(slip("every Mnday 08:00-09:00", &words), said("Monday", "Mnday"));
    assert_eq!(slip("day 3 22:00 - dya 4 02:00", &words), said("day", "dya"));
    assert_eq!(slip("day 3 09:00", &words), None);
    assert_eq!(slip("next week", &words), None);
}
