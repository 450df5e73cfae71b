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
    let said = |newest: &JobFigures| {
        ahead(newest, &first, |at| (at - Moment::ORIGIN).get().to_string()).map(|(better, still)| format!("{better}; {still}"))
    };
    assert_eq!(said(&first), None);
    assert_eq!(
        said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(200), reserve: 0, ..first }),
        Some("lacks no machine and nobody to call, where line 1 does; lacks none either and is less late".to_owned())
    );
    assert_eq!(said(&JobFigures { machinery: 1, reserve: 0, ..first }), None);
    assert_eq!(
        said(&JobFigures { reserve: 3, ..first }),
        Some("lacks machines or people to call less than line 1; lacks them less still".to_owned())
    );
    assert_eq!(
        said(&JobFigures { late: Minutes::new(30), ..first }),
        Some("is late by 0 h 30, line 1 by 1 h; is late by less than 0 h 30".to_owned())
    );
    assert_eq!(
        said(&JobFigures { late: Minutes::ZERO, ..first }),
        Some("meets its dates, which line 1 misses by 1 h; meets them too and is ready before 100".to_owned())
    );
    assert_eq!(
        said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(60), ..first }),
        Some("is ready 60, line 1 100; is ready before 60".to_owned())
    );
    assert_eq!(said(&JobFigures { finish: Moment::ORIGIN + Minutes::new(60), reserve: 9, ..first }), None);
}
