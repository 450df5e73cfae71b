//! `machinery.toml`: machines, groups, modes; and the reserve, which goes by mode.

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{GroupId, Id, IdVec, ModeId, PersonId, TaskId, UnitId};
use crate::input::index::Index;
use crate::input::lower::tasks::order::follows;
use crate::input::lower::tools::clipped;
use crate::input::raw::duties::{Duties, Duty as RawDuty};
use crate::input::raw::job::Reserve as RawReserve;
use crate::input::raw::machinery::{Group as RawGroup, Machinery, Mode as RawMode, ModeWhen};
use crate::input::raw::phrase::{self, Who};
use crate::input::raw::tasks::Task as RawTask;
use crate::input::sink::Sink;
use crate::input::team::fillable;
use crate::input::text::Text;
use crate::input::times::Times;
use crate::model::{Group, Mode, NeverTogether, Person, Reserve, ReserveKind, Task, Unit};
use crate::time::{Minutes, Span};

/// The machines.
pub(in crate::input) fn units(raw: &Machinery, index: &mut Index, times: &Times, sink: &Sink) -> IdVec<UnitId, Unit> {
    let mut units = IdVec::new();
    for unit in &raw.units {
        let out = unit.out.iter().flat_map(|w| times.spans(w, "the time out", sink)).collect();
        if index.units.define(&unit.code, sink).is_none() {
            continue;
        }
        let text = |t: &Option<Text>| t.as_ref().map_or(String::new(), |t| t.as_str().to_owned());
        let row = Unit { code: unit.code.as_str().to_owned(), name: text(&unit.name), state: text(&unit.state), out: clipped(out, times) };
        let _: UnitId = units.push(row);
    }
    units
}

/// The groups.
pub(in crate::input) fn groups(raw: &Machinery, index: &mut Index, sink: &Sink) -> IdVec<GroupId, Group> {
    let mut groups = IdVec::new();
    for group in &raw.groups {
        let RawGroup { code, name, units, lasts, recover } = group;
        let members = index.units.find_all(units, sink);
        if index.groups.define(code, sink).is_none() {
            continue;
        }
        let _: GroupId = groups.push(Group {
            code: code.as_str().to_owned(),
            name: name.as_ref().map_or(String::new(), |n| n.as_str().to_owned()),
            units: members,
            lasts: lasts.as_ref().map(|l| l.value),
            recover: recover.as_ref().map_or(Minutes::ZERO, |r| r.value),
            short_before: None,
        });
    }
    let unsure = raw.groups.iter().any(|group| sink.is_unsure(group.code.place()));
    for unit in raw.units.iter().filter(|_| !unsure) {
        let Some(id) = index.units.get(unit.code.as_str()) else { continue };
        if !groups.iter().any(|g| g.units.contains(&id)) && !raw.broken {
            let message = format!("machine {} is in no group", unit.code.as_str());
            sink.say(Code::UnitInNoGroup, message, unit.code.place(), "", "add it to the `units` of a group, or take it out");
        }
    }
    groups
}

/// Sets of machines never out together.
pub(in crate::input) fn never_together(raw: &Machinery, index: &Index, sink: &Sink) -> Vec<NeverTogether> {
    let mut sets = Vec::new();
    for set in &raw.never_together {
        let units = index.units.find_all(&set.units, sink);
        let most_out = set.most_out.as_ref().map_or(1, |m| u32::try_from(m.value).unwrap_or(u32::MAX));
        if set.units.len() < 2 || usize::try_from(most_out).is_ok_and(|m| m >= set.units.len()) {
            let message = "this set of machines forbids nothing";
            let help = "name two machines or more, and let most_out (1 if left out) be smaller than their number";
            sink.say(Code::NeverTogetherEmpty, message, set.head, "", help);
        }
        sets.push(NeverTogether { units, most_out });
    }
    sets
}

