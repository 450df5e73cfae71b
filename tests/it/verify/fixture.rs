//! One small job with something for every hard rule, and a legal plan for it.

use turnto::id::{CompetenceId, DutyId, PersonId, PostId, TagId, TaskId, ToolId, TurnId};
use turnto::model::{After, Ban, Different, Hold, OnWatch, Parts, Problem, RecordKind, Recorded, Stand, Stop, Stretch, When};
use turnto::plan::Plan;
use turnto::time::{Minutes, Slots};
use turnto::verify::{Breach, Verified, verify};

use crate::support::job::{Job, at, idle_plan, on, on_hand, spell};

/// Everything in the job has a name here.
pub(crate) struct Fixture {
    pub(crate) parts: Parts,
    pub(crate) plan: Plan,
    pub(crate) c: Competences,
    pub(crate) p: People,
    pub(crate) t: Tasks,
    pub(crate) d: Duties,
    pub(crate) crane: ToolId,
    pub(crate) soak: ToolId,
    pub(crate) watch: PostId,
    pub(crate) hot: TagId,
    pub(crate) lift: TagId,
}

pub(crate) struct Competences {
    pub(crate) lead: CompetenceId,
}

/// LE, FT, EO and MO are day workers; W1 to W3 stand the watch; NX works at night, before and after midnight
/// in two stretches that touch.
pub(crate) struct People {
    pub(crate) le: PersonId,
    pub(crate) ft: PersonId,
    pub(crate) eo: PersonId,
    pub(crate) mo: PersonId,
    pub(crate) w1: PersonId,
    pub(crate) w2: PersonId,
    pub(crate) w3: PersonId,
    pub(crate) nx: PersonId,
}

pub(crate) struct Tasks {
    pub(crate) a: TaskId,
    pub(crate) p: TaskId,
    pub(crate) n: TaskId,
    pub(crate) q: TaskId,
    pub(crate) c: TaskId,
    pub(crate) r: TaskId,
    pub(crate) r2: TaskId,
    pub(crate) e: TaskId,
    pub(crate) f: TaskId,
    pub(crate) g: TaskId,
    pub(crate) s: TaskId,
    pub(crate) h: TaskId,
    pub(crate) k: TaskId,
    pub(crate) x: TaskId,
}

pub(crate) struct Duties {
    pub(crate) toolbox: DutyId,
    pub(crate) meet: DutyId,
    pub(crate) round: DutyId,
    pub(crate) survey: DutyId,
    pub(crate) steering: DutyId,
    pub(crate) helm: DutyId,
    /// The last row of the table of duties.
    pub(crate) last: DutyId,
}

