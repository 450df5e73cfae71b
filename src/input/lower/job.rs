//! `job.toml`: the clock, the span of the job, aims, milestones.

use chrono::NaiveDate;

use crate::clock::{ClockChange, ShipClock};
use crate::diag::{Code, Diagnostic, Place};
use crate::id::{IdVec, MilestoneId, TaskId};
use crate::input::names::Names;
use crate::input::near::nearest;
use crate::input::raw::job::{Job, Milestone as RawMilestone};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::times::{Times, resolve};
use crate::input::when::Written;
use crate::model::{Aim, Milestone};
use crate::time::{Grid, Minutes, Moment};

/// Default slot in minutes.
const SLOT: i64 = 30;

/// How far watches, duties and hours are laid out past the latest end.
const LAYOUT_DAYS: i32 = 8;

/// Clock, grid, start and ends. What cannot be read is reported and replaced by something workable.
pub(in crate::input) fn times(job: Option<&Job>, sink: &Sink) -> Times {
    let grid = job.and_then(|j| j.slot.as_ref()).map_or(Grid::new(minutes(SLOT)), |slot| {
        let grid = Grid::new(minutes(slot.value));
        if grid.is_none() {
            let message = format!("a slot of {} minutes does not divide an hour", slot.value);
            sink.say(Code::OffSlot, message, slot.place, "", "use 15, 30 or 60");
        }
        grid
    });
    let grid = grid.or_else(|| Grid::new(minutes(SLOT))).expect("half an hour is a slot");
    let read = job.and_then(|job| read_times(job, grid, sink));
    read.unwrap_or_else(|| {
        let day_one = NaiveDate::from_ymd_opt(2000, 1, 1).expect("there is such a date");
        let clock = ShipClock::new(day_one, Minutes::ZERO, Vec::new()).expect("no offset is an offset");
        let end = Moment::new(30 * 1440);
        let layout_end = end + Minutes::new(LAYOUT_DAYS * 1440);
        Times { clock, grid, start: Moment::ORIGIN, end, latest_end: end, layout_end, known: false }
    })
}

fn minutes(n: i64) -> Minutes {
    Minutes::new(i32::try_from(n).unwrap_or(0))
}

fn read_times(job: &Job, grid: Grid, sink: &Sink) -> Option<Times> {
    let start_written = job.start.as_ref()?;
    let (day_one, start_minute, start_offset) = match start_written.value {
        Written::Date { date, minute, offset } => (date, minute.unwrap_or(0), offset),
        Written::Day { .. } => {
            let message = "the start cannot be counted from itself";
            sink.say(Code::TimeNotUnderstood, message, start_written.place, "", "write the date and time, like 2027-03-01T08:00");
            return None;
        }
    };
    let offset = job.clock.as_ref()?;
    if start_offset.is_some_and(|o| o != offset.value) {
        let message = "the start has another offset from UTC than `clock`";
        sink.put(
            Diagnostic::new(Code::WrongOffset, message)
                .at(start_written.place, "")
                .also(offset.place, "ship's clock at the start")
                .help("leave the offset out here"),
        );
    }
    let (clock, changed) = clock(job, day_one, Minutes::new(offset.value), grid, sink)?;
    let plain = At::new(Written::Date { date: day_one, minute: Some(start_minute), offset: None }, start_written.place);
    let start = resolve(&clock, &plain, true, sink)?;
    if !grid.aligned(start) {
        let message = "the start is not on a slot boundary";
        sink.say(Code::OffSlot, message, start_written.place, "", format!("slots are {} minutes long, from 00:00", grid.slot().get()));
    }
    let end = end(job, &clock, start, grid, sink)?;
    let latest_end = latest_end(&clock, start, end);
    let layout_end = clock.at(crate::clock::Day::new(clock.day(latest_end).number() + LAYOUT_DAYS), Minutes::new(1440));
    let times = Times { clock, grid, start, end, latest_end, layout_end, known: true };
    for (at, place) in changed {
        times.never_comes("the change of the clock", at, place, sink);
    }
    Some(times)
}

/// Ship's clock, and when and where each of its changes stands.
fn clock(job: &Job, day_one: NaiveDate, offset: Minutes, grid: Grid, sink: &Sink) -> Option<(ShipClock, Vec<(Moment, Place)>)> {
    let mut clock = ShipClock::new(day_one, offset, Vec::new())?;
    let mut places = Vec::new();
    let mut changes: Vec<ClockChange> = Vec::new();
    for change in &job.changes {
        let Some(at) = resolve(&clock, &change.at, true, sink) else { continue };
        let offset = Minutes::new(change.offset.value);
        let before = clock.offset_at(at);
        if !grid.aligned(at) || (offset - before).get() % grid.slot().get() != 0 {
            let message = "the clock changes off the slot grid, or by less than whole slots";
            let help = format!("slots are {} minutes long; choose a shorter slot or move the change", grid.slot().get());
            sink.say(Code::OffSlot, message, change.at.place, "", help);
        }
        let mut next = changes.clone();
        next.push(ClockChange { at, offset });
        let later = changes.iter().any(|c| c.at >= at);
        let known = changes.iter().map(|c| c.offset).chain([clock.offset_at(Moment::FAR_PAST)]);
        if let Some(far) = known.map(|o| offset - o).find(|jump| jump.get().abs() >= Minutes::DAY.get()) {
            let how = if far.get() > 0 { "forward" } else { "back" };
            let message = format!("ship's clock would go {how} by {}, a day or more", Minutes::new(far.get().abs()));
            let help = "at the date line keep the date of the side the job began on (UTC+13 in place of UTC-11 shows the same hour), or \
                        begin another job there";
            sink.say(Code::ClockChange, message, change.at.place, "", help);
            continue;
        }
        match ShipClock::new(day_one, clock.offset_at(Moment::FAR_PAST), next.clone()) {
            Some(new) if !later && offset != before => {
                clock = new;
                changes = next;
                places.push((at, change.at.place));
            }
            Some(_) | None => {
                let message = "this change of the clock does not work";
                let help = "list changes in order of time, each with a new offset of less than a day";
                sink.say(Code::ClockChange, message, change.at.place, "", help);
            }
        }
    }
    Some((clock, places))
}

