//! Who stands open turns and when movable duties are done before any task is placed: a depth-first search for
//! choices with which everybody's watches and duties are legal by themselves.

use std::cmp::Reverse;

use super::context::{Context, duty_span};
use super::fixed::{FixedWork, fixed_duties};
use super::ground::{Ground, Shape};
use crate::id::{DutyId, Id, IdVec, PersonId, TurnId};
use crate::model::{Stand, When};
use crate::rest::{Finding, Timeline, judge};
use crate::time::{Moment, Span};

/// How often one more duty of somebody is looked at before the search gives up.
const MOST_LOOKS: usize = 400_000;
/// So many of these looks are worth as much as putting together all work of a person.
const LOOKS_A_PERSON: usize = 20;

/// Why there is no roster.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NoRoster {
    /// Watches and duties of this person that leave no choice cannot be done legally.
    Fixed {
        /// Who.
        person: PersonId,
        /// The rest finding they make; `None` where two of them clash, or the person is away.
        finding: Option<Finding>,
    },
    /// No choice was found that lets this turn be stood or this duty be done.
    NoChoice {
        /// What stays open.
        hole: Hole,
        /// Whether everything was tried.
        proved: bool,
    },
}

/// What nobody can do.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Hole {
    /// A turn.
    Turn(TurnId),
    /// A movable duty.
    Duty(DutyId),
}

/// Choices made so far.
#[derive(Clone, Debug)]
struct Draft {
    turns: IdVec<TurnId, Option<PersonId>>,
    duties: IdVec<DutyId, Option<Moment>>,
}

/// The search.
struct Search<'g> {
    ground: &'g Ground<'g>,
    end: usize,
    holes: Vec<Hole>,
    draft: Draft,
    /// People with two duties at once of whom an open turn would excuse them.
    to_excuse: Vec<PersonId>,
    looks: usize,
    /// The furthest choice for which nothing was found.
    deepest: usize,
}

/// Legal choices for a plan up to slot `end`, no overtime open but what work under way asks for.
///
/// Open turns go, in time order, to candidates who lose the least of their own ordinary hours, movable duties to
/// times in everybody's ordinary hours, early ones first; where that leads nowhere, to others.
pub(super) fn first_context(ground: &Ground, end: usize) -> Result<Context, NoRoster> {
    let problem = ground.problem;
    let turns = problem.turns.iter().map(|t| match &t.stand {
        Stand::Fixed(person) => Some(*person),
        Stand::Open(_) => None,
    });
    let duties = problem.duties.iter().map(|d| match d.when {
        When::Fixed(span) => Some(span.start()),
        When::Movable { .. } => None,
    });
    let draft = Draft { turns: turns.collect(), duties: duties.collect() };
    let mut open: Vec<TurnId> = draft.turns.pairs().filter(|(_, p)| p.is_none()).map(|(id, _)| id).collect();
    open.sort_by_key(|id| (problem.turns[*id].span, *id));
    let mut movable: Vec<(Span, DutyId)> = Vec::new();
    for (id, duty) in problem.duties.pairs() {
        if let When::Movable { window, .. } = duty.when {
            movable.push((window, id));
        }
    }
    movable.sort_unstable();
    let holes = open.into_iter().map(Hole::Turn).chain(movable.into_iter().map(|(_, id)| Hole::Duty(id))).collect();
    let mut search = Search { ground, end, holes, draft, to_excuse: Vec::new(), looks: 0, deepest: 0 };
    for person in problem.people.ids() {
        let work = search.work(person);
        if search.may_be_excused(person, &work) {
            search.to_excuse.push(person);
        } else if !work.legal {
            return Err(NoRoster::Fixed { person, finding: search.finding(person) });
        }
    }
    if !search.fill(0) {
        return Err(NoRoster::NoChoice { hole: search.holes[search.deepest], proved: search.looks < MOST_LOOKS });
    }
    let Draft { turns, duties } = search.draft;
    let overtime = opened_by_what_goes_on(ground);
    let turns: Option<Vec<PersonId>> = turns.iter().copied().collect();
    let duties: Option<Vec<Moment>> = duties.iter().copied().collect();
    let (turns, duties) = (turns.expect("every turn is decided").into(), duties.expect("every duty is decided").into());
    Ok(Context { turns, duties, overtime })
}

