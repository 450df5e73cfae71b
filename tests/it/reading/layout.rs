//! Days, watches, duties and modes laid out: the cases the demonstration job does not have.

use turnto::input::read;
use turnto::model::{Aim, Stand};
use turnto::time::{Minutes, Moment, Span};

use crate::reading::{folder, plain, sound};

fn span(day: i32, from: i32, to: i32) -> Span {
    let at = |hour: i32| Moment::new((day - 1) * 1440 + hour * 60);
    Span::new(at(from), at(to)).expect("it begins before it ends")
}

fn crew(extra: &str) -> String {
    format!("[person.A]\nname = \"A\"\ncan = \"GEN, OOW\"\n{extra}\n")
}

fn job(extra: &str) -> String {
    format!("start = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n{extra}\n[rest]\nrecorded_from = \"day -7\"\n")
}

/// If this fails, days off or short days change nothing, or change the wrong days. Day 1 is a Monday.
#[test]
fn days_off_and_short_days() {
    let extra = "days_off = [\"Sunday\", \"day 2\"]\n[short_days]\nWednesday = \"09:00-12:00\"\n\"day 4\" = \"08:00-10:00\"";
    let crew = crew("hours = \"08:00-16:00\"");
    let problem = sound(&folder(&[("job.toml", &job(extra)), ("crew.toml", &crew)]));
    let person = problem.people.iter().next().expect("A");
    let hulls: Vec<Span> = person.stretches.iter().map(turnto::model::Stretch::hull).collect();
    // Day 3 is a Wednesday, day 7 the Sunday.
    assert_eq!(hulls[..6], [span(1, 8, 16), span(3, 9, 12), span(4, 8, 10), span(5, 8, 16), span(6, 8, 16), span(8, 8, 16)]);
}

/// If this fails, hours that lie apart are joined, or hours a named break parts are not.
#[test]
fn stretches_are_joined_across_named_breaks_alone() {
    let crew = crew("hours = \"08:00-12:00, 13:00-15:00, 18:00-20:00\"\novertime = \"15:00-16:00, day 2 07:00-08:00\"");
    let problem = sound(&folder(&[("job.toml", &job("[breaks]\nlunch = \"12:00-13:00\"")), ("crew.toml", &crew)]));
    let person = problem.people.iter().next().expect("A");
    let of_day = |day: i32| person.stretches.iter().filter(|s| s.day.number() == day).collect::<Vec<_>>();
    assert_eq!(of_day(1).iter().map(|s| s.hull()).collect::<Vec<_>>(), [span(1, 8, 16), span(1, 18, 20)]);
    assert_eq!(of_day(1)[0].overtime, [span(1, 15, 16)]);
    assert_eq!(of_day(2)[0].overtime, [span(2, 7, 8), span(2, 15, 16)]);
}

/// If this fails, overtime that fills the gap between two stretches leaves them apart.
#[test]
fn overtime_joins_what_it_touches() {
    let crew = crew("hours = \"08:00-12:00, 14:00-16:00\"\novertime = \"12:00-14:00\"");
    let problem = sound(&folder(&[("crew.toml", &crew)]));
    let stretch = &problem.people.iter().next().expect("A").stretches[0];
    assert_eq!((stretch.ordinary.len(), stretch.hull()), (2, span(1, 8, 16)));
}

/// If this fails, somebody who works nights has his hours cut at midnight.
#[test]
fn hours_run_over_midnight() {
    let crew = crew("hours = \"20:00-04:00\"");
    let problem = sound(&folder(&[("crew.toml", &crew)]));
    let stretches = &problem.people.iter().next().expect("A").stretches;
    assert_eq!(stretches[0].hull(), span(1, 20, 28));
    assert_eq!(stretches[0].day.number(), 1);
}

/// If this fails, a post manned in one mode only is stood at other times, or the second post is not stood.
#[test]
fn a_second_post_is_stood_in_one_mode() {
    let machinery = "[mode.sea]\nwhen = \"otherwise\"\n[mode.port]\nwhen = \"day 2 06:00-18:00\"\n";
    let watches = "[post.OOW]\nneeds = \"OOW\"\nmanned = \"mode port\"\n\
        [line.a]\nhours = \"00:00-12:00\"\nOOW = \"open\"\n[line.b]\nhours = \"12:00-24:00\"\nOOW = \"A\"\n";
    let problem = sound(&folder(&[("machinery.toml", machinery), ("watches.toml", watches), ("crew.toml", &crew(""))]));
    let turns: Vec<(Span, bool)> = problem.turns.iter().map(|t| (t.span, matches!(t.stand, Stand::Open(_)))).collect();
    assert_eq!(turns, [(span(2, 6, 12), true), (span(2, 12, 18), false)]);
}

