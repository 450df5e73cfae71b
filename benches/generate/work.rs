//! The tasks: blocks of one machine each, in strands of dismantling, cleaning, reconditioning and
//! reassembly between a common beginning and a common end.

use turnto::id::{Id, IdVec, MilestoneId, PersonId, PhaseId, PostId, TagId, TaskId, ToolId, UnitId};
use turnto::model::{After, Ban, Different, Estimate, Hold, Milestone, Person, Stop, Task, Tool};
use turnto::time::{Minutes, Slots};

use super::profiles::{self, Kind, Profile};
use super::ship::Machinery;
use super::{Draft, Watchkeeping, competence};

/// What there is to do, and with what.
pub(super) struct Work {
    pub(super) tasks: IdVec<TaskId, Task>,
    pub(super) tools: IdVec<ToolId, Tool>,
    pub(super) holds: Vec<Hold>,
    pub(super) bans: Vec<Ban>,
    pub(super) milestones: IdVec<MilestoneId, Milestone>,
}

struct Builder<'a> {
    draft: &'a mut Draft,
    people: &'a IdVec<PersonId, Person>,
    tasks: IdVec<TaskId, Task>,
    holds: Vec<Hold>,
}

/// The tasks of all blocks.
pub(super) fn tasks(draft: &mut Draft, people: &IdVec<PersonId, Person>, machinery: &Machinery) -> Work {
    let (number, blocks) = (draft.size.tasks, machinery.blocks.len());
    let mut builder = Builder { draft, people, tasks: IdVec::new(), holds: Vec::new() };
    let mut ends: Vec<TaskId> = Vec::new();
    let mut milestones = IdVec::new();
    for (b, (unit, before)) in machinery.blocks.iter().enumerate() {
        let share = number * (b + 1) / blocks - number * b / blocks;
        let end = builder.block(share, *unit, before.map(|b| ends[b]));
        ends.push(end);
        // Due when the chain of machines before it and after it would have it done.
        let used = machinery.groups.len();
        let (place, places) = (b / used + 1, (blocks - 1 - b % used) / used + 1);
        let day = builder.draft.size.days * i32::try_from(place).unwrap_or(1) / i32::try_from(places).unwrap_or(1);
        milestones.push(Milestone {
            code: format!("B{}", b + 1),
            text: "back in stand-by".to_owned(),
            tasks: vec![end],
            due: builder.draft.at(day, 12 * 60),
            weight: if b == 0 { 2 } else { 1 },
        });
    }
    let Builder { draft, tasks, holds, .. } = builder;
    let lift = tag("lift");
    let weather = draft.hours(4, 12 * 60, 18 * 60).map(|span| Ban { span, tags: vec![lift], reason: "swell".to_owned() });
    Work { tasks, tools: tools(draft), holds, bans: weather.into_iter().collect(), milestones }
}

/// One of each tool; large jobs have a second tank, and the lathe is away for a day.
fn tools(draft: &Draft) -> IdVec<ToolId, Tool> {
    profiles::TOOLS
        .iter()
        .map(|code| Tool {
            code: (*code).to_owned(),
            name: String::new(),
            number: if *code == "SOAK" && draft.size.tasks > 120 { 2 } else { 1 },
            away: if *code == "LATHE" { draft.hours(2, 0, 24 * 60).into_iter().collect() } else { Vec::new() },
            calibrated_until: None,
        })
        .collect()
}

fn tag(code: &str) -> TagId {
    TagId::from_index(profiles::TAGS.iter().position(|t| *t == code).unwrap_or_else(|| panic!("{code} is a tag")))
}

fn tool(code: &str) -> ToolId {
    ToolId::from_index(profiles::TOOLS.iter().position(|t| *t == code).unwrap_or_else(|| panic!("{code} is a tool")))
}

