//! Where a swapped pair would end, against the longest chain worked out from nothing.

use std::sync::Arc;

use crate::engine::critical::Pair;
use crate::engine::field::{Asked, Field, Found};
use crate::engine::ground::Ground;
use crate::engine::links::Links;
use crate::engine::place::Effort;
use crate::engine::roster::first_context;
use crate::id::{Id, TaskId, ToolId};
use crate::input::{Folder, read};
use crate::model::Problem;
use crate::rng::Stream;

/// A job-shop: so many jobs, each through every machine once, by whoever has the watch, at all hours.
pub(in crate::engine) fn shop(jobs: usize, machines: usize, random: &mut Stream) -> Problem {
    let job = "ship = \"MV Example\"\ntitle = \"Shop\"\nstart = 2027-03-01T00:00\ndays = 20\nclock = \"UTC\"\nslot = 30\n\
               [hours]\nday = \"16:00-16:30\"\n[rest]\nrules = \"stcw-mlc-rest\"\nrecorded_from = \"day 1\"\n";
    let person = |code: &str| format!("[person.{code}]\nname = \"One\"\nrole = \"Engineer\"\ncan = \"OOW\"\nhours = \"day\"\n");
    let crew = format!("[competence]\nOOW = \"watch\"\n{}{}{}", person("2E"), person("3E"), person("4E"));
    let watches = "[post.OOW]\nname = \"Watch\"\nneeds = \"OOW\"\nattends = 99\n\
                   [line.12-4]\nhours = \"00:00-04:00, 12:00-16:00\"\nOOW = \"2E\"\n\
                   [line.4-8]\nhours = \"04:00-08:00, 16:00-20:00\"\nOOW = \"3E\"\n\
                   [line.8-12]\nhours = \"08:00-12:00, 20:00-24:00\"\nOOW = \"4E\"\n";
    let tools: Vec<String> = (0..machines).map(|m| format!("M{m} = \"Machine\"\n")).collect();
    let mut tasks = Vec::new();
    for j in 0..jobs {
        let mut order: Vec<usize> = (0..machines).collect();
        for place in (1..machines).rev() {
            order.swap(place, random.below(place + 1));
        }
        for (step, machine) in order.iter().enumerate() {
            let after = if step == 0 { String::new() } else { format!("after = \"T{j}-{}\"\n", step - 1) };
            let half_hours = 1 + random.below(9);
            let hours = format!("{}.{}", half_hours / 2, 5 * (half_hours % 2));
            tasks.push(format!(
                "[task.T{j}-{step}]\ntext = \"Turn\"\nneeds = \"\"\nhours = {hours}\ntools = \"M{machine}\"\nattended_by = \"OOW\"\n{after}"
            ));
        }
    }
    let folder = Folder::new()
        .with("job.toml", job)
        .with("crew.toml", crew)
        .with("watches.toml", watches)
        .with("tools.toml", format!("[tool]\n{}", tools.concat()))
        .with("tasks.toml", tasks.concat());
    let reading = read(&folder);
    reading.problem.unwrap_or_else(|| panic!("{:?}", &reading.diagnostics[..reading.diagnostics.len().min(3)]))
}

/// A plan of it, in any order; every task begins as soon as can be.
pub(in crate::engine) fn any_plan<'g>(ground: &'g Ground<'g>, random: &mut Stream) -> Found<'g> {
    let end = ground.slot_from(ground.problem.end);
    let context = Arc::new(first_context(ground, end).expect("watches can be stood"));
    let mut effort = Effort::default();
    let field = Field::new(ground, context, end, &Asked::new(ground, None, 0, end), &mut effort);
    let mut genes = field.random_genes(random);
    genes.tasks.iter_mut().for_each(|task| task.from = 0);
    field.build(&genes, None, false, i64::MAX, &mut effort).expect("there is room for all tasks")
}

/// The longest chain before `task`, and after it.
fn head(before: &[Vec<usize>], length: &dyn Fn(usize) -> usize, task: usize) -> usize {
    before[task].iter().map(|t| head(before, length, *t) + length(*t)).max().unwrap_or(0)
}

fn tail(before: &[Vec<usize>], length: &dyn Fn(usize) -> usize, task: usize) -> usize {
    let after = (0..before.len()).filter(|t| before[*t].contains(&task));
    after.map(|t| length(t) + tail(before, length, t)).max().unwrap_or(0)
}

/// The longest chain through `task`, where tasks start as soon as what `before` has of them has ended.
fn through(ground: &Ground, before: &[Vec<usize>], task: usize) -> usize {
    let length = |t: usize| ground.tasks[TaskId::from_index(t)].length;
    head(before, &length, task) + length(task) + tail(before, &length, task)
}

/// What every task comes right after, where machines are used in the order of `queues`.
fn before(ground: &Ground, queues: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut before: Vec<Vec<usize>> = ground.tasks.iter().map(|t| t.after.iter().map(|(t, _)| t.index()).collect()).collect();
    for queue in queues {
        for pair in queue.windows(2) {
            before[pair[1]].push(pair[0]);
        }
    }
    before
}

/// If this fails, swaps are chosen by an end they do not lead to.
#[test]
fn a_swap_ends_where_the_longest_chain_through_the_two_does() {
    let mut random = Stream::new(5, 0);
    let (mut tried, mut others) = (0, 0);
    for _ in 0..12 {
        let problem = shop(4, 3, &mut random);
        let ground = Ground::new(&problem);
        let plan = any_plan(&ground, &mut random);
        let start = |t: usize| plan.state.start_of(TaskId::from_index(t)).expect("it is placed");
        let end = |t: usize| plan.state.end_of(TaskId::from_index(t)).expect("it is placed");
        let mut queues: Vec<Vec<usize>> = (0..3)
            .map(|tool| {
                let wants = |t: &usize| ground.tasks[TaskId::from_index(*t)].tools.iter().any(|(w, _)| *w == ToolId::from_index(tool));
                (0..ground.tasks.len()).filter(wants).collect()
            })
            .collect();
        for queue in &mut queues {
            queue.sort_by_key(|t| start(*t));
        }
        let links = Links::of(&plan.state);
        for tool in 0..queues.len() {
            for place in 1..queues[tool].len() {
                let (first, second) = (queues[tool][place - 1], queues[tool][place]);
                // Only where the second begins right after the first is there a pair.
                if end(first) != start(second) {
                    continue;
                }
                let mut swapped = queues.clone();
                swapped[tool].swap(place - 1, place);
                let before = before(&ground, &swapped);
                let expected = through(&ground, &before, first).max(through(&ground, &before, second));
                let pair = Pair { first: TaskId::from_index(first), second: TaskId::from_index(second), person: None };
                assert_eq!(links.swapped(&pair), expected, "{first} and {second} of machine {tool}");
                tried += 1;
                others += usize::from(expected != plan.state.finish());
            }
        }
    }
    assert!(tried > 50 && others > 25, "{tried} swaps, {others} end elsewhere than the plan");
}