/// The modes with what they need and their reserve.
pub(in crate::input) fn modes(
    raw: &Machinery,
    reserves: &[RawReserve],
    groups: &IdVec<GroupId, Group>,
    people: &IdVec<PersonId, Person>,
    index: &mut Index,
    sink: &Sink,
) -> IdVec<ModeId, Mode> {
    let mut modes: IdVec<ModeId, Mode> = IdVec::new();
    for mode in &raw.modes {
        let needs = needs(mode, groups, index, sink);
        if index.modes.define(&mode.code, sink).is_none() {
            continue;
        }
        let name = mode.name.as_ref().map_or(String::new(), |n| n.as_str().to_owned());
        let _: ModeId = modes.push(Mode { code: mode.code.as_str().to_owned(), name, needs, weight: mode.weight, reserve: None });
    }
    // A job without modes has one that needs nothing, so that it can have a reserve.
    if raw.modes.is_empty() && !reserves.is_empty() {
        let _: ModeId = modes.push(Mode { code: "usual".to_owned(), name: String::new(), needs: Vec::new(), weight: 1, reserve: None });
    }
    let mut given: Vec<Option<Place>> = vec![None; modes.len()];
    for reserve in reserves {
        let lowered = lower_reserve(reserve, people, index, sink);
        for id in in_modes(reserve, &modes, index, sink) {
            if let Some(first) = given[id.index()] {
                sink.put(
                    Diagnostic::new(Code::TwoReserves, format!("mode {} has two reserves", modes[id].code))
                        .at(reserve.head, "second")
                        .also(first, "first")
                        .help("give each reserve its own modes: modes = \"anchor, bunkering\" or \"all but arrival\""),
                );
            } else {
                given[id.index()] = Some(reserve.head);
                modes[id].reserve = Some(lowered.clone());
            }
        }
    }
    modes
}

fn needs(mode: &RawMode, groups: &IdVec<GroupId, Group>, index: &Index, sink: &Sink) -> Vec<(GroupId, u32)> {
    let mut needs: Vec<(GroupId, u32)> = Vec::new();
    for counted in &mode.needs {
        let Some(group) = index.groups.find_beside(&phrase::NONE, &counted.word, sink) else { continue };
        let members = groups.get(group).map_or(0, |g| g.units.len());
        let unsure = index.groups.place(counted.word.as_str()).is_some_and(|place| sink.is_unsure(place));
        if u32::try_from(members).is_ok_and(|m| counted.number > m) && !unsure {
            let message = format!("mode {} needs {} of {}, which has {members}", mode.code.as_str(), counted.number, counted.word.as_str());
            let mut diagnostic = Diagnostic::new(Code::NeedsMoreThanGroup, message).at(counted.word.place(), "");
            if let Some(place) = index.groups.place(counted.word.as_str()) {
                diagnostic = diagnostic.also(place, format!("{members} members"));
            }
            sink.put(diagnostic.help("lower the number, or add members to the group"));
        }
        if needs.iter().any(|(g, _)| *g == group) {
            let message = format!("group `{}` is listed twice", counted.word.as_str());
            sink.say(Code::NamedTwice, message, counted.word.place(), "a second time", "list each once");
            continue;
        }
        if counted.number > 0 {
            needs.push((group, counted.number));
        }
    }
    needs
}

fn lower_reserve(raw: &RawReserve, people: &IdVec<PersonId, Person>, index: &Index, sink: &Sink) -> Reserve {
    let mut kinds: Vec<ReserveKind> = Vec::new();
    let mut places = Vec::new();
    for counted in raw.kinds.iter().filter(|k| k.number > 0) {
        let Some(competence) = index.competences.find_beside(&phrase::NONE, &counted.word, sink) else { continue };
        places.extend(std::iter::repeat_n(competence, usize::try_from(counted.number).unwrap_or(0)));
        match kinds.iter_mut().find(|k| k.competence == competence) {
            Some(kind) => kind.number += counted.number,
            None => kinds.push(ReserveKind { code: counted.word.as_str().to_owned(), competence, number: counted.number }),
        }
    }
    let most = fillable(people, &places);
    if most < places.len() && !index.people.unsure() {
        let message = format!("the reserve asks for {} different people, and {most} can be had", places.len());
        let place = raw.kinds.first().map_or(raw.head, |first| first.word.place());
        sink.say(Code::ReserveTooLarge, message, place, "", "ask for fewer, or add the competence to somebody");
    }
    let call = raw.call.unwrap_or(Minutes::hours(1));
    Reserve { kinds, call, unbooked: raw.unbooked.as_ref().map_or(Minutes::ZERO, |unbooked| unbooked.value), hours: raw.hours() }
}

