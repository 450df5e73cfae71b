//! Slips of a tired hand: one slip is one word about it, and the word says what to do.

use turnto::input::read;
use turnto::ui::diagnostics::{Look, render};

use crate::reading::{folder, plain};

fn printed(files: &[(&str, &str)]) -> (Vec<String>, String) {
    let reading = read(&folder(files));
    (plain(&reading), render(&reading.diagnostics, &reading.sources, Look::PLAIN))
}

/// If this fails, a code that cannot be one is blamed again wherever it is used.
#[test]
fn a_code_that_is_refused_is_said_once() {
    let tasks = "[phase]\n\"open up\" = \"Opening\"\n[task.T]\ntext = \"Do\"\nphase = \"open up\"\nneeds = \"GEN\"\nhours = 1
[task.U]\ntext = \"Do\"\nphase = \"open up\"\nneeds = \"GEN\"\nhours = 1\n";
    assert_eq!(printed(&[("tasks.toml", tasks)]).0, ["C514 tasks.toml:2 `open up` cannot be the code of a phase"]);
    // A word of phrases is refused to what phrases name.
    let tools = "[tool]\nopen = \"Opener\"\n";
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\ntools = \"open\"\n";
    let said = printed(&[("tools.toml", tools), ("tasks.toml", tasks)]).0;
    assert_eq!(said, ["C514 tools.toml:2 `open` cannot be the code of a tool"]);
}

/// If this fails, a duty that has a machine out for its own time passes for what hands it back after the task that opened it.
#[test]
fn a_duty_hands_back_only_what_it_took_out_itself() {
    let task = |code: &str, key: &str| format!("[task.{code}]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n{key} = \"P1\"\n");
    let duty = "[duty.TRY]\nname = \"Turn it\"\nwhen = \"day 2 10:00-10:30\"\nwho = \"A\"\ntakes_out = \"P1\"\nhands_back = \"P1\"\n";
    let machinery = "[unit]\nP1 = \"Pump\"\n[group.P]\nname = \"Pumps\"\nunits = \"P1\"\n";
    let said = |tasks: &str| printed(&[("tasks.toml", tasks), ("duties.toml", duty), ("machinery.toml", machinery)]).0;
    assert_eq!(said(&task("T", "takes_out")), ["C409 tasks.toml:5 machine P1 is taken out and never handed back"]);
    assert_eq!(said(&task("T", "hands_back")), ["C410 tasks.toml:5 machine P1 is handed back and never taken out"]);
    let both = task("T", "takes_out") + &task("U", "hands_back");
    assert_eq!(said(&both).len(), 1, "that nothing says U comes after T");
}

/// If this fails, the phase in which a machine is opened cannot be called `open`, though no phrase ever names a phase.
#[test]
fn a_phase_may_be_called_what_phrases_have_words_for() {
    let task = "[task.T]\ntext = \"Do\"\nphase = \"open\"\nneeds = \"GEN\"\nhours = 1\n";
    for tasks in [format!("[phase]\nopen = \"Opening\"\n{task}"), task.to_owned()] {
        let reading = read(&folder(&[("tasks.toml", &tasks)]));
        assert_eq!(plain(&reading), Vec::<String>::new());
        let problem = reading.problem.expect("nothing is wrong");
        assert_eq!(problem.phases[problem.tasks.iter().next().expect("the task").phase].code, "open");
    }
}

/// If this fails, hours of a watch that cannot be read make its post look unmanned as well, or nobody is told how the
/// whole day is written.
#[test]
fn hours_that_begin_and_end_at_the_same_time_are_said_once() {
    let watches = "[post.OOW]\n[line.all]\nhours = \"07:00-07:00\"\nOOW = \"A\"\n";
    let (said, printed) = printed(&[("watches.toml", watches)]);
    assert_eq!(said, ["C305 watches.toml:3 `07:00-07:00` is not hours of the day"]);
    assert!(printed.contains("write \"00:00-24:00\" for the"), "{printed}");
}

/// If this fails, a post cannot be called `EO` or `FRM`, for who stands it in a line is taken for a slip of `to` or `from`.
#[test]
fn a_post_may_have_a_code_like_a_key_of_a_line() {
    for post in ["EO", "FRM", "hour"] {
        let watches = format!(
            "[post.{post}]\nneeds = \"GEN\"\nmanned = \"daily 20:00-22:00\"\n[line.all]\nhours = \"20:00-22:00\"\n{post} = \"A\"\n"
        );
        assert_eq!(printed(&[("watches.toml", &watches)]).0, Vec::<String>::new());
    }
    let watches =
        "[post.OOW]\nneeds = \"GEN\"\nmanned = \"daily 20:00-22:00\"\n[line.all]\nhours = \"20:00-22:00\"\nOOW = \"A\"\nfrmo = \"day 2\"\n";
    assert_eq!(printed(&[("watches.toml", watches)]).0, ["C504 watches.toml:7 line all has no key `frmo`"]);
}

