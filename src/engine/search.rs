//! The improving loop: change a little, generate, justify, keep what is better.

use super::field::{Asked, Field, Found};
use super::moves::{Freedom, mutate};
use super::place::Effort;
use super::{Options, Watch};
use crate::rng::Stream;

/// Generations after which the threshold starts again.
const CYCLE: u64 = 400;
/// How much worse, in energy, is let pass at first.
const HEAT: u64 = 36;

/// The search for one problem.
pub(super) struct Search<'g, 'w> {
    asked: Asked,
    freedom: Freedom,
    pub(super) best: Found<'g>,
    current: Found<'g>,
    random: Stream,
    pub(super) effort: Effort,
    pub(super) generation: u64,
    pub(super) stopped: bool,
    watch: &'w mut dyn Watch,
}

impl<'g, 'w> Search<'g, 'w> {
    pub(super) fn new(first: Found<'g>, asked: Asked, effort: Effort, options: &Options, watch: &'w mut dyn Watch) -> Self {
        let freedom = Freedom::new(&first);
        let mut search = Self {
            asked,
            freedom,
            best: first.clone(),
            current: first,
            random: Stream::new(options.seed, 1),
            effort,
            generation: 0,
            stopped: false,
            watch,
        };
        search.tell();
        search
    }

    fn tell(&mut self) {
        self.watch.improved(self.generation, self.best.state.moment(self.best.state.finish()));
    }

    /// Searches until `enough` says so of the best plan, or so many generations in a row brought no gain.
    pub(super) fn run(&mut self, patience: u64, overtime: bool, enough: impl Fn(&Found) -> bool) {
        let mut since_gain = 0;
        while since_gain < patience && !enough(&self.best) {
            if self.watch.stop() {
                self.stopped = true;
                return;
            }
            self.generation += 1;
            since_gain += 1;
            let mut field = self.current.field.clone();
            if self.random.chance(if overtime { 250 } else { 60 })
                && let Some(context) = self.freedom.change(&self.current, overtime, &mut self.random)
            {
                let changed = Field::new(field.base.ground, context, field.base.end, &self.asked, &mut self.effort);
                if !changed.legal() {
                    continue;
                }
                field = changed;
            }
            let genes = mutate(&self.current, &mut self.random);
            let justify = self.random.chance(300);
            let Ok(next) = field.build(&genes, justify, &mut self.effort) else { continue };
            if next.rank() < self.best.rank() && next.state.clone().reserve_holds_everywhere(&mut self.effort.calls).is_ok() {
                self.best = next.clone();
                since_gain = 0;
                self.tell();
            }
            // Threshold accepting: how much worse is let pass falls to nothing, then starts again.
            let heat = HEAT * (CYCLE - self.generation % CYCLE) / CYCLE;
            let slack = i64::try_from(self.random.below(usize::try_from(heat).unwrap_or(0) + 1)).unwrap_or(0);
            let missing = |found: &Found| (found.score.0[0], found.score.0[1]);
            let (now, then) = (next.energy(), self.current.energy());
            let no_worse = missing(&next) <= missing(&self.current);
            if no_worse && (now < then + slack || (now == then && next.rank() <= self.current.rank())) {
                self.current = next;
            }
            if since_gain % CYCLE == CYCLE - 1 {
                self.current = self.best.clone();
            }
        }
    }

    /// Goes on from the plan that the advice of the watch leads to, where that is the better one.
    pub(super) fn follow_advice(&mut self) {
        let Some(guide) = self.watch.advise() else { return };
        let field = &self.best.field;
        let Ok(next) = field.build(&field.guided_genes(&guide), true, &mut self.effort) else { return };
        if next.rank() < self.best.rank() {
            self.current = next.clone();
            self.best = next;
            self.tell();
        }
    }

    /// Opens all overtime and goes on from there.
    pub(super) fn open_overtime(&mut self) {
        let field = &self.best.field;
        let context = self.freedom.all_overtime(&self.best);
        let field = Field::new(field.base.ground, context, field.base.end, &self.asked, &mut self.effort);
        if let Ok(next) = field.first(&mut self.effort) {
            if next.rank() < self.best.rank() {
                self.best = next.clone();
                self.tell();
            }
            self.current = next;
        }
    }
}