fn in_modes(raw: &RawReserve, modes: &IdVec<ModeId, Mode>, index: &Index, sink: &Sink) -> Vec<ModeId> {
    match &raw.modes {
        None => modes.ids().collect(),
        Some(Who::Named(words)) => index.modes.find_all_beside(&["all"], words, sink),
        Some(Who::All { holding: None, but }) => {
            let but = index.modes.find_all(but, sink);
            modes.ids().filter(|m| !but.contains(m)).collect()
        }
        Some(Who::All { holding: Some(word), .. }) => {
            let help = "write modes = \"anchor, bunkering\" or \"all but arrival\"";
            sink.say(Code::NotUnderstood, format!("`{}` cannot be read", word.as_str()), word.place(), "", help);
            Vec::new()
        }
    }
}

/// Which mode holds when.
pub(in crate::input) fn mode_spans(
    raw: &Machinery,
    modes: &IdVec<ModeId, Mode>,
    index: &Index,
    times: &Times,
    sink: &Sink,
) -> Vec<(Span, ModeId)> {
    if raw.modes.is_empty() {
        return modes.ids().map(|m| (times.layout(), m)).collect();
    }
    let mut stated: Vec<(Span, ModeId, Place)> = Vec::new();
    let mut otherwise: Option<(ModeId, Place)> = None;
    for mode in &raw.modes {
        let Some(id) = index.modes.get(mode.code.as_str()) else { continue };
        match &mode.when {
            ModeWhen::At(list) => {
                for when in list {
                    let spans = times.spans(when, "the mode", sink);
                    stated.extend(spans.into_iter().filter_map(|s| times.clip(s)).map(|s| (s, id, when.place)));
                }
            }
            ModeWhen::Otherwise(place) => match otherwise {
                None => otherwise = Some((id, *place)),
                Some((_, first)) => sink.put(
                    Diagnostic::new(Code::ModesOverlap, "two modes hold whenever no other does")
                        .at(*place, "second")
                        .also(first, "first")
                        .help("give one of them its own windows"),
                ),
            },
        }
    }
    stated.sort_by_key(|(span, mode, _)| (*span, *mode));
    let mut spans: Vec<(Span, ModeId)> = Vec::new();
    let mut reached = times.start;
    let mut before: Option<(Place, ModeId)> = None;
    for (span, mode, place) in stated {
        if span.start() < reached {
            if let Some((other, first)) = before.filter(|_| times.known) {
                let message = format!("modes {} and {} hold at once", modes[first].code, modes[mode].code);
                sink.put(
                    Diagnostic::new(Code::ModesOverlap, message)
                        .at(place, format!("from {}", times.say(span.start())))
                        .also(other, format!("to {}", times.say(reached)))
                        .help("let one begin where the other ends"),
                );
            }
            reached = reached.max(span.end());
            continue;
        }
        fill(Span::new(reached, span.start()), otherwise, raw, times, sink, &mut spans);
        spans.push((span, mode));
        reached = span.end();
        before = Some((place, mode));
    }
    fill(Span::new(reached, times.layout_end), otherwise, raw, times, sink, &mut spans);
    spans
}

fn fill(
    gap: Option<Span>,
    otherwise: Option<(ModeId, Place)>,
    raw: &Machinery,
    times: &Times,
    sink: &Sink,
    spans: &mut Vec<(Span, ModeId)>,
) {
    match (gap, otherwise) {
        (None, _) => {}
        (Some(gap), Some((mode, _))) => spans.push((gap, mode)),
        (Some(gap), None) => {
            // A mode whose time could not be read has been reported; it may be the one that is missing.
            let unread = raw.modes.iter().any(|m| matches!(&m.when, ModeWhen::At(list) if list.is_empty()));
            if let Some(first) = raw.modes.first().filter(|_| times.known && !raw.broken && !unread) {
                let message = format!("no mode holds from {} to {}", times.say(gap.start()), times.say(gap.end()));
                let help = "give one mode when = \"otherwise\", or let the last window run to \"end\"";
                sink.say(Code::ModeGap, message, first.code.place(), "the first of the modes", help);
            }
        }
    }
}

