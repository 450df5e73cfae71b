//! `tasks.toml`: phases, tags, tasks, held tools.

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{CompetenceId, Id, IdVec, PersonId, PhaseId, TagId, TaskId, ToolId};
use crate::input::index::Index;
use crate::input::lower::crew::longest_in_one_go;
use crate::input::raw::tasks::{Stop as RawStop, Task as RawTask, Tasks};
use crate::input::sink::Sink;
use crate::input::team::fillable;
use crate::input::text::{At, Text};
use crate::input::times::Times;
use crate::model::{After, Different, Estimate, Hold, Named, Person, Stop, Tag, Task, Tool};
use crate::time::{Grid, Minutes, Moment, Slots};

/// Tags that are always there, with their cautions (common practice, no source).
const USUAL_TAGS: [(&str, &str); 9] = [
    ("isolation", "Isolate, lock out and tag, try to start; only who locked it unlocks it"),
    ("enclosed", "Enclosed space: permit, ventilation, gas test, stand-by at the entrance"),
    ("lift", "Lifting: gear and slings checked, one person signals, nobody under the load"),
    ("tension", "Tensioning: stay out of line with the studs, never above the stated pressure"),
    ("pressure", "Pressure: vent before opening, raise slowly, keep clear of joints"),
    ("running", "Running machinery: guards on, no loose clothing, hearing protection"),
    ("turning", "Turning: warn everybody, hands out of the crankcase, turning gear locked after"),
    ("chemicals", "Chemicals: gloves, goggles, ventilation, data sheet read"),
    ("hot_work", "Hot work: permit, fire watch, extinguisher at hand"),
];

/// Tags whose work a named break does not interrupt unless the task says so.
const UNPAUSED_TAGS: [&str; 3] = ["running", "pressure", "tension"];

/// Shortest spell of a task that may stop at any time, unless it says otherwise.
const MIN_SPELL: Minutes = Minutes::hours(1);

/// Defines phases: declared ones, or those used, in the order they come.
pub(in crate::input) fn phases(raw: &Tasks, index: &mut Index, sink: &Sink) -> IdVec<PhaseId, Named> {
    let mut table = IdVec::new();
    for (code, name) in &raw.phases {
        if index.phases.define(code, sink).is_some() {
            let _: PhaseId = table.push(Named { code: code.as_str().to_owned(), name: name.as_str().to_owned() });
        }
    }
    if raw.phases.is_empty() {
        for code in raw.tasks.iter().filter_map(|t| t.phase.as_ref()) {
            if index.phases.get(code.as_str()).is_none() && index.phases.define(code, sink).is_some() {
                let _: PhaseId = table.push(Named { code: code.as_str().to_owned(), name: String::new() });
            }
        }
    }
    // Tasks without a phase share one without a name.
    if raw.tasks.iter().any(|t| t.phase.is_none()) || table.is_empty() {
        let _: PhaseId = table.push(Named { code: "-".to_owned(), name: String::new() });
    }
    table
}

/// Defines tags: the usual ones, and those declared, whose cautions come first.
pub(in crate::input) fn tags(raw: &Tasks, index: &mut Index, sink: &Sink) -> IdVec<TagId, Tag> {
    let mut table = IdVec::new();
    for (code, caution) in &raw.tags {
        if index.tags.define(code, sink).is_some() {
            let _: TagId = table.push(Tag { code: code.as_str().to_owned(), caution: caution.as_str().to_owned() });
        }
    }
    for (code, caution) in USUAL_TAGS {
        if index.tags.get(code).is_none() && index.tags.define(&Text::loose(code, raw.head), sink).is_some() {
            let _: TagId = table.push(Tag { code: code.to_owned(), caution: caution.to_owned() });
        }
    }
    table
}

/// What tasks refer to.
pub(in crate::input) struct TaskContext<'a> {
    /// All codes.
    pub index: &'a Index,
    /// The people.
    pub people: &'a IdVec<PersonId, Person>,
    /// The tools.
    pub tools: &'a IdVec<ToolId, Tool>,
    /// Tags.
    pub tags: &'a IdVec<TagId, Tag>,
    /// The last phase, for tasks that name none.
    pub last_phase: PhaseId,
    /// Times.
    pub times: &'a Times,
    /// Where diagnostics go.
    pub sink: &'a Sink,
}

