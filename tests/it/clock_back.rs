//! The clock set back in the middle of the night: over midnight, and in hours that the reserve asks for.

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::input::{Folder, read};
use turnto::model::Problem;
use turnto::time::Minutes;
use turnto::verify::{Verified, verify};

use crate::support::demo;

fn problem(folder: &Folder) -> Problem {
    let reading = read(folder);
    reading.problem.unwrap_or_else(|| panic!("{:?}", reading.diagnostics))
}

/// The first plan of a job, verified.
fn planned(problem: &Problem) -> Verified {
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(problem, &options, &mut Unwatched) else { panic!("the job has a plan") };
    verify(problem, solution.plan).unwrap_or_else(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().map(|b| b.describe(problem)).collect();
        panic!("{}", said.join("\n"))
    })
}

/// The demonstration job with the clock set back at `at` and the hours of the reserve.
fn demo_set_back(at: &str, between: &str) -> Problem {
    let text = String::from_utf8(std::fs::read(crate::source::top().join("demo-crew/job.toml")).expect("it is there")).expect("text");
    let text = text.replace("between  = \"08:00-18:00\"", &format!("between  = \"{between}\""));
    let change = format!("\n[[clock_change]]\nat = \"{at}\"\nclock = \"UTC+2\"\n");
    problem(&demo::folder().with("job.toml", text + &change))
}

/// If this fails, somebody works more than his cap on a day in which the clock goes back to the day before. T1 takes the four
/// hours of day 2 that the cap allows; T2 may begin at the first of two midnights, and day 2 began there.
#[test]
fn a_cap_counts_from_the_first_midnight() {
    let job = "ship = \"MV Example\"\ntitle = \"Night\"\nstart = 2027-06-07T20:00\ndays = 4\nclock = \"UTC+2\"\nslot = 30\n\
               [rest]\nrules = \"stcw-mlc-rest\"\nrecorded_from = \"day -7\"\n\
               [[clock_change]]\nat = \"day 2 00:30\"\nclock = \"UTC+1\"\n";
    let crew = "[competence]\nGEN = \"work\"\n\
                [person.NA]\nname = \"One\"\ncan = \"GEN\"\nhours = \"20:00-24:00, 00:00-04:00\"\ncap = 4\n";
    let task = |code: &str, hours: i32, from: &str| {
        format!("[task.{code}]\ntext = \"Work\"\nneeds = \"GEN\"\nhours = {hours}\nstop = \"never\"\nnot_before = {from}\n")
    };
    let tasks = task("T1", 4, "2027-06-08T00:00+01:00") + &task("T2", 1, "2027-06-08T00:00+02:00");
    let problem = problem(&Folder::new().with("job.toml", job).with("crew.toml", crew).with("tasks.toml", tasks));
    assert_eq!(planned(&problem).plan().spells.len(), 2);
}

/// If this fails, a day of 25 hours is asked for more than a full day is: six hours between 00:00 and 24:00.
#[test]
fn a_day_that_is_longer_asks_for_no_more() {
    let verified = planned(&demo_set_back("day 2 03:00", "00:00-24:00"));
    let account = verified.account();
    assert_eq!(account.days[1].unbooked_needed, Minutes::hours(6));
    assert!(account.days[1].unbooked >= Minutes::hours(6), "{}", account.days[1].unbooked);
}
