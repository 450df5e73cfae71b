//! The walk along swaps, on job-shops small enough to know all their orders.

use crate::engine::critical::borders;
use crate::engine::ground::Ground;
use crate::engine::links::tests::{any_plan, shop};
use crate::engine::place::Effort;
use crate::engine::tabu::{KICKS, ROUND, TENURE, Tabu, begins_again};
use crate::id::{Id, TaskId};
use crate::rng::Stream;

/// The least finish of all orders, by going through them: whose next step comes next, machine by machine as soon as can
/// be, given up where it cannot be sooner than `best`.
fn least(ground: &Ground, next: &mut Vec<usize>, free: &mut Vec<usize>, jobs: &mut Vec<usize>, best: &mut usize) {
    let steps = next.len();
    let machines = free.len();
    let mut over = true;
    for job in 0..steps {
        if next[job] == machines {
            continue;
        }
        over = false;
        let task = &ground.tasks[TaskId::from_index(job * machines + next[job])];
        let machine = task.tools[0].0.index();
        let (was_free, was_done) = (free[machine], jobs[job]);
        let end = was_free.max(was_done) + task.length;
        if end < *best {
            (free[machine], jobs[job]) = (end, end);
            next[job] += 1;
            least(ground, next, free, jobs, best);
            next[job] -= 1;
        }
        (free[machine], jobs[job]) = (was_free, was_done);
    }
    if over {
        *best = (*best).min(jobs.iter().copied().max().unwrap_or(0));
    }
}

/// If this fails, the walk stands still, goes round in circles, or is led away from what it looks for.
#[test]
fn the_walk_comes_to_the_least_finish_there_is() {
    let mut random = Stream::new(3, 0);
    for number in 0..10 {
        let problem = shop(4, 3, &mut random);
        let ground = Ground::new(&problem);
        let mut current = any_plan(&ground, &mut random);
        let mut expected = current.state.finish() + 1;
        least(&ground, &mut vec![0; 4], &mut vec![0; 3], &mut vec![0; 4], &mut expected);
        let (mut tabu, mut effort, mut best) = (Tabu::default(), Effort::default(), current.state.finish());
        for idle in 0..300 {
            let Some(genes) = tabu.swap(&current, best, idle, &mut random) else { break };
            let field = current.field.clone();
            current = field.build(&genes, Some(&current), false, i64::MAX, &mut effort).expect("there is room for all tasks");
            best = best.min(current.state.finish());
        }
        assert_eq!(best, expected, "shop {number}");
    }
}

/// If this fails, a walk takes back at once what it did, though that promises no gain.
#[test]
fn what_was_swapped_is_not_swapped_back_for_a_while() {
    let mut random = Stream::new(4, 0);
    let problem = shop(4, 3, &mut random);
    let ground = Ground::new(&problem);
    let (mut tabu, mut effort) = (Tabu::default(), Effort::default());
    let mut current = any_plan(&ground, &mut random);
    let mut last: Vec<(TaskId, TaskId)> = Vec::new();
    let mut steps = 0;
    for _ in 0..100 {
        // Nothing promises an end before slot 0. Where all that there is was just done, chance decides.
        let open = borders(&current, &mut random.clone()).iter().filter(|p| !last.contains(&(p.second, p.first))).count();
        let Some(genes) = tabu.swap(&current, 0, 0, &mut random) else { break };
        let (back, until) = tabu.barred.last().expect("the swap is remembered");
        assert!((tabu.step + TENURE..tabu.step + 2 * TENURE).contains(until));
        let made = (back.second, back.first);
        assert!(open == 0 || !last.contains(&(made.1, made.0)), "taken back: {made:?}");
        last.push(made);
        if last.len() > TENURE {
            last.remove(0);
        }
        let field = current.field.clone();
        current = field.build(&genes, Some(&current), false, i64::MAX, &mut effort).expect("there is room for all tasks");
        steps += 1;
    }
    assert!(steps > 50, "{steps} steps");
}

/// If this fails, a walk that gains nothing is never taken back to the best plan, or never leaves its neighbourhood.
#[test]
fn after_a_round_without_gain_the_walk_begins_again_by_chance() {
    assert!(!begins_again(0) && !begins_again(ROUND - 1) && begins_again(ROUND) && begins_again(2 * ROUND));
    let mut random = Stream::new(6, 0);
    let problem = shop(4, 4, &mut random);
    let ground = Ground::new(&problem);
    let plan = any_plan(&ground, &mut random);
    let made = |idle: u64| {
        let swaps = (0..40).map(|seed| {
            let mut tabu = Tabu::default();
            tabu.swap(&plan, 0, idle, &mut Stream::new(seed, 1)).expect("there is a swap");
            let (back, _) = tabu.barred[0];
            (back.second, back.first)
        });
        swaps.collect::<std::collections::BTreeSet<_>>().len()
    };
    assert!(made(ROUND) > made(ROUND - 1), "by chance more swaps are made than the best");
    assert_eq!(made(ROUND + KICKS), made(0), "and then the best again");
}