/// If this fails, whoever wrote the times of an evening the wrong way round is told to name a gap in the breaks.
#[test]
fn overtime_with_its_times_the_wrong_way_round_is_told_the_right_one() {
    let crew =
        "[competence]\nGEN = \"general\"\n[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-16:00\"\novertime = \"20:00-18:00\"\n";
    let (said, printed) = printed(&[("crew.toml", crew)]);
    assert_eq!(said, ["C323 crew.toml:7 overtime `20:00-18:00` does not touch ordinary hours"]);
    assert!(printed.contains("write \"18:00-20:00\" if that is what is meant"), "{printed}");
}

/// If this fails, a short day whose times stand the wrong way round is no short day, without a word; or one that only names
/// more hours than anybody has is doubted.
#[test]
fn a_short_day_with_its_times_the_wrong_way_round_is_told_the_right_one() {
    let job = |hours: &str| {
        format!(
            "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 7\nclock = \"UTC\"
[rest]\nrecorded_from = \"day -7\"\n[short_days]\nSaturday = \"{hours}\"\n"
        )
    };
    let (said, printed) = printed(&[("job.toml", &job("12:00-08:00"))]);
    assert_eq!(said, ["C108 job.toml:8 the short day `Saturday` has ordinary hours of 20 h in one piece"]);
    assert!(printed.contains("write \"08:00-12:00\" if that is what is meant"), "{printed}");
    assert_eq!(plain(&read(&folder(&[("job.toml", &job("06:00-22:00"))]))), Vec::<String>::new());
}

/// If this fails, a date with its year last is refused without a word of how dates are written.
#[test]
fn a_date_with_its_year_last_is_told_how_dates_are_written() {
    for date in ["24.03.2027 08:00", "3/24/2027 08:00", "24-03-2027"] {
        let hours = format!("person,from,to,kind\nA,{date},2027-02-24 12:00,task\n");
        let said = printed(&[("hours.csv", &hours)]).0.concat();
        assert!(said.contains("is not a time: dates begin with the year, like 2027-03-24"), "{date}: {said}");
    }
    let hours = "person,from,to,kind\nA,noon,2027-02-24 12:00,task\n";
    assert!(!printed(&[("hours.csv", hours)]).0.concat().contains("begin with the year"));
}

/// If this fails, recorded hours without a first line are refused field by field.
#[test]
fn recorded_hours_without_a_first_line_are_said_so_once() {
    let hours = "A;2027-02-24 08:00;2027-02-24 12:00;watch;\n";
    assert_eq!(printed(&[("hours.csv", hours)]).0, ["C512 hours.csv:1 the first line does not name the columns"]);
}

/// If this fails, a slip of the key `breaks` is not recognised, and the keys that are known are listed without it.
#[test]
fn a_slip_of_a_key_that_may_be_left_out_is_recognised() {
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\nbraeks = \"\"\n";
    assert!(printed(&[("crew.toml", crew)]).1.contains("write `breaks` if that is what is meant"));
}

/// If this fails, a day that stands twice in a grid is blamed once for the day and again for each stretch of work in it.
#[test]
fn a_day_that_stands_twice_in_a_grid_is_said_once() {
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let row = |day: &str, from: usize| {
        let cells: String = (0..48).map(|half| if half >= from && half % 4 < 3 { ",x" } else { "," }).collect();
        format!("A,{day}{cells}\n")
    };
    let head = format!("person,date,{}\n", halves.join(","));
    let twice = format!("{head}{}{}{}", row("2027-02-27", 16), row("2027-02-28", 16), row("2027-02-28", 20));
    assert_eq!(printed(&[("hours.csv", &twice)]).0, ["C512 hours.csv:4 two rows are of A on 2027-02-28"]);
    let thrice = format!("{twice}{}", row("2027-02-28", 8));
    let said = ["C512 hours.csv:4 two rows are of A on 2027-02-28", "C512 hours.csv:5 two rows are of A on 2027-02-28"];
    assert_eq!(printed(&[("hours.csv", &thrice)]).0, said);
}

