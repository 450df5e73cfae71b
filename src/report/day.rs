//! The sheet of one ship's day.

use crate::account::Shortfall;
use crate::clock::Day;
use crate::id::{DutyId, IdVec, ModeId, PersonId, PostId, TagId, TaskId, ToolId, TurnId};
use crate::model::{Ban, Hold, Turn, When};
use crate::plan::Spell;
use crate::report::lines::{self, Act, Line};
use crate::report::machinery::{self, MachineryDay};
use crate::report::reserve::{self, ReserveDay};
use crate::report::{Report, hours, tools_of};
use crate::time::{Minutes, Moment, Span, union};

/// Everything the sheet of one ship's day shows.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DaySheet {
    /// The day.
    pub day: Day,
    /// The part of it inside the plan.
    pub span: Span,
    /// Modes of the ship, in time order.
    pub modes: Vec<(Span, ModeId)>,
    /// Windows of the job in which some tags are banned, clipped to the day (duties carry their own).
    pub bans: Vec<Ban>,
    /// Changes of the ship's clock in the day: when, and by how much it is put forward.
    pub clock_changes: Vec<(Moment, Minutes)>,
    /// What each person does, in table order.
    pub people: Vec<PersonDay>,
    /// Turns by post, then time.
    pub watches: Vec<WatchRow>,
    /// Duties by time.
    pub duties: Vec<DutyRow>,
    /// Tasks that run without people, by time.
    pub by_itself: Vec<ByItself>,
    /// Tools held through a wait at some time of the day, by tool.
    pub waiting: Vec<Waiting>,
    /// Tools in use, by tool.
    pub tools: Vec<ToolRow>,
    /// Cautions of the tasks that are worked on, by tag.
    pub cautions: Vec<Caution>,
    /// Who can be called.
    pub reserve: ReserveDay,
    /// Machines able and needed.
    pub machinery: MachineryDay,
    /// Where machinery or reserve falls short, clipped to the day.
    pub shortfalls: Vec<Shortfall>,
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
}

/// A person's day.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonDay {
    /// Who.
    pub person: PersonId,
    /// What, in time order; rest is left out.
    pub lines: Vec<Line>,
    /// From turning to until knocking off, for each working stretch in which there is anything to do.
    pub at_work: Vec<Span>,
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
    /// Watch time.
    pub watch: Minutes,
    /// Time on hand in ordinary hours.
    pub on_hand: Minutes,
}

/// A turn on a post.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WatchRow {
    /// The turn.
    pub turn: TurnId,
    /// The post.
    pub post: PostId,
    /// The part of it inside the day.
    pub span: Span,
    /// Who stands it.
    pub person: PersonId,
}

/// A duty.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DutyRow {
    /// The duty.
    pub duty: DutyId,
    /// From when to when, not clipped.
    pub span: Span,
    /// Who attends, in table order.
    pub people: Vec<PersonId>,
    /// Those who do it along with their watch.
    pub on_watch: Vec<PersonId>,
    /// Those excused for the whole of it because they have the watch.
    pub excused: Vec<PersonId>,
}

/// A task that runs without people.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ByItself {
    /// The task.
    pub task: TaskId,
    /// From when to when, not clipped.
    pub span: Span,
}

/// A tool held through a wait.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Waiting {
    /// The tool, and the tasks that fill and empty it.
    pub hold: Hold,
    /// From the last end of the filling task to the first start of the emptying one, not clipped.
    pub span: Span,
}

/// Use of a tool.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ToolRow {
    /// The tool.
    pub tool: ToolId,
    /// When it is used, and by which task; by time.
    pub uses: Vec<(Span, TaskId)>,
}

/// A caution with the tasks that carry it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Caution {
    /// The tag.
    pub tag: TagId,
    /// The tasks of the day that carry it, in table order.
    pub tasks: Vec<TaskId>,
}

/// Puts the sheet of `day` together.
pub(super) fn sheet(report: &Report<'_>, day: Day) -> DaySheet {
    let problem = report.problem();
    let whole = problem.clock.day_span(day);
    let span = whole.intersection(report.span()).unwrap_or(whole);
    let account = report.account();
    let row = account.days.iter().find(|d| d.day == day);
    let clip = |other: Span| other.intersection(span);
    DaySheet {
        day,
        span,
        modes: problem.mode_spans.iter().filter_map(|(s, m)| clip(*s).map(|s| (s, *m))).collect(),
        bans: problem.bans.iter().filter_map(|b| clip(b.span).map(|span| Ban { span, ..b.clone() })).collect(),
        clock_changes: clock_changes(report, whole),
        people: problem.people.ids().map(|p| person_day(report, p, day, span)).collect(),
        watches: watches(report, span),
        duties: duties(report, span),
        by_itself: by_itself(report, span),
        waiting: waiting(report, span),
        tools: tools(report, span),
        cautions: cautions(report, span),
        reserve: reserve::of(report, day, span),
        machinery: machinery::of(report, span),
        shortfalls: account.shortfalls.iter().filter_map(|s| clip(s.span).map(|span| Shortfall { span, of: s.of.clone() })).collect(),
        labour: row.map_or(Minutes::ZERO, |r| r.labour),
        overtime: row.map_or(Minutes::ZERO, |r| r.overtime),
    }
}

fn clock_changes(report: &Report<'_>, whole: Span) -> Vec<(Moment, Minutes)> {
    let clock = &report.problem().clock;
    let here = clock.changes().iter().filter(|c| whole.contains(c.at));
    here.map(|c| (c.at, c.offset - clock.offset_at(c.at - Minutes::new(1)))).collect()
}