/// If this fails, a line that ends on a day and one that takes over leave a hole or overlap.
#[test]
fn lines_may_change_hands() {
    let watches = "[post.OOW]\nmanned = \"daily 08:00-12:00\"\n[line.a]\nhours = \"06:00-14:00\"\nto = \"day 2\"\nOOW = \"A\"\n\
        [line.b]\nhours = \"06:00-14:00\"\nfrom = \"day 3\"\nOOW = \"open\"\n";
    let problem = sound(&folder(&[("watches.toml", watches), ("crew.toml", &crew(""))]));
    let turns: Vec<Span> = problem.turns.iter().map(|t| t.span).take(3).collect();
    let open: Vec<bool> = problem.turns.iter().map(|t| matches!(t.stand, Stand::Open(_))).take(3).collect();
    assert_eq!(open, [false, false, true]);
    assert_eq!(turns, [span(1, 8, 12), span(2, 8, 12), span(3, 8, 12)]);
}

/// If this fails, people who are away are called to a duty, or those who are aboard are not.
#[test]
fn a_duty_for_all_leaves_out_who_is_away() {
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-16:00\"\naway = \"day 2 - day 3\"\n\
        [person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-16:00\"\n";
    let duties = "[duty.talk]\nwhen = \"daily 08:00-08:30\"\nwho = \"all\"\n";
    let problem = sound(&folder(&[("crew.toml", crew), ("duties.toml", duties)]));
    let counts: Vec<usize> = problem.duties.iter().map(|d| d.who.len()).take(5).collect();
    // Away from day 2, 00:00 to the end of day 3.
    assert_eq!(counts, [2, 1, 1, 2, 2]);
}

/// If this fails, an order of aims that is given in part is not completed, or a job without a milestone does
/// not look at the finish next after shortfalls.
#[test]
fn aims_in_part_and_without_milestone() {
    let aims = |extra: &str| sound(&folder(&[("job.toml", &job(extra))])).aims.clone();
    assert_eq!(aims("")[..2], [Aim::Shortfall, Aim::Finish]);
    assert_eq!(aims("aims = \"finish\"")[..3], [Aim::Finish, Aim::Shortfall, Aim::Lateness]);
    assert_eq!(aims("aims = \"finish\"").len(), 7);
}

/// If this fails, a reserve without modes is lost, or a job with a reserve has a time without a mode.
#[test]
fn a_reserve_needs_no_modes() {
    let problem = sound(&folder(&[("job.toml", &job("[[reserve]]\ncallable = \"1 GEN\"\ncall = 1.5"))]));
    assert_eq!(problem.mode_spans.len(), 1);
    let reserve = problem.modes.iter().next().and_then(|m| m.reserve.clone()).expect("there is a reserve");
    assert_eq!((reserve.call, reserve.unbooked), (Minutes::new(90), Minutes::ZERO));
}

/// If this fails, tables with other separators, a byte-order mark or columns in another order do not read.
#[test]
fn recorded_hours_in_other_dress() {
    for text in [
        "\u{feff}person;from;to;kind\r\nA;2027-02-28 08:00;2027-02-28 12:00;Watch\r\n",
        "kind\tperson\tto\tfrom\nwatch\tA\t2027-02-28T12:00\t2027-02-28T08:00\n",
        "person, from, to, kind, note\n# a remark\n\nA, day 0 08:00, day 0 12:00, watch, \"quiet, dull\"\n",
    ] {
        let problem = sound(&folder(&[("hours.csv", text)]));
        let recorded = &problem.people.iter().next().expect("A").recorded;
        assert_eq!(recorded.iter().map(|r| r.span).collect::<Vec<_>>(), [span(0, 8, 12)], "{text}");
    }
}

