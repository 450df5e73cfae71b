//! `watches.toml`: posts, and every turn on them laid out.

mod checks;

use crate::clock::Day;
use crate::diag::{Code, Diagnostic, Place};
use crate::id::{IdVec, ModeId, PersonId, PostId, TurnId};
use crate::input::index::Index;
use crate::input::raw::phrase::By;
use crate::input::raw::tasks::Task as RawTask;
use crate::input::raw::watches::{Line, Manned, Stand as RawStand, Watches};
use crate::input::sink::Sink;
use crate::input::text::Text;
use crate::input::times::Times;
use crate::model::{ByMode, Person, Post, Stand, Turn};
use crate::time::{Moment, Span, union};

/// The posts, when they are manned included.
pub(in crate::input) fn posts(
    raw: &Watches,
    people: &IdVec<PersonId, Person>,
    mode_spans: &[(Span, ModeId)],
    index: &mut Index,
    times: &Times,
    sink: &Sink,
) -> IdVec<PostId, Post> {
    let mut posts = IdVec::new();
    for post in &raw.posts {
        let needs = post.needs.as_ref().unwrap_or(&post.code);
        let competence = index.competences.find(needs, sink);
        if let Some(competence) = competence
            && !people.iter().any(|p| p.holds(competence))
            && !index.people.unsure()
        {
            let message = format!("nobody may stand post {}", post.code.as_str());
            let label = format!("nobody holds {}", needs.as_str());
            sink.say(Code::NobodyMayStand, message, needs.place(), label, "correct `needs`, or add the competence to somebody's `can`");
        }
        let mut by_mode = None;
        let manned = match &post.manned {
            Manned::Always => vec![times.layout()],
            Manned::At(list) => list.iter().flat_map(|w| times.spans(w, "the manned time", sink)).collect(),
            Manned::Modes(words) => {
                let modes = index.modes.find_all(words, sink);
                let manned = mode_spans.iter().filter(|(_, m)| modes.contains(m)).map(|(span, _)| *span).collect();
                by_mode = Some(ByMode { modes, turns: Vec::new() });
                manned
            }
        };
        let (Some(_), Some(competence)) = (index.posts.define(&post.code, sink), competence) else { continue };
        let _: PostId = posts.push(Post {
            code: post.code.as_str().to_owned(),
            name: post.name.as_ref().map_or(String::new(), |n| n.as_str().to_owned()),
            competence,
            manned: union(manned.into_iter().filter_map(|s| times.clip(s)).collect()),
            attends: post.attends.as_ref().map_or(1, |a| u32::try_from(a.value).unwrap_or(1)),
            by_mode,
        });
    }
    posts
}

/// Reports tasks that a post is to attend which attends none.
pub(in crate::input) fn attends_none(raw: &Watches, tasks: &[&RawTask], sink: &Sink) {
    for post in &raw.posts {
        let Some(attends) = post.attends.as_ref().filter(|attends| attends.value == 0) else { continue };
        for task in tasks {
            let Some(by) = task.attended_by.as_ref().filter(|by| by.as_str() == post.code.as_str()) else { continue };
            let message = format!("task {} is attended by {}, which attends no task", task.code.as_str(), by.as_str());
            let diagnostic =
                Diagnostic::new(Code::AttendsNone, message).at(by.place(), "never attended").also(attends.place, "none at once");
            sink.put(diagnostic.help("let the post attend 1 or more, or take `attends` out, which counts as 1"));
        }
    }
}

/// What turns are made from.
struct Roster<'a> {
    posts: &'a IdVec<PostId, Post>,
    people: &'a IdVec<PersonId, Person>,
    index: &'a Index,
    times: &'a Times,
    sink: &'a Sink,
    /// By post: each turn with where it is written.
    turns: IdVec<PostId, Vec<(Turn, Place)>>,
    /// By post: whether something that was to stand it could not be understood, so that nothing is said
    /// about holes.
    unsure: IdVec<PostId, bool>,
}

/// All turns, sorted by post, then start.
pub(in crate::input) fn turns(
    raw: &Watches,
    posts: &IdVec<PostId, Post>,
    people: &IdVec<PersonId, Person>,
    index: &Index,
    times: &Times,
    sink: &Sink,
) -> (IdVec<TurnId, Turn>, Vec<Place>) {
    let turns = IdVec::filled(Vec::new(), posts.len());
    let unsure = IdVec::filled(raw.broken, posts.len());
    let mut roster = Roster { posts, people, index, times, sink, turns, unsure };
    for line in &raw.lines {
        roster.line(line);
    }
    for stand in &raw.stands {
        roster.stand(stand);
    }
    roster.doubles();
    for cover in &raw.covers {
        roster.cover(cover);
    }
    if times.known {
        roster.holes(raw);
    }
    roster.people();
    let (turns, places): (Vec<Turn>, Vec<Place>) = roster.turns.iter().flatten().cloned().unzip();
    (IdVec::from(turns), places)
}

