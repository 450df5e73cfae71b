//! The chain that decides the finish, on jobs where it is plain to see.

use std::sync::Arc;

use crate::engine::critical::{Pair, borders, pairs};
use crate::engine::field::{Asked, Field, Found};
use crate::engine::ground::Ground;
use crate::engine::place::Effort;
use crate::engine::roster::first_context;
use crate::id::TaskId;
use crate::input::{Folder, read};
use crate::model::Problem;
use crate::rng::Stream;

/// A job of a fitter and an electrician, and a stand of which there is one.
fn job(tasks: &str) -> Problem {
    job_of(&[("FT", "HYD, GEN"), ("EO", "ELE, GEN")], tasks)
}

/// A job of people who can do what is said of each, in day hours, and a stand of which there is one.
pub(in crate::engine) fn job_of(people: &[(&str, &str)], tasks: &str) -> Problem {
    let job = "ship = \"MV Example\"\ntitle = \"Two pumps\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC+3\"\nslot = 30\n\
               [hours]\nday = \"08:00-12:00, 13:00-17:00\"\n[rest]\nrules = \"stcw-mlc-rest\"\n";
    let competences = "[competence]\nHYD = \"hydraulics\"\nELE = \"electrical\"\nMEC = \"mechanical\"\nGEN = \"general\"\n";
    let person = |(code, can): &(&str, &str)| format!("[person.{code}]\nname = \"{code}\"\ncan = \"{can}\"\nhours = \"day\"\n");
    let crew = competences.to_owned() + &people.iter().map(person).collect::<String>();
    let tools = "[tool]\nSTAND = \"Stand\"\n";
    let folder = Folder::new().with("job.toml", job).with("crew.toml", crew).with("tools.toml", tools).with("tasks.toml", tasks);
    let reading = read(&folder);
    reading.problem.unwrap_or_else(|| panic!("{:?}", reading.diagnostics))
}

/// The pairs of the first plan, which places tasks in the order of their latest ends and then of their codes.
fn found(problem: &Problem, seed: u64) -> Vec<Pair> {
    first_plan(problem, |plan| pairs(plan, &mut Stream::new(seed, 0)))
}

fn first_plan(problem: &Problem, see: impl Fn(&Found) -> Vec<Pair>) -> Vec<Pair> {
    on_field(problem, |field| see(&field.first(&mut Effort::default()).expect("there is room for all tasks")))
}

/// What `see` makes of a job without watches, laid out up to its planned end.
pub(in crate::engine) fn on_field<T>(problem: &Problem, see: impl Fn(&Arc<Field>) -> T) -> T {
    let ground = Ground::new(problem);
    let end = ground.slot_from(problem.end);
    let context = Arc::new(first_context(&ground, end).expect("there are no watches"));
    see(&Field::new(&ground, context, end, &Asked::new(&ground, None, 0, end), &mut Effort::default()))
}

pub(in crate::engine) fn task(problem: &Problem, code: &str) -> TaskId {
    problem.tasks.ids().find(|t| problem.tasks[*t].code == code).expect("the task is there")
}

/// If this fails, changes that are meant for the chain that decides the finish are made elsewhere.
#[test]
fn two_tasks_of_one_person_are_a_pair_and_what_comes_after_is_on_the_chain() {
    // The fitter strips one pump and then the other; only then can the second be tested. The check waits for nobody.
    let problem = job("[task.A]\ntext = \"Strip one\"\nneeds = \"HYD\"\nhours = 3\n\
         [task.B]\ntext = \"Strip the other\"\nneeds = \"HYD\"\nhours = 6\n\
         [task.C]\ntext = \"Test\"\nneeds = \"ELE\"\nhours = 1\nafter = \"A, B\"\n\
         [task.D]\ntext = \"Check a motor\"\nneeds = \"ELE\"\nhours = 1\n");
    let fitter = problem.people.ids().find(|p| problem.people[*p].code == "FT");
    for seed in 0..8 {
        let pairs = found(&problem, seed);
        assert_eq!(pairs.len(), 1, "seed {seed}");
        let [a, b] = ["A", "B"].map(|code| task(&problem, code));
        let order = [pairs[0].first, pairs[0].second];
        assert!(order == [a, b] || order == [b, a], "seed {seed}: {order:?}");
        assert_eq!(pairs[0].person, fitter);
    }
}

/// If this fails, a tool that two tasks want one after the other does not tie them, or hours in which nobody works part
/// them.
#[test]
fn two_tasks_of_one_tool_are_a_pair_over_the_dinner_hour_and_the_night_too() {
    let problem = job("[task.A]\ntext = \"Lift\"\nneeds = \"HYD\"\nhours = 8\ntools = \"STAND\"\n\
         [task.B]\ntext = \"Measure\"\nneeds = \"ELE\"\nhours = 4\ntools = \"STAND\"\nstop = \"never\"\n");
    let pairs = found(&problem, 0);
    assert_eq!(pairs.len(), 1);
    assert_eq!(pairs[0].person, None, "neither could do the other's");
    assert_ne!(pairs[0].first, pairs[0].second);
}

/// If this fails, the walk along swaps makes such as end nothing sooner, or leaves out one that might.
#[test]
fn of_a_queue_only_its_ends_are_worth_a_swap_and_of_the_first_queue_only_the_last() {
    // Four strips by the only fitter, then a test; with `first`, a check before all of them.
    let shop = |first: bool, tools: &str| {
        let after = if first { "after = \"Z\"\n" } else { "" };
        let strip = |code: char| format!("[task.{code}]\ntext = \"Strip\"\nneeds = \"HYD\"\nhours = 1\n{tools}{after}");
        let check = if first { "[task.Z]\ntext = \"Check\"\nneeds = \"ELE\"\nhours = 1\n" } else { "" };
        let strips: String = ['A', 'B', 'C', 'D'].map(strip).concat();
        job(&format!("{strips}{check}[task.E]\ntext = \"Test\"\nneeds = \"ELE\"\nhours = 1\nafter = \"A, B, C, D\"\n"))
    };
    for seed in 0..8 {
        for (first, tools, ends) in [(false, "", 1), (true, "", 2), (true, "tools = \"STAND\"\n", 2)] {
            let problem = shop(first, tools);
            let all = first_plan(&problem, |plan| pairs(plan, &mut Stream::new(seed, 0)));
            let borders = first_plan(&problem, |plan| borders(plan, &mut Stream::new(seed, 0)));
            assert_eq!((all.len(), borders.len()), (3, ends), "seed {seed}, a check first: {first}, {tools:?}");
            // From the last end back: what comes right before the test, and, after a check, what comes right after that.
            assert_eq!(borders[0], all[0], "seed {seed}");
            assert_eq!(borders.get(1), first.then_some(&all[2]), "seed {seed}");
        }
    }
}

/// If this fails, tasks are put in another order where somebody else could do one of them just as well.
#[test]
fn where_another_could_do_it_too_there_is_nothing_to_swap() {
    let problem = job("[task.A]\ntext = \"Clean\"\nneeds = \"GEN\"\nhours = 2\n\
         [task.B]\ntext = \"Clean\"\nneeds = \"GEN\"\nhours = 2\n\
         [task.C]\ntext = \"Clean\"\nneeds = \"GEN\"\nhours = 2\n\
         [task.D]\ntext = \"Test\"\nneeds = \"ELE\"\nhours = 1\nafter = \"A, B, C\"\n");
    for seed in 0..8 {
        let borders = first_plan(&problem, |plan| borders(plan, &mut Stream::new(seed, 0)));
        assert_eq!(borders, [], "seed {seed}");
    }
}