/// If this fails, one mistake hides others: here are ten in four files, each found in its place.
#[test]
fn all_errors_come_at_once() {
    let tasks = "[task.T1]\ntext = 5\nneeds = \"GENN\"\nhours = [3, 2, 4]\n[task.T2]\ntext = \"Do\"\nneeds = \"GEN + \"\nhours = 1\nafter = \"T9\"\n[task.T3]\ntext = \"Broken\nneeds = \"GEN\"\nhours = 1\ncolour = \"red\"\n";
    let watches = "[post.OOW]\nmand = \"always\"\n";
    let found = plain(&read(&folder(&[
        ("tasks.toml", tasks),
        ("watches.toml", watches),
        ("tools.toml", "[tool]\nCRANE = { number = \"two\" }\n"),
        ("machinery.toml", "[mode.sea]\nwhen = \"yesterday\"\n"),
    ])));
    let starts: Vec<&str> =
        found.iter().map(|line| &line[..line.find(' ').map_or(4, |i| i + 1 + line[i + 1..].find(' ').unwrap_or(0))]).collect();
    assert_eq!(
        starts,
        [
            "C301 machinery.toml:2",
            "C503 tasks.toml:2",
            "C102 tasks.toml:3",
            "C205 tasks.toml:4",
            "C513 tasks.toml:7",
            "C502 tasks.toml:11",
            "C504 tasks.toml:14",
            "C503 tools.toml:2",
            "C504 watches.toml:2",
        ],
        "{found:#?}"
    );
}

/// If this fails, a slip in the ordinary hours is followed by a complaint about overtime that only follows from it; or
/// overtime that lies apart is no longer named.
#[test]
fn overtime_is_not_blamed_for_a_slip_in_ordinary_hours() {
    let job = |hours: &str, lunch: &str| {
        format!(
            "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n[breaks]\nlunch = \"{lunch}\"\n[hours]\nday = \"{hours}\"\n[rest]\nrecorded_from = \"day -7\"\n"
        )
    };
    let crew = |hours: &str, overtime: &str| {
        format!(
            "[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"{hours}\"\novertime = \"{overtime}\"\n[person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\n"
        )
    };
    let codes = |job: &str, crew: &str| -> Vec<String> {
        plain(&read(&folder(&[("job.toml", job), ("crew.toml", crew)]))).iter().map(|line| line[..4].to_owned()).collect()
    };
    let sound = job("08:00-12:00, 13:00-18:00", "12:00-13:00");
    assert_eq!(codes(&sound, &crew("day", "18:00-20:00")), [""; 0]);
    assert_eq!(codes(&sound, &crew("day", "19:00-20:00")), ["C323"]);
    assert_eq!(codes(&job("08:00-12:00, 13:00-1800h", "12:00-13:00"), &crew("day", "18:00-20:00")), ["C305"]);
    // Without any hours A is never free, which is said beside it.
    assert_eq!(codes(&sound, &crew("daay", "18:00-20:00")), ["C104", "C305"]);
    assert_eq!(codes(&job("08:00-12:00, 13:00-18:00", "noon"), &crew("day", "18:00-20:00")), ["C305"]);
}

/// If this fails, a slip in somebody's hours is followed by complaints about all tasks that only that person can do; or a
/// task that is longer than anybody's day is no longer named.
#[test]
fn tasks_are_not_blamed_for_a_slip_in_somebody_s_hours() {
    let job = "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n[hours]\nday = \"08:00-12:00\"\n[rest]\nrecorded_from = \"day -7\"\n";
    let crew = |hours: &str| format!("[person.A]\nname = \"A\"\ncan = \"ELE\"\nhours = \"{hours}\"\n");
    let tasks = |hours: u32| format!("[task.T]\ntext = \"Do\"\nneeds = \"ELE\"\nhours = {hours}\nstop = \"never\"\n");
    let codes = |crew: &str, tasks: &str| -> Vec<String> {
        let files = [("job.toml", job), ("crew.toml", crew), ("tasks.toml", tasks)];
        plain(&read(&folder(&files))).iter().map(|line| line[..4].to_owned()).collect()
    };
    assert_eq!(codes(&crew("day"), &tasks(4)), [""; 0]);
    assert_eq!(codes(&crew("day"), &tasks(5)), ["C212"]);
    assert!(!codes(&crew("dya"), &tasks(4)).contains(&"C212".to_owned()));
    assert!(codes(&crew("dya"), &tasks(4)).contains(&"C305".to_owned()));
}

/// If this fails, a break whose two ends are the wrong way round takes the whole day and night, and rest looks better than
/// it is; or one that runs past midnight is refused.
#[test]
fn a_break_that_ends_before_it_begins_is_no_break() {
    let found = |lunch: &str| {
        let job = job(&format!("[breaks]\nlunch = \"{lunch}\""));
        plain(&read(&folder(&[("job.toml", job.as_str())])))
    };
    assert_eq!(found("13:00-12:00"), ["C306 job.toml:5 the break `lunch` ends before it begins"]);
    assert_eq!(found("00:30-00:00"), ["C306 job.toml:5 the break `lunch` ends before it begins"]);
    for sound in ["12:00-13:00", "23:30-00:30", "00:00-01:00", "18:00-06:00"] {
        assert_eq!(found(sound), [""; 0], "{sound}");
    }
}