/// If this fails, rows of a grid, which are longer than a screen is wide, run over its edge where two of them are shown.
#[test]
fn long_rows_are_shown_on_a_screen() {
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let row = |day: &str| format!("A,{day}{}\n", ",x".repeat(48));
    let hours = format!("person,date,{}\n{}{}", halves.join(","), row("2027-02-24"), row("2027-02-24"));
    let printed = printed(&[("hours.csv", &hours)]).1;
    assert!(printed.contains("two rows are of A on 2027-02-24"), "{printed}");
    assert!(printed.lines().all(|line| line.chars().count() <= 80), "{printed}");
}

/// If this fails, a break that ordinary hours go on through passes without a word because of a day off.
#[test]
fn a_break_that_is_had_on_days_off_alone_is_worked_through() {
    let job = "ship = \"MV Slip\"\ntitle = \"Job\"\nstart = 2027-03-05T08:00\ndays = 4\nclock = \"UTC\"\ndays_off = \"Sunday\"
[breaks]\nlunch = \"12:00-12:30\"\n[rest]\nrecorded_from = \"day -7\"\n";
    let crew = |hours: &str| format!("[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"{hours}\"\n");
    let said = |hours: &str| printed(&[("job.toml", job), ("crew.toml", &crew(hours))]).0;
    assert_eq!(said("08:00-12:30, 12:30-18:00"), ["C107 job.toml:8 nobody has the break `lunch`: ordinary hours go on through it"]);
    assert_eq!(said("08:00-12:00, 12:30-18:00"), Vec::<String>::new());
}

/// If this fails, a name misspelt all through a record is said as often as it stands there.
#[test]
fn a_stranger_in_a_record_is_said_once() {
    let hours = "person,from,to,kind\nMATE,2027-02-24 08:00,2027-02-24 12:00,task\nMATE,2027-02-25 08:00,2027-02-25 12:00,task
MATE,2027-02-26 08:00,2027-02-26 12:00,task\n";
    let (said, printed) = printed(&[("hours.csv", hours)]);
    assert_eq!(said, ["C101 hours.csv:2 there is no person `MATE`"]);
    assert!(printed.contains("here and in 2 more rows"), "{printed}");
}

/// If this fails, a grid that stops days before the start passes for days of rest.
#[test]
fn a_grid_that_stops_before_the_start_is_doubted() {
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let row = |day: u32| ["A", "B"].map(|who| format!("{who},2027-02-{day},{}\n", vec![""; 48].join(","))).concat();
    let grid = |last: u32| format!("person,date,{}\n{}", halves.join(","), (20..=last).map(row).collect::<String>());
    let said = |last: u32| printed(&[("hours.csv", &grid(last))]).0;
    assert_eq!(said(28), Vec::<String>::new());
    assert_eq!(said(26), ["C332 hours.csv:15 there is no row of A, B on 2027-02-27, nor after that"]);
}

/// If this fails, two duties that are both done along with one watch lie at the same time without a word, and no plan can have
/// them: one thing at a time (design rule 1).
#[test]
fn two_duties_along_with_one_watch_clash() {
    let watches = "[post.OOW]\nmanned = \"day 2 08:00-12:00\"\n[[stand]]\npost = \"OOW\"\nwhen = \"day 2 08:00-12:00\"\nby = \"A\"\n";
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN, OOW\"\nhours = \"13:00-16:00\"\n";
    let duty = |code: &str, when: &str, how: &str| format!("[duty.{code}]\nwhen = \"{when}\"\nwho = \"A\"\non_watch = \"{how}\"\n");
    let duties = |how: &str| duty("round", "day 2 09:00-10:00", how) + &duty("test", "day 2 09:30-10:30", "done");
    let said = |duties: &str| printed(&[("watches.toml", watches), ("crew.toml", crew), ("duties.toml", duties)]).0;
    assert_eq!(said(&duties("done")), ["C318 duties.toml:5 duties round and test both call A from day 2 09:30"]);
    assert_eq!(said(&duties("excused")), Vec::<String>::new());
}