/// Fills in who would stand the posts that are manned in some modes, if they were manned throughout: the log may change
/// the mode of the ship. Nothing is said about it, since only what is manned has to be in order.
pub(in crate::input) fn by_mode(
    raw: &Watches,
    posts: &mut IdVec<PostId, Post>,
    people: &IdVec<PersonId, Person>,
    index: &Index,
    times: &Times,
) {
    if posts.iter().all(|post| post.by_mode.is_none()) {
        return;
    }
    let mut always = posts.clone();
    always.iter_mut().filter(|post| post.by_mode.is_some()).for_each(|post| post.manned = vec![times.layout()]);
    let (turns, _) = turns(raw, &always, people, index, times, &Sink::default());
    for (id, post) in always.pairs() {
        let mut stood: Vec<Turn> = Vec::new();
        for turn in turns.iter().filter(|turn| turn.post == id && post.by_mode.is_some()) {
            let taken: Vec<Span> = stood.iter().map(|t| t.span).collect();
            stood.extend(turn.span.without(&taken).into_iter().map(|span| Turn { span, ..turn.clone() }));
        }
        stood.sort_by_key(|turn| turn.span);
        if let Some(by_mode) = &mut posts[id].by_mode {
            by_mode.turns = stood;
        }
    }
}

/// A stand that knows the post: who may take it, by day.
enum Standing {
    Always(Stand),
    InTurn(Vec<PersonId>),
}

impl Standing {
    fn on(&self, days_since_first: i32) -> Option<Stand> {
        match self {
            Self::Always(stand) => Some(stand.clone()),
            Self::InTurn(people) => {
                let count = i32::try_from(people.len()).ok().filter(|n| *n > 0)?;
                let i = usize::try_from(days_since_first.rem_euclid(count)).ok()?;
                people.get(i).map(|p| Stand::Fixed(*p))
            }
        }
    }
}