/// Reports machines that are taken out for good, handed back without having been taken out, or handed back by what need
/// not come after. What a duty has out for its own time is no matter of any of these.
pub(in crate::input) fn handing_over(tasks: &[&RawTask], lowered: &IdVec<TaskId, Task>, duties: &Duties, index: &Index, sink: &Sink) {
    let rows = tasks.iter().map(|t| &t.code).chain(duties.duties.iter().map(|d| &d.code));
    if rows.map(Text::place).any(|place| sink.is_unsure(place)) {
        return;
    }
    let out: Vec<&Text> = tasks.iter().flat_map(|t| &t.takes_out).chain(duties.duties.iter().flat_map(RawDuty::opens)).collect();
    let back: Vec<&Text> = tasks.iter().flat_map(|t| &t.hands_back).chain(duties.duties.iter().flat_map(RawDuty::closes)).collect();
    let first = |list: &[&Text], i: usize| !list[..i].iter().any(|t| t.as_str() == list[i].as_str());
    let known = |text: &Text| index.units.get(text.as_str()).is_some();
    for (i, text) in out.iter().enumerate().filter(|(i, t)| first(&out, *i) && known(t)) {
        if !back.iter().any(|b| b.as_str() == out[i].as_str()) {
            let message = format!("machine {} is taken out and never handed back", text.as_str());
            sink.say(Code::NeverHandedBack, message, text.place(), "", "add `hands_back` to the task after which it can be used again");
        }
    }
    for (i, text) in back.iter().enumerate().filter(|(i, t)| first(&back, *i) && known(t)) {
        if !out.iter().any(|o| o.as_str() == back[i].as_str()) {
            let message = format!("machine {} is handed back and never taken out", text.as_str());
            sink.say(Code::NeverTakenOut, message, text.place(), "", "add `takes_out` to the task that stops it, if it runs before");
        }
    }
    in_order(tasks, lowered, duties, index, sink);
}

/// Reports tasks that take a machine out or hand it back without the other coming after, or before. Where a duty does
/// either, or where the order of tasks is not wholly known, nothing is said.
fn in_order(tasks: &[&RawTask], lowered: &IdVec<TaskId, Task>, duties: &Duties, index: &Index, sink: &Sink) {
    let unknown = tasks.iter().flat_map(|t| &t.after).any(|after| index.tasks.get(after.task.as_str()).is_none());
    if unknown || index.tasks.unsure() {
        return;
    }
    for (unit, _) in index.units.places() {
        let by_duty = duties.duties.iter().flat_map(|d| d.opens().chain(d.closes())).any(|word| word.as_str() == unit);
        let (takes, backs) = (listing(tasks, unit, |t| &t.takes_out), listing(tasks, unit, |t| &t.hands_back));
        if by_duty || takes.is_empty() || backs.is_empty() {
            continue;
        }
        let ordered = |take: TaskId, back: TaskId| take == back || follows(lowered, back, take);
        let apart = |task: TaskId, word: &Text, others: &[(TaskId, &Text)], does: &str, side: &str| {
            let code = &lowered[task].code;
            let names: Vec<&str> = others.iter().map(|(other, _)| lowered[*other].code.as_str()).collect();
            let names = names.join(" or ");
            let message = format!("task {code} {does} machine {unit} and need not come {side} {names}");
            let mut diagnostic = Diagnostic::new(Code::HandedBackApart, message).at(word.place(), "");
            if let [(_, other)] = others {
                diagnostic = diagnostic.also(other.place(), format!("{names} is here"));
            }
            let (later, earlier) = if side == "after" { (code.as_str(), names.as_str()) } else { (names.as_str(), code.as_str()) };
            sink.put(diagnostic.help(format!("let {later} come after {earlier}, directly or through others")));
        };
        let loose: Vec<_> = backs.iter().filter(|(back, _)| !takes.iter().any(|(take, _)| ordered(*take, *back))).collect();
        for (back, word) in &loose {
            apart(*back, word, &takes, "hands back", "after");
        }
        // Where no handing back is in order, that has been said.
        let left = takes.iter().filter(|(take, _)| loose.len() < backs.len() && !backs.iter().any(|(back, _)| ordered(*take, *back)));
        for (take, word) in left {
            apart(*take, word, &backs, "takes out", "before");
        }
    }
}

/// The tasks in whose `list` the machine `unit` is, with where it stands there.
fn listing<'a>(tasks: &[&'a RawTask], unit: &str, list: fn(&'a RawTask) -> &'a [Text]) -> Vec<(TaskId, &'a Text)> {
    let ids = (0..).map(TaskId::from_index);
    ids.zip(tasks).filter_map(|(id, task)| Some((id, list(task).iter().find(|word| word.as_str() == unit)?))).collect()
}
