//! What is made of two plans, against what an order of tasks has to keep.

use std::collections::BTreeSet;

use crate::engine::calls::tests::{context, demo};
use crate::engine::cross::Course;
use crate::engine::field::{Asked, Field};
use crate::engine::ground::Ground;
use crate::engine::place::Effort;
use crate::id::{Id, TaskId};
use crate::rng::Stream;

/// Any order that has every task after what it comes after, with whatever people.
fn any(field: &Field<'_>, random: &mut Stream) -> Course {
    let tasks = &field.base.ground.tasks;
    let mut order: Vec<TaskId> = Vec::new();
    while order.len() < tasks.len() {
        let next = |t: &TaskId| !order.contains(t) && tasks[*t].after.iter().all(|(before, _)| order.contains(before));
        let ready: Vec<TaskId> = tasks.ids().filter(next).collect();
        order.push(ready[random.below(ready.len())]);
    }
    Course { order, genes: field.random_genes(random) }
}

/// If this fails, a plan made of two leaves a task out, has one twice, has one before what it comes after, or mixes up
/// whose people are whose; or nothing is ever taken over.
#[test]
fn what_is_made_of_two_orders_is_an_order_and_has_a_part_of_each() {
    let problem = demo("1 OOW, 1 GEN", "2");
    let ground = Ground::new(&problem);
    let end = ground.slot_from(problem.end);
    let mut effort = Effort::default();
    let asked = Asked::new(&ground, None, 0, end);
    let field = Field::new(&ground, context(&ground, end), end, &asked, &mut effort);
    let mut random = Stream::new(7, 0);
    let (own, other) = (any(&field, &mut random), any(&field, &mut random));
    assert_ne!(own.order, other.order);
    let mut dice = Stream::new(8, 0);
    let (mut begun, mut ended, mut lengths) = (0, 0, BTreeSet::new());
    for _ in 0..400 {
        let child = own.clone().crossed(&other, &mut dice);
        let tasks: BTreeSet<TaskId> = child.order.iter().copied().collect();
        assert_eq!((tasks.len(), child.order.len()), (ground.tasks.len(), ground.tasks.len()), "every task once");
        for (place, task) in child.order.iter().enumerate() {
            let late = child.order[..place].iter().find(|before| ground.ancestors[**before].has(Id::index(*task)));
            assert_eq!(late, None, "comes before what it comes after: {task:?}");
        }
        let alike = |course: &Course| child.order.iter().zip(&course.order).take_while(|(a, b)| a == b).count();
        let (first, second, length) =
            if alike(&own) >= alike(&other) { (&own, &other, alike(&own)) } else { (&other, &own, alike(&other)) };
        let rest: Vec<TaskId> = second.order.iter().copied().filter(|task| !child.order[..length].contains(task)).collect();
        assert_eq!(child.order[length..], rest, "goes on as the other");
        *if std::ptr::eq(first, &raw const own) { &mut begun } else { &mut ended } += 1;
        lengths.insert(length);
        let taken = child.order.iter().filter(|t| child.genes.tasks[**t] == other.genes.tasks[**t]).count();
        assert!(taken > 0 && taken < child.order.len(), "{taken} tasks taken over");
    }
    assert!(begun > 100 && ended > 100 && lengths.len() > 20, "{begun} begun, {ended} ended, cut at {lengths:?}");
}