fn end(job: &Job, clock: &ShipClock, start: Moment, grid: Grid, sink: &Sink) -> Option<Moment> {
    if let Some(written) = &job.end {
        let end = resolve(clock, written, true, sink)?;
        let length = end - start;
        if length <= Minutes::ZERO || length > Minutes::new(180 * 1440) {
            let message = "the end is not after the start, or more than 180 days after it";
            sink.say(Code::EndsBeforeItBegins, message, written.place, "", "correct the day, or write `days` in its place");
            return None;
        }
        if !grid.aligned(end) {
            let help = format!("slots are {} minutes long, from 00:00", grid.slot().get());
            sink.say(Code::OffSlot, "the end is not on a slot boundary", written.place, "", help);
        }
        return Some(end);
    }
    let days = i32::try_from(job.days.as_ref()?.value).ok()?;
    Some(clock.at(crate::clock::Day::new(clock.day(start).number() + days), Minutes::ZERO))
}

/// The end grown by whole ship's days as long as it is at most three times the length after the start.
fn latest_end(clock: &ShipClock, start: Moment, end: Moment) -> Moment {
    let longest = start + Minutes::new((end - start).get() * 3);
    let time = clock.minute_of_day(end);
    let mut day = clock.day(end);
    let mut latest = end;
    loop {
        day = day.next();
        let next = clock.at(day, time);
        if next > longest {
            return latest;
        }
        latest = next;
    }
}

/// The order of aims; those left out follow in their usual order. Without a milestone the finish comes
/// second in the usual order.
pub(in crate::input) fn aims(texts: &[Text], any_milestone: bool, sink: &Sink) -> Vec<Aim> {
    const WORDS: [(&str, Aim); 7] = [
        ("shortfall", Aim::Shortfall),
        ("lateness", Aim::Lateness),
        ("overtime", Aim::NightAndOvertime),
        ("told", Aim::Told),
        ("finish", Aim::Finish),
        ("fairness", Aim::Fairness),
        ("steady", Aim::Steady),
    ];
    let mut aims = Vec::new();
    for text in texts {
        match WORDS.iter().find(|(word, _)| text.is(word)) {
            Some((word, aim)) if aims.contains(aim) => {
                sink.say(Code::AimTwice, format!("the aim `{word}` stands twice"), text.place(), "a second time", "keep one of them");
            }
            Some((_, aim)) => aims.push(*aim),
            None => {
                let message = format!("`{}` is not an aim", text.as_str());
                let help = match nearest(text.as_str(), WORDS.iter().map(|(word, _)| *word)) {
                    Some(near) => format!("write `{near}` if that is what is meant"),
                    None => format!("the aims are {}", WORDS.map(|(word, _)| word).join(", ")),
                };
                sink.say(Code::NotAChoice, message, text.place(), "", help);
            }
        }
    }
    let mut usual = Aim::DEFAULT.to_vec();
    if !any_milestone {
        usual.retain(|a| *a != Aim::Finish);
        usual.insert(1, Aim::Finish);
    }
    let missing: Vec<Aim> = usual.into_iter().filter(|a| !aims.contains(a)).collect();
    aims.extend(missing);
    aims
}

/// The milestones.
pub(in crate::input) fn milestones(
    raw: &[RawMilestone],
    names: &mut Names<MilestoneId>,
    tasks: &Names<TaskId>,
    times: &Times,
    sink: &Sink,
) -> IdVec<MilestoneId, Milestone> {
    let mut milestones = IdVec::new();
    for milestone in raw {
        let found = tasks.find_all(&milestone.tasks, sink);
        if milestone.tasks.is_empty() {
            let message = format!("milestone {} names no task", milestone.code.as_str());
            sink.say(Code::MilestoneWithoutTask, message, milestone.code.place(), "", "add tasks = \"A60\"");
        }
        let due = milestone.due.as_ref().and_then(|d| times.moment_in_job(d, "the milestone", sink));
        if names.define(&milestone.code, sink).is_none() {
            continue;
        }
        let _: MilestoneId = milestones.push(Milestone {
            code: milestone.code.as_str().to_owned(),
            text: milestone.text.as_ref().map_or(String::new(), |t| t.as_str().to_owned()),
            tasks: found,
            due: due.unwrap_or(times.end),
            weight: milestone.weight,
        });
    }
    milestones
}