/// Per person and day the overtime slots without which a part under way, or a task that may not stop, could not be brought to
/// its end.
fn opened_by_what_goes_on(ground: &Ground) -> IdVec<PersonId, Vec<u16>> {
    let mut open = IdVec::filled(vec![0; ground.n_days], ground.problem.people.len());
    for task in ground.tasks.iter() {
        let (Some(team), Shape::Chunks(lengths)) = (&task.under_way, &task.shape) else { continue };
        let works = |slot: &usize| !task.pauses || !ground.is_break_of(team, *slot);
        let at_work: Vec<usize> = (0..ground.len).filter(works).take(lengths[0]).collect();
        for person in team {
            let overtime = &ground.people[*person].overtime;
            for slot in at_work.iter().copied().filter(|slot| overtime.has(*slot)) {
                let day = ground.day[slot] as usize;
                let before = overtime.count_range(ground.day_starts[day], slot + 1);
                open[*person][day] = u16::try_from(before).unwrap_or(u16::MAX);
            }
        }
    }
    open
}

impl Search<'_> {
    /// Fills the holes from `at` on, if that can be done with what was chosen before.
    fn fill(&mut self, at: usize) -> bool {
        let hole = self.holes.get(at).copied();
        let to_stand = matches!(hole, Some(Hole::Turn(_)));
        if !to_stand && !self.to_excuse.iter().all(|person| self.work(*person).legal) {
            return false;
        }
        let Some(hole) = hole else { return true };
        self.deepest = self.deepest.max(at);
        match hole {
            Hole::Turn(turn) => {
                for person in self.candidates(turn) {
                    self.draft.turns[turn] = Some(person);
                    if self.goes_on(LOOKS_A_PERSON) && self.can_be(person) && self.fill(at + 1) {
                        return true;
                    }
                    self.draft.turns[turn] = None;
                }
            }
            Hole::Duty(duty) => {
                let attend: Vec<_> = self.ground.problem.duties[duty].who.iter().map(|p| (*p, self.own_turns(*p), self.work(*p))).collect();
                let looks = attend.len() * (LOOKS_A_PERSON + places(self.ground, duty).count());
                if !self.goes_on(looks) {
                    return false;
                }
                for start in suiting(self.ground, duty, attend) {
                    self.draft.duties[duty] = Some(start);
                    if self.goes_on(1) && self.fill(at + 1) {
                        return true;
                    }
                    self.draft.duties[duty] = None;
                }
            }
        }
        false
    }

    /// Whether what is decided of a person is legal, or may become so.
    fn can_be(&self, person: PersonId) -> bool {
        let work = self.work(person);
        work.legal || self.may_be_excused(person, &work)
    }

    /// Whether turns that are not decided yet may excuse a person from one of two duties wherever there are two at once.
    fn may_be_excused(&self, person: PersonId, work: &FixedWork) -> bool {
        let turns = &self.ground.problem.turns;
        let may_stand = |turn: &TurnId| matches!(&turns[*turn].stand, Stand::Open(people) if people.contains(&person));
        let open = self.draft.turns.pairs().filter(|(_, stands)| stands.is_none()).map(|(turn, _)| turn).filter(may_stand);
        let open: Vec<Span> = if work.doubled.is_empty() { Vec::new() } else { open.map(|turn| turns[turn].span).collect() };
        !work.doubled.is_empty() && work.doubled.iter().all(|span| span.without(&open).is_empty())
    }

    /// Counts so many looks; whether there may be more.
    const fn goes_on(&mut self, looks: usize) -> bool {
        self.looks += looks;
        self.looks < MOST_LOOKS
    }

    /// Who may stand a turn: who was told so, then those ordinary hours it takes least of.
    fn candidates(&self, id: TurnId) -> Vec<PersonId> {
        let turn = &self.ground.problem.turns[id];
        let Stand::Open(people) = &turn.stand else { return Vec::new() };
        let (from, to) = self.ground.inside(turn.span);
        let mut people = people.clone();
        let told = self.ground.told.as_ref().and_then(|told| told.stands(id));
        people.sort_by_key(|p| (told != Some(*p), self.ground.people[*p].ordinary.count_range(from, to), p.index()));
        people
    }

    fn own_turns(&self, person: PersonId) -> Vec<Span> {
        self.draft.turns.pairs().filter(|(_, p)| **p == Some(person)).map(|(t, _)| self.ground.problem.turns[t].span).collect()
    }

    /// Turns and duties of a person as far as they are decided.
    fn work(&self, person: PersonId) -> FixedWork {
        let duties = self.ground.problem.duties.pairs().filter(|(_, d)| d.who.contains(&person));
        let at = duties.filter_map(|(id, d)| Some((id, duty_span(d, self.draft.duties[id]?))));
        FixedWork::new(self.ground, person, &self.own_turns(person), &at.collect::<Vec<_>>(), self.end)
    }

    /// The finding of a person's fixed work that counts, the worst first.
    fn finding(&self, person: PersonId) -> Option<Finding> {
        let problem = self.ground.problem;
        let model = &problem.people[person];
        let work = FixedWork::new(self.ground, person, &self.own_turns(person), &fixed_duties(self.ground, person), self.end);
        let rules = &problem.rule_sets[model.rest];
        let recorded: Vec<Span> = model.recorded.iter().map(|r| r.span).collect();
        let hulls = work.hulls.iter().flatten().flat_map(|h| h.without(&model.breaks));
        let all = recorded.iter().copied().chain(work.pieces.iter().copied()).chain(hulls).collect();
        let alone = Timeline::new(rules, recorded.clone(), &model.breaks).on_clock(problem.clock.clone());
        let whole = Timeline::new(rules, all, &model.breaks).on_clock(problem.clock.clone());
        let judged = judge(rules, &whole, &alone, self.ground.span(0, self.end));
        judged.counting.into_iter().min_by_key(|f| Reverse((f.required - f.found).get().abs()))
    }
}

