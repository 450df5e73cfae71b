//! What the events of the log do to people, machines, tools, duties, modes and dates.

use crate::id::{CompetenceId, IdVec, MilestoneId, ModeId, PersonId, TaskId, ToolId, UnitId};
use crate::model::{Event, RecordKind, Recorded};
use crate::replan::Whole;
use crate::time::{Moment, Span};

/// Events up to a moment, added up.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Effects {
    /// When machines are out, and whether an end of it was said.
    pub out: IdVec<UnitId, Vec<(Span, bool)>>,
    /// When people can do nothing.
    pub unfit: IdVec<PersonId, Vec<Span>>,
    /// What people cannot do now; sorted, no repeats.
    pub without: IdVec<PersonId, Vec<CompetenceId>>,
    /// When people could not, or cannot, do some things.
    pub limits: IdVec<PersonId, Vec<Limit>>,
    /// When tools cannot be had.
    pub gone: IdVec<ToolId, Vec<Span>>,
    /// New beginnings of duties, by code and number of the repeat.
    pub moved: Vec<(String, u32, Moment)>,
    /// New dates of milestones.
    pub due: Vec<(MilestoneId, Moment)>,
    /// Other modes, in the order in which they were said.
    pub modes: Vec<(Span, ModeId)>,
    /// Call-outs.
    pub calls: Vec<(PersonId, Recorded)>,
    /// Who cannot go on with which task of the whole table for want of rest.
    pub spent: Vec<(TaskId, PersonId)>,
}

/// A stretch in which somebody cannot do some things.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Limit {
    /// When.
    pub span: Span,
    /// What.
    pub without: Vec<CompetenceId>,
    /// Whether an end of it was said.
    pub ends: bool,
}

impl Effects {
    /// What the first `written` entries up to `now` come to.
    pub(crate) fn of(whole: &Whole, written: usize, now: Moment) -> Self {
        let parts = &whole.parts;
        let mut effects = Self {
            out: IdVec::filled(Vec::new(), parts.units.len()),
            unfit: IdVec::filled(Vec::new(), parts.people.len()),
            without: IdVec::filled(Vec::new(), parts.people.len()),
            limits: IdVec::filled(Vec::new(), parts.people.len()),
            gone: IdVec::filled(Vec::new(), parts.tools.len()),
            moved: Vec::new(),
            due: Vec::new(),
            modes: Vec::new(),
            calls: Vec::new(),
            spent: Vec::new(),
        };
        for (_, entry) in whole.known(written, now) {
            effects.take(whole, entry.from.unwrap_or(entry.at), &entry.event, &entry.note);
        }
        // A competence is held or not for a whole plan: a limit that ends later counts to its end.
        for (limits, without) in effects.limits.iter().zip(effects.without.iter_mut()) {
            without.extend(limits.iter().filter(|limit| limit.span.end() > now).flat_map(|limit| &limit.without));
            without.sort_unstable();
            without.dedup();
        }
        effects
    }

    fn take(&mut self, whole: &Whole, at: Moment, event: &Event, note: &str) {
        let open = whole.parts.layout_end;
        let span = |until: &Option<Moment>| Span::new(at, until.unwrap_or(open));
        match event {
            Event::Out(unit, until) => self.out[*unit].extend(span(until).map(|s| (s, until.is_some()))),
            Event::Back(unit) => {
                let cut = self.out[*unit].iter().filter_map(|(s, _)| Some((until(*s, at)?, true))).collect();
                self.out[*unit] = cut;
            }
            Event::Unfit(person, until) => self.unfit[*person].extend(span(until)),
            Event::Limited(person, without, until) => {
                let limit = |span| Limit { span, without: without.clone(), ends: until.is_some() };
                self.limits[*person].extend(span(until).map(limit));
            }
            Event::Fit(person) => {
                self.limits[*person].retain_mut(|limit| until(limit.span, at).map(|span| limit.span = span).is_some());
                let cut = self.unfit[*person].iter().filter_map(|s| until(*s, at)).collect();
                self.unfit[*person] = cut;
            }
            Event::Gone(tool, until) => self.gone[*tool].extend(span(until)),
            Event::Returned(tool) => {
                let cut = self.gone[*tool].iter().filter_map(|s| until(*s, at)).collect();
                self.gone[*tool] = cut;
            }
            Event::Moved(code, number, to) => {
                self.moved.retain(|(c, n, _)| (c, n) != (code, number));
                self.moved.push((code.clone(), *number, *to));
            }
            Event::Due(milestone, due) => {
                self.due.retain(|(m, _)| m != milestone);
                self.due.push((*milestone, *due));
            }
            Event::Mode(mode, until) => {
                let next = whole.parts.mode_spans.iter().map(|(s, _)| s.start()).find(|m| *m > at).unwrap_or(open);
                self.modes.extend(Span::new(at, until.unwrap_or(next)).map(|s| (s, *mode)));
            }
            Event::Call(person, to) => {
                let recorded = |span| Recorded { span, kind: RecordKind::Call, note: note.to_owned() };
                self.calls.extend(Span::new(at, *to).map(|span| (*person, recorded(span))));
            }
            Event::Started(..)
            | Event::Stopped(_)
            | Event::Done(_)
            | Event::ToGo(..)
            | Event::Dropped(_)
            | Event::Found(..)
            | Event::Note => {}
        }
    }

    /// Whether `person` cannot be at work of `needs` for all of `span`.
    pub(crate) fn bars(&self, person: PersonId, need: Option<CompetenceId>, span: Span) -> bool {
        let lacks = need.is_some_and(|need| self.without[person].contains(&need));
        lacks || self.unfit[person].iter().any(|unfit| unfit.overlaps(span))
    }

    /// Whose limits end after `now`, each with that moment: they count for all of a plan that is made now.
    pub(crate) fn ending(&self, now: Moment) -> impl Iterator<Item = (PersonId, Moment)> {
        let ahead = move |limit: &&Limit| limit.ends && limit.span.end() > now;
        self.limits.pairs().flat_map(move |(person, limits)| limits.iter().filter(ahead).map(move |limit| (person, limit.span.end())))
    }

    /// Whether `person` is on a call in some of `span`.
    pub(crate) fn calls(&self, person: PersonId, span: Span) -> bool {
        self.calls.iter().any(|(called, row)| *called == person && row.span.overlaps(span))
    }
}

/// What of `span` lies before `end`.
fn until(span: Span, end: Moment) -> Option<Span> {
    Span::new(span.start(), span.end().min(end))
}
