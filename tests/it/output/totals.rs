//! Sums agree with the account and with one another.

use turnto::model::Problem;
use turnto::report::{CutBy, HeldBy, Report, Solved, Totals};
use turnto::time::Minutes;

use super::ship::{self, id};
use super::{of, of_ship, verified};
use crate::support::job::at;

fn totals() -> Totals {
    of_ship(Report::totals)
}

/// If this fails, overtime by task, phase or evening is not the overtime of the people.
#[test]
fn overtime_adds_up() {
    let totals = totals();
    // 2E and FT from 17:00 to 17:30 on day 3.
    assert_eq!(totals.overtime, Minutes::hours(1));
    assert_eq!(totals.tasks.iter().map(|t| t.overtime).sum::<Minutes>(), totals.overtime);
    assert_eq!(totals.phases.iter().map(|p| p.overtime).sum::<Minutes>(), totals.overtime);
    assert_eq!(totals.people.iter().flat_map(|p| &p.evenings).map(|(_, m)| *m).sum::<Minutes>(), totals.overtime);
    assert_eq!(totals.competences.iter().map(|c| c.planned).sum::<Minutes>(), totals.labour);
}

/// If this fails, planned hours stand beside those of another day or competence of the labour model.
#[test]
fn competences_stand_beside_the_model() {
    let totals = totals();
    let row = |code: usize, day: i32| {
        let row = totals.competences.iter().find(|r| r.competence == id(code) && r.day.number() == day).expect("a row");
        (row.planned, row.model)
    };
    // HYD on day 1: the fitter's 4.5 h; the model has 270 minutes.
    assert_eq!(row(3, 1), (Minutes::new(270), Some(Minutes::new(270))));
    // GEN on day 3: 2E's 3 h; the model has 200 minutes.
    assert_eq!(row(5, 3), (Minutes::hours(3), Some(Minutes::new(200))));
    // LEAD on day 3: an hour in the plan, nothing in the model.
    assert_eq!(row(1, 3), (Minutes::hours(1), Some(Minutes::ZERO)));
}

/// If this fails, a task that holds the finish seems to have time to spare, or the other way round.
///
/// Worked by hand: T09 ends at the finish, day 3 17:30. T08 must end an hour before T09 starts at 16:30, and
/// does. T07 ends when T08 starts. T06 ends on day 2 at 17:00 and T07 starts on day 3 at 08:30: 15 h 30.
/// T05 ends when T06 starts. T04 ends on day 1 at 16:30; T05 could start 15 h 30 after day 2 08:30, which is
/// day 3 00:00, less 12 h of waiting is day 2 12:00: 19 h 30. T10 has nothing after it: 49 h to the finish.
#[test]
fn slack_by_order_and_waits() {
    let slack = of_ship(Report::slack);
    let minutes: Vec<i32> = slack.iter().map(|s| s.get()).collect();
    assert_eq!(minutes, [1170, 1170, 1170, 1170, 930, 930, 0, 0, 0, 2940]);
}

/// If this fails, a chain that was proven is not shown, or one is made up where there is none.
#[test]
fn what_holds_the_finish() {
    of_ship(|report| assert!(matches!(report.answers().held_by, HeldBy::Chain(links) if links.len() == 9)));
    let problem = ship::problem();
    let mut solved = ship::solved();
    solved.chain = Vec::new();
    of(&problem, ship::plan(&problem), &solved, |report| {
        assert_eq!(report.answers().held_by, HeldBy::NoSlack(vec![id(6), id(7), id(8)]));
    });
}

/// If this fails, the exit code says nothing is the matter where something is, or the other way round.
#[test]
fn attention() {
    assert!(!of_ship(Report::needs_attention));
    let attention = |problem: &Problem, solved: &Solved| {
        let verified = verified(problem, ship::plan(problem));
        Report::new(problem, &verified, solved).needs_attention()
    };
    let mut parts = ship::parts();
    parts.milestones[id(0)].due = at(3, "12:00");
    let late = Problem::new(parts).expect("it hangs together");
    assert!(attention(&late, &ship::solved()));
    let problem = ship::problem();
    let mut solved = ship::solved();
    solved.cut_by = CutBy::Work;
    assert!(!attention(&problem, &solved));
    solved.cut_by = CutBy::Signal;
    assert!(attention(&problem, &solved));
}