/// Starts of a movable duty that suit all who attend it in `context`: what people were told, then those in
/// everybody's ordinary hours, then by time.
pub(super) fn starts(ground: &Ground, context: &Context, duty: DutyId, end: usize) -> Vec<Moment> {
    let problem = ground.problem;
    let attend = problem.duties[duty].who.iter().map(|p| {
        let turns = super::context::turns_of(problem, &context.turns, *p);
        let others = problem.duties.pairs().filter(|(id, d)| *id != duty && d.who.contains(p));
        let others: Vec<(DutyId, Span)> = others.map(|(id, d)| (id, duty_span(d, context.duties[id]))).collect();
        let work = FixedWork::new(ground, *p, &turns, &others, end);
        (*p, turns, work)
    });
    suiting(ground, duty, attend.collect())
}

fn suiting(ground: &Ground, id: DutyId, mut attend: Vec<(PersonId, Vec<Span>, FixedWork)>) -> Vec<Moment> {
    let problem = ground.problem;
    let duty = &problem.duties[id];
    let mut starts: Vec<(bool, bool, Moment)> = Vec::new();
    for at in places(ground, id) {
        let span = duty_span(duty, at);
        let suits = attend.iter_mut().all(|(person, turns, work)| work.accepts(ground, *person, turns, duty, span));
        if suits {
            let (from, to) = ground.touching(span);
            let ordinary = duty.who.iter().all(|p| ground.people[*p].ordinary.has_range(from, to));
            let told = ground.told.as_ref().and_then(|told| told.duty(id)) == Some(at);
            starts.push((!told, !ordinary, at));
        }
    }
    starts.sort_unstable();
    starts.into_iter().map(|(.., at)| at).collect()
}

/// The starts at which a movable duty fits its window.
fn places(ground: &Ground, duty: DutyId) -> impl Iterator<Item = Moment> {
    let grid = ground.problem.grid;
    let movable = match ground.problem.duties[duty].when {
        When::Fixed(_) => None,
        When::Movable { window, length } => Some((grid.moment(grid.ceil(window.start().max(ground.problem.start))), window.end() - length)),
    };
    movable.into_iter().flat_map(move |(first, last)| {
        std::iter::successors(Some(first), move |at| Some(*at + grid.slot())).take_while(move |at| *at <= last)
    })
}