impl Fixture {
    /// The job and its legal plan.
    pub(crate) fn new() -> Self {
        let mut job = Job::new(3);
        let lead = job.competence("LEAD");
        let hyd = job.competence("HYD");
        let ele = job.competence("ELE");
        let general = job.competence("GEN");
        let oow = job.competence("OOW");
        let nite = job.competence("NITE");
        let (hot, lift) = (job.tag("hot_work"), job.tag("lift"));
        let (crane, soak) = (job.tool("CRANE", 1), job.tool("SOAK", 1));
        let p = People {
            le: job.person("LE", &[lead, general]),
            ft: job.person("FT", &[lead, hyd, general]),
            eo: job.person("EO", &[ele, hyd, general]),
            mo: job.person("MO", &[general]),
            w1: job.person("W1", &[lead, general, oow]),
            w2: job.person("W2", &[oow]),
            w3: job.person("W3", &[oow]),
            nx: job.person("NX", &[nite]),
        };
        for person in [p.le, p.ft, p.eo, p.mo] {
            job.day_work(person);
        }
        job.hours(p.w1, &["08:00-12:00"], &[], &[]);
        job.hours(p.nx, &["00:00-04:00"], &[], &[]);
        let evenings: Vec<Stretch> = job
            .days()
            .map(|day| Stretch { day: turnto::clock::Day::new(day), ordinary: vec![on(day, "20:00-24:00")], overtime: Vec::new() })
            .collect();
        job.parts.people[p.nx].stretches.extend(evenings);
        job.parts.people[p.nx].stretches.sort_by_key(|s| s.ordinary[0]);
        job.parts.people[p.le].job_cap = Some(Minutes::hours(4));
        job.parts.people[p.le].evenings = Some(1);
        job.parts.people[p.eo].away = vec![on(3, "13:00-17:00")];
        job.parts.tools[soak].away = vec![on(3, "10:00-11:00")];
        job.parts.bans.push(Ban { span: on(3, "08:00-10:00"), tags: vec![lift], reason: "weather".to_owned() });
        let fixed = Stand::Fixed;
        let either = Stand::Open(vec![p.w3, p.w2]);
        let watch = job.post(
            "WATCH",
            oow,
            &[
                ("00:00-04:00", fixed(p.w1)),
                ("04:00-08:00", fixed(p.w2)),
                ("08:00-12:00", either),
                ("12:00-16:00", fixed(p.w1)),
                ("16:00-20:00", fixed(p.w2)),
                ("20:00-24:00", fixed(p.w3)),
            ],
        );
        let t = tasks(&mut job, [lead, hyd, ele, general, nite], [crane, soak], [hot, lift], watch);
        let d = duties(&mut job, &p, hot);
        let mut plan = idle_plan(&job.parts);
        plan.spells = vec![
            spell(t.a, 0, 1, &["08:30-10:30"], &[p.le, p.mo]),
            spell(t.a, 0, 1, &["13:00-14:00"], &[p.le, p.ft]),
            spell(t.p, 0, 1, &["08:30-10:00"], &[p.ft]),
            spell(t.p, 1, 1, &["10:00-11:00"], &[p.ft]),
            spell(t.p, 2, 1, &["11:00-12:00"], &[p.ft]),
            spell(t.n, 0, 1, &["11:00-12:00", "13:00-14:00"], &[p.mo]),
            spell(t.q, 0, 1, &["08:30-10:00"], &[p.eo]),
            spell(t.c, 0, 1, &["14:00-15:00"], &[p.le]),
            spell(t.r, 0, 1, &["15:00-17:00"], &[]),
            spell(t.r2, 0, 1, &["17:00-18:00"], &[]),
            spell(t.e, 0, 1, &["20:00-21:00"], &[p.mo]),
            spell(t.f, 0, 1, &["15:00-16:00"], &[p.eo]),
            spell(t.g, 0, 2, &["08:30-09:30"], &[p.eo]),
            spell(t.s, 0, 2, &["10:00-11:00"], &[p.eo]),
            spell(t.h, 0, 2, &["15:30-17:30"], &[p.le]),
            spell(t.k, 0, 2, &["14:30-15:30"], &[p.mo]),
            spell(t.x, 0, 1, &["21:00-22:00"], &[p.nx]),
        ];
        plan.on_hand = vec![on_hand(p.le, 3, "13:00-17:00")];
        Self { parts: job.parts, plan, c: Competences { lead }, p, t, d, crane, soak, watch, hot, lift }
    }

    /// Puts work of day 1 into the record of a person.
    pub(crate) fn record(&mut self, person: PersonId, kind: RecordKind, times: &str) {
        self.parts.people[person].recorded.push(Recorded { span: on(1, times), kind, note: String::new() });
    }

    /// The turn of the watch that covers `moment` of `day`.
    pub(crate) fn turn(&self, day: i32, time: &str) -> TurnId {
        self.parts.turns.find(|turn| turn.span.contains(at(day, time))).expect("the watch is laid out")
    }

    /// Moves the only spell of `task` to one piece.
    pub(crate) fn put(&mut self, task: TaskId, day: i32, pieces: &[&str]) {
        let spell = self.plan.spells.iter_mut().find(|s| s.task == task).expect("the task is in the plan");
        spell.work = pieces.iter().map(|times| on(day, times)).collect();
    }

    /// Replaces the team of spell number `number` of `task`.
    pub(crate) fn crew(&mut self, task: TaskId, number: usize, team: &[PersonId]) {
        let spell = self.plan.spells.iter_mut().filter(|s| s.task == task).nth(number).expect("the spell is in the plan");
        spell.team = team.to_vec();
    }

    /// Moves spell number `number` of `task`.
    pub(crate) fn shift(&mut self, task: TaskId, number: usize, day: i32, pieces: &[&str]) {
        let spell = self.plan.spells.iter_mut().filter(|s| s.task == task).nth(number).expect("the spell is in the plan");
        spell.work = pieces.iter().map(|times| on(day, times)).collect();
    }

