//! The house stands as it is drawn: layers look only down, and what is said to be absent is absent.
//!
//! Each test is a function over source text that lists what it objects to, tried first on made-up
//! source that must be objected to, then on the program itself.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use crate::source::{Source, all, top};

/// Which layer each module lives in. A module uses its own layer and those below.
const LAYERS: [(&str, u8); 26] = [
    ("time", 0),
    ("clock", 0),
    ("id", 0),
    ("diag", 0),
    ("bits", 0),
    ("rng", 0),
    ("rest", 1),
    ("model", 2),
    ("plan", 2),
    ("account", 2),
    ("verify", 3),
    ("calendar", 3),
    ("lp", 3),
    ("input", 3),
    ("variant", 3),
    ("labour", 4),
    ("bound", 4),
    ("roster", 4),
    ("engine", 4),
    ("replan", 4),
    ("hours", 5),
    ("report", 5),
    ("out", 6),
    ("ui", 6),
    ("cli", 7),
    ("main", 8),
];

/// Modules that may not use something in reach of their layer, and why.
const APART: [(&str, &[&str], &str); 7] = [
    ("verify", &["bits", "rng", "diag", "calendar", "lp", "input", "variant"], "the verifier shares no fast path with what it checks"),
    ("engine", &["verify", "input"], "the engine does not mark its own work, and never sees a file"),
    ("labour", &["verify", "input"], "the labour model does not mark its own work, and never sees a file"),
    ("replan", &["engine", "labour", "bound", "calendar", "input"], "what is left is worked out from facts, and planned by others"),
    ("bound", &["verify", "input"], "bounds come from the problem, not from a plan"),
    ("roster", &["verify", "input", "engine"], "a roster does not mark its own work, and is made before any plan"),
    ("lp", &["model", "rest", "clock", "time", "plan", "account"], "the linear-programming layer knows nothing of crews"),
];

/// Words that may stand only in some files (by the beginning of their path), and why. Tests may do as they like.
const ABSENCES: &[(&[&str], &[&str], &str)] = &[
    (&["println!", "print!", "eprintln!", "eprint!", "dbg!"], &[], "cli writes to streams it was given, nothing else prints"),
    (&["process::exit", "process::abort"], &["src/cli/interrupt.rs"], "an exit in the middle skips clean-up"),
    (&["HashMap", "HashSet", "RandomState"], &[], "their order is not fixed"),
    (&["Instant", "SystemTime", "Local::now", "Utc::now"], &["src/cli/"], "only cli reads a clock"),
    (&["std::fs", "fs::File", "std::net", "std::process"], &["src/cli/", "src/main.rs"], "only cli touches files"),
    (&["std::env", "is_terminal", "IsTerminal"], &["src/cli/", "src/main.rs"], "only cli looks at its surroundings"),
    (&["toml"], &["src/input/"], "only input sees TOML"),
    (&["Serialize"], &["src/report/wire", "src/out/"], "a type that is written to a file is frozen, so it is one made for that"),
    (&["serde_json"], &["src/report/read/", "src/out/"], "plan.json is written in one place and read in one"),
    (&["csv::"], &["src/input/", "src/out/"], "tables are written in one place and read in one"),
    (&["Deserialize"], &["src/input/", "src/report/wire", "src/out/"], "only what reads a file decodes"),
    (&[".unwrap()", ".unwrap_err()"], &[], "a value that is not there is said, or ruled out by words (`expect`)"),
    (&["good_lp"], &["src/lp/"], "one back-end, behind one module"),
    (&["annotate_snippets"], &["src/ui/"], "one renderer of excerpts, behind one module"),
    (&["clap", "ctrlc", "tempfile"], &["src/cli/", "src/main.rs"], "the command line is the outermost layer"),
];

/// What stands nowhere, not even in tests.
const HOLES: [&str; 5] = ["todo!", "unimplemented!", "#[ignore]", "#[ignore =", "unsafe"];

/// Modules that work on ids and slots and may not read names.
const NAMELESS: [&str; 5] = ["engine", "labour", "bound", "calendar", "roster"];

/// Fields that hold what people call things.
const NAMES: [&str; 5] = [".code", ".name", ".text", ".title", ".ship"];