/// Defines the codes of all tasks; gives those that have one of their own.
pub(in crate::input) fn define<'a>(raw: &'a Tasks, index: &mut Index, sink: &Sink) -> Vec<&'a RawTask> {
    if raw.tasks.is_empty() && !raw.broken {
        sink.say(Code::NoTasks, "there is no task", raw.head, "", "add a [task.CODE] table");
    }
    raw.tasks.iter().filter(|t| index.tasks.define(&t.code, sink).is_some()).collect()
}

/// The tasks, in the order of their ids, and the tools they hold through waits.
pub(in crate::input) fn tasks(raw: &[&RawTask], context: &TaskContext<'_>) -> (IdVec<TaskId, Task>, Vec<Hold>) {
    let mut tasks: IdVec<TaskId, Task> = raw.iter().map(|t| lower(t, context)).collect();
    cycles(raw, &tasks, context);
    let holds = holds(raw, &mut tasks, context);
    differences(raw, &mut tasks, context);
    (tasks, holds)
}

fn lower(raw: &RawTask, context: &TaskContext<'_>) -> Task {
    let (sink, index, times) = (context.sink, context.index, context.times);
    let code = raw.code.as_str();
    let needs = needs(raw, context);
    let hours = estimate(raw, sink);
    let length = Slots::new(times.grid.ceil_length(hours.typical).count().max(1));
    let unmanned = raw.needs.as_ref().is_some_and(|(_, n)| n.is_empty());
    let stop = stop(raw, unmanned, length, times.grid, sink);
    let mut tags = index.tags.find_all(&raw.tags, sink);
    tags.sort_unstable();
    let unpaused = tags.iter().any(|t| context.tags.get(*t).is_some_and(|tag| UNPAUSED_TAGS.contains(&tag.code.as_str())));
    let pauses = raw.pause.as_ref().map_or(!unpaused && !unmanned, |p| p.value);
    let moment = |at: &Option<At<_>>, what: &str| at.as_ref().and_then(|at| times.moment_in_job(at, what, sink));
    let not_before = moment(&raw.not_before, "`not_before`");
    let not_after = moment(&raw.not_after, "`not_after`");
    window(raw, not_before, not_after, length, times, sink);
    attendance(raw, unmanned, sink);
    if !needs.is_empty() && !raw.emergency {
        one_go(raw, &needs, stop, length, pauses, context);
    }
    Task {
        code: code.to_owned(),
        text: raw.text.as_ref().map_or(String::new(), |t| t.as_str().to_owned()),
        phase: raw.phase.as_ref().and_then(|p| index.phases.find(p, sink)).unwrap_or(context.last_phase),
        same: same(raw, sink),
        needs,
        hours,
        length,
        stop,
        pauses,
        after: after(raw, context),
        tools: tools(raw, context),
        not_before,
        not_after,
        tags,
        takes_out: index.units.find_all(&raw.takes_out, sink),
        hands_back: index.units.find_all(&raw.hands_back, sink),
        different: Vec::new(),
        emergency: raw.emergency,
        attended_by: raw.attended_by.as_ref().and_then(|p| index.posts.find(p, sink)),
    }
}

