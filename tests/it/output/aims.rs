//! Values of the aims, worked out by hand, and the bounds that go with them.

use turnto::model::{Aim, Problem};
use turnto::report::{AimValue, Amount, Proven, aim_values};
use turnto::verify::Verified;

use super::ship;
use super::{small, verified};
use crate::support::job::at;

fn row(rows: &[AimValue], aim: Aim) -> Vec<(Amount, Option<Amount>)> {
    rows.iter().filter(|r| r.aim == aim).map(|r| (r.value, r.bound)).collect()
}

/// If this fails, the plan is praised or blamed for what it is not, or a bound is claimed that does not hold.
#[test]
fn each_aim_has_its_value_and_its_bound() {
    let (problem, verified, _) = small();
    let proven = Proven { finish: at(3, "17:00"), ..Proven::nothing(problem) };
    let rows = aim_values(problem, verified, &proven);
    let time = Amount::Time;
    let count = Amount::Count;
    // Set 2 is out and one of two is needed; the reserve is there at every slot.
    let none = |unit| (count(0, unit), Some(count(0, unit)));
    assert_eq!(row(&rows, Aim::Shortfall), [none("machinery slots"), none("reserve slots")]);
    assert_eq!(row(&rows, Aim::Lateness), [(time(0), Some(time(0)))]);
    // 2E and FT from 17:00 to 17:30 on day 3, and nobody between 20:00 and 06:00.
    assert_eq!(row(&rows, Aim::NightAndOvertime), [(time(60), Some(time(0)))]);
    // From day 1 08:00 to day 3 17:30, and not before 17:00.
    assert_eq!(row(&rows, Aim::Finish), [(time(57 * 60 + 30), Some(time(57 * 60)))]);
    // One slot of 30 minutes each: 1 + 1.
    let unit = "squared overtime slots";
    assert_eq!(row(&rows, Aim::Fairness), [(count(2, unit), Some(count(0, unit)))]);
    // Fifteen spells, and in the second of T06 W1 takes over from M1. Ten tasks, two of them in three parts: 8 + 6.
    let unit = "spells and changes of hand";
    assert_eq!(row(&rows, Aim::Steady), [(count(16, unit), Some(count(14, unit)))]);
    let order: Vec<Aim> = rows.iter().map(|r| r.aim).filter(|a| *a != Aim::Shortfall).collect();
    assert_eq!(order, Aim::DEFAULT[1..], "in the order the job asks for");
}

/// The job with its milestone due before it can be met, and of this weight; with its plan.
fn late(weight: u32) -> (Problem, Verified) {
    let mut parts = ship::parts();
    let milestone = parts.milestones.iter_mut().next().expect("there is a milestone");
    (milestone.due, milestone.weight) = (at(3, "16:00"), weight);
    let problem = Problem::new(parts).expect("it hangs together");
    let verified = verified(&problem, ship::plan(&problem));
    (problem, verified)
}

/// If this fails, lateness that is weighed is cut off, or ends the program, where it has more minutes than a stretch of time.
#[test]
fn weighted_lateness_has_no_end() {
    let (problem, verified) = late(50_000_000);
    let rows = aim_values(&problem, &verified, &Proven::nothing(&problem));
    assert_eq!(row(&rows, Aim::Lateness), [(Amount::Time(90 * 50_000_000), Some(Amount::Time(0)))]);
}

/// If this fails, a milestone that weighs double counts once.
#[test]
fn lateness_is_weighted() {
    let (problem, verified) = late(2);
    // T09 ends at 17:30, an hour and a half late, and not before 16:30 whatever is done.
    let proven = Proven { earliest: [at(3, "16:30")].into_iter().collect(), ..Proven::nothing(&problem) };
    let rows = aim_values(&problem, &verified, &proven);
    assert_eq!(row(&rows, Aim::Lateness), [(Amount::Time(180), Some(Amount::Time(60)))]);
}
