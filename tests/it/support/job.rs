//! Small jobs built in code, for tests.
//!
//! Day 1 is a Monday, ship's clock is three hours ahead of UTC and does not change, slots are half an hour,
//! and the job starts on day 1 at 08:00, unless a test says otherwise.

use chrono::NaiveDate;

use turnto::clock::{Day, ShipClock};
use turnto::id::{CompetenceId, DutyId, Id, IdVec, PersonId, PhaseId, PostId, TagId, TaskId, ToolId};
use turnto::model::{Aim, Duty, Estimate, Named, OnWatch, Parts, Person, Post, Problem, Stand, Stop, Stretch, Tag, Task, Tool, Turn, When};
use turnto::plan::{OnHand, Plan, Spell};
use turnto::rest::RuleSet;
use turnto::time::{Grid, Minutes, Moment, Slots, Span, union};

/// The moment `time` ("14:30", up to "24:00") of day `day`, ship's clock without changes.
pub(crate) fn at(day: i32, time: &str) -> Moment {
    let (hour, minute) = time.split_once(':').expect("a time is written hh:mm");
    let number = |text: &str| text.parse::<i32>().expect("a time is written in digits");
    Moment::new((day - 1) * 24 * 60 + number(hour) * 60 + number(minute))
}

/// The stretch `times` ("14:30-16:00") of day `day`; one that ends at or before its start ends the day after.
pub(crate) fn on(day: i32, times: &str) -> Span {
    let (from, to) = times.split_once('-').expect("a stretch is written from-to");
    let (start, end) = (at(day, from), at(day, to));
    let end = if end <= start { end + Minutes::DAY } else { end };
    Span::new(start, end).expect("a stretch has a length")
}

/// A job being put together. Everything in `parts` may be changed by hand as well.
pub(crate) struct Job {
    pub(crate) parts: Parts,
}

impl Job {
    /// A job without people or tasks: planned from day 1 08:00 to `days` days later, at most twice that,
    /// laid out nine days further, under the STCW and MLC hours of rest.
    pub(crate) fn new(days: i32) -> Self {
        let day_one = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date of the calendar");
        let clock = ShipClock::new(day_one, Minutes::hours(3), Vec::new()).expect("a legal clock");
        let start = at(1, "08:00");
        let named = |code: &str| Named { code: code.to_owned(), name: String::new() };
        let parts = Parts {
            ship: "Test ship".to_owned(),
            title: "Test job".to_owned(),
            clock,
            grid: Grid::new(Minutes::new(30)).expect("half an hour divides an hour"),
            start,
            end: start + Minutes::hours(24 * days),
            latest_end: start + Minutes::hours(48 * days),
            layout_end: start + Minutes::hours(48 * days + 9 * 24),
            competences: IdVec::new(),
            rule_sets: IdVec::from(vec![RuleSet::stcw_mlc_rest()]),
            people: IdVec::new(),
            posts: IdVec::new(),
            turns: IdVec::new(),
            duties: IdVec::new(),
            phases: IdVec::from(vec![named("work")]),
            tags: IdVec::new(),
            tasks: IdVec::new(),
            tools: IdVec::new(),
            holds: Vec::new(),
            bans: Vec::new(),
            units: IdVec::new(),
            groups: IdVec::new(),
            never_together: Vec::new(),
            modes: IdVec::new(),
            mode_spans: Vec::new(),
            milestones: IdVec::new(),
            aims: Aim::DEFAULT.to_vec(),
            told: None,
        };
        Self { parts }
    }

    /// The same with one person in it, at day work, who holds the one competence there is.
    pub(crate) fn of_one(days: i32) -> (Self, CompetenceId, PersonId) {
        let mut job = Self::new(days);
        let fit = job.competence("FIT");
        let person = job.person("A", &[fit]);
        job.day_work(person);
        (job, fit, person)
    }

    /// Days laid out, from the first to the last that has any time in the layout.
    pub(crate) fn days(&self) -> std::ops::RangeInclusive<i32> {
        1..=(self.parts.layout_end.minutes() - 1) / (24 * 60) + 1
    }

    pub(crate) fn competence(&mut self, code: &str) -> CompetenceId {
        self.parts.competences.push(Named { code: code.to_owned(), name: String::new() })
    }

    pub(crate) fn tag(&mut self, code: &str) -> TagId {
        self.parts.tags.push(Tag { code: code.to_owned(), caution: String::new() })
    }

    pub(crate) fn tool(&mut self, code: &str, number: u32) -> ToolId {
        self.parts.tools.push(Tool { code: code.to_owned(), name: String::new(), number, away: Vec::new(), calibrated_until: None })
    }

    /// Somebody aboard without ordinary hours, with an empty record of eight days before the start.
    pub(crate) fn person(&mut self, code: &str, competences: &[CompetenceId]) -> PersonId {
        let mut competences = competences.to_vec();
        competences.sort_unstable();
        self.parts.people.push(Person {
            code: code.to_owned(),
            name: code.to_owned(),
            role: String::new(),
            competences,
            stretches: Vec::new(),
            breaks: Vec::new(),
            job_cap: None,
            evenings: None,
            rest: Id::from_index(0),
            away: Vec::new(),
            recorded: Vec::new(),
            on_call: Vec::new(),
            recorded_from: Some(self.parts.start - Minutes::hours(8 * 24)),
            answers_for: Vec::new(),
            before: turnto::model::Before::default(),
        })
    }

