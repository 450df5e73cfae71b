//! Several searches side by side, brought together at fixed counts, so that the plan does not depend on how many
//! threads carry them.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::cross::Course;
use super::field::{Asked, Found};
use super::freedom::Freedom;
use super::place::Effort;
use super::search::{Asks, Island};
use super::{Options, Watch};

/// How many searches there are.
const ISLANDS: usize = 4;
/// Generations of each between two meetings.
const ROUND: u64 = 25;
/// Generations without gain after which an island is helped.
const LONG: u64 = 200;
/// The same where islands take parts of each other's plans over: the longer they differ, the more there is to take.
const LONG_TO_CROSS: u64 = 600;
/// Generations without gain after which an island gives up what may be possible at best.
const VERY_LONG: u64 = 1000;

/// All searches for one problem.
pub(super) struct Islands<'g, 'w> {
    all: Vec<Island<'g>>,
    freedom: Freedom,
    /// What is asked of a plan at best.
    pub(super) asked: Arc<Asked>,
    first: Found<'g>,
    /// What each start with overtime led to.
    led_to: Vec<Found<'g>>,
    pub(super) best: Found<'g>,
    /// What is missing, and how far it is from what is asked, in the nearest plan of those that ask for the best; in the
    /// best plan where nobody does.
    nearest: (i64, i64),
    threads: usize,
    pub(super) generations: u64,
    pub(super) stopped: bool,
    watch: &'w mut dyn Watch,
}

impl<'g, 'w> Islands<'g, 'w> {
    pub(super) fn new(first: Found<'g>, asked: Asked, options: &Options, watch: &'w mut dyn Watch) -> Self {
        let freedom = Freedom::new(&first.field);
        let asked = Arc::new(asked);
        let islands: Vec<Island<'g>> = (0..ISLANDS).map(|n| Island::new(n, options.seed, &freedom, first.clone(), asked.clone())).collect();
        let threads = options.threads.clamp(1, ISLANDS);
        let nearest = first.away();
        let mut search = Self {
            all: islands,
            freedom,
            asked,
            first: first.clone(),
            led_to: Vec::new(),
            best: first,
            nearest,
            threads,
            generations: 0,
            stopped: false,
            watch,
        };
        search.tell();
        search
    }

    /// Team searches made.
    pub(super) fn attempts(&self) -> u64 {
        self.all.iter().map(Island::attempts).sum()
    }

    fn tell(&mut self) {
        self.watch.improved(self.generations, self.best.state.moment(self.best.state.finish()));
    }

    /// Searches until `enough` says so, or so many generations in a row brought no gain.
    pub(super) fn run(&mut self, patience: u64, enough: impl Fn(&Self) -> bool) {
        let mut since_gain = 0;
        while since_gain < patience && !enough(self) && !self.stopped {
            since_gain += self.round();
            if self.meet() {
                since_gain = 0;
            }
        }
    }

