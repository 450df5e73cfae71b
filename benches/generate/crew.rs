//! The people: who can do what, when they work, what they did in the eight days before.

use turnto::clock::Day;
use turnto::id::{Id, IdVec, PersonId, RuleSetId};
use turnto::model::{Person, RecordKind, Recorded, Stretch};
use turnto::time::{Minutes, Span};

use super::{Draft, Watchkeeping, competence};

/// A place on the crew list.
struct Berth {
    code: &'static str,
    role: &'static str,
    competences: &'static str,
    hours: Hours,
    /// Whether overtime from 18:00 to 20:00 may be asked for, on two evenings.
    overtime: bool,
}

/// When somebody is free for the job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Hours {
    /// 08-12 and 13-18.
    DayWork,
    /// 08-12 and 13-17, four hours of job a day.
    Chief,
    /// 08-12 and 13-18, Sundays off.
    Shore,
    /// Watches 00-04 and 12-16, job 08-12.
    TwelveToFour,
    /// Watches 04-08 and 16-20, job 08-13.
    FourToEight,
    /// Watches 08-12 and 20-24, job 13-17.
    EightToTwelve,
}

const fn berth(code: &'static str, role: &'static str, competences: &'static str, hours: Hours, overtime: bool) -> Berth {
    Berth { code, role, competences, hours, overtime }
}

/// The crew in the order in which it grows. Whatever the number, those on day work hold every competence.
const LIST: [Berth; 10] = [
    berth("CE", "Chief engineer", "AUTH LEAD OOW MEAS HYD TUR TST ISO GAS", Hours::Chief, false),
    berth("2E", "Second engineer", "LEAD OOW MEAS HYD TUR INJ TST ISO GAS GEN", Hours::DayWork, true),
    berth("EO", "Electrical officer", "ELE ISO GEN", Hours::DayWork, true),
    berth("FT", "Fitter", "HYD LIFT TUR VAL PMP WEL GEN", Hours::DayWork, true),
    berth("3E", "Third engineer", "LEAD OOW MEAS HYD TUR INJ PMP TST GAS GEN", Hours::TwelveToFour, false),
    berth("4E", "Fourth engineer", "OOW MEAS INJ PMP VAL TST GEN", Hours::EightToTwelve, false),
    berth("AE", "Assistant engineer", "OOW MEAS VAL PMP GEN", Hours::FourToEight, false),
    berth("M1", "Motorman", "WR LIFT VAL PMP GEN", Hours::TwelveToFour, false),
    berth("M2", "Motorman", "WR LIFT GEN", Hours::EightToTwelve, false),
    berth("W1", "Wiper", "WR GEN", Hours::FourToEight, false),
];

/// Who comes on top, over and over.
const MORE: [Berth; 5] = [
    berth("F", "Fitter", "HYD LIFT VAL PMP WEL GEN", Hours::DayWork, true),
    berth("X", "Extra engineer", "LEAD OOW MEAS HYD INJ TUR TST GEN", Hours::DayWork, true),
    berth("R", "Day motorman", "LIFT GEN", Hours::DayWork, false),
    berth("S", "Shore fitter", "HYD LIFT TUR MEAS GEN", Hours::Shore, false),
    berth("T", "Trainee", "GEN", Hours::DayWork, false),
];

/// The people of a job. The last one of a large crew leaves in mid-job.
pub(super) fn people(draft: &mut Draft) -> IdVec<PersonId, Person> {
    let number = draft.size.people;
    (0..number)
        .map(|i| {
            let (berth, code) = if let Some(berth) = LIST.get(i) {
                (berth, berth.code.to_owned())
            } else {
                let extra = i - LIST.len();
                let berth = &MORE[extra % MORE.len()];
                (berth, format!("{}{}", berth.code, 2 + extra / MORE.len()))
            };
            let mut person = person(draft, berth, code);
            if number >= 15 && i + 1 == number {
                let from = draft.at(draft.size.days / 2 + 1, 0);
                person.away.extend(Span::new(from, draft.layout_end));
            }
            person
        })
        .collect()
}

