//! The second verifier: the hard rules, each asked whether it is kept.

use std::collections::{BTreeMap, BTreeSet};

use turnto::id::{Id, PersonId, TaskId};
use turnto::model::{Stand, Stop, When};
use turnto::plan::Spell;
use turnto::time::{Moment, Span};

use crate::verify::oracle::{SLOT, Table, findings, new_findings, slot_of};

/// Each rule: whether it is kept.
impl Table<'_> {
    pub(crate) fn one_thing(&self) -> bool {
        self.people.iter().all(|row| {
            (0..self.slots).all(|t| {
                let things = row.watch[t] + row.duty[t] + row.spell[t];
                let recorded = (row.called[t] && things > 0) || (row.kept[t] && row.spell[t] > 0);
                !recorded && things <= 1 && row.along[t] <= 1 && !(row.away[t] && (things > 0 || row.listed[t]))
            })
        })
    }

    pub(crate) fn posts(&self) -> bool {
        let stands = self.parts.turns.iter().zip(self.plan.turns.iter()).all(|(turn, person)| match &turn.stand {
            Stand::Fixed(fixed) => fixed == person,
            Stand::Open(people) => people.contains(person),
        });
        let manned = self.parts.posts.pairs().all(|(id, post)| {
            post.manned.iter().flat_map(|s| self.range(*s)).all(|t| {
                self.parts.turns.iter().zip(self.plan.turns.iter()).any(|(turn, person)| {
                    turn.post == id && self.range(turn.span).contains(&t) && self.parts.people[*person].holds(post.competence)
                })
            })
        });
        stands && manned
    }

    pub(crate) fn rest(&self) -> bool {
        let scope = (self.start, self.end);
        self.people.iter().all(|row| {
            let plan = findings(&Self::occupied(row), &row.breaks, scope);
            !new_findings(&plan, &findings(&row.recorded, &row.breaks, scope))
        })
    }

    pub(crate) fn teams(&self) -> bool {
        self.plan.spells.iter().all(|spell| {
            let needs = &self.parts.tasks[spell.task].needs;
            let different: BTreeSet<&PersonId> = spell.team.iter().collect();
            needs.len() == spell.team.len()
                && different.len() == spell.team.len()
                && needs.iter().zip(&spell.team).all(|(need, person)| self.parts.people[*person].holds(*need))
        })
    }

    pub(crate) fn spells(&self, task: TaskId) -> Vec<&Spell> {
        let mut spells: Vec<&Spell> = self.plan.spells.iter().filter(|s| s.task == task).collect();
        spells.sort_by_key(|s| s.span());
        spells
    }

    pub(crate) fn work(&self, spell: &Spell) -> usize {
        spell.work.iter().map(|s| self.range(*s).len()).sum()
    }

    pub(crate) fn stops(&self) -> bool {
        self.parts.tasks.pairs().all(|(id, task)| {
            let spells = self.spells(id);
            let works: Vec<usize> = spells.iter().map(|s| self.work(s)).collect();
            let length = usize::try_from(task.length.count()).expect("positive");
            let apart = spells.windows(2).all(|pair| pair[0].span().end() <= pair[1].span().start());
            if spells.is_empty() {
                return false;
            }
            if task.needs.is_empty() {
                // More than one piece is a matter of rule 5.
                return spells.len() > 1 || spells[0].work.len() > 1 || works[0] == length;
            }
            match task.stop {
                Stop::Never => apart && works == [length] && spells[0].part == 0,
                Stop::Any { min_spell } => {
                    let least = usize::try_from(min_spell.count()).expect("positive");
                    let long_enough = works[..works.len() - 1].iter().all(|w| *w >= least);
                    apart && long_enough && works.iter().sum::<usize>() == length && spells.iter().all(|s| s.part == 0)
                }
                Stop::Parts(number) => {
                    let number = usize::try_from(number).expect("few");
                    let part = |n: usize| length / number + usize::from(n < length % number);
                    let numbered = spells.iter().enumerate().all(|(n, s)| usize::try_from(s.part) == Ok(n));
                    apart && numbered && works == (0..number).map(part).collect::<Vec<usize>>()
                }
            }
        })
    }

    pub(crate) fn pauses(&self) -> bool {
        self.plan.spells.iter().filter(|s| !self.parts.tasks[s.task].needs.is_empty()).all(|spell| {
            let task = &self.parts.tasks[spell.task];
            let working: BTreeSet<usize> = spell.work.iter().flat_map(|s| self.range(*s)).collect();
            let paused: Vec<usize> = self.range(spell.span()).filter(|t| !working.contains(t)).collect();
            let on_break = |t: usize| spell.team.iter().any(|p| self.people[p.index()].breaks[t].is_some());
            let may = task.pauses || matches!(task.stop, Stop::Any { .. });
            !working.iter().any(|t| on_break(*t)) && paused.iter().all(|t| may && on_break(*t)) && paused.len() <= 3
        })
    }

    pub(crate) fn in_hours(&self, spell: &Spell, person: PersonId) -> bool {
        let stretches = &self.parts.people[person].stretches;
        let hours: BTreeSet<usize> =
            stretches.iter().flat_map(|s| s.ordinary.iter().chain(&s.overtime)).flat_map(|s| self.range(*s)).collect();
        spell.work.iter().flat_map(|s| self.range(*s)).all(|t| hours.contains(&t))
    }

    pub(crate) fn bound_to_hours(&self) -> impl Iterator<Item = (&Spell, PersonId)> {
        let bound = self.plan.spells.iter().filter(|s| !self.parts.tasks[s.task].emergency);
        bound.flat_map(|spell| spell.team.iter().map(move |person| (spell, *person)))
    }

    pub(crate) fn one_stretch(&self) -> bool {
        self.bound_to_hours().filter(|(spell, person)| self.in_hours(spell, *person)).all(|(spell, person)| {
            self.parts.people[person].stretches.iter().any(|stretch| {
                let hours: Vec<usize> = stretch.ordinary.iter().chain(&stretch.overtime).flat_map(|s| self.range(*s)).collect();
                let (first, last) = (hours.iter().min().expect("hours"), hours.iter().max().expect("hours"));
                self.range(spell.span()).all(|t| first <= &t && &t <= last)
            })
        })
    }

    /// From the first slot to the one after the last.
    pub(crate) fn task(&self, task: TaskId) -> Option<(usize, usize)> {
        let spells = self.spells(task);
        let first = spells.iter().map(|s| self.range(s.span()).start).min()?;
        Some((first, spells.iter().map(|s| self.range(s.span()).end).max()?))
    }

    pub(crate) fn order(&self) -> bool {
        let index = |moment: Moment| usize::try_from(slot_of(moment) - self.base).expect("in the table");
        let in_order = self.parts.tasks.pairs().all(|(id, task)| {
            let Some((first, last)) = self.task(id) else { return true };
            let waits = task.after.iter().all(|after| {
                let lag = usize::try_from((after.lag.get() + SLOT - 1) / SLOT).expect("positive");
                self.task(after.task).is_none_or(|(_, end)| first >= end + lag)
            });
            let window = task.not_before.is_none_or(|m| first >= index(m)) && task.not_after.is_none_or(|m| last <= index(m));
            let one_piece = !task.needs.is_empty() || self.spells(id).iter().map(|s| s.work.len()).sum::<usize>() == 1;
            let attended = task.attended_by.is_none_or(|post| {
                let manned: BTreeSet<usize> = self.parts.posts[post].manned.iter().flat_map(|s| self.range(*s)).collect();
                (first..last).all(|t| manned.contains(&t))
            });
            waits && window && one_piece && attended && self.start <= first && last <= self.end
        });
        let few_enough = self.parts.posts.pairs().all(|(id, post)| {
            (self.start..self.end).all(|t| {
                let running = self.parts.tasks.pairs().filter(|(_, task)| task.attended_by == Some(id) && task.needs.is_empty());
                let now = running.filter(|(task, _)| self.task(*task).is_some_and(|(from, to)| (from..to).contains(&t))).count();
                now <= usize::try_from(post.attends).expect("few")
            })
        });
        let duties = self.parts.duties.iter().zip(self.plan.duties.iter()).all(|(duty, placed)| match duty.when {
            When::Fixed(span) => span.start() == *placed,
            When::Movable { window, length } => {
                self.parts.start <= *placed && window.covers(Span::of(*placed, length).expect("a duty lasts"))
            }
        });
        let hands = self.plan.on_hand.iter().flat_map(|h| self.range(h.span)).all(|t| (self.start..self.end).contains(&t));
        in_order && few_enough && duties && hands
    }

    pub(crate) fn tools(&self) -> bool {
        self.parts.tools.pairs().all(|(id, tool)| {
            let mut held = vec![0; self.slots];
            for spell in &self.plan.spells {
                for (_, number) in self.parts.tasks[spell.task].tools.iter().filter(|(t, _)| *t == id) {
                    self.range(spell.span()).for_each(|t| held[t] += number);
                }
            }
            for hold in self.parts.holds.iter().filter(|h| h.tool == id) {
                if let (Some((from, _)), Some((_, to))) = (self.task(hold.fill.unwrap()), self.task(hold.empty)) {
                    (from..to).for_each(|t| held[t] += hold.number);
                }
            }
            let away: BTreeSet<usize> = tool.away.iter().flat_map(|s| self.range(*s)).collect();
            (0..self.slots).all(|t| held[t] <= if away.contains(&t) { 0 } else { tool.number })
        })
    }

    pub(crate) fn bans(&self) -> bool {
        self.plan.spells.iter().all(|spell| {
            let tags = &self.parts.tasks[spell.task].tags;
            let windows = self.parts.bans.iter().all(|ban| !ban.tags.iter().any(|t| tags.contains(t)) || !ban.span.overlaps(spell.span()));
            let duties = self.parts.duties.iter().zip(self.plan.duties.iter()).all(|(duty, placed)| {
                let span = match duty.when {
                    When::Fixed(span) => span,
                    When::Movable { length, .. } => Span::of(*placed, length).expect("a duty lasts"),
                };
                !duty.bans.iter().any(|t| tags.contains(t)) || !span.overlaps(spell.span())
            });
            windows && duties
        })
    }

    pub(crate) fn persons(&self) -> bool {
        self.parts.tasks.pairs().all(|(id, task)| {
            let spells = self.spells(id);
            let at = |need: usize| -> BTreeSet<PersonId> { spells.iter().filter_map(|s| s.team.get(need).copied()).collect() };
            let same = task.same.iter().all(|need| at(*need).len() <= 1);
            let different = task.different.iter().all(|rule| {
                let others = self.spells(rule.other);
                let counts = |n: &usize| rule.other_needs.is_empty() || rule.other_needs.contains(n);
                let barred: BTreeSet<PersonId> =
                    others.iter().flat_map(|s| s.team.iter().enumerate().filter(|(n, _)| counts(n)).map(|(_, p)| *p)).collect();
                at(rule.need).is_disjoint(&barred)
            });
            same && different
        })
    }

    pub(crate) fn hours(&self) -> bool {
        let inside = self.bound_to_hours().all(|(spell, person)| self.in_hours(spell, person));
        let caps = self.parts.people.iter().zip(&self.people).all(|(person, row)| {
            let day = |t: usize| (self.base + i32::try_from(t).expect("few slots")).div_euclid(48);
            let mut by_day = BTreeMap::<i32, (i32, bool)>::new();
            for t in (0..self.slots).filter(|t| row.work[*t]) {
                let entry = by_day.entry(day(t)).or_default();
                entry.0 += SLOT;
                entry.1 |= !row.ordinary[t];
            }
            let within_cap = person.job_cap.is_none_or(|cap| by_day.values().all(|(minutes, _)| *minutes <= cap.get()));
            let evenings = by_day.values().filter(|(_, overtime)| *overtime).count();
            within_cap && person.evenings.is_none_or(|most| evenings <= usize::try_from(most).expect("few"))
        });
        let hands = self.plan.on_hand.iter().all(|hand| {
            let row = &self.people[hand.person.index()];
            self.parts.people[hand.person].stretches.iter().any(|stretch| {
                let hours: Vec<usize> = stretch.ordinary.iter().flat_map(|s| self.range(*s)).collect();
                let (first, last) = (hours.iter().min().expect("hours"), hours.iter().max().expect("hours"));
                self.range(hand.span).all(|t| first <= &t && &t <= last && (hours.contains(&t) || row.breaks[t].is_some()))
            })
        });
        inside && caps && hands
    }
}
