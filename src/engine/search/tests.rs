//! From which plan an island goes on.

use std::sync::Arc;

use crate::engine::calls::tests::{context, demo};
use crate::engine::field::{Asked, Field, Found};
use crate::engine::freedom::Freedom;
use crate::engine::ground::Ground;
use crate::engine::place::Effort;
use crate::engine::search::{Asks, Island};
use crate::model::{Aim, Problem};
use crate::rng::Stream;

/// Random plans, as those who ask for an end at once see them.
fn plans<'g>(ground: &'g Ground<'g>) -> (Asked, Arc<Field<'g>>, Vec<Found<'g>>) {
    let end = ground.len;
    let mut effort = Effort::default();
    let asked = Asked::new(ground, Some(0), 0, end);
    let field = Field::new(ground, context(ground, end), end, &asked, &mut effort);
    let mut random = Stream::new(9, 0);
    let plans = (0..24).filter_map(|_| field.build(&field.random_genes(&mut random), None, false, i64::MAX, &mut effort).ok());
    let plans = plans.collect();
    (asked, field, plans)
}

/// If this fails, an island gives up a plan near to what it asks for, because another is better by an aim that comes after it,
/// or keeps one that is farther from it.
#[test]
fn an_island_goes_on_from_what_is_nearer_to_what_it_asks_for() {
    let problem = demo("1 OOW, 1 GEN", "2");
    let ground = Ground::new(&problem);
    let (asked, field, plans) = plans(&ground);
    let mut effort = Effort::default();
    let freedom = Freedom::new(&field);
    let mut pairs = 0;
    for better in &plans {
        let Some(more) = asked.more_than(&better.state) else { continue };
        let seen = better.clone().seen_as(&more, &mut effort);
        for nearer in plans.iter().filter(|plan| plan.score > better.score && asked.more_than(&plan.state).as_ref() == Some(&more)) {
            let distance = nearer.clone().seen_as(&more, &mut effort);
            if distance.rank() >= seen.rank() {
                continue;
            }
            pairs += 1;
            let mut island = Island::new(3, 0, &freedom, better.clone(), Arc::new(asked.clone()));
            assert_eq!(island.asks, Asks::More);
            island.adopt_if_nearer(nearer);
            assert_eq!(island.best.distance, distance.distance, "goes on from what is nearer");
            island.adopt_if_nearer(better);
            assert_eq!(island.best.distance, distance.distance, "and is not led back by aims alone");
            assert!(island.top.score == better.score, "the best by its aims is kept all the while");
        }
    }
    assert!(pairs > 0, "of {} plans none is better by its aims and farther from the next step", plans.len());
}

/// If this fails, the search takes the first two aims for what is missing where the shortfall is not the first of them: a plan
/// that ends sooner is then never given up for one that has what is asked for, and the way past later ends is closed.
#[test]
fn what_is_missing_is_that_in_whatever_order_the_aims_stand() {
    let missing = |aims: &[Aim]| {
        let mut parts = demo("1 OOW, 1 GEN", "2").into_parts();
        parts.aims = aims.to_vec();
        let problem = Problem::new(parts).expect("an order of aims is no defect");
        let ground = Ground::new(&problem);
        let (_, _, plans) = plans(&ground);
        plans.iter().map(|found| (found.rank().0, found.missing(), found.distance)).collect::<Vec<_>>()
    };
    let usual = missing(&Aim::DEFAULT);
    let mut turned = Aim::DEFAULT;
    turned.reverse();
    assert_eq!(missing(&turned), usual);
    assert!(!usual.is_empty() && usual.iter().all(|(lead, missing, _)| lead == missing));
}
