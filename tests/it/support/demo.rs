//! The demonstration job, as it stands in the repository.

use turnto::input::{Folder, read};
use turnto::model::Problem;

/// Its files.
pub(crate) fn folder() -> Folder {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-crew");
    let mut folder = Folder::new();
    for entry in std::fs::read_dir(root).expect("the demonstration job is there") {
        let path = entry.expect("it can be listed").path();
        if path.is_file() {
            let name = path.file_name().expect("a file has a name").to_string_lossy().into_owned();
            folder.add(name, std::fs::read(&path).expect("it can be read"));
        }
    }
    folder
}

/// What it says.
pub(crate) fn problem() -> Problem {
    read(&folder()).problem.expect("nothing is wrong with it")
}
