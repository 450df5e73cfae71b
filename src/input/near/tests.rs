//! What counts as a near miss.

use crate::input::near::nearest;

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
