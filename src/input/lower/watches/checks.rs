//! What must hold of turns once they are laid out.

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{Id, IdVec, PersonId};
use crate::input::lower::watches::Roster;
use crate::input::raw::watches::Watches;
use crate::model::Stand;
use crate::time::Span;

impl Roster<'_> {
    /// Sorts turns and reports two on one post at once (once for each pair of places).
    pub(super) fn doubles(&mut self) {
        let mut said: Vec<(Place, Place)> = Vec::new();
        for (post, row) in self.posts.pairs() {
            self.turns[post].sort_by_key(|(turn, place)| (turn.span, *place));
            let mut last: Option<(Span, Place)> = None;
            for (turn, place) in &self.turns[post] {
                if let Some((span, other)) = last
                    && span.end() > turn.span.start()
                    && !said.contains(&(other, *place))
                {
                    said.push((other, *place));
                    let message = format!("two people on post {} from {}", row.code, self.times.say(turn.span.start()));
                    self.sink.put(
                        Diagnostic::new(Code::TwoOnPost, message)
                            .at(*place, "this one")
                            .also(other, "and this one")
                            .help("change the hours of one, end one with `to`, or write a [[cover]] if somebody takes over for a while"),
                    );
                }
                if last.is_none_or(|(span, _)| span.end() < turn.span.end()) {
                    last = Some((turn.span, *place));
                }
            }
        }
    }

    /// Reports the first hole in the manned time of each post.
    pub(super) fn holes(&self, raw: &Watches) {
        for (post, row) in self.posts.pairs() {
            let stood: Vec<Span> = self.turns[post].iter().map(|(turn, _)| turn.span).collect();
            let holes: Vec<Span> = row.manned.iter().flat_map(|m| m.without(&stood)).collect();
            let Some(first) = holes.first().filter(|_| !self.unsure[post]) else { continue };
            let Some(place) = raw.posts.iter().find(|p| p.code.as_str() == row.code).map(|p| p.code.place()) else { continue };
            // What could not be read may be what fills the hole.
            let written = raw.lines.iter().map(|line| line.code.place()).chain(raw.stands.iter().map(|stand| stand.head));
            if written.chain([place]).any(|table| self.sink.is_unsure(table)) {
                continue;
            }
            let more = if holes.len() > 1 { format!(", and {} more such holes", holes.len() - 1) } else { String::new() };
            let message =
                format!("nobody stands post {} from {} to {}{more}", row.code, self.times.say(first.start()), self.times.say(first.end()));
            let help = "extend a line or add a [[stand]], or say with `manned` when the post is to be manned";
            self.sink.say(Code::Unmanned, message, place, "", help);
        }
    }

    /// Reports people on two watches at once, on watch while away, and open watches nobody can take.
    pub(super) fn people(&self) {
        let mut by_person: IdVec<PersonId, Vec<(Span, Place)>> = IdVec::filled(Vec::new(), self.people.len());
        for (turn, place) in self.turns.iter().flatten() {
            match &turn.stand {
                Stand::Fixed(person) if person.index() < by_person.len() => by_person[*person].push((turn.span, *place)),
                Stand::Fixed(_) => {}
                Stand::Open(people) => {
                    if !people.iter().any(|p| self.people.get(*p).is_some_and(|p| p.aboard(turn.span))) {
                        let message = format!("nobody who may be chosen is aboard on {}", self.times.say(turn.span.start()));
                        self.sink.say(Code::OpenTooFew, message, *place, "", "name more people");
                    }
                }
            }
        }
        for (id, person) in self.people.pairs() {
            let list = &mut by_person[id];
            list.sort_unstable();
            let mut said = Vec::new();
            for pair in list.windows(2) {
                let ((first, one), (second, other)) = (pair[0], pair[1]);
                if first.end() > second.start() && !said.contains(&(one, other)) {
                    said.push((one, other));
                    let message = format!("{} is on two watches from {}", person.code, self.times.say(second.start()));
                    self.sink.put(
                        Diagnostic::new(Code::TwoWatches, message)
                            .at(other, "this one")
                            .also(one, "and this one")
                            .help("put somebody else on one of them"),
                    );
                }
            }
            if let Some((span, place)) = list.iter().find(|(span, _)| !person.aboard(*span)) {
                let message = format!("{} is away and on watch from {}", person.code, self.times.say(span.start()));
                let help = "write a [[cover]] for the time, or correct `away` in crew.toml";
                self.sink.say(Code::AwayOnWatch, message, *place, "this watch", help);
            }
            let double = list.iter().find(|(span, _)| person.stretches.iter().flat_map(|s| &s.ordinary).any(|o| o.overlaps(*span)));
            if let (Some((span, place)), Some(origin)) = (double, self.index.people.place(&person.code)) {
                let message = format!("{} has ordinary hours during the watch from {}", person.code, self.times.say(span.start()));
                self.sink.put(
                    Diagnostic::new(Code::HoursOnWatch, message)
                        .at(origin, "ordinary hours")
                        .also(*place, "the watch")
                        .help("take the watch out of `hours`; the watch counts anyway"),
                );
            }
        }
    }
}
