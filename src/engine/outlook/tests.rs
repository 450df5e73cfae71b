//! What a generation is said to come to at least, against what it comes to.

use crate::engine::calls::tests::{context, demo};
use crate::engine::field::{Asked, Field};
use crate::engine::ground::Ground;
use crate::engine::outlook::Outlook;
use crate::engine::place::{Effort, Way};
use crate::rng::Stream;

/// If this fails, generations are given up that would have become good enough, or the energy of a plan is not that of
/// its tasks.
#[test]
fn the_outlook_never_promises_too_much() {
    let problem = demo("1 OOW, 1 GEN", "2");
    let ground = Ground::new(&problem);
    // Up to the latest end, so that any order has room.
    let end = ground.len;
    let mut effort = Effort::default();
    let (mut whole, mut ahead) = (0, 0);
    for seed in 0..60 {
        // Dates that can be met, and dates that are missed by days.
        let asked = Asked::new(&ground, Some(end / (2 + usize::try_from(seed % 3).expect("a small number"))), 0, end);
        let field = Field::new(&ground, context(&ground, end), end, &asked, &mut effort);
        let genes = field.random_genes(&mut Stream::new(seed, 0));
        let mut state = field.base.clone();
        let mut outlook = Outlook::new(&field);
        let (mut before, mut placed) = (outlook.energy, 0);
        let goes_on = |state: &_, task| {
            outlook.place(&field, state, task);
            placed += field.energy_of(state, task);
            assert!(outlook.energy >= before, "seed {seed}: {} after {before}", outlook.energy);
            assert!(outlook.energy >= placed, "seed {seed}: what is placed counts");
            ahead += usize::from(outlook.energy > placed);
            before = outlook.energy;
            true
        };
        if state.generate(&genes, Way::Forward, None, goes_on, &mut effort).is_ok() {
            assert_eq!(outlook.energy, placed, "seed {seed}: in the end all is placed");
            whole += 1;
            let mut build = |most| field.build(&genes, None, false, most, &mut effort).is_ok();
            assert!(build(placed) && !build(placed - 1), "seed {seed}: given up at {placed} or gone on beyond it");
        }
    }
    assert!(whole > 20 && ahead > 100, "{whole} whole plans, {ahead} times more was to come");
}
