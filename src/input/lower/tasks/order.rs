//! What tasks come after, what tools they take and hold.

use crate::diag::{Code, Diagnostic};
use crate::id::{Id, IdVec, TaskId, ToolId};
use crate::input::lower::tasks::TaskContext;
use crate::input::raw::phrase;
use crate::input::raw::tasks::Task as RawTask;
use crate::input::sink::Sink;
use crate::input::text::Text;
use crate::model::{After, Hold, Task};

/// What a task comes after, each other task once.
pub(super) fn after(raw: &RawTask, context: &TaskContext<'_>) -> Vec<After> {
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

/// The tools a task takes, each once.
pub(super) fn tools(raw: &RawTask, context: &TaskContext<'_>) -> Vec<(ToolId, u32)> {
    let mut list: Vec<(ToolId, u32)> = Vec::new();
    for counted in &raw.tools {
        let Some(tool) = context.index.tools.find_beside(&phrase::NONE, &counted.word, context.sink) else { continue };
        let number = enough(counted.number, tool, &counted.word, context);
        match list.iter_mut().find(|(t, _)| *t == tool) {
            Some(known) => {
                let message = format!("tool `{}` is listed twice", counted.word.as_str());
                context.sink.say(
                    Code::NamedTwice,
                    message,
                    counted.word.place(),
                    "a second time",
                    "list each once, with its number: \"2 RACK\"",
                );
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
    let unsure = context.index.tools.place(word.as_str()).is_some_and(|place| context.sink.is_unsure(place));
    if number > there && there > 0 && !unsure {
        let message = format!("{number} of {} are asked for, and there are {there}", word.as_str());
        context.sink.say(Code::NoSuchNumber, message, word.place(), "", "lower the number, or raise it in tools.toml");
    }
    if number == 0 {
        let message = format!("none of {} is asked for", word.as_str());
        context.sink.say(Code::OutOfRange, message, word.place(), "", "give a number above 0, or take it out");
    }
    number
}

/// The tools held through waits; their own ends do not take them once more.
pub(super) fn holds(raw: &[&RawTask], tasks: &mut IdVec<TaskId, Task>, context: &TaskContext<'_>) -> Vec<Hold> {
    let mut holds = Vec::new();
    let unsure = raw.iter().any(|task| context.sink.is_unsure(task.code.place()));
    for (i, task) in raw.iter().enumerate() {
        let fill = TaskId::from_index(i);
        for hold in &task.holds {
            let tool = context.index.tools.find(&hold.tool, context.sink);
            let empty = context.index.tasks.find(&hold.until, context.sink);
            let (Some(tool), Some(empty)) = (tool, empty) else { continue };
            let number = enough(hold.number, tool, &hold.tool, context);
            if empty != fill && !follows(tasks, empty, fill) && !unsure {
                let message = format!(
                    "{} does not come after {}, so {} would be held for ever",
                    hold.until.as_str(),
                    task.code.as_str(),
                    hold.tool.as_str()
                );
                let help =
                    format!("add after = \"{}\" to task {}, or name the task that empties it", task.code.as_str(), hold.until.as_str());
                context.sink.say(Code::HoldEndsBefore, message, hold.until.place(), "", help);
            }
            holds.push(Hold { tool, number, fill: Some(fill), filling: None, empty });
        }
    }
    // A held tool is booked by the hold; the tasks at its two ends do not take it once more.
    for hold in &holds {
        for task in hold.fill.into_iter().chain([hold.empty]) {
            tasks[task].tools.retain(|(tool, _)| *tool != hold.tool);
        }
    }
    between(raw, tasks, &holds, context);
    meeting(raw, tasks, &holds, context);
    holds
}

/// Reports holds that are sure to be on at the same time, by the order of their tasks, and want more of the tool together
/// than there is. Stretches of which each meets each other have a moment in common, so it is enough to look at pairs.
fn meeting(raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, holds: &[Hold], context: &TaskContext<'_>) {
    let up_to = |from: TaskId, to: TaskId| from == to || follows(tasks, to, from);
    let begins_by = |a: &Hold, b: &Hold| a.fill.is_some_and(|fill| up_to(fill, b.empty));
    // Of circles enough is said elsewhere.
    let in_a_circle = |hold: &Hold| hold.fill.is_none_or(|fill| follows(tasks, fill, fill) || follows(tasks, fill, hold.empty));
    let sound: Vec<&Hold> = holds.iter().filter(|hold| !in_a_circle(hold)).collect();
    let meet = |a: &Hold, b: &Hold| a.tool == b.tool && begins_by(a, b) && begins_by(b, a);
    for (i, last) in sound.iter().enumerate() {
        let Some(tool) = context.tools.get(last.tool).filter(|tool| tool.number > 0) else { continue };
        let mut together: Vec<&Hold> = vec![last];
        for hold in &sound[..i] {
            if hold.number <= tool.number && together.iter().all(|other| meet(hold, other)) {
                together.push(hold);
            }
        }
        let wanted: u32 = together.iter().map(|hold| hold.number).sum();
        if together.len() < 2 || last.number > tool.number || wanted <= tool.number {
            continue;
        }
        together.reverse();
        report_meeting(raw, tasks, &together, context);
    }
}

/// Says that some holds of one tool are on together, and at which task if that is certain.
fn report_meeting(raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, together: &[&Hold], context: &TaskContext<'_>) {
    let tool = &context.tools[together[0].tool];
    let code = |task: TaskId| tasks[task].code.as_str();
    let ends: Vec<(TaskId, TaskId, u32)> = together.iter().filter_map(|hold| Some((hold.fill?, hold.empty, hold.number))).collect();
    let after_all = |task: TaskId, others: &[TaskId]| others.iter().all(|o| *o == task || follows(tasks, task, *o));
    let fills: Vec<TaskId> = ends.iter().map(|(fill, ..)| *fill).collect();
    let empties: Vec<TaskId> = ends.iter().map(|(_, empty, _)| *empty).collect();
    // The task that begins the last of them finds all others on.
    let meeting = fills.iter().copied().find(|task| after_all(*task, &fills));
    let last = empties.iter().copied().find(|task| after_all(*task, &empties));
    let place = meeting.map_or_else(|| "at once".to_owned(), |task| format!("at {}", code(task)));
    let words: Vec<String> = ends.iter().map(|(fill, empty, n)| format!("{n} from {} until {} ends", code(*fill), code(*empty))).collect();
    let wanted: u32 = ends.iter().map(|(.., number)| number).sum();
    let message =
        format!("{wanted} of {} are held {place}, and there {} {}: {}", tool.code, is(tool.number), tool.number, words.join(", "));
    let mut diagnostic = Diagnostic::new(Code::ToolHeldAlready, message);
    for (fill, empty, number) in ends.iter().rev() {
        let written = raw[fill.index()].holds.iter().find(|h| h.tool.as_str() == tool.code && h.until.as_str() == code(*empty));
        let Some(place) = written.map(|h| h.tool.place()) else { continue };
        let label = format!("{number} held from {} to {}", code(*fill), code(*empty));
        diagnostic = if diagnostic.primary.is_none() { diagnostic.at(place, label) } else { diagnostic.also(place, label) };
    }
    // From the first task to the last in one.
    let first = fills.iter().copied().find(|task| fills.iter().all(|o| o == task || follows(tasks, *o, *task)));
    if let (Some(first), Some(last)) = (first, last) {
        let (first, last) = (code(first), code(last));
        let number = ends.iter().map(|(.., number)| *number).max().filter(|n| *n > 1).map_or_else(String::new, |n| format!("{n} "));
        let help =
            format!("if it is the same all through, {first} holds it for all of them: hold = \"{number}{} until {last}\"", tool.code);
        diagnostic = diagnostic.help(help);
    }
    context.sink.put(diagnostic.help("else let one end before the next begins, or correct the number in tools.toml"));
}

const fn is(number: u32) -> &'static str {
    if number == 1 { "is" } else { "are" }
}

/// Reports tasks between the two ends of a hold that want more of the held tool than is left: they come after the one
/// and before the other, so that they could never be placed.
fn between(raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, holds: &[Hold], context: &TaskContext<'_>) {
    for hold in holds {
        let (Some(fill), Some(tool)) = (hold.fill, context.tools.get(hold.tool)) else { continue };
        let wanting = |task: &Task| task.tools.iter().find(|(t, _)| *t == hold.tool).map(|(_, number)| *number);
        for (id, task) in tasks.pairs() {
            let Some(wanted) = wanting(task) else { continue };
            // Of circles enough is said elsewhere.
            let inside = follows(tasks, id, fill) && follows(tasks, hold.empty, id) && !follows(tasks, fill, id);
            if !inside || tool.number == 0 || wanted > tool.number || hold.number + wanted <= tool.number {
                continue;
            }
            let word = raw[id.index()].tools.iter().find(|t| t.word.as_str() == tool.code);
            let held = raw[fill.index()].holds.iter().find(|h| h.tool.as_str() == tool.code);
            let (Some(word), Some(held)) = (word, held) else { continue };
            let (first, last) = (&tasks[fill].code, &tasks[hold.empty].code);
            let message = format!(
                "task {} can never begin: {first} holds {} of {} until {last} ends, and of {} there is no more",
                task.code, hold.number, tool.code, tool.number
            );
            context.sink.put(
                Diagnostic::new(Code::ToolHeldAlready, message)
                    .at(word.word.place(), format!("{wanted} of it wanted here"))
                    .also(held.tool.place(), "held from here on")
                    .help(format!("leave {} out of the tools of {} if it is the held one that {} uses", tool.code, task.code, task.code))
                    .help(format!("else end the hold earlier, or let {} come before {first} or after {last}", task.code)),
            );
        }
    }
}

/// Whether `later` comes after `earlier`, directly or not.
pub(in crate::input::lower) fn follows(tasks: &IdVec<TaskId, Task>, later: TaskId, earlier: TaskId) -> bool {
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
pub(super) fn cycles(raw: &[&RawTask], tasks: &IdVec<TaskId, Task>, context: &TaskContext<'_>) {
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

/// How many tasks of a circle are named.
const MOST_NAMED: usize = 20;

/// `circle[i]` comes after `circle[i + 1]`, the last one after the first.
fn report(raw: &[&RawTask], circle: &[TaskId], sink: &Sink) {
    let code = |t: TaskId| raw[t.index()].code.as_str();
    // A circle of very many tasks is named by its first ones.
    let mut names: Vec<&str> = circle.iter().take(MOST_NAMED).map(|t| code(*t)).collect();
    names.push(if circle.len() > MOST_NAMED { "..." } else { code(circle[0]) });
    let message = format!("tasks wait for one another in a circle: {}", names.join(" after "));
    let mut diagnostic = Diagnostic::new(Code::Cycle, message);
    for (i, task) in circle.iter().enumerate().take(MOST_NAMED) {
        let first = circle[(i + 1) % circle.len()];
        let after = raw[task.index()].after.iter().map(|after| &after.task).find(|after| after.as_str() == code(first));
        let before = || raw[first.index()].before.iter().find(|before| before.as_str() == code(*task));
        let Some(place) = after.or_else(before).map(Text::place) else { continue };
        let label = format!("{} waits for {}", code(*task), code(first));
        diagnostic = if diagnostic.primary.is_none() { diagnostic.at(place, label) } else { diagnostic.also(place, label) };
    }
    sink.put(diagnostic.help("take one of these out"));
}
