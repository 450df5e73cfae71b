//! What is typed, and what is typed wrongly.

use std::process::Stdio;

use snapbox::{assert_data_eq, str};

use super::Scratch;

/// If this fails, somebody who types only the name learns nothing, or a script takes it for a success.
#[test]
fn without_a_command_there_is_help_and_exit_2() {
    let ran = Scratch::new().run(&[]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert!(ran.err.contains("Usage: turnto [OPTIONS] <COMMAND>") && ran.err.contains("turnto plan my-job"), "{}", ran.err);
}

/// If this fails, help or version end up on the wrong stream.
#[test]
fn help_and_version_are_answers() {
    let ran = Scratch::new().run(&["--version"]);
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (Some(0), concat!("turnto ", env!("CARGO_PKG_VERSION"), "\n"), ""));
    for args in [&["--help"][..], &["plan", "--help"], &["help", "check"]] {
        let ran = Scratch::new().run(args);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{args:?}");
        assert!(ran.out.contains("Usage: turnto"), "{}", ran.out);
    }
}

/// If this fails, a slip of the finger is not answered with what was meant, or something is run that was not typed.
#[test]
fn near_misses_are_suggested_and_not_run() {
    let scratch = Scratch::new();
    let ran = scratch.run(&["plam", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_data_eq!(
        ran.err,
        str![[r#"
error: unrecognized subcommand 'plam'

  tip: some similar subcommands exist: 'explain', 'replan', 'plan'

Usage: turnto [OPTIONS] <COMMAND>

For more information, try '--help'.

"#]]
    );
    let ran = scratch.run(&["plan", "--sede", "3"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_data_eq!(
        ran.err,
        str![[r#"
error: unexpected argument '--sede' found

  tip: a similar argument exists: '--seed'

Usage: turnto plan --seed <NUMBER> [FOLDER]

For more information, try '--help'.

"#]]
    );
    let ran = scratch.run(&["plan", "--time-limit", "5d"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_data_eq!(
        ran.err,
        str![[r#"
error: invalid value '5d' for '--time-limit <TIME>': write it like 30, 30s, 5m or 1h, and not nothing

For more information, try '--help'.

"#]]
    );
}

/// If this fails, `turnto explain` does not explain.
#[test]
fn codes_are_explained() {
    let scratch = Scratch::new();
    let all = scratch.run(&["explain"]);
    assert_eq!((all.code, all.err.as_str()), (Some(0), ""));
    let codes: Vec<&str> = all.out.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert!(codes.len() > 40 && codes.is_sorted(), "{codes:?}");
    for code in codes {
        let one = scratch.run(&["explain", &code.to_lowercase()]);
        assert_eq!((one.code, one.err.as_str()), (Some(0), ""), "{code}");
        assert!(one.out.starts_with(&format!("{code}: ")) && one.out.lines().count() > 2, "{}", one.out);
        assert!(one.out.lines().all(|l| l.chars().count() <= 80), "{}", one.out);
    }
    let ran = scratch.run(&["explain", "C999"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err, "there is no code `C999`; `turnto explain` lists them all\n");
}

/// If this fails, nobody finds out which keys a file may have, or what one of them means.
#[test]
fn the_keys_of_every_file_are_explained() {
    let scratch = Scratch::new();
    for page in turnto::input::KEY_PAGES {
        let ran = scratch.run(&["explain", page.file]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", page.file);
        assert!(ran.out.starts_with(&format!("{}: ", page.file)), "{}", ran.out);
        assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
        for key in page.tables.iter().flat_map(|table| table.keys) {
            assert!(ran.out.lines().any(|l| l.starts_with(&format!("  {} ", key.key))), "{} of {}", key.key, page.file);
        }
        assert_eq!(scratch.run(&["explain", page.file.trim_end_matches(".toml")]).out, ran.out);
    }
    let log = scratch.run(&["explain", "log.toml"]).out;
    assert!(log.contains("  to_go            task, hours\n") && log.contains("  started          task; may have by\n"), "{log}");
    let ran = scratch.run(&["explain", "taks.toml"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err, "there is no code or file `taks.toml`; `turnto explain tasks.toml` if that is\n  what is meant\n");
}

/// If this fails, `turnto explain | head -1` ends with an error or a panic.
#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_failure() {
    let mut child = Scratch::new().command(&["explain"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // The reading end is gone before anything is read.
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
}

/// If this fails, a full disk under standard output goes unnoticed. `/dev/full` is such a disk.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_a_failure() {
    let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
    let output = Scratch::new().command(&["explain"]).stdout(full).stderr(Stdio::piped()).output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!((output.status.code(), err.as_str()), (Some(4), "could not write to standard output: the disk is full\n"));
}
