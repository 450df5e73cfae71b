//! Which chunks of a task the plan shows as one spell.

use crate::engine::calls::Calls;
use crate::engine::calls::tests::{context, demo};
use crate::engine::ground::{Ground, Shape};
use crate::engine::state::{Chunk, State};
use crate::id::TaskId;

/// If this fails, chunks of one team that touch become one spell though it pauses for more than may be, or reaches from one
/// working stretch into another, so that the verifier refuses the plan; or they stay apart though nothing is in the way.
#[test]
fn chunks_that_touch_are_one_spell_only_where_one_spell_may_be() {
    let problem = demo("1 OOW, 1 GEN", "2");
    let mut ground = Ground::new(&problem);
    let many = ground.tasks.pairs().find(|(_, t)| matches!(t.shape, Shape::Any(_)) && t.needs.len() == 1);
    let (task, person): (TaskId, _) = many.map(|(id, t)| (id, t.needs[0].holders[0])).expect("there is a task for one");
    let at = 20;
    ground.people[person].stretch[at..at + 12].fill(0);
    let chunk = |pieces: &[(usize, usize)]| Chunk { pieces: pieces.iter().map(|(a, b)| (at + a, at + b)).collect(), team: vec![person] };
    let go_on = |ground: &Ground<'_>, chunks: &[Chunk]| {
        let end = ground.slot_from(problem.end);
        let state = State::base(ground, context(ground, end), end, &mut Calls::default());
        state.go_on_with_spell(task, chunks).collect::<Vec<bool>>()
    };
    assert_eq!(ground.most_paused(), 3);
    let plain = [chunk(&[(0, 2)]), chunk(&[(2, 4)]), chunk(&[(5, 6)])];
    assert_eq!(go_on(&ground, &plain), [false, true, false]);
    let paused = [chunk(&[(0, 1), (2, 3)]), chunk(&[(3, 4), (6, 7)]), chunk(&[(7, 8), (9, 10)])];
    assert_eq!(go_on(&ground, &paused), [false, true, false], "three slots of pause are the most, and the third chunk begins anew");
    ground.people[person].stretch[at + 2..at + 12].fill(1);
    assert_eq!(go_on(&ground, &plain), [false, false, false]);
}
