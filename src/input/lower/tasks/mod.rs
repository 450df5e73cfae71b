//! `tasks.toml`: phases, tags, tasks, held tools.

mod closing;
pub(super) mod order;
mod stops;
mod team;

use crate::diag::Code;
use crate::id::{Id, IdVec, PersonId, PhaseId, TagId, TaskId, ToolId};
use crate::input::index::Index;
use crate::input::raw::tasks::{Task as RawTask, Tasks};
use crate::input::sink::Sink;
use crate::input::text::At;
use crate::input::times::Times;
use crate::model::{CloseUp, Hold, Named, Person, Tag, Task, Tool};
use crate::time::{Moment, Slots};

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

/// Defines phases: declared ones, or those used, in the order they come.
pub(in crate::input) fn phases(raw: &Tasks, index: &mut Index, sink: &Sink) -> IdVec<PhaseId, Named> {
    let mut table = IdVec::new();
    for (code, name) in &raw.phases {
        if index.phases.define(code, sink).is_some() {
            let _: PhaseId = table.push(Named { code: code.as_str().to_owned(), name: name.as_str().to_owned() });
        }
    }
    if raw.phases.is_empty() {
        for code in raw.rows.iter().filter_map(|t| t.phase.as_ref()) {
            if index.phases.get(code.as_str()).is_none() && index.phases.define(code, sink).is_some() {
                let _: PhaseId = table.push(Named { code: code.as_str().to_owned(), name: String::new() });
            }
        }
    }
    // Tasks without a phase share one without a name.
    if raw.rows.iter().any(|t| t.phase.is_none()) || table.is_empty() {
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
        if index.tags.build_in(code).is_some() {
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
    /// Those of them whose hours could not be read.
    pub unread: &'a [PersonId],
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
    if raw.rows.is_empty() && !raw.broken {
        sink.say(Code::NoTasks, "there is no task", raw.head, "", "add a [task.CODE] table");
    }
    raw.rows.iter().filter(|t| index.tasks.define(&t.code, sink).is_some()).collect()
}

/// The tasks, in the order of their ids, and the tools they hold through waits.
pub(in crate::input) fn tasks(raw: &[&RawTask], context: &TaskContext<'_>) -> (IdVec<TaskId, Task>, Vec<Hold>) {
    let mut tasks: IdVec<TaskId, Task> = raw.iter().map(|t| lower(t, context)).collect();
    order::cycles(raw, &tasks, context);
    let holds = order::holds(raw, &mut tasks, context);
    team::differences(raw, &mut tasks, context);
    closing::closing(raw, &mut tasks, 0, context);
    (tasks, holds)
}

/// Tasks written elsewhere, `more`, whose ids follow those of `base`, and what they hold through waits. Nothing
/// in `base` refers to them.
pub(in crate::input) fn added(
    written: &[&RawTask],
    base: &IdVec<TaskId, Task>,
    more: &[&RawTask],
    context: &TaskContext<'_>,
) -> (Vec<Task>, Vec<Hold>) {
    let raw: Vec<&RawTask> = written.iter().chain(more).copied().collect();
    let mut all: IdVec<TaskId, Task> = base.iter().cloned().chain(more.iter().map(|t| lower(t, context))).collect();
    order::cycles(&raw, &with_before(&all, &raw, context), context);
    let holds = order::holds(&raw, &mut all, context);
    for task in &mut all {
        task.different.clear();
    }
    team::differences(&raw, &mut all, context);
    closing::closing(&raw, &mut all, base.len(), context);
    let new = |task: Option<TaskId>| task.is_some_and(|t| t.index() >= base.len());
    (all.iter().skip(base.len()).cloned().collect(), holds.into_iter().filter(|h| new(h.fill)).collect())
}

/// The tasks, each after those that are to come before it by what they say themselves.
fn with_before(tasks: &IdVec<TaskId, Task>, raw: &[&RawTask], context: &TaskContext<'_>) -> IdVec<TaskId, Task> {
    let mut all = tasks.clone();
    for (id, row) in tasks.ids().zip(raw) {
        for later in row.before.iter().filter_map(|code| context.index.tasks.get(code.as_str())).filter(|later| *later != id) {
            all[later].come_after(id);
        }
    }
    all
}

fn lower(raw: &RawTask, context: &TaskContext<'_>) -> Task {
    let (sink, index, times) = (context.sink, context.index, context.times);
    let code = raw.code.as_str();
    let needs = team::needs(raw, context);
    let hours = stops::estimate(raw, sink);
    let length = Slots::new(times.grid.ceil_length(hours.typical).count().max(1));
    let unmanned = raw.needs.as_ref().is_some_and(|(_, n)| n.is_empty());
    let unsure = sink.is_unsure(raw.code.place());
    let stop = stops::stop(raw, unmanned, length, times.grid, sink);
    let mut tags = index.tags.find_all(&raw.tags, sink);
    tags.sort_unstable();
    let unpaused = tags.iter().any(|t| context.tags.get(*t).is_some_and(|tag| UNPAUSED_TAGS.contains(&tag.code.as_str())));
    let pauses = raw.pause.as_ref().map_or(!unpaused && !unmanned, |p| p.value);
    let moment = |at: &Option<At<_>>, what: &str| at.as_ref().and_then(|at| times.moment_in_job(at, what, sink));
    let not_before = moment(&raw.not_before, "`not_before`");
    let not_after = moment(&raw.not_after, "`not_after`");
    window(raw, not_before, not_after, length, times, sink);
    if !unsure {
        attendance(raw, unmanned, sink);
    }
    if !needs.is_empty() && !raw.emergency {
        team::one_go(raw, &needs, stop, length, pauses, context);
    }
    Task {
        code: code.to_owned(),
        text: raw.text.as_ref().map_or(String::new(), |t| t.as_str().to_owned()),
        phase: raw.phase.as_ref().and_then(|p| index.phases.find(p, sink)).unwrap_or(context.last_phase),
        same: team::same(raw, sink),
        needs,
        hours,
        length,
        stop,
        pauses,
        after: order::after(raw, context),
        tools: order::tools(raw, context),
        not_before,
        not_after,
        tags,
        takes_out: index.units.find_all(&raw.takes_out, sink),
        hands_back: index.units.find_all(&raw.hands_back, sink),
        different: Vec::new(),
        emergency: raw.emergency,
        attended_by: raw.attended_by.as_ref().and_then(|p| index.posts.find(p, sink)),
        close_up: CloseUp::Needed,
        pinned: crate::model::Pinned::default(),
        under_way: None,
    }
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
