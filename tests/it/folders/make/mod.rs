//! Makes the files of a job folder by chance: a job of a few people and tasks with something of every file in it.

mod calls;
mod cast;
mod crew;
mod job;
mod page;
mod plant;
mod record;
mod work;

use crate::support::dice::Dice;

pub(crate) use cast::Cast;
pub(crate) use page::{Clock, Hours, Page};

/// The files of a folder, name and text, and when the job starts.
pub(crate) fn folder(dice: &mut Dice) -> (Cast, Vec<(&'static str, String)>) {
    let cast = Cast::draw(dice);
    let mut files = vec![
        ("job.toml", job::page(dice, &cast)),
        ("crew.toml", crew::page(dice, &cast)),
        ("tasks.toml", work::page(dice, &cast)),
        ("duties.toml", calls::page(dice, &cast)),
        ("pins.toml", record::pins(dice, &cast)),
        ("hours.csv", record::hours(dice, &cast)),
        ("machinery.toml", plant::machinery(dice, &cast)),
        ("tools.toml", plant::tools(dice, &cast)),
        ("watches.toml", crew::watches(dice, &cast)),
        ("options/shorter.toml", record::option(dice, &cast)),
    ];
    files.retain(|(_, text)| !text.is_empty());
    (cast, files)
}