/// If this fails, a duty, a ban, a mode or a night rule of which the times or the people were left blank is read without a
/// word, and never counts.
#[test]
fn what_must_be_said_may_not_be_blank() {
    for blank in ["\"\"", "\" \"", "\",\"", "[]", "[\"\"]"] {
        let duties = format!(
            "[duty.D]\nwhen = {blank}\nwho = {blank}\n[duty.E]\nwithin = {blank}\nhours = 1\nwho = \"A\"\n[[ban]]\nwhen = {blank}\ntags = {blank}\n"
        );
        let said = ["C505 duties.toml:2 `when` of duty D says nothing", "C505 duties.toml:3 `who` of duty D says nothing"];
        let more = ["C505 duties.toml:5 `within` of duty E says nothing", "C505 duties.toml:9 `when` of [[ban]] says nothing"];
        let last = ["C505 duties.toml:10 `tags` of [[ban]] says nothing"];
        assert_eq!(printed(&[("duties.toml", &duties)]).0, [&said[..], &more[..], &last[..]].concat(), "{blank}");
        let rules = format!(
            "[set.S]\nname = \"S\"\nsource = \"S\"\n[set.S.rule.N]\nkind = \"night work\"\nbetween = {blank}\n[set.S.rule.R]\n\
             kind = \"total rest\"\nwithin = 24\nat_least = 10\n"
        );
        assert_eq!(printed(&[("rules.toml", &rules)]).0, ["C505 rules.toml:6 `between` of rule N says nothing"], "{blank}");
        let machinery = format!("[unit]\nG = \"G\"\n[group.X]\nunits = \"G\"\n[mode.M]\nwhen = {blank}\n[mode.N]\nwhen = \"otherwise\"\n");
        assert_eq!(printed(&[("machinery.toml", &machinery)]).0, ["C505 machinery.toml:6 `when` of mode M says nothing"], "{blank}");
        let watches = format!(
            "[post.OOW]\n[line.all]\nhours = \"00:00-24:00\"\nOOW = \"A\"\n[[cover]]\npost = \"OOW\"\nwhen = {blank}\nby = \"A\"\n"
        );
        let said = printed(&[("watches.toml", &watches)]).0;
        assert!(said.contains(&"C505 watches.toml:7 `when` of [[cover]] says nothing".to_owned()), "{blank}: {said:?}");
    }
}

/// If this fails, a repeat whose days stand the wrong way round, or lie where the job is not, never comes, without a word:
/// its post is unmanned, its duty never done.
#[test]
fn a_repeat_that_never_comes_is_no_repeat() {
    for (days, said) in [
        ("from day 3 to day 2", "C306 duties.toml:2 the days of the repeat end before they begin"),
        ("from day 93 to day 95", "C304 duties.toml:2 the duty lies beyond the job"),
        ("from day -5 to day -2", "C304 duties.toml:2 the duty lies before the start of the job"),
    ] {
        let duties = format!("[duty.D]\nwhen = \"daily 10:00-10:30 {days}\"\nwho = \"A\"\n");
        assert_eq!(printed(&[("duties.toml", &duties)]).0, [said]);
    }
    // A week in which there is no Sunday is no slip, nor is a repeat that began before the job.
    let duties = "[duty.D]\nwhen = \"every Sunday 10:00-10:30, daily 11:00-11:30 from day -9 to day 2\"\nwho = \"A\"\n";
    assert_eq!(printed(&[("duties.toml", duties)]).0, Vec::<String>::new());
}

/// If this fails, a change of the clock, a day off or a short day with a slip in its date never comes, without a word.
#[test]
fn a_day_beyond_the_job_is_said() {
    let job = |rest: &str| format!("ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n{rest}");
    let rest = "[rest]\nrecorded_from = \"day -7\"\n";
    let change = format!("[[clock_change]]\nat = 2028-03-02T02:00\nclock = \"UTC+1\"\n{rest}");
    assert_eq!(printed(&[("job.toml", &job(&change))]).0, ["C304 job.toml:6 the change of the clock lies beyond the job"]);
    let off = format!("days_off = \"day 44\"\n{rest}");
    assert_eq!(printed(&[("job.toml", &job(&off))]).0, ["C304 job.toml:5 the day lies beyond the job"]);
    let short = format!("[short_days]\n2028-03-02 = \"08:00-12:00\"\n{rest}");
    assert_eq!(printed(&[("job.toml", &job(&short))]).0, ["C304 job.toml:6 the day lies beyond the job"]);
}

