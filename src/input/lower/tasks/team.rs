//! Who is needed for a task, and which places go together.

use crate::diag::{Code, Diagnostic};
use crate::id::{CompetenceId, Id, IdVec, TaskId};
use crate::input::lower::crew::longest_in_one_go;
use crate::input::lower::tasks::TaskContext;
use crate::input::near::remedy;
use crate::input::raw::phrase;
use crate::input::raw::tasks::Task as RawTask;
use crate::input::sink::Sink;
use crate::input::team::fillable;
use crate::input::text::Text;
use crate::model::{Different, Stop, Task};
use crate::time::{Minutes, Slots};

/// One entry a place; what nobody can fill is reported.
pub(super) fn needs(raw: &RawTask, context: &TaskContext<'_>) -> Vec<CompetenceId> {
    let Some((place, counted)) = &raw.needs else { return Vec::new() };
    let mut needs = Vec::new();
    let mut good = true;
    for item in counted {
        let before = needs.len();
        match context.index.competences.find_beside(&phrase::NONE, &item.word, context.sink) {
            Some(competence) => {
                if !context.people.iter().any(|p| p.holds(competence)) && !context.index.people.unsure() {
                    let message = format!("task {} needs {}, and nobody holds it", raw.code.as_str(), item.word.as_str());
                    let help = "add it to somebody's `can` in crew.toml, or change what the task needs";
                    context.sink.say(Code::NobodyHolds, message, item.word.place(), "nobody holds this", help);
                    good = false;
                }
                needs.extend(std::iter::repeat_n(competence, usize::try_from(item.number).unwrap_or(0)));
            }
            None => good = false,
        }
        if item.number == 0 {
            let message = format!("task {} needs none of {}", raw.code.as_str(), item.word.as_str());
            context.sink.say(Code::OutOfRange, message, item.word.place(), "", "give a number above 0, or take it out");
            needs.truncate(before);
        }
    }
    let most = fillable(context.people, &needs);
    if good && most < needs.len() && !context.index.people.unsure() {
        let message = format!("task {} needs {} different people, and {most} can be had", raw.code.as_str(), needs.len());
        let who: Vec<&str> = context.people.iter().filter(|p| needs.iter().any(|n| p.holds(*n))).map(|p| p.code.as_str()).collect();
        let label = format!("only {} hold any of this", if who.is_empty() { "nobody".to_owned() } else { who.join(", ") });
        context.sink.say(Code::NoTeam, message, *place, label, "ask for fewer people, or add the competence to somebody's `can`");
    }
    needs
}

/// Work that must be done in one go has to fit somebody's day.
pub(super) fn one_go(raw: &RawTask, needs: &[CompetenceId], stop: Stop, length: Slots, pauses: bool, context: &TaskContext<'_>) {
    let longest = match stop {
        Stop::Any { .. } => return,
        Stop::Never => length,
        Stop::Parts(parts) => {
            let parts = i32::try_from(parts).unwrap_or(1).max(1);
            Slots::new((length.count() + parts - 1) / parts)
        }
    };
    let work = context.times.grid.length(longest);
    for need in needs {
        let holders = || context.people.pairs().filter(|(_, p)| p.holds(*need));
        if holders().any(|(id, _)| context.unread.contains(&id)) {
            continue;
        }
        let best = holders().map(|(_, p)| longest_in_one_go(p, pauses)).max();
        if best.is_some_and(|best| best < work) && context.times.known {
            let place = raw.hours.as_ref().map_or(raw.code.place(), |h| h.place);
            let message = format!("task {} needs {work} in one go, and nobody who can do it has that long", raw.code.as_str());
            let label = format!("the longest day is {}", best.unwrap_or(Minutes::ZERO));
            context.sink.say(Code::TooLongInOneGo, message, place, label, "let it stop, divide it into more parts, or give longer hours");
            return;
        }
    }
}

/// Positions in `needs` as written that ask for `word`; every one for `all`.
fn positions(raw: &RawTask, word: &Text) -> Vec<usize> {
    let Some((_, counted)) = &raw.needs else { return Vec::new() };
    let mut positions = Vec::new();
    let mut at = 0;
    for item in counted {
        let number = usize::try_from(item.number).unwrap_or(0);
        if word.is("all") || item.word.as_str() == word.as_str() {
            positions.extend(at..at + number);
        }
        at += number;
    }
    positions
}

