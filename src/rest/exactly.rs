//! Limits a minute stricter, where exactly the limit fails.

use crate::rest::rule::Kind;
use crate::time::Minutes;

const MINUTE: Minutes = Minutes::new(1);

/// Makes the limit of a rule a minute stricter: in whole minutes more than ten hours is at least 10 h 01.
///
/// Left as they are: a limit that is the whole window or nothing at all, since nothing is stricter; numbers of rests and of
/// periods, which are no hours; lengths of breaks and of the shortest rest.
pub(super) fn stricter(kind: &mut Kind) {
    let more = |least: &mut Minutes, window: Minutes| *least = (*least + MINUTE).min(window);
    let less = |most: &mut Minutes| {
        if *most > MINUTE {
            *most = *most - MINUTE;
        }
    };
    match kind {
        Kind::TotalRest(rule) => more(&mut rule.at_least, rule.window),
        Kind::BestRests(rule) => more(&mut rule.at_least, rule.window),
        Kind::LongestRest(rule) => more(&mut rule.at_least, rule.window),
        Kind::SplitExcepted(rule) => {
            more(&mut rule.base.at_least, rule.base.window);
            more(&mut rule.longest, rule.base.window);
        }
        Kind::WeekExcepted(rule) => {
            more(&mut rule.base.at_least, rule.base.window);
            more(&mut rule.floor, rule.base.window);
        }
        Kind::RestInterval(rule) => less(&mut rule.at_most),
        Kind::MostWork(rule) => less(&mut rule.at_most),
        Kind::UnbrokenWork(rule) => less(&mut rule.at_most),
        Kind::NightWork(rule) => less(&mut rule.at_most),
        Kind::RestPeriods(_) | Kind::RestCount(_) => {}
    }
}
