//! Watches, duties, machines and the reserve.

use turnto::id::{DutyId, GroupId, Id, IdVec, ModeId, PersonId, PostId, TagId, TurnId, UnitId};
use turnto::model::{Duty, Group, Mode, NeverTogether, OnWatch, Person, Post, Reserve, ReserveKind, Stand, Turn, Unit, When};
use turnto::time::{Minutes, Span};

use super::{Draft, Watchkeeping, competence, profiles};

/// The id of a person by code.
fn who(people: &IdVec<PersonId, Person>, code: &str) -> PersonId {
    people.find(|p| p.code == code).unwrap_or_else(|| panic!("{code} is aboard"))
}

/// Days on which bunkers are taken, 09:30 to 16:00.
fn bunkering(draft: &Draft) -> Vec<i32> {
    if draft.watchkeeping() == Watchkeeping::Pairs { [3, 13].into_iter().filter(|d| *d <= draft.size.days).collect() } else { Vec::new() }
}

/// Posts and turns: four hours on, eight off, with an open cover while those of the 8-12 take bunkers.
pub(super) fn watches(draft: &Draft, people: &IdVec<PersonId, Person>) -> (IdVec<PostId, Post>, IdVec<TurnId, Turn>) {
    const ENGINEERS: [&str; 3] = ["3E", "AE", "4E"];
    const RATINGS: [&str; 3] = ["M1", "W1", "M2"];
    let rotas: &[(&str, [&str; 3])] = match draft.watchkeeping() {
        Watchkeeping::None => &[],
        Watchkeeping::Engineers => &[("OOW", ENGINEERS)],
        Watchkeeping::Pairs => &[("OOW", ENGINEERS), ("WR", RATINGS)],
    };
    let (mut posts, mut turns) = (IdVec::new(), IdVec::new());
    let covers = bunkering(draft);
    for (code, rota) in rotas {
        let post = posts.push(Post {
            code: (*code).to_owned(),
            name: String::new(),
            competence: competence(code),
            manned: Span::new(draft.start, draft.layout_end).into_iter().collect(),
            attends: 1,
            by_mode: None,
        });
        for day in 1..=draft.last_day() {
            for watch in 0..6 {
                let line = usize::try_from(watch % 3).unwrap_or(0);
                let (from, to) = (watch * 240, (watch + 1) * 240);
                let stand = Stand::Fixed(who(people, rota[line]));
                let mut add = |from: i32, to: i32, stand: Stand, name: &str| {
                    let laid_out = Span::new(draft.start, draft.layout_end);
                    let span = draft.hours(day, from, to).zip(laid_out).and_then(|(span, all)| span.intersection(all));
                    if let Some(span) = span {
                        turns.push(Turn { post, span, stand, line: name.to_owned() });
                    }
                };
                let name = ["12-4", "4-8", "8-12"][line];
                if watch == 2 && covers.contains(&day) {
                    add(from, from + 90, stand, name);
                    add(from + 90, to, Stand::Open(vec![who(people, rota[1]), who(people, rota[0])]), "bunkers");
                } else {
                    add(from, to, stand, name);
                }
            }
        }
    }
    (posts, turns)
}

/// Collects duties, numbering the repeats of each.
struct Duties(Vec<Duty>);

impl Duties {
    fn add(&mut self, code: &str, mut who: Vec<PersonId>, when: When, leavable: bool, on_watch: OnWatch) -> &mut Duty {
        who.sort_unstable();
        let occurrence = 1 + u32::try_from(self.0.iter().filter(|d| d.code == code).count()).unwrap_or(0);
        self.0.push(Duty {
            code: code.to_owned(),
            name: String::new(),
            occurrence,
            who,
            when,
            leavable,
            on_watch,
            drill: false,
            all_hands: false,
            bans: Vec::new(),
            takes_out: Vec::new(),
            hands_back: Vec::new(),
        });
        self.0.last_mut().expect("one was added")
    }
}