    /// Drops spell number `number` of `task`.
    pub(crate) fn drop(&mut self, task: TaskId, number: usize) {
        let index = self.plan.spells.iter().enumerate().filter(|(_, s)| s.task == task).nth(number).expect("the spell is there").0;
        self.plan.spells.remove(index);
    }

    /// What the verifier says of it.
    pub(crate) fn judge(self) -> Result<Verified, Box<(Problem, Vec<Breach>)>> {
        let problem = Problem::new(self.parts).expect("the job hangs together");
        verify(&problem, self.plan).map_err(|rejected| Box::new((problem, rejected.breaches)))
    }
}

fn tasks(job: &mut Job, competences: [CompetenceId; 5], tools: [ToolId; 2], tags: [TagId; 2], watch: PostId) -> Tasks {
    let [lead, hyd, ele, general, nite] = competences;
    let [crane, soak] = tools;
    let [hot, lift] = tags;
    let t = Tasks {
        a: job.task("A", &[lead, general], 6),
        p: job.task("P", &[hyd], 7),
        n: job.task("N", &[general], 4),
        q: job.task("Q", &[ele], 3),
        c: job.task("C", &[lead], 2),
        r: job.task("R", &[], 4),
        r2: job.task("R2", &[], 2),
        e: job.task("E", &[general], 2),
        f: job.task("F", &[general], 2),
        g: job.task("G", &[general], 2),
        s: job.task("S", &[general], 2),
        h: job.task("H", &[lead], 4),
        k: job.task("K", &[general], 2),
        x: job.task("X", &[nite], 2),
    };
    let tasks = &mut job.parts.tasks;
    tasks[t.a].stop = Stop::Any { min_spell: Slots::new(2) };
    tasks[t.p].stop = Stop::Parts(3);
    tasks[t.p].tools = vec![(crane, 1)];
    tasks[t.p].same = vec![0];
    tasks[t.n].stop = Stop::Never;
    tasks[t.q].stop = Stop::Never;
    tasks[t.q].pauses = false;
    tasks[t.c].after = vec![After { task: t.p, lag: Minutes::new(90) }];
    tasks[t.c].different = vec![Different { need: 0, other: t.p, other_needs: Vec::new() }];
    tasks[t.r].after = vec![After { task: t.c, lag: Minutes::ZERO }];
    tasks[t.r].attended_by = Some(watch);
    tasks[t.r2].attended_by = Some(watch);
    tasks[t.e].emergency = true;
    tasks[t.g].after = vec![After { task: t.f, lag: Minutes::new(16 * 60 + 15) }];
    tasks[t.s].tools = vec![(soak, 1)];
    tasks[t.s].tags = vec![lift];
    tasks[t.k].tags = vec![hot];
    tasks[t.k].not_before = Some(at(2, "14:00"));
    tasks[t.k].not_after = Some(at(2, "16:00"));
    job.parts.holds.push(Hold { tool: soak, number: 1, fill: Some(t.f), filling: None, empty: t.g });
    t
}

fn duties(job: &mut Job, p: &People, hot: TagId) -> Duties {
    let meet_when = When::Movable { window: on(2, "13:00-16:00"), length: Minutes::hours(1) };
    let meet = job.duty("meet", meet_when, &[p.ft, p.eo]);
    let survey = job.duty("survey", When::Fixed(on(2, "10:00-11:00")), &[p.w2]);
    let d = Duties {
        helm: job.duty("helm", When::Movable { window: on(2, "00:00-08:00"), length: Minutes::new(30) }, &[p.w1]),
        meet,
        round: job.duty("round", When::Fixed(on(2, "14:00-14:30")), &[p.eo]),
        steering: job.duty("steering", When::Fixed(on(2, "03:00-03:30")), &[p.w1]),
        survey,
        toolbox: job.duty("toolbox", When::Fixed(on(1, "08:00-08:30")), &[p.le, p.ft, p.eo, p.mo]),
        last: job.duty("toolbox", When::Fixed(on(2, "08:00-08:30")), &[p.le, p.ft, p.eo, p.mo]),
    };
    job.duty_edit(d.meet).leavable = false;
    job.duty_edit(d.meet).bans = vec![hot];
    job.duty_edit(d.meet).on_watch = OnWatch::Clash;
    job.duty_edit(d.survey).on_watch = OnWatch::Clash;
    job.duty_edit(d.steering).on_watch = OnWatch::DoneOnWatch;
    job.duty_edit(d.helm).on_watch = OnWatch::DoneOnWatch;
    d
}
