//! The chain that decides the finish, on jobs where it is plain to see.

use std::sync::Arc;

use crate::engine::critical::{Pair, pairs};
use crate::engine::field::{Asked, Field};
use crate::engine::ground::Ground;
use crate::engine::place::Effort;
use crate::engine::roster::first_context;
use crate::id::TaskId;
use crate::input::{Folder, read};
use crate::model::Problem;
use crate::rng::Stream;

/// A job of a fitter and an electrician, and a stand of which there is one.
fn job(tasks: &str) -> Problem {
    let job = "ship = \"MV Example\"\ntitle = \"Two pumps\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC+3\"\nslot = 30\n\
               [hours]\nday = \"08:00-12:00, 13:00-17:00\"\n[rest]\nrules = \"stcw-mlc-rest\"\n";
    let crew = "[competence]\nHYD = \"hydraulics\"\nELE = \"electrical\"\n\
                [person.FT]\nname = \"One\"\nrole = \"Fitter\"\ncan = \"HYD\"\nhours = \"day\"\n\
                [person.EO]\nname = \"Two\"\nrole = \"Electrician\"\ncan = \"ELE\"\nhours = \"day\"\n";
    let tools = "[tool]\nSTAND = \"Stand\"\n";
    let folder = Folder::new().with("job.toml", job).with("crew.toml", crew).with("tools.toml", tools).with("tasks.toml", tasks);
    let reading = read(&folder);
    reading.problem.unwrap_or_else(|| panic!("{:?}", reading.diagnostics))
}

/// The pairs of the first plan, which places tasks in the order of their latest ends and then of their codes.
fn found(problem: &Problem, seed: u64) -> Vec<Pair> {
    let ground = Ground::new(problem);
    let end = ground.slot_from(problem.end);
    let context = Arc::new(first_context(&ground, end).expect("there are no watches"));
    let mut effort = Effort::default();
    let field = Field::new(&ground, context, end, &Asked::new(&ground, None, end), &mut effort);
    let plan = field.first(&mut effort).expect("there is room for all tasks");
    pairs(&plan, &mut Stream::new(seed, 0))
}

fn task(problem: &Problem, code: &str) -> TaskId {
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