fn person_day(report: &Report<'_>, person: PersonId, day: Day, span: Span) -> PersonDay {
    let problem = report.problem();
    let who = &problem.people[person];
    let all = lines::clip(report.lines(person), span);
    let sum = |wanted: fn(&Act) -> bool| all.iter().filter(|l| wanted(&l.act)).map(|l| l.span.length()).sum::<Minutes>();
    let tasks = all.iter().filter(|l| matches!(l.act, Act::Task(_)));
    let overtime = tasks.map(|l| hours::overtime(who, l.span)).sum();
    PersonDay {
        person,
        at_work: report.at_work(person, day),
        labour: sum(|a| matches!(a, Act::Task(_))),
        overtime,
        watch: sum(|a| matches!(a, Act::Watch(..))),
        on_hand: sum(|a| matches!(a, Act::OnHand)),
        lines: all.into_iter().filter(|l| l.act != Act::Rest).collect(),
    }
}

fn watches(report: &Report<'_>, span: Span) -> Vec<WatchRow> {
    let problem = report.problem();
    let row = |(turn, row): (TurnId, &Turn)| {
        let person = *report.plan().turns.get(turn)?;
        row.span.intersection(span).map(|span| WatchRow { turn, post: row.post, span, person })
    };
    let mut rows: Vec<WatchRow> = problem.turns.pairs().filter_map(row).collect();
    rows.sort_by_key(|r| (r.post, r.span));
    rows
}

fn duties(report: &Report<'_>, span: Span) -> Vec<DutyRow> {
    let mut rows: Vec<DutyRow> = Vec::new();
    for (id, duty) in report.problem().duties.pairs() {
        let Some(when) = report.duty_span(id).filter(|w| w.overlaps(span)) else { continue };
        let attended = report.account().duties.get(id).map_or(&[][..], Vec::as_slice);
        let on_watch: Vec<PersonId> = duty.who.iter().copied().filter(|p| attended.iter().any(|a| a.person == *p && a.on_watch)).collect();
        let (people, excused) = duty.who.iter().copied().partition(|p| attended.iter().any(|a| a.person == *p));
        rows.push(DutyRow { duty: id, span: when, people, on_watch, excused });
    }
    rows.sort_by_key(|r| (r.span, r.duty));
    rows
}

fn by_itself(report: &Report<'_>, span: Span) -> Vec<ByItself> {
    let alone = spells(report, span).filter(|s| report.problem().tasks[s.task].unmanned());
    alone.map(|s| ByItself { task: s.task, span: s.span() }).collect()
}

fn waiting(report: &Report<'_>, span: Span) -> Vec<Waiting> {
    let tasks = &report.account().tasks;
    let problem = report.problem();
    let rows = problem.holds.iter().filter(|h| h.fill != Some(h.empty));
    let filled = |fill: Option<TaskId>| fill.map_or(Some(problem.start), |fill| Some(tasks.get(fill)?.end));
    let mut rows: Vec<Waiting> = rows
        .filter_map(|hold| {
            Some(Waiting { hold: *hold, span: Span::new(filled(hold.fill.or(hold.filling))?, tasks.get(hold.empty)?.start)? })
        })
        .filter(|w| w.span.overlaps(span))
        .collect();
    rows.sort_by_key(|w| (w.hold.tool, w.span));
    rows
}

/// Spells that share time with `span`, in the order of the plan.
fn spells<'a>(report: &'a Report<'_>, span: Span) -> impl Iterator<Item = &'a Spell> + 'a {
    report.plan().spells.iter().filter(move |s| s.span().overlaps(span))
}

/// Tasks with a spell that shares time with `span`, in table order.
fn tasks(report: &Report<'_>, span: Span) -> Vec<TaskId> {
    let mut tasks: Vec<TaskId> = spells(report, span).map(|s| s.task).collect();
    tasks.sort_unstable();
    tasks.dedup();
    tasks
}

fn tools(report: &Report<'_>, span: Span) -> Vec<ToolRow> {
    let mut uses: IdVec<ToolId, Vec<(Span, TaskId)>> = IdVec::filled(Vec::new(), report.problem().tools.len());
    for task in tasks(report, span) {
        let mine = spells(report, span).filter(|s| s.task == task);
        let joined = union(mine.filter_map(|s| s.span().intersection(span)).collect());
        for (tool, _) in tools_of(report.problem(), task) {
            uses[tool].extend(joined.iter().map(|s| (*s, task)));
        }
    }
    for row in &mut uses {
        row.sort_unstable();
    }
    uses.pairs().filter(|(_, uses)| !uses.is_empty()).map(|(tool, uses)| ToolRow { tool, uses: uses.clone() }).collect()
}

fn cautions(report: &Report<'_>, span: Span) -> Vec<Caution> {
    let problem = report.problem();
    let tasks = tasks(report, span);
    let carry = |tag: TagId| tasks.iter().copied().filter(|t| problem.tasks[*t].tags.contains(&tag)).collect();
    problem.tags.ids().map(|tag| Caution { tag, tasks: carry(tag) }).filter(|c| !c.tasks.is_empty()).collect()
}

impl Report<'_> {
    /// When a duty is done: from its moment in the plan for the length the problem gives it.
    #[must_use]
    pub fn duty_span(&self, duty: DutyId) -> Option<Span> {
        let length = match self.problem.duties[duty].when {
            When::Fixed(span) => span.length(),
            When::Movable { length, .. } => length,
        };
        Span::of(*self.plan.duties.get(duty)?, length)
    }
}
