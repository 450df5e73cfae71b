//! What is said of the newest plan beside line 1.

use super::ahead;
use crate::out::JobFigures;
use crate::time::{Minutes, Moment};

/// If this fails, a reserve that only the short search of line 1 could not keep passes for a gain of every other line.
#[test]
fn what_the_newest_plan_is_ahead_in() {
    let first = JobFigures {
        finish: Moment::ORIGIN + Minutes::new(100),
        overtime: Minutes::ZERO,
        night: Minutes::ZERO,
        late: Minutes::hours(1),
        machinery: 0,
        reserve: 8,
    };
    let said = |newest: &JobFigures| ahead(newest, &first, |at| (at - Moment::ORIGIN).get().to_string()).map(|(better, _)| better);
    assert_eq!(said(&first), None);
    assert_eq!(
        said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(200), reserve: 0, ..first }),
        Some("falls less short than line 1".to_owned())
    );
    assert_eq!(said(&JobFigures { machinery: 1, reserve: 0, ..first }), None);
    assert_eq!(said(&JobFigures { late: Minutes::ZERO, ..first }), Some("is less late than line 1".to_owned()));
    assert_eq!(
        said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(60), ..first }),
        Some("is ready 60, before the 100 of line 1".to_owned())
    );
    assert_eq!(said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(60), reserve: 9, ..first }), None);
}
