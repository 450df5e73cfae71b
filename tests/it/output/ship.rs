//! A small invented job with a bit of everything, and a plan for it made by hand.
//!
//! Day 1 is Monday 1 March 2027, ship's clock three hours ahead of UTC. Six on, six off in the watch; five
//! people on day work. The plan takes set 2 out on day 1 and hands it back on day 3 at 17:30, half an hour
//! before its milestone.

use chrono::NaiveDate;

use turnto::bound::{EarliestDate, ProvenBy};
use turnto::clock::{Day, ShipClock};
use turnto::id::{CompetenceId, Id, IdVec, PersonId, TagId, ToolId, TurnId, UnitId};
use turnto::model::{
    After, Aim, Ban, Duty, Estimate, Group, Hold, Milestone, Mode, Named, OnWatch, Parts, Person, Post, Problem, Reserve, ReserveKind,
    Stand, Stop, Stretch, Tag, Task, Tool, Turn, Unit, When,
};
use turnto::plan::{OnHand, Plan, Spell};
use turnto::report::{AimValue, Amount, ChainLink, CutBy, ModelHour, ModelHours, Solved};
use turnto::rest::RuleSet;
use turnto::time::{Grid, Minutes, Slots, Span};

use crate::support::job::{at, on};

/// Rows of people.
pub(crate) const CE: usize = 0;
pub(crate) const SECOND: usize = 1;
pub(crate) const THIRD: usize = 2;
pub(crate) const FOURTH: usize = 3;
pub(crate) const FITTER: usize = 4;
pub(crate) const MOTORMAN: usize = 5;
pub(crate) const WIPER: usize = 6;

/// Days laid out.
pub(crate) const DAYS: i32 = 32;

/// The id of a row.
pub(crate) fn id<I: Id>(index: usize) -> I {
    I::from_index(index)
}

fn named(code: &str, name: &str) -> Named {
    Named { code: code.to_owned(), name: name.to_owned() }
}

/// Competences, in this order.
const COMPETENCES: [(&str, &str); 6] = [
    ("AUTH", "signs permits"),
    ("LEAD", "leads"),
    ("OOW", "stands an engineer's watch"),
    ("HYD", "tensioning"),
    ("LIFT", "slinging"),
    ("GEN", "hand"),
];

fn competence(code: &str) -> CompetenceId {
    id(COMPETENCES.iter().position(|(c, _)| *c == code).expect("listed"))
}

fn person(code: &str, name: &str, role: &str, competences: &[&str]) -> Person {
    let mut held: Vec<CompetenceId> = competences.iter().map(|c| competence(c)).collect();
    held.sort_unstable();
    Person {
        code: code.to_owned(),
        name: name.to_owned(),
        role: role.to_owned(),
        competences: held,
        stretches: Vec::new(),
        breaks: Vec::new(),
        job_cap: None,
        evenings: None,
        rest: id(0),
        away: Vec::new(),
        recorded: Vec::new(),
        on_call: Vec::new(),
        recorded_from: Some(at(-8, "00:00")),
        answers_for: Vec::new(),
        before: turnto::model::Before::default(),
    }
}

/// Day work 08-12 and 13-17, with overtime 17-19 or without.
fn day_work(mut person: Person, overtime: bool) -> Person {
    let over = |day| if overtime { vec![on(day, "17:00-19:00")] } else { Vec::new() };
    let stretch = |day| Stretch { day: Day::new(day), ordinary: vec![on(day, "08:00-12:00"), on(day, "13:00-17:00")], overtime: over(day) };
    person.stretches = (1..=DAYS).map(stretch).collect();
    person.breaks = (1..=DAYS).map(|day| on(day, "12:00-13:00")).collect();
    person
}