impl Builder<'_> {
    /// One machine, from the first look to hand-over; its last task.
    fn block(&mut self, number: usize, unit: UnitId, before: Option<TaskId>) -> TaskId {
        let run_in = self.draft.watchkeeping() != Watchkeeping::None;
        let tail = 5 + usize::from(run_in);
        let head = (number / 8).clamp(3, 6);
        let mut done: Vec<TaskId> = before.into_iter().collect();
        for i in 0..head {
            let (phase, list) = if i < head.div_ceil(2) { (0, &profiles::PREPARE[..]) } else { (1, &profiles::ISOLATE[..]) };
            let task = self.add(phase, &list[i % list.len()], &done);
            if i + 1 == head.div_ceil(2) {
                self.tasks[task].takes_out.push(unit);
            }
            if before.is_none() && i == 0 {
                let by = self.draft.at(4, 24 * 60);
                self.tasks[task].not_after = Some(by);
            }
            done = vec![task];
        }
        let strands = self.strands(number - head - tail, done[0]);
        let check = self.add(5, &profiles::CHECK, &strands);
        self.keep_apart(check, &strands);
        let mut last = check;
        for profile in &profiles::TEST[..tail - 2 - usize::from(run_in)] {
            last = self.add(6, profile, &[last]);
        }
        if run_in {
            last = self.add(6, &profiles::RUN_IN, &[last]);
            self.tasks[last].attended_by = Some(PostId::from_index(0));
        }
        let end = self.add(6, &profiles::HAND_BACK, &[last]);
        if let Some(after) = self.tasks[end].after.last_mut() {
            after.lag = Minutes::hours(1);
        }
        self.tasks[end].hands_back.push(unit);
        end
    }

    /// Strands side by side; their last tasks.
    fn strands(&mut self, number: usize, first: TaskId) -> Vec<TaskId> {
        let strands = (number / 7).clamp(1, 5);
        let mut done_in: Vec<Vec<TaskId>> = Vec::new();
        for s in 0..strands {
            let share = number * (s + 1) / strands - number * s / strands;
            let mut done = first;
            let mut strand = Vec::new();
            let mut i = 0;
            while i < share {
                // The first strand has a soak in it, where there is room.
                if s == 0 && i == share / 3 && i + 2 < share {
                    done = self.soak(done);
                    strand.push(done);
                    i += 2;
                    continue;
                }
                let (phase, list) = match 4 * i / share {
                    0 => (2, &profiles::DISMANTLE[..]),
                    1 => (3, &profiles::CLEAN[..]),
                    2 => (4, &profiles::RECONDITION[..]),
                    _ => (5, &profiles::REASSEMBLE[..]),
                };
                let profile = &list[self.draft.random.below(list.len())];
                let mut after = vec![done];
                if self.draft.random.chance(150) && s > 0 {
                    // It waits for what is as far along in another strand.
                    let other: &Vec<TaskId> = &done_in[self.draft.random.below(s)];
                    after.extend(other.get((i * other.len() / share).saturating_sub(1)));
                }
                done = self.add(phase, profile, &after);
                if self.draft.random.chance(80) {
                    self.tasks[done].after[0].lag = Minutes::new(60 * i32::try_from(1 + self.draft.random.below(4)).unwrap_or(1));
                }
                if self.draft.random.chance(40) {
                    let day = 2 + i32::try_from(self.draft.random.below(2)).unwrap_or(0);
                    self.tasks[done].not_before = Some(self.draft.at(day, 10 * 60));
                }
                // Now and then something that is done whatever the hour.
                self.tasks[done].emergency = self.draft.random.chance(8);
                strand.push(done);
                i += 1;
            }
            done_in.push(strand);
        }
        done_in.iter().filter_map(|strand| strand.last().copied()).collect()
    }

    /// Into the tank, a soak over night, and out again.
    fn soak(&mut self, before: TaskId) -> TaskId {
        let fill = self.add(3, &profiles::FILL, &[before]);
        let empty = self.add(3, &profiles::EMPTY, &[fill]);
        self.tasks[empty].after[0].lag = Minutes::hours(8 + 2 * i32::try_from(self.draft.random.below(3)).unwrap_or(0));
        self.holds.push(Hold { tool: tool("SOAK"), number: 1, fill: Some(fill), filling: None, empty });
        empty
    }

    /// Who checks has not tensioned, where the crew is large enough for it.
    fn keep_apart(&mut self, check: TaskId, strands: &[TaskId]) {
        if self.draft.watchkeeping() != Watchkeeping::Pairs {
            return;
        }
        let tension = tag("tension");
        let tensioned: Vec<TaskId> = strands.iter().copied().filter(|t| self.tasks[*t].tags.contains(&tension)).collect();
        self.tasks[check].different =
            tensioned.into_iter().take(2).map(|other| Different { need: 1, other, other_needs: Vec::new() }).collect();
    }

    fn add(&mut self, phase: usize, profile: &Profile, after: &[TaskId]) -> TaskId {
        let slots = profile.slots.0 + self.draft.random.below(profile.slots.1 - profile.slots.0 + 1);
        let slots = i32::try_from(slots).unwrap_or(1);
        let typical = self.draft.grid.length(Slots::new(slots));
        let mut after: Vec<After> = after.iter().map(|t| After { task: *t, lag: Minutes::ZERO }).collect();
        after.sort_unstable();
        after.dedup();
        let needs: Vec<_> = profile.needs.split('+').filter(|n| !n.is_empty()).map(competence).collect();
        let mut cautions: Vec<TagId> = profile.tags.iter().map(|t| tag(t)).collect();
        cautions.sort_unstable();
        let stop = match profile.stop {
            Kind::Any => Stop::Any { min_spell: Slots::new(2) },
            Kind::Never => Stop::Never,
            Kind::Parts(parts) => Stop::Parts(parts),
        };
        // Tasks that stop between parts and have a leader keep him.
        let lead = needs.iter().position(|n| *n == competence("LEAD")).filter(|_| matches!(profile.stop, Kind::Parts(_)));
        debug_assert!(self.people.len() >= needs.len(), "there are enough people for a team");
        self.tasks.push(Task {
            code: format!("T{:03}", self.tasks.len() + 1),
            text: profiles::PHASES[phase].to_owned(),
            phase: PhaseId::from_index(phase),
            needs,
            hours: Estimate { least: Minutes::new(typical.get() * 3 / 4), typical, most: Minutes::new(typical.get() * 2) },
            length: Slots::new(slots),
            stop,
            pauses: !cautions.iter().any(|t| t.index() < 3),
            after,
            tools: profile.tools.iter().map(|t| (tool(t), 1)).collect(),
            not_before: None,
            not_after: None,
            tags: cautions,
            takes_out: Vec::new(),
            hands_back: Vec::new(),
            same: lead.into_iter().collect(),
            different: Vec::new(),
            emergency: false,
            attended_by: None,
            pinned: turnto::model::Pinned::default(),
            close_up: turnto::model::CloseUp::Needed,
            under_way: None,
        })
    }
}