/// Talks, drills, rounds, bunkering, a cleaning that may move.
pub(super) fn duties(draft: &Draft, people: &IdVec<PersonId, Person>) -> IdVec<DutyId, Duty> {
    let mut list = Duties(Vec::new());
    let aboard = |span: Span| -> Vec<PersonId> { people.pairs().filter(|(_, p)| p.aboard(span)).map(|(id, _)| id).collect() };
    let pairs = draft.watchkeeping() == Watchkeeping::Pairs;
    for day in 1..=draft.last_day() {
        if let Some(talk) = draft.hours(day, 8 * 60, 8 * 60 + 30) {
            // Nobody comes in for the talk on his day off.
            let works = |p: &PersonId| people[*p].stretches.iter().any(|s| s.day.number() == day);
            let who = aboard(talk).into_iter().filter(works).collect();
            list.add("talk", who, When::Fixed(talk), true, OnWatch::Excused);
        }
        if let (true, Some(round)) = (pairs, draft.hours(day, 11 * 60, 11 * 60 + 30)) {
            list.add("round", vec![who(people, "3E")], When::Fixed(round), true, OnWatch::DoneOnWatch);
        }
        if let (5, Some(drill)) = (day.rem_euclid(7), draft.hours(day, 15 * 60 + 30, 16 * 60 + 30)) {
            list.add("drill", aboard(drill), When::Fixed(drill), true, OnWatch::Excused).drill = true;
        }
    }
    for day in bunkering(draft) {
        let hot = profiles::TAGS.iter().position(|t| *t == "hot_work").map(TagId::from_index);
        if let Some(all) = draft.hours(day, 9 * 60 + 30, 16 * 60) {
            let people = vec![who(people, "4E"), who(people, "M2")];
            list.add("bunkers", people, When::Fixed(all), false, OnWatch::Clash).bans.extend(hot);
        }
        if let Some(start) = draft.hours(day, 9 * 60 + 30, 12 * 60) {
            list.add("bunkers_start", vec![who(people, "CE")], When::Fixed(start), false, OnWatch::Clash);
        }
    }
    let cleaners = if pairs { ["4E", "M2"] } else { ["2E", "FT"] };
    if let Some(window) = Span::new(draft.at(1, 13 * 60 + 30), draft.at(2, 17 * 60)) {
        let who = cleaners.iter().map(|code| who(people, code)).collect();
        list.add("separator", who, When::Movable { window, length: Minutes::hours(2) }, true, OnWatch::Clash);
    }
    list.0.sort_by(|a, b| (&a.code, a.occurrence).cmp(&(&b.code, b.occurrence)));
    list.0.into()
}

/// Machines and what the ship needs of them and of its people.
pub(super) struct Machinery {
    pub(super) units: IdVec<UnitId, Unit>,
    pub(super) groups: IdVec<GroupId, Group>,
    pub(super) never_together: Vec<NeverTogether>,
    pub(super) modes: IdVec<ModeId, Mode>,
    pub(super) mode_spans: Vec<(Span, ModeId)>,
    /// The machine each block of tasks overhauls, and the block that must be done before it.
    pub(super) blocks: Vec<(UnitId, Option<usize>)>,
}

/// Groups of three machines of which two must be able; machines of one group are overhauled one after the
/// other, machines of different groups side by side.
pub(super) fn machinery(draft: &Draft, people: &IdVec<PersonId, Person>) -> Machinery {
    const CODES: [&str; 3] = ["GEN", "PUMP", "BOIL"];
    let number = (draft.size.tasks / 40).max(1);
    let used = number.div_ceil(2).min(CODES.len());
    let (mut units, mut groups) = (IdVec::new(), IdVec::new());
    for code in CODES.iter().take(used) {
        let of_group = (1..=3)
            .map(|i| units.push(Unit { code: format!("{code}{i}"), name: String::new(), state: "auto".to_owned(), out: Vec::new() }))
            .collect();
        groups.push(Group {
            code: (*code).to_owned(),
            name: String::new(),
            units: of_group,
            lasts: None,
            recover: Minutes::ZERO,
            short_before: None,
        });
    }
    let blocks = (0..number)
        .map(|b| {
            let group: &Group = &groups[GroupId::from_index(b % used)];
            (group.units[(b / used) % group.units.len()], b.checked_sub(used))
        })
        .collect();
    let never_together = groups.iter().map(|g: &Group| NeverTogether { units: g.units.clone(), most_out: 1 }).collect();
    let needs: Vec<(GroupId, u32)> = groups.ids().map(|g| (g, 2)).collect();
    let modes = IdVec::from(vec![
        Mode { code: "anchor".to_owned(), name: String::new(), needs: needs.clone(), weight: 1, reserve: Some(reserve(draft, people)) },
        Mode { code: "after".to_owned(), name: String::new(), needs, weight: 1, reserve: None },
    ]);
    let spans = [(draft.start, draft.latest_end), (draft.latest_end, draft.layout_end)];
    let mode_spans = spans.iter().enumerate().filter_map(|(i, (a, b))| Some((Span::new(*a, *b)?, ModeId::from_index(i)))).collect();
    Machinery { units, groups, never_together, modes, mode_spans, blocks }
}

/// One engineer and one further hand for two hours at every slot, and six hours unbooked a day; less where
/// the crew is too small for it.
fn reserve(draft: &Draft, people: &IdVec<PersonId, Person>) -> Reserve {
    let kind = |code: &str| ReserveKind { code: code.to_lowercase(), competence: competence(code), number: 1 };
    let (kinds, unbooked) = match draft.watchkeeping() {
        Watchkeeping::None => (vec![kind("GEN")], 1),
        Watchkeeping::Engineers => (vec![kind("OOW")], 3),
        Watchkeeping::Pairs => (vec![kind("OOW"), kind("GEN")], 6),
    };
    let enough = kinds.iter().all(|k| people.iter().filter(|p| p.holds(k.competence)).count() > 1);
    assert!(enough, "the reserve can be filled");
    Reserve { kinds, call: Minutes::hours(2), unbooked: Minutes::hours(unbooked), hours: (Minutes::hours(8), Minutes::hours(18)) }
}