fn layer(module: &str) -> Option<u8> {
    LAYERS.iter().find(|(name, _)| *name == module).map(|(_, layer)| *layer)
}

/// Uses that look up, or at something the module is to stay apart from; and modules nobody drew.
fn upward(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources.iter().filter(|s| s.module() != "lib" && !s.is_test()) {
        let module = source.module();
        let Some(own) = layer(module) else {
            found.push(format!("{}: module `{module}` has no layer", source.path));
            continue;
        };
        for (used, at) in source.uses() {
            let place = format!("{}:{}", source.path, source.line(at));
            match layer(&used) {
                None => found.push(format!("{place}: `{used}` has no layer")),
                Some(other) if other > own => found.push(format!("{place}: `{module}` (layer {own}) uses `{used}` (layer {other})")),
                Some(_) => {}
            }
            if let Some((_, _, why)) = APART.iter().find(|(m, apart, _)| *m == module && apart.contains(&used.as_str())) {
                found.push(format!("{place}: `{module}` uses `{used}`, but {why}"));
            }
        }
        let at_top = source.path.matches('/').count() == 1 || source.path.ends_with("/mod.rs") && source.path.matches('/').count() == 2;
        if at_top {
            for at in source.places("super::") {
                found.push(format!("{}:{}: `super::` leads to the top of the crate; write `crate::`", source.path, source.line(at)));
            }
        }
    }
    found
}

/// Modules that use one another in a circle.
fn circles(sources: &[Source]) -> Vec<String> {
    let mut uses: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for source in sources.iter().filter(|s| s.module() != "lib" && !s.is_test()) {
        let row = uses.entry(source.module().to_owned()).or_default();
        row.extend(source.uses().into_iter().map(|(used, _)| used).filter(|used| used != source.module()));
    }
    // Modules are taken away once all they use is taken away; what stays hangs together in a circle.
    loop {
        let free: Vec<String> =
            uses.iter().filter(|(_, used)| used.iter().all(|u| !uses.contains_key(u))).map(|(m, _)| m.clone()).collect();
        if free.is_empty() {
            return uses.keys().map(|m| format!("module `{m}` is in, or stands on, a circle of uses")).collect();
        }
        for module in free {
            uses.remove(&module);
        }
    }
}

/// Words where they may not stand.
fn intruders(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources.iter().filter(|s| !s.is_test()) {
        for (words, allowed, why) in ABSENCES {
            if allowed.iter().any(|path| source.path.starts_with(path)) {
                continue;
            }
            let tests = source.code.find("mod tests {").unwrap_or(source.code.len());
            for word in *words {
                for at in source.places(word).into_iter().filter(|at| *at < tests) {
                    found.push(format!("{}:{}: `{word}` may not stand here: {why}", source.path, source.line(at)));
                }
            }
        }
        if NAMELESS.contains(&source.module()) {
            for word in NAMES {
                for at in source.places(word) {
                    found.push(format!("{}:{}: `{word}`: names are for outputs, here only ids are known", source.path, source.line(at)));
                }
            }
        }
    }
    found
}

/// Files that are too long or do not say what they are.
fn untidy(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources {
        let lines = source.text.lines().count();
        if lines > 500 {
            found.push(format!("{}: {lines} lines; split it by role", source.path));
        }
        if !source.text.starts_with("//! ") {
            found.push(format!("{}: the first line does not say what the file is (`//! ...`)", source.path));
        }
    }
    found
}

/// Places left for later, tests left out of the run, and code nobody can check.
fn holes(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources {
        for word in HOLES {
            found.extend(source.places(word).into_iter().map(|at| format!("{}:{}: `{word}`", source.path, source.line(at))));
        }
    }
    found
}

#[track_caller]
fn check(objections: &[String]) {
    assert!(objections.is_empty(), "\n{}\n", objections.join("\n"));
}