    /// One round of every island; how many generations were made in all.
    fn round(&mut self) -> u64 {
        let stop = AtomicBool::new(false);
        let (freedom, watch, threads) = (&self.freedom, &mut *self.watch, self.threads);
        let mut shares: Vec<Vec<&mut Island<'g>>> = (0..threads).map(|_| Vec::new()).collect();
        for (number, island) in self.all.iter_mut().enumerate() {
            shares[number % threads].push(island);
        }
        let own = shares.remove(0);
        let made = std::thread::scope(|scope| {
            let stop = &stop;
            let others = shares.into_iter().map(|share| {
                let carry = move || share.into_iter().map(|island| island.run(freedom, ROUND, || stop.load(Ordering::Relaxed))).sum();
                scope.spawn(carry)
            });
            let others: Vec<std::thread::ScopedJoinHandle<'_, u64>> = others.collect();
            let mut asked_to = || {
                if watch.stop() {
                    stop.store(true, Ordering::Relaxed);
                }
                stop.load(Ordering::Relaxed)
            };
            let mine: u64 = own.into_iter().map(|island| island.run(freedom, ROUND, &mut asked_to)).sum();
            let theirs: u64 = others.into_iter().map(|other| other.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault))).sum();
            mine + theirs
        });
        self.stopped = stop.load(Ordering::Relaxed);
        self.generations += made;
        made
    }

    /// Takes the best of all islands; whether that, or what guides them, is a gain worth going on for.
    fn meet(&mut self) -> bool {
        let (mut gain, mut changed) = (false, false);
        for island in &self.all {
            if island.top.score < self.best.score {
                gain |= island.top.is_gain_over(&self.best);
                self.best = island.top.clone();
                changed = true;
            }
        }
        if gain {
            self.tell();
        }
        let aimed = self.all.iter().filter(|i| i.asks == Asks::Best);
        let nearest = match aimed.map(|i| i.best.away()).min() {
            Some(nearest) => nearest,
            None if changed => self.best.clone().seen_as(&self.asked, &mut Effort::default()).away(),
            None => self.nearest,
        };
        let nearer = nearest < self.nearest;
        self.help();
        self.nearest = nearest;
        if self.crosses() {
            self.freedom.courses = self.all.iter().map(|i| &i.best).chain(&self.led_to).map(Course::of).collect();
        }
        gain || nearer
    }

    /// Whoever has got no nearer to what is asked for long goes on from the best plan there is for it, and whoever has
    /// not for very long asks for no more than a little more than there is.
    fn help(&mut self) {
        let asks = |asks: Asks| move |island: &&Island<'g>| island.asks == asks;
        let nearest = self.all.iter().filter(asks(Asks::Best)).min_by_key(|i| i.best.rank()).map(|i| i.best.clone());
        let long = if self.crosses() { LONG_TO_CROSS } else { LONG };
        for island in &mut self.all {
            if island.asks == Asks::Best && island.idle >= VERY_LONG {
                island.asks = Asks::More;
                island.adopt(&self.best);
            } else if island.idle >= long {
                match (island.asks, &nearest) {
                    (Asks::Best, Some(nearest)) if nearest.rank() < island.best.rank() => island.adopt(nearest),
                    (Asks::More, _) if island.idle % long < ROUND => island.adopt_if_nearer(&self.best),
                    _ => {}
                }
            }
        }
    }

    /// Whether there is overtime that could be used.
    pub(super) const fn has_overtime(&self) -> bool {
        self.freedom.has_overtime()
    }

    /// Whether islands take parts of each other's plans over: not where people were told a plan, for what others would
    /// change is best not taken over.
    fn crosses(&self) -> bool {
        self.has_overtime() && self.first.field.base.ground.told.is_none()
    }

    /// Whether a plan is found that is all that may be possible as far as dates and finish go.
    pub(super) const fn met(&self) -> bool {
        self.nearest.0 == 0 && self.nearest.1 == 0
    }

    /// Where it can be proven that a milestone cannot be met by its date, asks for no more than can be.
    pub(super) fn ask_what_can_be(&mut self) {
        let Some(earliest) = self.watch.earliest_proven(&self.best.state.met_at()) else { return };
        let base = &self.first.field.base;
        let asked = Arc::new(self.asked.no_earlier(base.ground, &earliest, base.end));
        if asked == self.asked {
            return;
        }
        let seen = |found: &Found<'g>| found.clone().seen_as(&asked, &mut Effort::default());
        (self.first, self.best) = (seen(&self.first), seen(&self.best));
        for island in &mut self.all {
            island.ask(&asked);
        }
        self.asked = asked;
        self.nearest = self.best.away();
    }

    /// Everybody goes on from the best plan.
    pub(super) fn gather(&mut self) {
        for island in &mut self.all {
            island.adopt(&self.best);
        }
    }

    /// Opens all overtime, and everybody goes on from there; after a former start from the first plan again, on other
    /// ways than before.
    pub(super) fn start_with_overtime(&mut self) {
        let again = !self.led_to.is_empty();
        if again {
            self.nearest = self.first.away();
        }
        for island in &mut self.all {
            if again {
                island.start_from(&self.first, &self.asked);
            }
            island.open_overtime(&self.freedom);
        }
        self.meet();
    }

    /// Keeps what a start led to.
    pub(super) fn keep(&mut self) {
        let best = self.all.iter().map(|island| &island.best).min_by_key(|best| best.score);
        self.led_to.extend(best.cloned());
    }

    /// Everybody goes on from what another start led to, the best first.
    pub(super) fn bring_together(&mut self) {
        let mut led_to = std::mem::take(&mut self.led_to);
        led_to.sort_by_key(|found| found.score);
        for (island, found) in self.all.iter_mut().zip(led_to.iter().cycle()) {
            island.start_from(found, &self.asked);
        }
        self.meet();
    }

    /// Goes on from the plan that the advice of the watch leads to, where that is the better one.
    pub(super) fn follow_advice(&mut self) {
        let Some(guide) = self.watch.advise() else { return };
        let field = &self.best.field;
        let mut effort = Effort::default();
        let Ok(next) = field.build(&field.guided_genes(&guide), None, true, i64::MAX, &mut effort) else { return };
        if next.rank() < self.best.rank() {
            self.best = next;
            self.gather();
            self.tell();
        }
    }
}
