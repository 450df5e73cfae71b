//! Ways of writing the same thing: what second engineers will try.

use turnto::input::read;
use turnto::model::{Problem, Stop};
use turnto::time::{Minutes, Moment, Slots};

use crate::reading::{folder, plain, sound};

fn tasks(extra: &str) -> Problem {
    let text = format!("[task.P]\ntext = \"Before\"\nneeds = \"GEN\"\nhours = 1\n[task.T]\ntext = \"Do\"\n{extra}\n");
    sound(&folder(&[("tasks.toml", &text), ("tools.toml", "[tool]\nRACK = { number = 2 }\n")]))
}

fn last(problem: &Problem) -> &turnto::model::Task {
    problem.tasks.iter().last().expect("there is one")
}

/// If this fails, teams have to be written in one way only.
#[test]
fn needs_in_several_ways() {
    for needs in ["\"OOW + GEN\"", "\"1 OOW + 1 GEN\"", "\"OOW, GEN\"", "[\"OOW\", \"GEN\"]", "\"OOW+GEN\"", "[\"OOW + GEN\"]"] {
        let problem = tasks(&format!("needs = {needs}\nhours = 1"));
        let codes: Vec<&str> = last(&problem).needs.iter().map(|n| problem.competences[*n].code.as_str()).collect();
        assert_eq!(codes, ["OOW", "GEN"], "{needs}");
    }
    assert_eq!(last(&tasks("needs = \"2 GEN\"\nhours = 1")).needs.len(), 2);
}

/// If this fails, waits have to be written in one way only.
#[test]
fn waits_in_several_ways() {
    for (after, minutes) in
        [("P", 0), ("P + 12h", 720), ("P+12", 720), ("P + 1.5 h", 90), ("P + 90 min", 90), ("P + 1 h 30", 90), ("P + 0.25h", 15)]
    {
        let problem = tasks(&format!("needs = \"GEN\"\nhours = 1\nafter = \"{after}\""));
        assert_eq!(last(&problem).after[0].lag, Minutes::new(minutes), "{after}");
    }
}

/// If this fails, hours round wrongly: they are rounded up to whole slots of 30 minutes once.
#[test]
fn hours_are_rounded_up_once() {
    for (hours, slots, typical) in [("1", 2, 60), ("1.2", 3, 72), ("[0.5, 0.75, 2]", 2, 45), ("\"40 min\"", 2, 40), ("0.1", 1, 6)] {
        let problem = tasks(&format!("needs = \"GEN\"\nhours = {hours}"));
        let task = last(&problem);
        assert_eq!((task.length, task.hours.typical), (Slots::new(slots), Minutes::new(typical)), "{hours}");
    }
}

/// If this fails, a stop code is read wrongly.
#[test]
fn stop_codes() {
    let stop = |extra: &str| last(&tasks(&format!("needs = \"GEN\"\nhours = 4\n{extra}"))).stop;
    assert_eq!(stop(""), Stop::Any { min_spell: Slots::new(2) });
    assert_eq!(stop("stop = \"any\"\nmin_spell = 2"), Stop::Any { min_spell: Slots::new(4) });
    assert_eq!(stop("parts = 3"), Stop::Parts(3));
    assert_eq!(stop("stop = \"unit\"\nparts = 2"), Stop::Parts(2));
    assert_eq!(stop("stop = \"never\""), Stop::Never);
}

/// If this fails, times have to be written in one way only. The job starts on 2027-03-01, 08:00.
#[test]
fn times_in_several_ways() {
    let minutes = (24 + 14) * 60 + 20;
    for written in [
        "\"day 2 14:20\"",
        "\"Day 2 14:20\"",
        "\"2027-03-02 14:20\"",
        "\"2027-03-02T14:20\"",
        "2027-03-02T14:20",
        "2027-03-02 14:20:00",
        "2027-03-02T14:20:00Z",
        "\"day 2 14:20 UTC\"",
    ] {
        let problem = tasks(&format!("needs = \"GEN\"\nhours = 1\nnot_before = {written}"));
        assert_eq!(last(&problem).not_before, Some(Moment::new(minutes)), "{written}");
    }
    let problem = tasks("needs = \"GEN\"\nhours = 1\nnot_before = 2027-03-02\nnot_after = \"day 2 24:00\"");
    assert_eq!((last(&problem).not_before, last(&problem).not_after), (Some(Moment::new(1440)), Some(Moment::new(2880))));
}

/// If this fails, something that is no time is taken for one, or a finding loses its place.
#[test]
fn what_is_no_time_is_said() {
    for written in [
        "\"day 2 25:00\"",
        "\"day 2 14:60\"",
        "\"14:20\"",
        "\"tomorrow\"",
        "14:20:00",
        "2027-03-02T14:20:30",
        "\"day 2 14:20:00\"",
        "\"2027-3-2 14:20\"",
        "\"day two\"",
        "\"\"",
    ] {
        let text = format!("[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\nnot_before = {written}\n");
        let found = plain(&read(&folder(&[("tasks.toml", &text)])));
        assert_eq!(found.len(), 1, "{written}: {found:?}");
        assert!(found[0].starts_with("C301 tasks.toml:5"), "{written}: {found:?}");
    }
}

/// If this fails, the cautions of the usual tags cannot be replaced, or own tags are lost.
#[test]
fn own_tags_and_cautions() {
    let text = "[tag]\nlift = \"Ask the bosun\"\nnoise = \"Ear defenders\"\n\
        [task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\ntags = \"noise, lift, hot_work\"\n";
    let problem = sound(&folder(&[("tasks.toml", text)]));
    let cautions: Vec<&str> = last(&problem).tags.iter().map(|t| problem.tags[*t].caution.as_str()).collect();
    assert_eq!(cautions[..2], ["Ask the bosun", "Ear defenders"]);
    assert!(cautions[2].starts_with("Hot work"));
}

/// If this fails, common slips get a remedy that does not help: a number stuck to its competence, and a
/// misspelt key of a line, which could be taken for a post.
#[test]
fn remedies_name_what_was_meant() {
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"2GEN\"\nhours = 1\n";
    let watches = "[post.OOW]\nmanned = \"daily 08:00-09:00\"\n[line.a]\nhuors = \"08:00-09:00\"\nOOW = \"A\"\n";
    let reading = read(&folder(&[("tasks.toml", tasks), ("watches.toml", watches)]));
    let help = |code: &str| {
        let found = reading.diagnostics.iter().find(|d| d.code.text() == code);
        found.map_or(String::new(), |d| d.help.join(" "))
    };
    assert_eq!(help("C102"), "write `2 GEN`, with a blank between");
    assert_eq!(help("C504"), "write `hours` if that is what is meant");
}