fn needs(raw: &RawTask, context: &TaskContext<'_>) -> Vec<CompetenceId> {
    let Some((place, counted)) = &raw.needs else { return Vec::new() };
    let mut needs = Vec::new();
    let mut good = true;
    for item in counted {
        let before = needs.len();
        match context.index.competences.find(&item.word, context.sink) {
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
        let who: Vec<&str> =
            context.people.iter().filter(|p| needs.iter().any(|n| p.holds(*n))).map(|p| p.code.as_str()).collect();
        let label = format!("only {} hold any of this", if who.is_empty() { "nobody".to_owned() } else { who.join(", ") });
        context.sink.say(Code::NoTeam, message, *place, label, "ask for fewer people, or add the competence to somebody's `can`");
    }
    needs
}

fn estimate(raw: &RawTask, sink: &Sink) -> Estimate {
    let one_hour = Estimate { least: Minutes::hours(1), typical: Minutes::hours(1), most: Minutes::hours(1) };
    let Some(list) = &raw.hours else { return one_hour };
    let (least, typical, most) = match list.value.as_slice() {
        [only] => (only, only, only),
        [least, typical, most] => (least, typical, most),
        _ => {
            let message = format!("task {} has {} numbers for its hours", raw.code.as_str(), list.value.len());
            sink.say(Code::HoursOutOfOrder, message, list.place, "", "write one number, or three: [least, typical, most]");
            return one_hour;
        }
    };
    if least.value > typical.value || typical.value > most.value {
        let message = format!("the hours of task {} are not in order", raw.code.as_str());
        sink.say(Code::HoursOutOfOrder, message, list.place, "", "write least, typical, most, none smaller than the one before it");
        return Estimate { least: typical.value, typical: typical.value, most: typical.value };
    }
    Estimate { least: least.value, typical: typical.value, most: most.value }
}

fn stop(raw: &RawTask, unmanned: bool, length: Slots, grid: Grid, sink: &Sink) -> Stop {
    let contradiction = |place: Place, message: &str, help: &str| {
        sink.say(Code::StopContradiction, format!("task {}: {message}", raw.code.as_str()), place, "", help);
    };
    let place = |key: Option<Place>| key.unwrap_or_else(|| raw.code.place());
    let stop = raw.stop.as_ref().map(|s| s.value);
    let parts_place = raw.parts.as_ref().map(|p| p.place);
    let min_spell_place = raw.min_spell.as_ref().map(|m| m.place);
    if unmanned {
        if let Some(at) = raw.stop.as_ref().map(|s| s.place).or(parts_place).or(min_spell_place) {
            contradiction(at, "a task without people runs in one piece", "take `stop`, `parts` and `min_spell` out");
        }
        return Stop::Never;
    }
    match (stop, &raw.parts) {
        (Some(RawStop::Unit), None) => {
            let at = place(raw.stop.as_ref().map(|s| s.place));
            contradiction(at, "it stops between parts, but has none", "add parts = 3, or the number there are");
            return Stop::Never;
        }
        (Some(RawStop::Any | RawStop::Never), Some(parts)) => {
            contradiction(parts.place, "parts go with stop = \"unit\"", "take `parts` or `stop` out");
        }
        (None | Some(RawStop::Unit), Some(parts)) => {
            if let Some(at) = min_spell_place {
                contradiction(at, "the shortest spell of a part is the part", "take `min_spell` out");
            }
            if parts.value > i64::from(length.count()) {
                let message = format!("task {} has {} parts and {} slots", raw.code.as_str(), parts.value, length.count());
                sink.say(Code::TooManyParts, message, parts.place, "", "ask for fewer parts, or give more hours");
            }
            return Stop::Parts(u32::try_from(parts.value).unwrap_or(1));
        }
        (None | Some(RawStop::Any | RawStop::Never), None) => {}
    }
    if stop == Some(RawStop::Never) {
        if let Some(at) = min_spell_place {
            contradiction(at, "a task that never stops has one spell", "take `min_spell` out");
        }
        return Stop::Never;
    }
    let least = raw.min_spell.as_ref().map_or(MIN_SPELL, |m| m.value);
    Stop::Any { min_spell: Slots::new(grid.ceil_length(least).count().max(1)) }
}

fn window(raw: &RawTask, not_before: Option<Moment>, not_after: Option<Moment>, length: Slots, times: &Times, sink: &Sink) {
    let (Some(from), Some(to), Some(at)) = (not_before, not_after, &raw.not_after) else { return };
    if times.grid.moment(times.grid.ceil(from)) + times.grid.length(length) > to && times.known {
        let message = format!("task {} takes longer than there is between `not_before` and `not_after`", raw.code.as_str());
        let label = format!("{} of work", times.grid.length(length));
        sink.say(Code::WindowTooShort, message, at.place, label, "move one of the two, or shorten the task");
    }
}

fn attendance(raw: &RawTask, unmanned: bool, sink: &Sink) {
    match (&raw.attended_by, unmanned) {
        (Some(post), false) if raw.needs.is_some() => {
            let message = format!("task {} has people of its own and is attended by a watch", raw.code.as_str());
            sink.say(Code::AttendedByWatch, message, post.place(), "", "take `attended_by` out, or write needs = \"none\"");
        }
        (None, true) => {
            let message = format!("nobody works on task {} and no watch attends it", raw.code.as_str());
            sink.say(Code::Unattended, message, raw.code.place(), "", "add attended_by = \"OOW\" if the watch looks after it");
        }
        (Some(_), _) | (None, false) => {}
    }
}

/// Work that must be done in one go has to fit somebody's day.
fn one_go(raw: &RawTask, needs: &[CompetenceId], stop: Stop, length: Slots, pauses: bool, context: &TaskContext<'_>) {
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
        let best = context.people.iter().filter(|p| p.holds(*need)).map(|p| longest_in_one_go(p, pauses)).max();
        if best.is_some_and(|best| best < work) && context.times.known {
            let place = raw.hours.as_ref().map_or(raw.code.place(), |h| h.place);
            let message = format!("task {} needs {work} in one go, and nobody who can do it has that long", raw.code.as_str());
            let label = format!("the longest day of those who hold what it needs is {}", best.unwrap_or(Minutes::ZERO));
            context.sink.say(Code::TooLongInOneGo, message, place, label, "let it stop, divide it into more parts, or give longer hours");
            return;
        }
    }
}

