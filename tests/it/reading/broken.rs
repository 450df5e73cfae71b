//! Files that are cut off, garbled, huge or not text: never a panic, always a word.

use proptest::prelude::*;
use turnto::diag::Code;
use turnto::input::{FILES, Folder, read};
use turnto::ui::diagnostics::{Look, render};

use crate::reading::folder;
use crate::support::demo;

/// Reads and prints; what comes of it is whatever it is.
fn survives(folder: &Folder) -> bool {
    let reading = read(folder);
    let printed = render(&reading.diagnostics, &reading.sources, Look::PLAIN);
    // Nothing is planned from a folder with an error, and nothing is refused without a word.
    reading.problem.is_some() || !printed.is_empty()
}

/// If this fails, a half-written file stops the program instead of being reported.
#[test]
fn files_cut_off_anywhere() {
    let whole = demo::folder();
    for file in whole.files() {
        let step = (file.bytes.len() / 15).max(1);
        for end in (0..file.bytes.len()).step_by(step) {
            let cut = whole.clone().with(file.path.clone(), &file.bytes[..end]);
            assert!(survives(&cut), "{} cut at {end}", file.path);
        }
    }
}

/// If this fails, what cannot be read is blamed a second time, as a value nobody wrote.
#[test]
fn what_cannot_be_read_is_said_once() {
    let whole = demo::folder();
    let crew = whole.files().iter().find(|f| f.path == "crew.toml").expect("there is a crew");
    let text = String::from_utf8(crew.bytes.clone()).expect("text").replacen("evenings = 2", "evenings = two", 1);
    let reading = read(&whole.clone().with("crew.toml", text.as_bytes()));
    let codes: Vec<Code> = reading.diagnostics.iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::Syntax]);
    // Nothing of how words are read: nobody wrote true or false.
    assert_eq!(reading.diagnostics[0].message, "not TOML: text without quotation marks");
}

/// If this fails, a name that is not known in a line of watches brings a second word about the cover of that watch.
#[test]
fn who_is_not_known_in_a_line_is_said_once_though_the_watch_is_covered() {
    let whole = demo::folder();
    let watches = whole.files().iter().find(|f| f.path == "watches.toml").expect("there are watches");
    let text = String::from_utf8(watches.bytes.clone()).expect("text");
    let slip = text.replacen("WR    = \"M2\"", "WR    = \"M9\"", 1);
    assert_ne!(slip, text);
    let reading = read(&whole.clone().with("watches.toml", slip.as_bytes()));
    let codes: Vec<Code> = reading.diagnostics.iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::UnknownPerson]);
}

/// If this fails, a file that is left out stops the program instead of being reported or done without.
#[test]
fn files_left_out() {
    let whole = demo::folder();
    for left_out in FILES {
        let mut rest = Folder::new();
        for file in whole.files().iter().filter(|f| f.path != left_out) {
            rest.add(file.path.clone(), file.bytes.clone());
        }
        assert!(survives(&rest), "{left_out}");
    }
    assert!(survives(&Folder::new()));
}

/// If this fails, empty files, blanks, bytes that are no text or a byte-order mark stop the program.
#[test]
fn files_that_are_no_job() {
    let odd: [&[u8]; 9] =
        [b"", b"\n", b"\0\0\0", b"\xff\xfe\x00", b"[", b"= = =", b"[[[[[[[[", b"a.b.c.d.e = 1", "\u{feff}ship = \"x\"\n".as_bytes()];
    for name in FILES {
        for bytes in odd {
            assert!(survives(&demo::folder().with(name, bytes)), "{name} {bytes:?}");
        }
    }
}

/// If this fails, a byte-order mark (which some editors put first) is an error.
#[test]
fn a_byte_order_mark_is_no_error() {
    let tasks = "\u{feff}[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n";
    assert!(read(&folder(&[("tasks.toml", tasks)])).problem.is_some());
}

/// If this fails, deep nesting or very long lines exhaust the stack or the memory.
#[test]
fn deep_and_long() {
    let deep = format!("x = {}1{}\n", "[".repeat(50_000), "]".repeat(50_000));
    let dotted = format!("{} = 1\n", vec!["a"; 20_000].join("."));
    let long = format!("ship = \"{}\"\n", "x".repeat(1_000_000));
    let quotes = "\"".repeat(100_000);
    for text in [deep, dotted, long, quotes] {
        assert!(survives(&folder(&[("job.toml", &text)])));
    }
}

