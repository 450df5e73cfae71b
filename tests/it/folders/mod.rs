//! Whole job folders, made by chance as text, with the built program run on them as a person would: checked, planned, planned
//! again when something has happened, asked this and that. What a plan is worth is no matter here; it is what may never be,
//! whatever a folder says, that is looked for (`run` for every run, `plan` for every plan that is written).

mod events;
mod facts;
mod make;
mod mend;
mod plan;
mod run;
mod story;

use crate::verify::brute::jobs;
use story::{Tally, tell};

/// How many folders are usual, and the first seed: from there on they are quickly planned. Some take ten seconds and more.
const USUAL: u64 = 18;
const FIRST: u64 = 8;

/// If this fails, the program ends in a fault or without an end on some folder, prints what does not fit a page, refuses a
/// folder without saying where, writes a plan that it does not stand by or that a reader who can add finds wrong, comes to
/// something else another time, or writes over what somebody wrote. `TURNTO_JOBS=300` makes it the long run. The folder of a
/// seed that fails is kept; where it is, is said.
#[test]
#[expect(clippy::print_stderr, reason = "who asks for the long run is told what was tried, with `--nocapture`")]
fn folders_made_by_chance_are_read_planned_and_planned_again() {
    let count = jobs(USUAL);
    let mut tally = Tally::default();
    let faults: Vec<String> = (FIRST..FIRST + count).filter_map(|seed| tell(seed, &mut tally).err()).collect();
    assert!(faults.is_empty(), "{} of {count} folders:\n\n{}\n\n{tally:?}", faults.len(), faults.join("\n\n"));
    eprintln!("{count} folders: {tally:?}");
    let share = |part: usize, percent: u64| part as u64 * 100 >= count * percent;
    let tried = share(tally.planned, 40) && share(tally.replanned, 40) && share(tally.entries, 80) && share(tally.doubled, 80);
    assert!(tried || count < USUAL, "little was tried: {tally:?}");
    assert!(count < USUAL || !share(tally.refused, 10), "too many are refused: {tally:?}");
}

/// If this fails, an error that says nowhere where it is gets past the test above.
#[test]
fn an_error_without_a_place_is_noticed() {
    let with = "error[C201]: there is no task `A`\n --> tasks.toml:3:9\n  |\n3 | after\n\ndoubtful[C104]: odd\n --> job.toml:1:1\n";
    let places = mend::blamed(with).expect("it names a place");
    assert_eq!(places.into_iter().map(|p| (p.file, p.line)).collect::<Vec<_>>(), [("tasks.toml".to_owned(), 3)]);
    let without = "error[C506]: there is no crew.toml\n |\n = help: write one\n\ndoubtful[C104]: odd\n --> job.toml:1:1\n";
    assert!(mend::blamed(without).is_err());
}