/// If this fails, one slip is said again in other words by whatever rests on the value that could not be read.
#[test]
fn what_rests_on_a_slip_is_not_judged() {
    // A key that must be there and is misspelt is not missing as well.
    let misspelt = "[task.T]\ntext = \"Do\"\nneed = \"GEN\"\nhours = 1\nsame = \"GEN\"\n";
    assert_eq!(printed(&[("tasks.toml", misspelt)]).0, ["C504 tasks.toml:3 task T has no key `need`"]);
    let duties = "[duty.D]\nwhe = \"day 2 10:00-10:30\"\nwho = \"A\"\n";
    let (said, shown) = printed(&[("duties.toml", duties)]);
    assert_eq!(said, ["C504 duties.toml:2 duty D has no key `whe`"]);
    assert!(shown.contains("write `when` if"), "{shown}");
    let watches = "[post.OOW]\n[line.all]\nhour = \"00:00-24:00\"\nOOW = \"A\"\n";
    assert_eq!(printed(&[("watches.toml", watches)]).0, ["C504 watches.toml:3 line all has no key `hour`"]);
    let crew = "[person.A]\nname = \"A\"\ncam = \"GEN\"\nhours = \"08:00-12:00\"\n";
    assert!(!printed(&[("crew.toml", crew)]).0.iter().any(|line| line.starts_with("C105")));
    // But another one of the same kind that has none is missing.
    let two = format!("{misspelt}[task.U]\ntext = \"Do\"\nhours = 1\n");
    let said = ["C504 tasks.toml:3 task T has no key `need`", "C505 tasks.toml:6 task U has no `needs`"];
    assert_eq!(printed(&[("tasks.toml", &two)]).0, said);
    // What a task needs is not known: neither whether nobody works on it nor what has no place in it.
    let needs = "[task.T]\ntext = \"Do\"\nneeds = \"-1 GEN\"\nhours = 2\nparts = 2\nsame = \"GEN\"\n";
    assert_eq!(printed(&[("tasks.toml", needs)]).0, ["C513 tasks.toml:3 `-1 GEN` cannot be read"]);
    // Whom a duty calls is not known: not that nobody is aboard for it.
    let duties = "[duty.D]\nwhen = \"day 2 10:00-10:30\"\nwho = \"X\"\n";
    assert_eq!(printed(&[("duties.toml", duties)]).0, ["C101 duties.toml:3 there is no person `X`"]);
    // What somebody can do is not known: not that he may not stand the watch.
    let crew = "[competence]\nGEN = \"general\"\n[person.A]\nname = \"A\"\ncan = \"OOV, GEN\"\nhours = \"08:00-12:00\"\n";
    let watches = "[post.OOW]\nneeds = \"GEN\"\n[line.all]\nhours = \"00:00-24:00\"\nOOW = \"A\"\n";
    let said = printed(&[("crew.toml", crew), ("watches.toml", &watches.replace("needs = \"GEN\"", "needs = \"OOW\""))]).0;
    assert!(!said.iter().any(|line| line.starts_with("C312")), "{said:?}");
    // How a duty meets the watch is not known: not that it clashes with it.
    let duties = "[duty.D]\nwhen = \"day 2 10:00-10:30\"\nwho = \"A\"\non_watch = \"ignored\"\n";
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN\"\n";
    let said = printed(&[("crew.toml", crew), ("watches.toml", watches), ("duties.toml", duties)]).0;
    assert!(!said.iter().any(|line| line.starts_with("C317")), "{said:?}");
    // A number of tools, the units of a group, the start that was decided.
    let tools = "[tool.X]\nnumber = 2.5\n";
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\ntools = \"2 X\"\n";
    let said = printed(&[("tools.toml", tools), ("tasks.toml", tasks)]).0;
    assert_eq!(said, ["C503 tools.toml:2 `number` of tool X takes a whole number, not a number"]);
    let machinery = "[unit]\nG = \"G\"\n[group.X]\nunits = \"H\"\n[mode.N]\nwhen = \"otherwise\"\nneeds = \"1 X\"\n";
    assert_eq!(printed(&[("machinery.toml", machinery)]).0, ["C407 machinery.toml:4 there is no machine `H`"]);
    let pins = "[[pin]]\ntask = \"T\"\nat = \"noon\"\n";
    assert_eq!(printed(&[("pins.toml", pins)]).0, ["C301 pins.toml:3 `noon` is not a time"]);
}

/// If this fails, an entry of the log adds a task between two that come the other way round, and nothing is said until every
/// command fails with a plan that it cannot use.
#[test]
fn a_task_the_log_adds_in_a_circle_is_said() {
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n[task.U]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\nafter = \"T\"\n";
    let log = |order: &str| {
        format!(
            "[[entry]]\nat = \"day 1 09:00\"\nwhat = \"note\"\nnote = \"n\"\n[entry.add.N]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n{order}\n"
        )
    };
    let said = |order: &str| printed(&[("tasks.toml", tasks), ("log.toml", &log(order))]).0;
    let circle = said("after = \"U\"\nbefore = \"T\"");
    assert!(matches!(&circle[..], [one] if one.contains("tasks wait for one another in a circle")), "{circle:?}");
    assert_eq!(said("after = \"T\"\nbefore = \"U\""), Vec::<String>::new());
}