fn people() -> Vec<Person> {
    let mut chief = day_work(person("CE", "A. Lindqvist", "Chief engineer", &["AUTH", "LEAD", "OOW"]), false);
    chief.job_cap = Some(Minutes::hours(4));
    chief.answers_for = vec!["permits".to_owned()];
    let mut second = day_work(person("2E", "I. Brandvik", "Second engineer", &["LEAD", "OOW", "HYD", "GEN"]), true);
    second.evenings = Some(2);
    let mut motorman = day_work(person("M1", "T. Okafor", "Motorman", &["LIFT", "GEN"]), false);
    motorman.away = vec![on(3, "12:00-24:00"), Span::new(at(4, "00:00"), at(DAYS, "24:00")).expect("not empty")];
    motorman.away = turnto::time::union(motorman.away);
    vec![
        chief,
        second,
        person("3E", "P. Ferro", "Third engineer", &["OOW"]),
        person("4E", "S. Marchetti", "Fourth engineer", &["OOW"]),
        day_work(person("FT", "J. Halloran", "Fitter", &["HYD", "LIFT", "GEN"]), true),
        motorman,
        day_work(person("W1", "L. Santos", "Wiper", &["GEN"]), false),
    ]
}

fn turns() -> Vec<Turn> {
    let from = at(1, "08:00");
    let whole = Span::new(from, at(DAYS, "24:00")).expect("not empty");
    let watch = |day: i32, times: &str, who: usize, line: &str| {
        let span = on(day, times).intersection(whole)?;
        Some(Turn { post: id(0), span, stand: Stand::Fixed(id(who)), line: line.to_owned() })
    };
    let of_day = |day| {
        [
            watch(day, "00:00-06:00", THIRD, "0-6"),
            watch(day, "06:00-12:00", FOURTH, "6-12"),
            watch(day, "12:00-18:00", THIRD, "0-6"),
            watch(day, "18:00-24:00", FOURTH, "6-12"),
        ]
    };
    (1..=DAYS).flat_map(of_day).flatten().collect()
}

fn duty(code: &str, name: &str, occurrence: u32, who: &[usize], when: When) -> Duty {
    Duty {
        code: code.to_owned(),
        name: name.to_owned(),
        occurrence,
        who: who.iter().map(|p| id(*p)).collect(),
        when,
        leavable: true,
        on_watch: OnWatch::Excused,
        drill: false,
        all_hands: false,
        bans: Vec::new(),
        takes_out: Vec::new(),
        hands_back: Vec::new(),
    }
}

fn duties() -> Vec<Duty> {
    let mut all = Vec::new();
    for (n, day) in (1..).zip(1..=DAYS) {
        let round = duty("boiler", "Boiler water and heating round", n, &[FOURTH], When::Fixed(on(day, "11:00-11:30")));
        all.push(Duty { on_watch: OnWatch::DoneOnWatch, ..round });
    }
    let window = When::Movable { window: on(2, "13:00-17:00"), length: Minutes::new(30) };
    let sample = duty("sample", "Bunker sample with the surveyor", 1, &[CE], window);
    all.push(Duty { leavable: false, on_watch: OnWatch::Clash, bans: vec![id(1)], ..sample });
    for (n, day) in (1..).zip(1..=DAYS) {
        let who: &[usize] = if day < 4 { &[CE, SECOND, FOURTH, FITTER, MOTORMAN, WIPER] } else { &[CE, SECOND, FOURTH, FITTER, WIPER] };
        all.push(duty("toolbox", "Toolbox talk", n, who, When::Fixed(on(day, "08:00-08:30"))));
    }
    all
}

fn task(code: &str, text: &str, phase: usize, needs: &[&str], slots: i32, stop: Stop) -> Task {
    let hours = Minutes::new(slots * 30);
    Task {
        code: code.to_owned(),
        text: text.to_owned(),
        phase: id(phase),
        needs: needs.iter().map(|c| competence(c)).collect(),
        hours: Estimate { least: hours, typical: hours, most: hours },
        length: Slots::new(slots),
        stop,
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
    }
}

fn after(task: usize, hours: i32) -> After {
    After { task: id(task), lag: Minutes::hours(hours) }
}