    /// Gives a person the same hours every day: `ordinary` and `overtime` as "08:00-12:00", breaks in
    /// between.
    pub(crate) fn hours(&mut self, person: PersonId, ordinary: &[&str], overtime: &[&str], breaks: &[&str]) {
        let spans = |day: i32, list: &[&str]| list.iter().map(|times| on(day, times)).collect::<Vec<Span>>();
        let stretch = |day| Stretch { day: Day::new(day), ordinary: union(spans(day, ordinary)), overtime: spans(day, overtime) };
        let stretches = self.days().map(stretch).collect();
        let breaks = self.days().flat_map(|day| spans(day, breaks)).collect();
        let row = &mut self.parts.people[person];
        row.stretches = stretches;
        row.breaks = breaks;
    }

    /// Ordinary hours 08-12 and 13-17, overtime 17-19, a named break 12-13, every day.
    pub(crate) fn day_work(&mut self, person: PersonId) {
        self.hours(person, &["08:00-12:00", "13:00-17:00"], &["17:00-19:00"], &["12:00-13:00"]);
    }

    /// A task that may stop at any slot, with spells of at least one slot and nothing else to it.
    pub(crate) fn task(&mut self, code: &str, needs: &[CompetenceId], slots: i32) -> TaskId {
        let hours = self.parts.grid.length(Slots::new(slots));
        self.parts.tasks.push(Task {
            code: code.to_owned(),
            text: String::new(),
            phase: first_phase(),
            needs: needs.to_vec(),
            hours: Estimate { least: hours, typical: hours, most: hours },
            length: Slots::new(slots),
            stop: Stop::Any { min_spell: Slots::new(1) },
            pauses: true,
            after: Vec::new(),
            tools: Vec::new(),
            not_before: None,
            not_after: None,
            tags: Vec::new(),
            takes_out: Vec::new(),
            hands_back: Vec::new(),
            same: Vec::new(),
            different: Vec::new(),
            emergency: false,
            attended_by: None,
            pinned: turnto::model::Pinned::default(),
            close_up: turnto::model::CloseUp::Needed,
            under_way: None,
        })
    }

    /// A post manned from the start to the end of the layout in turns as long and at such times as `turns`
    /// says, every day; the first turn of the job is cut by the start, the last by the layout.
    pub(crate) fn post(&mut self, code: &str, competence: CompetenceId, turns: &[(&str, Stand)]) -> PostId {
        let whole = Span::new(self.parts.start, self.parts.layout_end).expect("a layout has time");
        let post = Post { code: code.to_owned(), name: String::new(), competence, manned: vec![whole], attends: 1, by_mode: None };
        let id = self.parts.posts.push(post);
        let mut list: Vec<Turn> = Vec::new();
        for day in *self.days().start() - 1..=*self.days().end() {
            for (times, stand) in turns {
                let span = on(day, times).intersection(whole);
                list.extend(span.map(|span| Turn { post: id, span, stand: stand.clone(), line: (*times).to_owned() }));
            }
        }
        list.sort_by_key(|turn| turn.span);
        for turn in list {
            self.parts.turns.push(turn);
        }
        id
    }

    /// A duty at one time, to be left when called, those on watch excused.
    pub(crate) fn duty(&mut self, code: &str, when: When, who: &[PersonId]) -> DutyId {
        let occurrence = self.parts.duties.iter().filter(|d| d.code == code).count();
        self.parts.duties.push(Duty {
            code: code.to_owned(),
            name: String::new(),
            occurrence: u32::try_from(occurrence).expect("few duties") + 1,
            who: who.to_vec(),
            when,
            leavable: true,
            on_watch: OnWatch::Excused,
            drill: false,
            all_hands: false,
            bans: Vec::new(),
            takes_out: Vec::new(),
            hands_back: Vec::new(),
        })
    }

    /// A duty, to be changed.
    pub(crate) fn duty_edit(&mut self, duty: DutyId) -> &mut Duty {
        &mut self.parts.duties[duty]
    }

    /// The problem, which must hang together.
    #[track_caller]
    pub(crate) fn problem(self) -> Problem {
        Problem::new(self.parts).expect("the test's job hangs together")
    }
}

fn first_phase() -> PhaseId {
    Id::from_index(0)
}

/// A spell in one or more pieces of one day.
pub(crate) fn spell(task: TaskId, part: u32, day: i32, pieces: &[&str], team: &[PersonId]) -> Spell {
    Spell { work: pieces.iter().map(|times| on(day, times)).collect(), task, part, team: team.to_vec() }
}

/// A plan that does nothing but man the watches (the first person of an open stand) and do the duties (at the
/// start of their windows).
pub(crate) fn idle_plan(parts: &Parts) -> Plan {
    let stand = |turn: &Turn| match &turn.stand {
        Stand::Fixed(person) => *person,
        Stand::Open(people) => people[0],
    };
    let when = |duty: &Duty| match duty.when {
        When::Fixed(span) => span.start(),
        When::Movable { window, .. } => window.start(),
    };
    Plan {
        spells: Vec::new(),
        turns: parts.turns.iter().map(stand).collect(),
        duties: parts.duties.iter().map(when).collect(),
        on_hand: Vec::new(),
    }
}

/// Time on hand of a person.
pub(crate) fn on_hand(person: PersonId, day: i32, times: &str) -> OnHand {
    OnHand { person, span: on(day, times) }
}