fn after(raw: &RawTask, context: &TaskContext<'_>) -> Vec<After> {
    let mut list: Vec<After> = Vec::new();
    for after in &raw.after {
        let Some(task) = context.index.tasks.find(&after.task, context.sink) else { continue };
        match list.iter_mut().find(|a| a.task == task) {
            Some(known) => {
                let message = format!("task `{}` is listed twice", after.task.as_str());
                context.sink.say(Code::NamedTwice, message, after.task.place(), "a second time", "keep the one with the longer wait");
                known.lag = known.lag.max(after.lag);
            }
            None => list.push(After { task, lag: after.lag }),
        }
    }
    list
}

fn tools(raw: &RawTask, context: &TaskContext<'_>) -> Vec<(ToolId, u32)> {
    let mut list: Vec<(ToolId, u32)> = Vec::new();
    for counted in &raw.tools {
        let Some(tool) = context.index.tools.find(&counted.word, context.sink) else { continue };
        let number = enough(counted.number, tool, &counted.word, context);
        match list.iter_mut().find(|(t, _)| *t == tool) {
            Some(known) => {
                let message = format!("tool `{}` is listed twice", counted.word.as_str());
                context.sink.say(Code::NamedTwice, message, counted.word.place(), "a second time", "list each once, with its number: \"2 RACK\"");
                known.1 = known.1.max(number);
            }
            None => list.push((tool, number)),
        }
    }
    list
}

/// Reports a number of tools there cannot be.
fn enough(number: u32, tool: ToolId, word: &Text, context: &TaskContext<'_>) -> u32 {
    let there = context.tools.get(tool).map_or(0, |t| t.number);
    if number > there && there > 0 {
        let message = format!("{number} of {} are asked for, and there are {there}", word.as_str());
        context.sink.say(Code::NoSuchNumber, message, word.place(), "", "lower the number, or raise it in tools.toml");
    }
    if number == 0 {
        let message = format!("none of {} is asked for", word.as_str());
        context.sink.say(Code::OutOfRange, message, word.place(), "", "give a number above 0, or take it out");
    }
    number
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
    let mut diagnostic = Diagnostic::new(Code::NotInNeeds, format!("task {} does not need {}", raw.code.as_str(), word.as_str()))
        .at(word.place(), "no place in the team asks for this");
    if let Some((place, _)) = &raw.needs {
        diagnostic = diagnostic.also(*place, "what it needs");
    }
    sink.put(diagnostic.help("name a competence as it stands in `needs`"));
}

fn same(raw: &RawTask, sink: &Sink) -> Vec<usize> {
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

fn differences(raw: &[&RawTask], tasks: &mut IdVec<TaskId, Task>, context: &TaskContext<'_>) {
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
        tasks[TaskId::from_index(i)].different = list;
    }
}