impl Roster<'_> {
    fn line(&mut self, line: &Line) {
        let from = line.from.as_ref().and_then(|at| self.times.moment(at, self.sink)).unwrap_or(Moment::FAR_PAST);
        // A last day without a time is in it to its end.
        let to = line
            .to
            .as_ref()
            .and_then(|at| {
                let written = if at.value.minute().is_none() { at.value.with_minute(1440) } else { at.value };
                self.times.moment(&crate::input::text::At::new(written, at.place), self.sink)
            })
            .unwrap_or(Moment::FAR_FUTURE);
        if from >= to
            && let Some(at) = &line.to
        {
            self.sink.say(Code::EndsBeforeItBegins, "the line ends before it begins", at.place, "", "correct `from` or `to`");
        }
        let first_day = if from == Moment::FAR_PAST { Day::new(1) } else { self.times.clock.day(from) };
        for (post_text, by) in &line.on {
            let Some(post) = self.post(post_text) else { continue };
            self.unsure[post] |= line.broken;
            let Some(standing) = self.standing(by, post, post_text.place()) else {
                self.unsure[post] = true;
                continue;
            };
            for day in self.times.days() {
                let Some(stand) = standing.on(day.number() - first_day.number()) else { continue };
                for hours in &line.hours {
                    let span = self.times.on(day, hours.value);
                    let within = Span::new(from, to).and_then(|w| span?.intersection(w));
                    if let Some(span) = within {
                        self.put(post, span, &stand, line.code.as_str(), line.code.place());
                    }
                }
            }
        }
    }

    /// Adds the manned parts of `span` as turns.
    fn put(&mut self, post: PostId, span: Span, stand: &Stand, line: &str, place: Place) {
        for manned in &self.posts[post].manned {
            if let Some(span) = manned.intersection(span) {
                self.turns[post].push((Turn { post, span, stand: stand.clone(), line: line.to_owned() }, place));
            }
        }
    }

    /// The post; an unknown one may have been meant to be any.
    fn post(&mut self, text: &Text) -> Option<PostId> {
        let found = self.index.posts.find(text, self.sink).filter(|p| self.posts.get(*p).is_some());
        if found.is_none() {
            self.unsure.iter_mut().for_each(|unsure| *unsure = true);
        }
        found
    }

    fn standing(&self, by: &By, post: PostId, place: Place) -> Option<Standing> {
        let all = |words: &[Text]| {
            let people = self.index.people.find_all_beside(&["open"], words, self.sink);
            for (word, person) in words.iter().filter_map(|w| Some((w, self.index.people.get(w.as_str())?))) {
                self.may_stand(person, post, word);
            }
            people
        };
        match by {
            By::One(word) => all(std::slice::from_ref(word)).first().map(|p| Standing::Always(Stand::Fixed(*p))),
            By::Choice(words) => {
                let mut people = all(words);
                people.sort_unstable();
                (!people.is_empty()).then_some(Standing::Always(Stand::Open(people)))
            }
            By::InTurn(words) => Some(Standing::InTurn(all(words))),
            By::AnybodyBut(words) => {
                let but = self.index.people.find_all(words, self.sink);
                let competence = self.posts[post].competence;
                let people: Vec<PersonId> =
                    self.people.pairs().filter(|(id, p)| p.holds(competence) && !but.contains(id)).map(|(id, _)| id).collect();
                if people.is_empty() && !self.index.people.unsure() && self.people.iter().any(|p| p.holds(competence)) {
                    self.sink.say(Code::OpenTooFew, "nobody is left who could take this watch", place, "", "name fewer people after `but`");
                }
                (!people.is_empty()).then_some(Standing::Always(Stand::Open(people)))
            }
        }
    }

    fn may_stand(&self, person: PersonId, post: PostId, word: &Text) {
        let Some(row) = self.people.get(person) else { return };
        let post = &self.posts[post];
        let places = [self.index.people.place(&row.code), self.index.posts.place(&post.code)];
        if !row.holds(post.competence) && !places.into_iter().flatten().any(|place| self.sink.is_unsure(place)) {
            let needs = &self.index;
            let mut diagnostic = Diagnostic::new(Code::MayNotStand, format!("{} may not stand post {}", word.as_str(), post.code))
                .at(word.place(), "does not hold what the post asks for");
            if let Some(place) = needs.posts.place(&post.code) {
                diagnostic = diagnostic.also(place, "the post");
            }
            self.sink.put(diagnostic.help("put somebody else on it, or add the competence in crew.toml"));
        }
    }

    fn stand(&mut self, stand: &RawStand) {
        let Some((post, by)) = stand.post.as_ref().and_then(|p| self.post(p)).zip(stand.by.as_ref()) else { return };
        let Some(standing) = self.standing(&by.1, post, by.0) else {
            self.unsure[post] = true;
            return;
        };
        let why = stand.why.as_ref().map_or("", Text::as_str).to_owned();
        for (i, span) in self.spans(stand).into_iter().enumerate() {
            if let Some(who) = standing.on(i32::try_from(i).unwrap_or(0)) {
                self.put(post, span, &who, &why, stand.head);
            }
        }
    }

    fn spans(&self, stand: &RawStand) -> Vec<Span> {
        stand.when.iter().flat_map(|w| self.times.spans(w, "the watch", self.sink)).collect()
    }

    /// Takes the time of the cover out of the turns that have it and puts the cover in their place.
    fn cover(&mut self, cover: &RawStand) {
        let Some((post, by)) = cover.post.as_ref().and_then(|p| self.post(p)).zip(cover.by.as_ref()) else { return };
        let Some(standing) = self.standing(&by.1, post, by.0) else { return };
        let why = cover.why.as_ref().map_or("cover", Text::as_str).to_owned();
        for (i, span) in self.spans(cover).into_iter().enumerate() {
            let Some(who) = standing.on(i32::try_from(i).unwrap_or(0)) else { continue };
            let mut kept = Vec::new();
            let mut freed = Vec::new();
            for (turn, place) in std::mem::take(&mut self.turns[post]) {
                freed.extend(turn.span.intersection(span));
                kept.extend(turn.span.without(&[span]).into_iter().map(|part| (Turn { span: part, ..turn.clone() }, place)));
            }
            self.turns[post] = kept;
            // A watch of the post that could not be read may be the one.
            let place = self.index.posts.place(&self.posts[post].code);
            if freed.is_empty() && !self.unsure[post] && !place.is_some_and(|place| self.sink.is_unsure(place)) {
                let message = format!("there is no watch on {} to cover", self.posts[post].code);
                let place = cover.when.first().map_or(cover.head, |w| w.place);
                self.sink.say(Code::CoverOfNothing, message, place, "", "correct the time or the post");
            }
            for span in union(freed) {
                let turn = Turn { post, span, stand: who.clone(), line: why.clone() };
                self.turns[post].push((turn, cover.head));
            }
        }
        self.turns[post].sort_by_key(|(turn, _)| turn.span);
    }
}