/// If this fails, a file with very many mistakes takes for ever or prints for ever.
#[test]
fn very_many_mistakes() {
    let task = |i: usize| {
        let next = (i + 1) % 5_000;
        format!("[task.T{i}]\ntext = \"Do\"\nneeds = \"XXX\"\nhours = -1\nafter = \"T{next}\"\ncolour = 1\n")
    };
    let tasks: String = (0..5_000).map(task).collect();
    let reading =
        read(&folder(&[("tasks.toml", &tasks), ("crew.toml", "[competence]\nGEN = \"g\"\n[person.A]\nname = \"A\"\ncan = \"GEN\"\n")]));
    let printed = render(&reading.diagnostics, &reading.sources, Look::PLAIN);
    assert!(reading.diagnostics.len() > 10_000);
    assert!(printed.lines().count() < 40_000, "{}", printed.lines().count());
}

/// If this fails, what a person wrote reaches the terminal as it is and could move its cursor or set its title.
#[test]
fn control_characters_do_not_reach_the_terminal() {
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GE\u{1b}]0;x\u{7}N\"\nhours = 1\n[\"\u{1b}[2J\"]\n";
    let reading = read(&folder(&[("tasks.toml", tasks), ("pi\u{1b}ns.toml", "")]));
    let printed = render(&reading.diagnostics, &reading.sources, Look::PLAIN);
    assert!(!printed.is_empty() && !printed.contains('\u{1b}') && !printed.contains('\u{7}'), "{printed:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    /// If this fails, a slip of the finger somewhere in a job can stop the program.
    #[test]
    fn slips_anywhere(file in 0..FILES.len(), at in any::<prop::sample::Index>(), remove in 0_usize..12, insert in "[\\PC\n]{0,6}") {
        let log = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/breakdowns/e3-g4-head/log.toml");
        let own = "[set.yard]\nname = \"yard\"\nsource = \"invented\"\nlike = \"both\"\n[set.yard.rule.day]\nkind = \"total rest\"\nwithin = 24\nat_least = 11\nwindows = \"after 6 h of rest\"\n";
        let log = std::fs::read(log).expect("the example is there");
        let pins = "[[pin]]\ntask = \"A12\"\nby = \"FT\"\nat = \"day 3 08:30\"\n";
        let whole = demo::folder().with("log.toml", log).with("rules.toml", own).with("pins.toml", pins);
        let name = FILES[file];
        let mut bytes = whole.files().iter().find(|f| f.path == name).expect("it is there").bytes.clone();
        let from = at.index(bytes.len());
        let to = (from + remove).min(bytes.len());
        bytes.splice(from..to, insert.bytes());
        prop_assert!(survives(&whole.with(name, bytes)));
    }

    /// If this fails, some bytes in place of a file can stop the program.
    #[test]
    fn any_bytes(file in 0..FILES.len(), bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(survives(&folder(&[]).with(FILES[file], bytes)));
    }

    /// If this fails, numbers and times of any size can stop the program.
    #[test]
    fn any_numbers(day in any::<i32>(), hours in any::<f64>(), number in any::<i64>(), year in 0_u16..9999) {
        let job = format!("start = {year:04}-03-01T08:00\ndays = {number}\nclock = \"UTC+23:59\"\nslot = {number}\n[[clock_change]]\nat = \"day {day} 24:00\"\nclock = \"UTC-23:59\"\n");
        let tasks = format!("[task.T]\ntext = \"Do\"\nneeds = \"{number} GEN\"\nhours = {hours:?}\nparts = {number}\nnot_before = \"day {day} 10:00\"\nafter = \"T + {number}h\"\n");
        let duties = format!("[duty.D]\nwho = \"all\"\nwithin = \"day {day} - {year:04}-12-31\"\nhours = {hours:?}\n");
        let files = [("tasks.toml", tasks.as_str()), ("duties.toml", duties.as_str())];
        prop_assert!(survives(&folder(&files)));
        prop_assert!(survives(&folder(&[("job.toml", job.as_str()), files[0], files[1]])));
    }
}