fn tasks() -> Vec<Task> {
    let any = Stop::Any { min_spell: Slots::new(2) };
    let (crane, tension): ((ToolId, u32), (ToolId, u32)) = ((id(0), 1), (id(1), 1));
    let (isolation, lift, chemicals, running): (TagId, TagId, TagId, TagId) = (id(0), id(1), id(2), id(3));
    let set_2: UnitId = id(1);
    vec![
        task("T01", "Job meeting: risks, permits, isolation list", 0, &["AUTH", "LEAD"], 2, any),
        Task {
            after: vec![after(0, 0)],
            tags: vec![isolation],
            takes_out: vec![set_2],
            ..task("T02", "Lock out set 2: breaker, auto-start, start air, fuel", 0, &["LEAD", "GEN"], 1, Stop::Never)
        },
        Task {
            after: vec![after(1, 0)],
            tools: vec![crane, tension],
            tags: vec![lift],
            ..task("T03", "Lift cylinder heads 1-3", 1, &["HYD", "LIFT", "GEN"], 9, Stop::Parts(3))
        },
        Task { after: vec![after(2, 0)], tags: vec![chemicals], ..task("T04", "Load soaking tank (then 12 h soak)", 1, &["GEN"], 2, any) },
        Task { after: vec![after(3, 12)], tags: vec![chemicals], ..task("T05", "Rinse, brush and dry heads 1-3", 1, &["GEN"], 3, any) },
        Task {
            after: vec![after(4, 0)],
            ..task("T06", "Grind valves and seats of heads 1-3, lap in, check with blue", 2, &["GEN"], 12, any)
        },
        Task {
            after: vec![after(5, 0)],
            tools: vec![crane, tension],
            tags: vec![lift],
            same: vec![0],
            ..task("T07", "Refit heads 1-3, tension studs in stages", 2, &["HYD", "LIFT", "GEN"], 6, Stop::Parts(3))
        },
        Task {
            after: vec![after(6, 0)],
            tags: vec![running],
            attended_by: Some(id(0)),
            pinned: turnto::model::Pinned::default(),
            close_up: turnto::model::CloseUp::Needed,
            under_way: None,
            ..task("T08", "Running-in on moderate load", 3, &[], 8, any)
        },
        Task {
            after: vec![after(7, 1)],
            tools: vec![tension],
            tags: vec![running],
            hands_back: vec![set_2],
            ..task("T09", "Stop, retightening check, back to stand-by", 3, &["LEAD", "HYD"], 2, Stop::Never)
        },
        task("T10", "Count bolts and joints, note what is missing", 1, &["GEN"], 2, any),
    ]
}

