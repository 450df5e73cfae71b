//! The improving loop of one island: change a little, generate, keep what is no worse than a falling threshold.

use std::cmp::Ordering;
use std::sync::Arc;

use super::field::{Asked, ENERGY, Field, Found};
use super::freedom::{Evenings, Freedom};
use super::moves::mutate;
use super::place::Effort;
use super::tabu::{self, Tabu};
use crate::rng::Stream;

/// Generations after which the threshold starts again.
const CYCLE: u64 = 400;
/// How much worse, in energy, is let pass at first.
const HEAT: u64 = 18;
/// The same where there is no overtime, for each slot of a task's mean length: one order or the other of two
/// tasks makes that difference.
const HEAT_OF_ORDER: u64 = 3;
/// By how much that grows at most where nothing is gained.
const HOTTEST: u64 = 4;
/// How many generations in a thousand are justified too.
const JUSTIFIED: usize = 100;

/// The island that walks along swaps, where tasks end late only by their order and by who does them.
const WALKER: usize = 3;

/// What an island asks of its plans.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Asks {
    /// The best that may be possible: dates as given, the proven bound.
    Best,
    /// A little more than what is found already.
    More,
}

/// A search of its own, with its own random numbers. Islands are logical: how many there are does not depend on
/// the machine.
#[derive(Debug)]
pub(super) struct Island<'g> {
    number: usize,
    pub(super) asks: Asks,
    first_asks: Asks,
    asked: Arc<Asked>,
    pub(super) best: Found<'g>,
    /// The best by its aims alone; `best` may be left for a plan nearer to what is asked by now.
    pub(super) top: Found<'g>,
    current: Found<'g>,
    /// How much worse, in energy, is let pass at first.
    heat: u64,
    /// Whether evenings may be opened and closed.
    overtime: bool,
    /// The walk along swaps it makes wherever there is one to make, if it does.
    walk: Option<Tabu>,
    random: Stream,
    effort: Effort,
    generation: u64,
    /// Generations since the best of this island changed.
    pub(super) idle: u64,
}

impl<'g> Island<'g> {
    pub(super) fn new(number: usize, seed: u64, freedom: &Freedom, first: Found<'g>, asked: Arc<Asked>) -> Self {
        // Where there is no overtime the best that may be is most often out of reach.
        let (aim_high, heat) =
            if freedom.has_overtime() { (3, HEAT) } else { (2, HEAT.max(HEAT_OF_ORDER * first.state.ground.mean_length())) };
        let asks = if number < aim_high { Asks::Best } else { Asks::More };
        let walks = number == WALKER && !freedom.has_overtime() && first.state.ground.told.is_none();
        let random = Stream::new(seed, 1 + u64::try_from(number).unwrap_or(u64::MAX - 1));
        let mut island = Self {
            number,
            asks,
            first_asks: asks,
            asked,
            best: first.clone(),
            top: first.clone(),
            current: first,
            heat,
            overtime: false,
            walk: walks.then(Tabu::default),
            random,
            effort: Effort::default(),
            generation: 0,
            idle: 0,
        };
        island.ask_more();
        island
    }

    /// Team searches made.
    pub(super) const fn attempts(&self) -> u64 {
        self.effort.attempts
    }

    /// So many generations, fewer where `stop` says so; how many it made.
    pub(super) fn run(&mut self, freedom: &Freedom, generations: u64, mut stop: impl FnMut() -> bool) -> u64 {
        for made in 0..generations {
            if stop() {
                return made;
            }
            self.step(freedom);
        }
        generations
    }

    fn step(&mut self, freedom: &Freedom) {
        self.generation += 1;
        self.idle += 1;
        if self.swap() {
            return;
        }
        let mut field = self.current.field.clone();
        if self.random.chance(if self.overtime { 250 } else { 60 })
            && let Some(context) = freedom.change(&self.current, self.overtime, &mut self.random)
        {
            field = field.changed(context, &self.asked, &mut self.effort);
            if !field.legal() {
                return;
            }
        }
        let genes = mutate(self.number, &self.current, freedom, &mut self.random);
        let justify = self.random.chance(JUSTIFIED);
        // Threshold accepting: how much worse is let pass falls to nothing, then starts again; the more, the longer
        // nothing was gained.
        let heat = self.heat * (1 + self.idle / CYCLE).min(HOTTEST) * (CYCLE - self.generation % CYCLE) / CYCLE;
        let slack = i64::try_from(self.random.below(usize::try_from(heat).unwrap_or(0) + 1)).unwrap_or(0) * ENERGY;
        // Where something is missing, whatever it takes to have it is worth a look.
        let most = if self.current.away().0 == 0 { self.current.energy + slack } else { i64::MAX };
        let Ok(next) = field.build(&genes, Some(&self.current), justify, most, &mut self.effort) else {
            self.settle();
            return;
        };
        self.keep(&next);
        let (now, then) = (next.energy, self.current.energy);
        let nearly_as_good = now < then + slack || (now == then && next.rank() <= self.current.rank());
        let accepted = match next.missing().cmp(&self.current.missing()) {
            Ordering::Less => true,
            Ordering::Equal => nearly_as_good,
            Ordering::Greater => false,
        };
        if accepted {
            self.current = next;
        }
        self.settle();
        if self.best.distance == 0 {
            self.ask_more();
        }
    }