/// If this fails, a task that wants what is held over it is planned in vain, or one that can have another is refused.
#[test]
fn a_tool_is_not_wanted_while_all_of_it_is_held() {
    let tasks = |second: &str| {
        format!(
            "[task.T1]\ntext = \"Fill\"\nneeds = \"GEN\"\nhours = 1\nhold = \"RACK until T3\"\n\
             [task.T2]\ntext = \"Work\"\nneeds = \"GEN\"\nhours = 1\n{second}\n\
             [task.T3]\ntext = \"Empty\"\nneeds = \"GEN\"\nhours = 1\nafter = \"T1, T2\"\n"
        )
    };
    let found = |number: u32, second: &str| {
        let tools = format!("[tool]\nRACK = {{ name = \"Rack\", number = {number} }}\n");
        plain(&read(&folder(&[("tasks.toml", &tasks(second)), ("tools.toml", &tools)])))
    };
    let wanted = "after = \"T1\"\ntools = \"RACK\"";
    let message = "C225 tasks.toml:11 task T2 can never begin: T1 holds 1 of RACK until T3 ends, and of 1 there is no more";
    assert_eq!(found(1, wanted), [message]);
    assert_eq!(found(2, wanted), [""; 0]);
    assert_eq!(found(2, "after = \"T1\"\ntools = \"2 RACK\"").len(), 1);
    // Not between the two: it may be done before the first.
    assert_eq!(found(1, "tools = \"RACK\""), [""; 0]);
}

/// If this fails, a machine that may be handed back before it is taken out, and then is out for good, is taken as it is.
#[test]
fn handing_back_comes_after_taking_out() {
    let machinery = "[unit]\nP1 = \"Pump 1\"\n[group.PUMP]\nunits = \"P1\"\n[mode.any]\nwhen = \"otherwise\"\nneeds = \"0 PUMP\"\n";
    let task = |code: &str, more: &str| format!("[task.{code}]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n{more}\n");
    let found = |more: [&str; 3]| {
        let tasks: String = ["T1", "T2", "T3"].iter().zip(more).map(|(code, more)| task(code, more)).collect();
        plain(&read(&folder(&[("tasks.toml", &tasks), ("machinery.toml", machinery)])))
    };
    let (takes, backs) = ("takes_out = \"P1\"", "hands_back = \"P1\"");
    assert_eq!(found([takes, "after = \"T1\"", &format!("{backs}\nafter = \"T2\"")]), [""; 0]);
    assert_eq!(found([&format!("{takes}\n{backs}"), "", ""]), [""; 0], "one task may do both");
    assert_eq!(found([takes, "", backs]), ["C417 tasks.toml:15 task T3 hands back machine P1 and need not come after T1"]);
    let reversed = found([&format!("{takes}\nafter = \"T3\""), "", backs]);
    assert_eq!(reversed.len(), 1, "{reversed:?}");
    // A second task takes it out, and nothing says that it is over when the machine is handed back.
    let second = found([takes, takes, &format!("{backs}\nafter = \"T1\"")]);
    assert_eq!(second, ["C417 tasks.toml:10 task T2 takes out machine P1 and need not come before T3"]);
    // Where a task is not known, the order is not known either, and one word is enough.
    let unknown = found([takes, "", &format!("{backs}\nafter = \"T9\"")]);
    assert_eq!(unknown, ["C201 tasks.toml:16 there is no task `T9`"]);
}

/// If this fails, a break that changes nothing is taken for one; or one that somebody has is doubted.
#[test]
fn a_break_in_the_middle_of_everybodys_hours_is_doubted() {
    let found = |crew: &str| {
        let job = job("[breaks]\nsmoko = \"10:00-10:30\"");
        plain(&read(&folder(&[("job.toml", job.as_str()), ("crew.toml", crew)])))
    };
    let person = |code: &str, hours: &str| format!("[person.{code}]\nname = \"{code}\"\ncan = \"GEN\"\nhours = \"{hours}\"\n");
    let (through, with) = (person("A", "08:00-12:00"), person("B", "08:00-10:00, 10:30-12:00"));
    assert_eq!(found(&through), ["C107 job.toml:5 nobody has the break `smoko`: ordinary hours go on through it"]);
    assert_eq!(found(&(through + &with)), [""; 0]);
    assert_eq!(found(&with), [""; 0]);
}
