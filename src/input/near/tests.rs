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

/// If this fails, the suggestion depends on more than closeness and order.
#[test]
fn the_closest_wins_and_then_the_first() {
    assert_eq!(nearest("G", ["G1", "g"]), Some("g"));
    assert_eq!(nearest("G3", ["G1", "G2"]), Some("G1"));
    assert_eq!(nearest("gen", ["BEN", "GEN"]), Some("GEN"));
}