    /// The next step of the walk along swaps; whether there was one to make.
    fn swap(&mut self) -> bool {
        let Some(walk) = &mut self.walk else { return false };
        if tabu::begins_again(self.idle) {
            self.current = self.best.clone();
            walk.forget();
        }
        let Some(genes) = walk.swap(&self.current, self.top.state.finish(), self.idle, &mut self.random) else { return false };
        let field = self.current.field.clone();
        if let Ok(next) = field.build(&genes, Some(&self.current), false, i64::MAX, &mut self.effort) {
            self.keep(&next);
            if next.missing() <= self.current.missing() {
                self.current = next;
            }
            if self.best.distance == 0 {
                self.ask_more();
            }
        }
        true
    }

    /// Keeps what is better than all it has.
    fn keep(&mut self, next: &Found<'g>) {
        let (nearer, better) = (next.rank() < self.best.rank(), next.score < self.top.score);
        if (nearer || better) && next.state.clone().reserve_holds_everywhere(&mut self.effort.calls).is_ok() {
            if better {
                self.top = next.clone();
            }
            if nearer {
                self.best = next.clone();
                self.idle = 0;
            }
        }
    }

    /// Back to the best after a while without gain.
    fn settle(&mut self) {
        if self.idle % CYCLE == CYCLE - 1 {
            self.current = self.best.clone();
        }
    }

    /// Goes on from `found`, which another island has.
    pub(super) fn adopt(&mut self, found: &Found<'g>) {
        self.best = found.clone();
        if found.score < self.top.score {
            self.top = found.clone();
        }
        self.current = found.clone();
        self.idle = 0;
        self.look_again();
        self.ask_more();
    }

    /// Goes on from `found` if it is nearer to what this island asks for than what it has.
    pub(super) fn adopt_if_nearer(&mut self, found: &Found<'g>) {
        let found = found.clone().seen_as(&self.asked, &mut self.effort);
        if found.rank() < self.best.rank() {
            self.adopt(&found);
        }
    }

    /// Goes on from `found`, and asks for the best that may be again, if it did at first.
    pub(super) fn start_from(&mut self, found: &Found<'g>, asked: &Arc<Asked>) {
        self.asks = self.first_asks;
        self.asked = asked.clone();
        self.adopt(found);
    }

    /// Asks for something else from here on; goes on from the nearer to that of the plans it has.
    pub(super) fn ask(&mut self, asked: &Arc<Asked>) {
        self.asked = asked.clone();
        self.look_again();
        let top = self.top.clone().seen_as(&self.asked, &mut self.effort);
        if top.rank() < self.best.rank() {
            self.best = top.clone();
            self.current = top;
        }
        self.ask_more();
    }

    /// Opens all overtime and goes on from there.
    pub(super) fn open_overtime(&mut self, freedom: &Freedom) {
        self.overtime = true;
        let field = &self.best.field;
        let context = freedom.all_overtime(&self.best.field, Evenings::of(self.number));
        let field = Field::new(field.base.ground, context, field.base.end, &self.asked, &mut self.effort);
        if let Ok(next) = field.first(&mut self.effort) {
            if next.score < self.top.score {
                self.top = next.clone();
            }
            if next.rank() < self.best.rank() {
                self.best = next.clone();
                self.idle = 0;
            }
            self.current = next;
        }
    }

    /// Where this island asks for a little more than is found, and that is found, asks for more again.
    fn ask_more(&mut self) {
        if self.asks == Asks::More
            && let Some(asked) = self.asked.more_than(&self.best.state)
        {
            self.asked = Arc::new(asked);
            self.look_again();
        }
    }

    /// Looks at the plans it has as what is asked now has it.
    fn look_again(&mut self) {
        let same = Arc::ptr_eq(&self.best.field, &self.current.field);
        self.best = self.best.clone().seen_as(&self.asked, &mut self.effort);
        self.current = if same { self.best.clone() } else { self.current.clone().seen_as(&self.asked, &mut self.effort) };
    }
}

#[cfg(test)]
mod tests;