/// If this fails, a file that an editor saved in another encoding brings a word about everything in it, or none.
#[test]
fn a_file_in_utf_16_is_said_once() {
    let wide = |text: &str, mark: bool| -> Vec<u8> {
        let units = mark.then_some(0xfeff).into_iter().chain(text.encode_utf16());
        units.flat_map(u16::to_le_bytes).collect()
    };
    for (name, text) in [("crew.toml", "[person.A]\nname = \"A\"\n"), ("hours.csv", "person,from,to,kind,note\n")] {
        for mark in [true, false] {
            let reading = read(&folder(&[]).with(name, wide(text, mark)));
            let codes: Vec<Code> = reading.diagnostics.iter().map(|d| d.code).collect();
            assert_eq!(codes, [Code::NotText], "{name} {mark}");
            assert!(reading.diagnostics[0].message.contains("UTF-16"));
        }
    }
}

/// If this fails, a usual slip in a number or a date is said twice, or without what to write.
#[test]
fn slips_in_numbers_and_dates_are_said_once_with_what_to_write() {
    let job = |start: &str, more: &str| {
        format!("ship = \"Any\"\nstart = {start}\ndays = 3\nclock = \"UTC\"\n[rest]\nrecorded_from = \"day -7\"\n{more}")
    };
    let said = |text: &str| -> Vec<(Code, String, String)> {
        let reading = read(&folder(&[("job.toml", text)]));
        reading.diagnostics.into_iter().map(|d| (d.code, d.message, d.help.concat())).collect()
    };
    let no_date = "there is no such date as 2027-02-30";
    for (start, code) in [("2027-02-30T08:00", Code::Syntax), ("\"2027-02-30T08:00\"", Code::TimeNotUnderstood)] {
        let found = said(&job(start, ""));
        assert_eq!(found.iter().map(|(code, message, _)| (*code, message.as_str())).collect::<Vec<_>>(), [(code, no_date)], "{start}");
    }
    let start = "2027-03-01T08:00";
    for (more, code, help) in [
        ("[[reserve]]\nunbooked = six\n", Code::Syntax, "write hours, like 1.5"),
        ("[[reserve]]\nunbooked = 0,5\n", Code::Syntax, "write 0.5"),
        ("[[reserve]]\nunbooked = \"0,5\"\n", Code::NotUnderstood, "write 0.5"),
        ("[[reserve]]\ncallable = \"1 GEN\"\ncall = 0,5\n", Code::Syntax, "write 0.5"),
    ] {
        let found = said(&job(start, more));
        let [(one, _, remedy)] = found.as_slice() else { panic!("{more}: {found:?}") };
        assert!(*one == code && remedy.contains(help), "{more}: {found:?}");
    }
}

/// If this fails, somebody whose code is a word of the phrases is told to use letters, as he did.
#[test]
fn a_reserved_word_is_said_to_be_one() {
    let reading = read(&folder(&[("tasks.toml", "[task.TURN]\ntext = \"Turn\"\nneeds = \"GEN\"\nhours = 1\n")]));
    let [only] = reading.diagnostics.as_slice() else { panic!("{:?}", reading.diagnostics) };
    assert_eq!(only.code, Code::NotACode);
    assert!(only.help[0].contains("phrases need these: all, none, ") && only.help[0].contains("turn"), "{:?}", only.help);
}

/// If this fails, a record that is said to be complete and is empty makes everybody rested without a word.
#[test]
fn an_empty_record_is_doubted() {
    for text in ["", "\n", "person,from,to,kind,note\n"] {
        let codes: Vec<Code> = read(&folder(&[("hours.csv", text)])).diagnostics.iter().map(|d| d.code).collect();
        assert_eq!(codes, [Code::RecordEmpty], "{text:?}");
    }
    let row = |day: u32| format!("person,from,to,kind,note\nA,2027-02-{day}T08:00,2027-02-{day}T12:00,task,\n");
    assert_eq!(read(&folder(&[("hours.csv", &row(27))])).diagnostics, []);
    // Four days without a word of anybody: an old record.
    let old: Vec<Code> = read(&folder(&[("hours.csv", &row(25))])).diagnostics.iter().map(|d| d.code).collect();
    assert_eq!(old, [Code::RecordStale]);
}