/// The hours somebody keeps on this ship: without watches everybody is on day work, and without watch
/// ratings they are.
fn hours(draft: &Draft, berth: &Berth) -> Hours {
    let engineer = matches!(berth.code, "3E" | "4E" | "AE");
    let watch = matches!(berth.hours, Hours::TwelveToFour | Hours::FourToEight | Hours::EightToTwelve);
    let stands = match draft.watchkeeping() {
        Watchkeeping::Pairs => watch,
        Watchkeeping::Engineers => engineer,
        Watchkeeping::None => false,
    };
    if watch && !stands { Hours::DayWork } else { berth.hours }
}

fn person(draft: &Draft, berth: &Berth, code: String) -> Person {
    let hours = hours(draft, berth);
    let pieces: &[(i32, i32)] = match hours {
        Hours::DayWork | Hours::Shore => &[(8, 12), (13, 18)],
        Hours::Chief => &[(8, 12), (13, 17)],
        Hours::TwelveToFour => &[(8, 12)],
        Hours::FourToEight => &[(8, 13)],
        Hours::EightToTwelve => &[(13, 17)],
    };
    let off = |day: i32| hours == Hours::Shore && day.rem_euclid(7) == 0;
    let days = 1..=draft.last_day();
    let stretches = days
        .clone()
        .filter(|day| !off(*day))
        .map(|day| Stretch {
            day: Day::new(day),
            ordinary: pieces.iter().filter_map(|(from, to)| draft.hours(day, from * 60, to * 60)).collect(),
            overtime: if berth.overtime { draft.hours(day, 18 * 60, 20 * 60).into_iter().collect() } else { Vec::new() },
        })
        .collect();
    // Lunch is a named break, but not to one whose hours run over it.
    let lunch = hours != Hours::FourToEight;
    let breaks = days.filter(|_| lunch).filter_map(|day| draft.hours(day, 12 * 60, 13 * 60)).collect();
    let mut competences: Vec<_> = berth.competences.split(' ').map(competence).collect();
    competences.sort_unstable();
    Person {
        code,
        name: String::new(),
        role: berth.role.to_owned(),
        competences,
        stretches,
        breaks,
        job_cap: (hours == Hours::Chief).then_some(Minutes::hours(4)),
        evenings: berth.overtime.then_some(2),
        rest: RuleSetId::from_index(0),
        away: Vec::new(),
        recorded: recorded(draft, hours),
        on_call: Vec::new(),
        recorded_from: Some(draft.start - Minutes::hours(8 * 24)),
        answers_for: Vec::new(),
        before: turnto::model::Before::default(),
    }
}

/// Eight days of watches, or of ordinary day work, before the start.
fn recorded(draft: &Draft, hours: Hours) -> Vec<Recorded> {
    let (kind, pieces): (RecordKind, &[(i32, i32)]) = match hours {
        Hours::DayWork | Hours::Chief | Hours::Shore => (RecordKind::Duty, &[(8, 12), (13, 17)]),
        Hours::TwelveToFour => (RecordKind::Watch, &[(0, 4), (12, 16)]),
        Hours::FourToEight => (RecordKind::Watch, &[(4, 8), (16, 20)]),
        Hours::EightToTwelve => (RecordKind::Watch, &[(8, 12), (20, 24)]),
    };
    let mut list = Vec::new();
    for day in -7..=1 {
        for (from, to) in pieces {
            let window = Span::new(draft.start - Minutes::hours(8 * 24), draft.start);
            let span = draft.hours(day, from * 60, to * 60).zip(window).and_then(|(span, window)| span.intersection(window));
            list.extend(span.map(|span| Recorded { span, kind, note: String::new() }));
        }
    }
    list
}
