//! Entries from the command line.

use super::{EntryText, entry_text};

fn text(what: &[&str], note: Option<&str>, add: Option<&str>) -> Result<String, String> {
    let what: Vec<String> = what.iter().map(|w| (*w).to_owned()).collect();
    entry_text(&EntryText { at: "day 4 14:20", what: &what, note, add })
}

#[test]
fn a_word_and_its_subject_become_an_entry() {
    let entry = text(&["out", "G4", "until=day 6 12:00"], Some("cracked \"head\""), None).expect("it can be written");
    let wanted =
        "[[entry]]\nat = \"day 4 14:20\"\nwhat = \"out\"\nunit = \"G4\"\nuntil = \"day 6 12:00\"\nnote = \"cracked \\\"head\\\"\"\n";
    assert_eq!(entry, wanted);
}

#[test]
fn a_note_needs_no_subject_and_hours_are_a_number() {
    assert!(text(&["note", "all well"], None, None).expect("a note").ends_with("note = \"all well\"\n"));
    assert!(text(&["to_go", "A12", "hours=1.5"], None, None).expect("hours").contains("\nhours = 1.5\n"));
}

#[test]
fn tables_of_tasks_and_duties_go_with_the_entry_and_others_do_not() {
    let entry = text(&["note", "x"], None, Some("[task.K01]\nneeds = [\"GEN\"]\n[duty.extra]\n")).expect("it can be added");
    assert!(entry.ends_with("\n[entry.add.K01]\nneeds = [\"GEN\"]\n[entry.add_duty.extra]\n"));
    assert!(text(&["note", "x"], None, Some("[tool.CRANE]\n")).is_err());
}

#[test]
fn what_cannot_be_said_is_refused_with_what_can() {
    let words = text(&["finished", "A12"], None, None).expect_err("there is no such word");
    assert!(words.contains("done") && words.contains("finished"));
    assert!(text(&["done", "A12", "A13"], None, None).is_err());
}

#[test]
fn a_note_without_words_is_none() {
    assert!(text(&["note"], None, None).is_err());
    assert!(text(&["note"], Some("  "), None).is_err());
    assert!(text(&[], None, None).is_err());
    assert!(text(&["note"], None, Some("[task.K01]\nneeds = [\"GEN\"]\n")).is_ok(), "what it adds says enough");
}
