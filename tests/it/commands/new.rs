//! `turnto new`.

use super::Scratch;

/// If this fails, a beginner's first two commands do not work.
#[test]
fn a_new_folder_is_in_order() {
    let scratch = Scratch::new();
    let ran = scratch.run(&["new", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(0), ""));
    assert!(ran.err.starts_with("wrote ") && ran.err.ends_with(" files to job; next: turnto plan job\n"), "{}", ran.err);
    assert!(scratch.names("job").contains(&"job.toml".to_owned()));
    let ran = scratch.run(&["check", "job"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", ran.out);
    assert!(ran.out.starts_with("job: in order; "), "{}", ran.out);
}

/// If this fails, `--quiet` is not.
#[test]
fn quiet_says_nothing() {
    let ran = Scratch::new().run(&["new", "job", "--quiet"]);
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (Some(0), "", ""));
}

/// If this fails, somebody's work is overwritten.
#[test]
fn nothing_is_overwritten() {
    let scratch = Scratch::new();
    scratch.write("job/job.toml", "mine");
    let ran = scratch.run(&["new", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err, "could not write job: there is something in it already, and nothing is ever\n  overwritten; name a new folder\n");
    assert_eq!(scratch.names("job"), ["job.toml"]);
    assert_eq!(scratch.read("job/job.toml"), "mine");
    let ran = scratch.run(&["new", "job/job.toml"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(2), "could not write job/job.toml: there is a file of that name\n"));
    let ran = scratch.run(&["new", "job/job.toml/deeper"]);
    assert_eq!(ran.code, Some(4), "{}", ran.err);
    assert_eq!(scratch.read("job/job.toml"), "mine");
}