fn holds(raw: &[&RawTask], tasks: &mut IdVec<TaskId, Task>, context: &TaskContext<'_>) -> Vec<Hold> {
    let mut holds = Vec::new();
    for (i, task) in raw.iter().enumerate() {
        let fill = TaskId::from_index(i);
        for hold in &task.holds {
            let tool = context.index.tools.find(&hold.tool, context.sink);
            let empty = context.index.tasks.find(&hold.until, context.sink);
            let (Some(tool), Some(empty)) = (tool, empty) else { continue };
            let number = enough(hold.number, tool, &hold.tool, context);
            if empty != fill && !follows(tasks, empty, fill) {
                let message = format!("{} does not come after {}, so {} would be held for ever", hold.until.as_str(), task.code.as_str(), hold.tool.as_str());
                let help = format!("add after = \"{}\" to task {}, or name the task that empties it", task.code.as_str(), hold.until.as_str());
                context.sink.say(Code::HoldEndsBefore, message, hold.until.place(), "", help);
            }
            holds.push(Hold { tool, number, fill, empty });
        }
    }
    // A held tool is booked by the hold; the tasks at its two ends do not take it once more.
    for hold in &holds {
        for task in [hold.fill, hold.empty] {
            tasks[task].tools.retain(|(tool, _)| *tool != hold.tool);
        }
    }
    holds
}

/// Whether `later` comes after `earlier`, directly or not.
fn follows(tasks: &IdVec<TaskId, Task>, later: TaskId, earlier: TaskId) -> bool {
    let mut seen = vec![false; tasks.len()];
    let mut open = vec![later];
    while let Some(task) = open.pop() {
        for after in &tasks[task].after {
            if after.task == earlier {
                return true;
            }
            if !std::mem::replace(&mut seen[after.task.index()], true) {
                open.push(after.task);
            }
        }
    }
    false
}

/// Names every circle of tasks that wait for one another, each task in at most one of them.
fn cycles(raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, context: &TaskContext<'_>) {
    let mut waiting: Vec<usize> = tasks.iter().map(|t| t.after.len()).collect();
    let mut followers: Vec<Vec<TaskId>> = vec![Vec::new(); tasks.len()];
    for (id, task) in tasks.pairs() {
        for after in &task.after {
            followers[after.task.index()].push(id);
        }
    }
    let mut left: Vec<bool> = vec![true; tasks.len()];
    let mut free: Vec<TaskId> = tasks.ids().filter(|t| waiting[t.index()] == 0).collect();
    let mut from = 0;
    loop {
        // Take out what waits for nothing that is left, until nothing more goes.
        while let Some(task) = free.pop() {
            if !std::mem::replace(&mut left[task.index()], false) {
                continue;
            }
            for later in &followers[task.index()] {
                waiting[later.index()] -= 1;
                if waiting[later.index()] == 0 {
                    free.push(*later);
                }
            }
        }
        while from < left.len() && !left[from] {
            from += 1;
        }
        if from == left.len() {
            return;
        }
        // Everything left waits for something left: walking back must come round.
        let mut path = vec![TaskId::from_index(from)];
        let mut place = vec![None; tasks.len()];
        place[from] = Some(0);
        let circle = loop {
            let last = path[path.len() - 1];
            let Some(before) = tasks[last].after.iter().map(|a| a.task).find(|t| left[t.index()]) else { return };
            if let Some(at) = place[before.index()] {
                break path.split_off(at);
            }
            place[before.index()] = Some(path.len());
            path.push(before);
        };
        report(raw, &circle, context.sink);
        free.extend(circle);
    }
}

/// `circle[i]` comes after `circle[i + 1]`, the last one after the first.
fn report(raw: &[&RawTask], circle: &[TaskId], sink: &Sink) {
    let code = |t: TaskId| raw[t.index()].code.as_str();
    let mut names: Vec<&str> = circle.iter().map(|t| code(*t)).collect();
    names.push(code(circle[0]));
    let message = format!("tasks wait for one another in a circle: {}", names.join(" after "));
    let mut diagnostic = Diagnostic::new(Code::Cycle, message);
    for (i, task) in circle.iter().enumerate() {
        let before = code(circle[(i + 1) % circle.len()]);
        let Some(after) = raw[task.index()].after.iter().find(|a| a.task.as_str() == before) else { continue };
        let label = format!("{} waits for {before}", code(*task));
        diagnostic = if diagnostic.primary.is_none() { diagnostic.at(after.task.place(), label) } else { diagnostic.also(after.task.place(), label) };
    }
    sink.put(diagnostic.help("take one of these out"));
}