fn not_in_needs(raw: &RawTask, word: &Text, sink: &Sink) {
    if sink.is_unsure(raw.code.place()) {
        return;
    }
    let mut diagnostic = Diagnostic::new(Code::NotInNeeds, format!("task {} does not need {}", raw.code.as_str(), word.as_str()))
        .at(word.place(), "no place in the team asks for this");
    if let Some((place, _)) = &raw.needs {
        diagnostic = diagnostic.also(*place, "what it needs");
    }
    let needs = raw.needs.iter().flat_map(|(_, counted)| counted.iter().map(|item| item.word.as_str()));
    let near = remedy(word.as_str(), needs, &["all"]);
    sink.put(diagnostic.help(near.unwrap_or_else(|| "name a competence as it stands in `needs`".to_owned())));
}

/// Places one person fills throughout, sorted.
pub(super) fn same(raw: &RawTask, sink: &Sink) -> Vec<usize> {
    let mut same = Vec::new();
    for word in &raw.same {
        let found = positions(raw, word);
        if found.is_empty() && raw.needs.is_some() {
            not_in_needs(raw, word, sink);
        }
        same.extend(found);
    }
    same.sort_unstable();
    same.dedup();
    same
}

/// Fills in who may not fill which place, once all tasks are known.
pub(super) fn differences(raw: &[&RawTask], tasks: &mut IdVec<TaskId, Task>, context: &TaskContext<'_>) {
    for (i, task) in raw.iter().enumerate() {
        let mut list = Vec::new();
        for different in &task.different {
            let needs = positions(task, &different.need);
            if needs.is_empty() && task.needs.is_some() {
                not_in_needs(task, &different.need, context.sink);
            }
            for (place, other) in &different.others {
                let Some(id) = context.index.tasks.find(other, context.sink) else { continue };
                let other_needs = match place {
                    None => Vec::new(),
                    Some(word) => {
                        let found = positions(raw[id.index()], word);
                        if found.is_empty() {
                            not_in_needs(raw[id.index()], word, context.sink);
                        }
                        found
                    }
                };
                list.extend(needs.iter().map(|need| Different { need: *need, other: id, other_needs: other_needs.clone() }));
            }
        }
        kept_from_all(task, raw, tasks, &list, context);
        tasks[TaskId::from_index(i)].different = list;
    }
}

/// Reports places of a task that are kept from those on another one, where the places of both take more different people
/// than there are.
fn kept_from_all(task: &RawTask, raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, rules: &[Different], context: &TaskContext<'_>) {
    let Some(own) = context.index.tasks.get(task.code.as_str()) else { return };
    let mut said: Vec<TaskId> = Vec::new();
    for rule in rules {
        let other = &tasks[rule.other];
        let unsure = [task.code.place(), raw[rule.other.index()].code.place()].into_iter().any(|place| context.sink.is_unsure(place));
        if unsure || context.index.people.unsure() || rule.other == own || said.contains(&rule.other) {
            continue;
        }
        let here = rules.iter().filter(|r| (r.other, &r.other_needs) == (rule.other, &rule.other_needs)).map(|r| r.need);
        let mine: Vec<CompetenceId> = here.filter_map(|need| tasks[own].needs.get(need).copied()).collect();
        let there: Vec<CompetenceId> = if rule.other_needs.is_empty() {
            other.needs.clone()
        } else {
            rule.other_needs.iter().filter_map(|need| other.needs.get(*need).copied()).collect()
        };
        let enough = |needs: &[CompetenceId]| fillable(context.people, needs) == needs.len();
        let both: Vec<CompetenceId> = mine.iter().chain(&there).copied().collect();
        // Too few for one of the two alone has been said.
        if !enough(&mine) || !enough(&there) || enough(&both) {
            continue;
        }
        said.push(rule.other);
        let Some(word) = task.different.first().map(|d| &d.need) else { continue };
        let message = format!("whoever is on {}, nobody is left for a place of task {}", other.code, task.code.as_str());
        let label = format!("{} different people for both, and {} can be had", both.len(), fillable(context.people, &both));
        let help = "add the competence to somebody's `can` in crew.toml, or take `different` out";
        context.sink.say(Code::NobodyLeft, message, word.place(), label, help);
    }
}
