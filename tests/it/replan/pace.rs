//! How far work has come that the log says was begun, or done late.

use turnto::clock::Day;
use turnto::id::{PersonId, TaskId};
use turnto::input::{Folder, read};
use turnto::model::{Problem, Stop};
use turnto::plan::{Plan, Spell};
use turnto::replan::{Act, Reason, Remainder, Spent, Standing, State, Whole, changes, remainder, spent};
use turnto::report::tools_of;
use turnto::time::{Minutes, Moment, Span};

use crate::replan::stage::replanned;

const JOB: &str = "start = 2027-03-01T08:00\ndays = 4\nclock = \"UTC+3\"\n[breaks]\nlunch = \"12:00-13:00\"\n";

const CREW: &str = "[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"
[person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"\n";

/// A long strip-down, six valves in six parts, a soak of 20 hours, and what comes after.
const TASKS: &str = "[task.STRIP]\ntext = \"Strip\"\nneeds = \"GEN\"\nhours = 8
[task.VALVES]\ntext = \"Draw valves\"\nneeds = \"GEN\"\nhours = 3\nparts = 6
[task.SOAK]\ntext = \"Fill the tank\"\nneeds = \"GEN\"\nhours = 0.5\nafter = \"VALVES\"
[task.LAP]\ntext = \"Lap valves\"\nneeds = \"GEN\"\nhours = 2\nafter = \"SOAK + 20h\"
[task.BOX]\ntext = \"Box up\"\nneeds = \"2 GEN\"\nhours = 2\nafter = \"LAP, STRIP\"\n";

fn at(problem: &Problem, day: i32, hour: i32, minute: i32) -> Moment {
    problem.clock.at(Day::new(day), Minutes::new(hour * 60 + minute))
}

fn code(problem: &Problem, code: &str) -> TaskId {
    problem.tasks.find(|t| t.code == code).expect("the job has it")
}

/// What people were told: A strips from 09:00 until 17:00 and from 08:00 until 09:00 on day 2; B draws the valves from
/// 08:30 until 11:30 and fills the tank after it; the rest on days 2 and 3.
fn told(problem: &Problem) -> Plan {
    let person = |code: &str| problem.people.find(|p| p.code == code).expect("he is aboard");
    let (a, b): (PersonId, PersonId) = (person("A"), person("B"));
    let mut spells: Vec<Spell> = Vec::new();
    let mut put = |task: &str, part: u32, team: &[PersonId], work: &[(i32, i32, i32, i32)]| {
        let work = work
            .iter()
            .map(|(day, from, minute, length)| Span::of(at(problem, *day, *from, *minute), Minutes::new(*length)).expect("it takes time"));
        spells.push(Spell { task: code(problem, task), part, team: team.to_vec(), work: work.collect() });
    };
    put("STRIP", 0, &[a], &[(1, 9, 0, 180), (1, 13, 0, 240)]);
    put("STRIP", 0, &[a], &[(2, 8, 0, 60)]);
    for part in 0..6 {
        put("VALVES", part, &[b], &[(1, 8, 30 + 30 * i32::try_from(part).expect("few"), 30)]);
    }
    put("SOAK", 0, &[b], &[(1, 11, 30, 30)]);
    put("LAP", 0, &[b], &[(2, 8, 0, 120)]);
    put("BOX", 0, &[a, b], &[(2, 10, 0, 120)]);
    spells.sort_by_key(|s| (s.span(), s.task, s.part));
    Plan { spells, ..Plan::default() }
}

/// The job with this log, and what people were told.
fn job(log: &str) -> (Whole, Standing) {
    let folder = Folder::new().with("job.toml", JOB).with("crew.toml", CREW).with("tasks.toml", TASKS).with("log.toml", log);
    let reading = read(&folder);
    let said: Vec<String> = reading.diagnostics.iter().map(|d| d.message.clone()).collect();
    let problem = reading.problem.unwrap_or_else(|| panic!("{said:?}"));
    let plan = told(&problem);
    (Whole::new(problem.clone(), reading.log), Standing::first(problem, plan))
}

fn entry(when: &str, what: &str, task: &str) -> String {
    format!("[[entry]]\nat = \"{when}\"\nwhat = \"{what}\"\ntask = \"{task}\"\n")
}

fn left(whole: &Whole, standing: &Standing, day: i32, hour: i32) -> Remainder {
    let now = at(&standing.problem, day, hour, 0);
    remainder(whole, standing, now, whole.log.entries.len()).unwrap_or_else(|why| panic!("{why:?}"))
}

/// When a task was worked on, in minutes of a day's clock, by day.
fn worked(rest: &Remainder, whole: &Whole, task: &str) -> Vec<(i32, i32, i32)> {
    let clock = &whole.parts.clock;
    let id = whole.parts.tasks.find(|t| t.code == task).expect("the job has it");
    let pieces = rest.past.spells.iter().filter(|s| s.task == id).flat_map(|s| s.work.iter().copied());
    let minute = |day: Day, moment: Moment| (moment - clock.at(day, Minutes::ZERO)).get();
    pieces
        .map(|p| (clock.day(p.start()).number(), minute(clock.day(p.start()), p.start()), minute(clock.day(p.start()), p.end())))
        .collect()
}

fn account(whole: &Whole, rest: &Remainder, task: &str) -> (Minutes, Minutes) {
    let all: Spent = spent(whole, rest);
    let row = all.tasks.iter().find(|t| whole.parts.tasks[t.task].code == task).expect("it is accounted for");
    (row.done, row.to_go)
}

/// If this fails, one entry that a task was begun has people at it into the night, and it counts as done a day early.
#[test]
fn what_was_begun_late_goes_on_to_the_end_of_the_day_and_no_longer() {
    let (whole, standing) = job(&entry("day 1 10:00", "started", "STRIP"));
    let rest = left(&whole, &standing, 2, 7);
    assert_eq!(worked(&rest, &whole, "STRIP"), [(1, 600, 720), (1, 780, 1020)]);
    assert_eq!(account(&whole, &rest, "STRIP"), (Minutes::hours(6), Minutes::hours(2)));
    replanned(&rest);
    // Later on day 2 the hour that was told for it counts, and the one that was lost is left.
    let rest = left(&whole, &standing, 2, 10);
    assert_eq!(account(&whole, &rest, "STRIP"), (Minutes::hours(7), Minutes::hours(1)));
    replanned(&rest);
}

/// If this fails, of a task in parts that was begun ten minutes late only the first part counts.
#[test]
fn the_parts_told_after_one_that_was_begun_late_follow_it() {
    let (whole, standing) = job(&entry("day 1 08:40", "started", "VALVES"));
    let rest = left(&whole, &standing, 1, 12);
    assert_eq!(account(&whole, &rest, "VALVES"), (Minutes::hours(3), Minutes::ZERO));
    let end = at(&standing.problem, 1, 11, 40);
    assert_eq!(rest.left[code(&standing.problem, "VALVES")].state, State::Done(end));
    replanned(&rest);
    // Half an hour in, it is at its second part.
    let rest = left(&whole, &standing, 1, 10);
    assert_eq!(account(&whole, &rest, "VALVES").0, Minutes::new(80));
    replanned(&rest);
}

/// If this fails, work that took longer than planned is held to have taken what was planned: the estimates come out
/// well whatever happened, and people count as rested who were at work.
#[test]
fn what_was_done_late_was_worked_on_until_then() {
    let both = [entry("day 1 09:00", "started", "STRIP"), entry("day 2 10:30", "done", "STRIP")];
    for log in [both.concat(), both[1].clone()] {
        let (whole, standing) = job(&log);
        let rest = left(&whole, &standing, 2, 11);
        let pieces = worked(&rest, &whole, "STRIP");
        assert_eq!(pieces.last().map(|p| p.2), Some(630), "{pieces:?}");
        assert_eq!(account(&whole, &rest, "STRIP").0, Minutes::new(570));
    }
    // Through a night between, nobody was at it.
    let log = [entry("day 1 08:30", "started", "VALVES"), entry("day 2 09:00", "done", "VALVES")].concat();
    let (whole, standing) = job(&log);
    let rest = left(&whole, &standing, 2, 9);
    let pieces = worked(&rest, &whole, "VALVES");
    assert!(pieces.contains(&(1, 690, 720)) && pieces.contains(&(1, 780, 1020)) && pieces.contains(&(2, 480, 540)), "{pieces:?}");
}

/// If this fails, a wait that runs is forgotten when it is planned again a second time, and work is planned into it.
#[test]
fn a_wait_runs_on_through_a_second_replan() {
    // The tank was filled before its time, at 11:20, so that no work of it was told before then.
    let log = [entry("day 1 11:10", "done", "VALVES"), entry("day 1 11:20", "done", "SOAK")].concat();
    let (whole, standing) = job(&log);
    let first = left(&whole, &standing, 1, 12);
    let ready = at(&standing.problem, 2, 7, 30);
    let lap = |rest: &Remainder| rest.problem.tasks[rest.problem.tasks.find(|t| t.code == "LAP").expect("it is to come")].not_before;
    assert_eq!(lap(&first), Some(ready));
    let plan = replanned(&first).plan().clone();
    let standing = first.with(plan);
    let second = left(&whole, &standing, 1, 14);
    assert_eq!(lap(&second), Some(ready));
    let soak = whole.parts.tasks.find(|t| t.code == "SOAK").expect("the job has it");
    let done = at(&standing.problem, 1, 11, 20);
    assert_eq!(second.left[soak].state, State::Done(done));
}

/// If this fails, somebody is named as the reason for a task that could not begin yet whoever was free.
#[test]
fn a_task_that_cannot_begin_yet_is_said_to_wait_for_what_it_comes_after() {
    let log = "[[entry]]\nat = \"day 1 12:00\"\nwhat = \"found\"\ntask = \"STRIP\"\nhours = 4\n";
    let (whole, standing) = job(log);
    let rest = left(&whole, &standing, 1, 13);
    let plan = replanned(&rest).plan().clone();
    let said = changes(&whole, &rest, &plan);
    let of = |task: &str| said.tasks.iter().find(|c| rest.problem.tasks[c.task].code == task).map(|c| c.reason);
    let strip = rest.problem.tasks.find(|t| t.code == "STRIP").expect("it is not done");
    assert_eq!(of("BOX"), Some(Reason::After(strip)));
}

/// If this fails, work that goes on an hour later than it was told because it was begun an hour late is no change to anybody.
/// B was told to lap valves on day 2 from 08:00 to 10:00.
#[test]
fn what_goes_on_later_for_having_been_begun_late_is_a_change() {
    let (whole, standing) = job(&entry("day 2 09:00", "started", "LAP"));
    let rest = left(&whole, &standing, 2, 10);
    let lap = rest.problem.tasks.find(|t| t.code == "LAP").expect("it is not done");
    let told = rest.problem.told.clone().expect("there was a plan");
    let going_on = told.spells.iter().find(|s| s.task == lap).expect("it is under way").span();
    assert_eq!(going_on, Span::new(at(&rest.problem, 2, 10, 0), at(&rest.problem, 2, 11, 0)).expect("an hour"));
    let said = changes(&whole, &rest, &told);
    assert_eq!(said.tasks.iter().find(|c| c.task == lap).map(|c| c.reason), Some(Reason::Logged(0)));
    let who = rest.problem.people.find(|p| p.code == "B").expect("he is aboard");
    let row = said.people.iter().find(|row| row.person == who).expect("he is at it");
    assert!(row.pieces.iter().any(|p| p.now == Act::Task(lap) && p.span == going_on), "{:?}", row.pieces);
}

/// If this fails, whoever is at work with a rig that stays held after his task is not told that he needs it, once that task is
/// under way.
#[test]
fn what_fills_a_held_tool_and_is_under_way_has_it_still() {
    let tasks = TASKS.replace("needs = \"GEN\"\nhours = 8", "needs = \"GEN\"\nhours = 8\nhold = \"RIG until BOX\"");
    let folder = Folder::new().with("job.toml", JOB).with("crew.toml", CREW).with("tasks.toml", &*tasks);
    let folder = folder.with("tools.toml", "[tool]\nRIG = \"Flushing rig\"\n");
    let reading = read(&folder);
    let problem = reading.problem.expect("nothing is wrong");
    let plan = told(&problem);
    let (whole, standing) = (Whole::new(problem.clone(), reading.log), Standing::first(problem, plan));
    let rig = |rest: &Remainder, task: &str| {
        let task = rest.problem.tasks.find(|t| t.code == task).expect("it is not done");
        tools_of(&rest.problem, task).len()
    };
    for (day, hour) in [(1, 10), (1, 18)] {
        let rest = left(&whole, &standing, day, hour);
        assert_eq!((rig(&rest, "STRIP"), rig(&rest, "BOX"), rig(&rest, "LAP")), (1, 1, 0));
        replanned(&rest);
    }
    assert_eq!(rig(&left(&whole, &standing, 2, 9), "BOX"), 1);
}

fn noted(rest: &Remainder, words: &[&str]) -> bool {
    rest.notes.iter().any(|note| words.iter().all(|word| note.contains(word)))
}

/// If this fails, parts that were to be over before work was begun count as done, though the log has nothing of them; or nobody
/// is told that they do not; or what the log does say of them is forgotten.
#[test]
fn nothing_was_done_before_a_task_was_begun() {
    let late = entry("day 1 10:00", "started", "VALVES");
    let (whole, standing) = job(&late);
    let rest = left(&whole, &standing, 1, 12);
    assert_eq!(worked(&rest, &whole, "VALVES"), [(1, 600, 630), (1, 630, 660), (1, 660, 690), (1, 690, 720)]);
    assert_eq!(account(&whole, &rest, "VALVES"), (Minutes::hours(2), Minutes::hours(1)));
    assert!(noted(&rest, &["VALVES, told for day 1 08:30, counts as not begun before day 1 10:00", "`to_go`"]), "{:?}", rest.notes);
    replanned(&rest);
    // All of it goes on as it was told, that much later.
    let rest = left(&whole, &standing, 2, 7);
    let id = code(&standing.problem, "VALVES");
    assert_eq!(rest.left[id].state, State::Done(at(&standing.problem, 1, 14, 0)));
    replanned(&rest);
    // What was begun before, by the log, was.
    let (whole, standing) = job(&[entry("day 1 08:40", "started", "VALVES"), late.clone()].concat());
    let rest = left(&whole, &standing, 1, 12);
    assert_eq!(worked(&rest, &whole, "VALVES")[..3], [(1, 520, 550), (1, 550, 580), (1, 600, 630)]);
    assert!(!noted(&rest, &["VALVES, told"]), "{:?}", rest.notes);
    // And what is said to be left of it is what is left.
    let to_go = "[[entry]]\nat = \"day 1 09:30\"\nwhat = \"to_go\"\ntask = \"VALVES\"\nhours = 2\n";
    let (whole, standing) = job(&[to_go.to_owned(), late].concat());
    let rest = left(&whole, &standing, 1, 11);
    assert_eq!(account(&whole, &rest, "VALVES"), (Minutes::hours(2), Minutes::hours(1)));
    let said = ["VALVES, told for day 1 09:30, counts as not gone on with before day 1 10:00", "since day 1 09:30"];
    assert!(noted(&rest, &said), "{:?}", rest.notes);
}

/// If this fails, a task that was begun a day late counts as done as far as it was told for the day before.
#[test]
fn a_task_that_was_begun_a_day_late_is_all_to_do() {
    let (whole, standing) = job(&entry("day 2 08:20", "started", "STRIP"));
    let rest = left(&whole, &standing, 2, 12);
    assert_eq!(worked(&rest, &whole, "STRIP"), [(2, 500, 560)]);
    assert_eq!(account(&whole, &rest, "STRIP"), (Minutes::hours(1), Minutes::hours(7)));
    assert!(noted(&rest, &["STRIP, told for day 1 09:00", "not begun before day 2 08:20"]), "{:?}", rest.notes);
    replanned(&rest);
    // Begun early it is done early, and no more is done of it when more was told.
    let (whole, standing) = job(&entry("day 1 08:00", "started", "STRIP"));
    let rest = left(&whole, &standing, 2, 10);
    assert_eq!(account(&whole, &rest, "STRIP"), (Minutes::hours(8), Minutes::ZERO));
}

/// If this fails, what was counted as done as planned when it was planned again stays done, though the log says now that it was
/// begun only after that.
#[test]
fn what_was_counted_as_done_is_not_where_it_was_begun_later() {
    // Late by an hour and a half, it has gone on since as it was counted; begun only after that, one part of it is done.
    for (when, done, to_go) in [("day 1 10:00", 90, 90), ("day 1 13:00", 30, 150)] {
        let (whole, standing) = job(&entry(when, "started", "VALVES"));
        let now = at(&standing.problem, 1, 12, 0);
        let first = remainder(&whole, &standing, now, 0).expect("something is left");
        assert_eq!(account(&whole, &first, "VALVES"), (Minutes::hours(3), Minutes::ZERO));
        let plan = replanned(&first).plan().clone();
        let standing = first.with(plan);
        let second = left(&whole, &standing, 1, 14);
        let valves = whole.parts.tasks.find(|t| t.code == "VALVES").expect("the job has it");
        assert_eq!(account(&whole, &second, "VALVES"), (Minutes::new(done), Minutes::new(to_go)), "{when}");
        if done == 30 {
            assert_eq!(second.left[valves].stop, Stop::Parts(5), "it has the parts it had");
        }
        assert!(noted(&second, &["VALVES", "counts as not begun before", when]), "{:?}", second.notes);
        replanned(&second);
    }
}

/// If this fails, hours between a stop and the end are left out without a word, or are made up.
#[test]
fn what_was_stopped_and_done_asks_when_it_was_taken_up_again() {
    let log = [entry("day 1 10:00", "stopped", "STRIP"), entry("day 1 15:00", "done", "STRIP")].concat();
    let (whole, standing) = job(&log);
    let rest = left(&whole, &standing, 1, 16);
    assert_eq!(worked(&rest, &whole, "STRIP"), [(1, 540, 600)]);
    assert!(noted(&rest, &["STRIP was stopped at day 1 10:00 and done at day 1 15:00", "`started`"]), "{:?}", rest.notes);
    // It is said once: the plan after that knows.
    let plan = replanned(&rest).plan().clone();
    let next = rest.with(plan);
    assert!(!noted(&left(&whole, &next, 2, 10), &["STRIP"]));
    // With the answer in the log the hours count, whether it comes in time or after that plan.
    let answered = [log, entry("day 1 11:00", "started", "STRIP")].concat();
    let (whole, standing) = job(&answered);
    let all = [(1, 540, 600), (1, 660, 720), (1, 780, 900)];
    let rest = left(&whole, &standing, 1, 16);
    assert_eq!(worked(&rest, &whole, "STRIP"), all);
    assert!(!noted(&rest, &["STRIP"]), "{:?}", rest.notes);
    let rest = left(&whole, &next, 2, 10);
    assert_eq!(worked(&rest, &whole, "STRIP"), all);
    assert!(!rest.left[code(&standing.problem, "STRIP")].is_open(), "it stays done");
    // What was told after the stop and is not logged counts as done as planned.
    let (whole, standing) = job(&[entry("day 1 10:00", "stopped", "STRIP"), entry("day 2 16:00", "done", "STRIP")].concat());
    let first = left(&whole, &standing, 1, 10);
    let plan = replanned(&first).plan().clone();
    let standing = first.with(plan);
    let second = left(&whole, &standing, 2, 16);
    assert!(!noted(&second, &["STRIP"]), "{:?}", second.notes);
    assert!(account(&whole, &second, "STRIP").0 > Minutes::hours(1));
}

/// If this fails, work that waits for what was to be done before it, though it was begun, waits without a word.
#[test]
fn what_was_begun_and_waits_for_what_comes_before_it_is_said() {
    let log = [entry("day 1 08:10", "started", "BOX"), entry("day 1 08:40", "stopped", "BOX")].concat();
    let (whole, standing) = job(&log);
    let rest = left(&whole, &standing, 1, 9);
    assert!(rest.left[code(&standing.problem, "BOX")].begun);
    assert!(noted(&rest, &["BOX was begun though LAP, which it comes after, is not done", "waits for that"]), "{:?}", rest.notes);
    assert!(noted(&rest, &["BOX was begun though STRIP"]), "{:?}", rest.notes);
    replanned(&rest);
}