/// If this fails, the scanner is blind and the tests below prove nothing.
#[test]
fn the_scanner_sees_what_it_should() {
    let made_up = [
        Source::new("src/model/mod.rs", "//! x\nuse crate::{time::Span, engine::Search};\nuse crate::out;\n// crate::cli\n"),
        Source::new("src/verify/rest.rs", "//! x\nuse crate::bits::Bits;\nlet a = \"crate::cli\";\n"),
        Source::new("src/attic.rs", "//! x\n"),
        Source::new("src/plan.rs", "//! x\nuse super::time::Span;\n"),
        Source::new("src/rest/tests.rs", "//! x\nuse crate::cli::run;\n"),
    ];
    assert_eq!(
        upward(&made_up),
        [
            "src/model/mod.rs:2: `model` (layer 2) uses `engine` (layer 4)",
            "src/model/mod.rs:3: `model` (layer 2) uses `out` (layer 6)",
            "src/verify/rest.rs:2: `verify` uses `bits`, but the verifier shares no fast path with what it checks",
            "src/attic.rs: module `attic` has no layer",
            "src/plan.rs:2: `super::` leads to the top of the crate; write `crate::`",
        ]
    );
    let circle = [Source::new("src/out/a.rs", "use crate::ui::B;"), Source::new("src/ui/b.rs", "use crate::out::A;")];
    assert_eq!(circles(&circle).len(), 2);
    let words = [
        Source::new("src/engine/a.rs", "let x = task.code; let y: HashMap<u8, u8>; // println!"),
        Source::new("src/engine/b.rs", "let c = '\"'; println!(\"{}\", r#\"dbg!\"#); let barcode = 1; let profile = 'a';"),
        Source::new("src/engine/c.rs", "a.unwrap(); b.unwrap_or(c); #[cfg(test)]\nmod tests { fn f() { d.unwrap(); } }"),
    ];
    assert_eq!(
        intruders(&words),
        [
            "src/engine/a.rs:1: `HashMap` may not stand here: their order is not fixed",
            "src/engine/a.rs:1: `.code`: names are for outputs, here only ids are known",
            "src/engine/b.rs:1: `println!` may not stand here: cli writes to streams it was given, nothing else prints",
            "src/engine/c.rs:1: `.unwrap()` may not stand here: a value that is not there is said, or ruled out by words (`expect`)",
        ]
    );
    let hole = [Source::new("src/rest/tests.rs", "#[ignore]\nfn f() { todo!() }")];
    assert_eq!(holes(&hole), ["src/rest/tests.rs:2: `todo!`", "src/rest/tests.rs:1: `#[ignore]`"]);
    let long = Source::new("src/time.rs", "//! x\n".repeat(501));
    assert_eq!(untidy(&[long, Source::new("src/id.rs", "use x;")]).len(), 2);
}

/// If this fails, a lower layer has come to depend on a higher one and can no longer be used or tested alone.
#[test]
fn layers_look_only_down() {
    check(&upward(&all("src")));
}

/// If this fails, two modules have grown into one, whatever their names say.
#[test]
fn modules_use_one_another_in_no_circle() {
    check(&circles(&all("src")));
}

/// If this fails, something that the developers' guide says is absent is there.
#[test]
fn what_is_said_to_be_absent_is_absent() {
    check(&intruders(&all("src")));
}

/// If this fails, the program or a test has a hole in it.
#[test]
fn there_are_no_holes() {
    let mut sources = all("src");
    sources.extend(all("tests"));
    check(&holes(&sources));
}

/// If this fails, a file has outgrown its role, or does not say what it is for.
#[test]
fn files_are_short_and_say_what_they_are() {
    let mut sources = all("src");
    sources.extend(all("tests"));
    check(&untidy(&sources));
}

/// If this fails, a module is missing from the table above, or from the crate.
#[test]
fn every_module_is_declared_and_drawn() {
    let lib = fs::read_to_string(top().join("src/lib.rs")).expect("the crate has a lib.rs");
    let declared: BTreeSet<&str> = lib.lines().filter_map(|l| l.strip_prefix("pub mod ")?.strip_suffix(';')).collect();
    let sources = all("src");
    let present: BTreeSet<&str> = sources.iter().map(Source::module).filter(|m| !["lib", "main"].contains(m)).collect();
    assert_eq!(declared, present, "declared in lib.rs, and present under src");
    let guide = fs::read_to_string(top().join("DEVELOPERS.md")).expect("there is a developers' guide");
    let missing: Vec<String> =
        present.iter().filter(|m| !guide.contains(&format!("`{m}`"))).map(|m| format!("DEVELOPERS.md does not name `{m}`")).collect();
    check(&missing);
}