/// The job in parts, to be changed by a test.
pub(crate) fn parts() -> Parts {
    let clock = ShipClock::new(NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date"), Minutes::hours(3), Vec::new()).expect("a clock");
    let whole = Span::new(at(1, "08:00"), at(DAYS, "24:00")).expect("not empty");
    let tag = |code: &str, caution: &str| Tag { code: code.to_owned(), caution: caution.to_owned() };
    let tool =
        |code: &str, name: &str| Tool { code: code.to_owned(), name: name.to_owned(), number: 1, away: Vec::new(), calibrated_until: None };
    let unit = |code: &str, state: &str| Unit { code: code.to_owned(), name: String::new(), state: state.to_owned(), out: Vec::new() };
    let group = |code: &str, name: &str, units: &[usize]| Group {
        code: code.to_owned(),
        name: name.to_owned(),
        units: units.iter().map(|u| id(*u)).collect(),
        lasts: None,
        recover: Minutes::ZERO,
        short_before: None,
    };
    let kind = |code: &str, of: &str| ReserveKind { code: code.to_owned(), competence: competence(of), number: 1 };
    Parts {
        ship: "MV Sandhaven".to_owned(),
        title: "Top overhaul of set 2".to_owned(),
        clock,
        grid: Grid::new(Minutes::new(30)).expect("half an hour divides an hour"),
        start: at(1, "08:00"),
        end: at(4, "00:00"),
        latest_end: at(7, "00:00"),
        layout_end: at(DAYS, "24:00") + Minutes::DAY,
        competences: COMPETENCES.iter().map(|(code, name)| named(code, name)).collect(),
        rule_sets: IdVec::from(vec![RuleSet::stcw_mlc_rest()]),
        people: IdVec::from(people()),
        posts: IdVec::from(vec![Post {
            code: "OOW".to_owned(),
            name: "engineer of the watch".to_owned(),
            competence: competence("OOW"),
            manned: vec![whole],
            attends: 1,
            by_mode: None,
        }]),
        turns: IdVec::from(turns()),
        duties: IdVec::from(duties()),
        phases: IdVec::from(vec![
            named("prepare", "Prepare"),
            named("strip", "Strip and clean"),
            named("build", "Build up"),
            named("test", "Test"),
        ]),
        tags: IdVec::from(vec![
            tag("isolation", "Locks and tags on before anything is opened; try to start it."),
            tag("lift", "Check the lifting gear and its safe working load; nobody under a load; never leave it on the hook."),
            tag("chemicals", "Goggles, gloves, apron, ventilation; waste to the slop tank."),
            tag("running", ""),
        ]),
        tasks: IdVec::from(tasks()),
        tools: IdVec::from(vec![tool("CRANE", "Engine-room crane"), tool("HYDT", "Tensioning set"), tool("SOAK", "Soaking tank")]),
        holds: vec![Hold { tool: id(2), number: 1, fill: Some(id(3)), filling: None, empty: id(4) }],
        bans: vec![Ban { span: on(2, "15:00-18:00"), tags: vec![id(1)], reason: "swell from a passing front".to_owned() }],
        units: IdVec::from(vec![
            unit("G1", "running"),
            unit("G2", "overhaul"),
            unit("G3", "auto"),
            unit("A1", "auto"),
            unit("A2", "auto"),
            unit("EG", "auto"),
        ]),
        groups: IdVec::from(vec![
            group("GEN", "generating sets", &[0, 1, 2]),
            group("AIR", "starting-air compressors", &[3, 4]),
            group("EMG", "emergency set", &[5]),
        ]),
        never_together: Vec::new(),
        modes: IdVec::from(vec![Mode {
            code: "anchor".to_owned(),
            name: "at anchor".to_owned(),
            needs: vec![(id(0), 2), (id(1), 1), (id(2), 1)],
            weight: 1,
            reserve: Some(Reserve {
                kinds: vec![kind("officer", "OOW"), kind("hand", "GEN")],
                call: Minutes::hours(2),
                unbooked: Minutes::hours(4),
                hours: (Minutes::hours(8), Minutes::hours(18)),
            }),
        }]),
        mode_spans: vec![(Span::new(at(1, "08:00"), at(DAYS, "24:00") + Minutes::DAY).expect("not empty"), id(0))],
        milestones: IdVec::from(vec![Milestone {
            code: "G2BACK".to_owned(),
            text: "set 2 back in stand-by".to_owned(),
            tasks: vec![id(8)],
            due: at(3, "18:00"),
            weight: 1,
        }]),
        aims: Aim::DEFAULT.to_vec(),
        told: None,
    }
}

/// The job.
pub(crate) fn problem() -> Problem {
    Problem::new(parts()).expect("the job hangs together")
}

/// A spell in one or more pieces of one day.
pub(crate) fn spell(task: usize, part: u32, day: i32, pieces: &[&str], team: &[usize]) -> Spell {
    Spell { work: pieces.iter().map(|times| on(day, times)).collect(), task: id(task), part, team: team.iter().map(|p| id(*p)).collect() }
}

fn on_hand(who: usize, day: i32, times: &str) -> OnHand {
    OnHand { person: id(who), span: on(day, times) }
}

/// A legal plan for it, made by hand.
pub(crate) fn plan(problem: &Problem) -> Plan {
    let turns: IdVec<TurnId, PersonId> = problem
        .turns
        .iter()
        .map(|t| match &t.stand {
            Stand::Fixed(person) => *person,
            Stand::Open(people) => people[0],
        })
        .collect();
    let duties = problem
        .duties
        .iter()
        .map(|d| match d.when {
            When::Fixed(span) => span.start(),
            When::Movable { .. } => at(2, "13:30"),
        })
        .collect();
    let mut spells = vec![
        spell(0, 0, 1, &["08:30-09:30"], &[CE, SECOND]),
        spell(1, 0, 1, &["09:30-10:00"], &[SECOND, MOTORMAN]),
        spell(2, 0, 1, &["10:00-11:30"], &[FITTER, MOTORMAN, SECOND]),
        spell(2, 1, 1, &["11:30-12:00", "13:00-14:00"], &[FITTER, MOTORMAN, SECOND]),
        spell(2, 2, 1, &["14:00-15:30"], &[FITTER, MOTORMAN, SECOND]),
        spell(3, 0, 1, &["15:30-16:30"], &[WIPER]),
        spell(9, 0, 1, &["15:30-16:30"], &[MOTORMAN]),
        spell(4, 0, 2, &["08:30-10:00"], &[WIPER]),
        spell(5, 0, 2, &["10:00-12:00", "13:00-15:00"], &[MOTORMAN]),
        spell(5, 0, 2, &["15:00-17:00"], &[WIPER]),
        spell(6, 0, 3, &["08:30-09:30"], &[FITTER, MOTORMAN, SECOND]),
        spell(6, 1, 3, &["09:30-10:30"], &[FITTER, MOTORMAN, SECOND]),
        spell(6, 2, 3, &["10:30-11:30"], &[FITTER, MOTORMAN, SECOND]),
        spell(7, 0, 3, &["11:30-15:30"], &[]),
        spell(8, 0, 3, &["16:30-17:30"], &[SECOND, FITTER]),
    ];
    spells.sort_by_key(|s| (s.span().start(), s.task, s.part));
    let mut on_hand = vec![
        on_hand(CE, 1, "08:30-17:00"),
        on_hand(CE, 2, "08:30-17:00"),
        on_hand(CE, 3, "08:30-17:00"),
        on_hand(SECOND, 2, "08:30-17:00"),
        on_hand(FITTER, 2, "08:30-12:00"),
        on_hand(WIPER, 1, "16:30-17:00"),
        on_hand(WIPER, 3, "08:30-17:00"),
    ];
    on_hand.sort_unstable();
    Plan { spells, turns, duties, on_hand }
}

/// What a search would say of it.
pub(crate) fn solved() -> Solved {
    let link = |task: usize, wait: i32, why: &str| ChainLink { task: id(task), wait: Minutes::hours(wait), why: why.to_owned() };
    let model =
        |code: &str, day: i32, minutes: i32| ModelHour { competence: competence(code), day: Day::new(day), labour: Minutes::new(minutes) };
    let aim = |aim, value, bound| AimValue { aim, value, bound };
    let (time, none) = (Amount::Time, Amount::Count(0, "slots"));
    Solved {
        plan_no: 1,
        based_on: None,
        log_entries: None,
        seed: 7,
        input_sha256: "00ff".repeat(16),
        bound: at(3, "17:00"),
        bound_with_overtime: None,
        proof: "longest chain through calendars and waits".to_owned(),
        earliest: [EarliestDate { at: at(3, "17:00"), by: ProvenBy::Chain }].into_iter().collect(),
        machines_short: 0,
        chain: vec![
            link(0, 0, ""),
            link(1, 0, ""),
            link(2, 0, ""),
            link(3, 0, ""),
            link(4, 12, "night"),
            link(5, 0, ""),
            link(6, 0, "daytime only"),
            link(7, 0, ""),
            link(8, 1, ""),
        ],
        aims: vec![
            aim(Aim::Shortfall, none, Some(none)),
            aim(Aim::Lateness, time(0), Some(time(0))),
            aim(Aim::NightAndOvertime, time(60), Some(time(30))),
            aim(Aim::Finish, time(57 * 60 + 30), None),
        ],
        cut_by: CutBy::Nothing,
        model: ModelHours::Given(vec![
            model("HYD", 1, 270),
            model("GEN", 1, 420),
            model("LEAD", 1, 90),
            model("AUTH", 1, 60),
            model("LIFT", 1, 270),
            model("GEN", 2, 450),
            model("GEN", 3, 200),
        ]),
        slack: None,
        notes: Vec::new(),
    }
}
