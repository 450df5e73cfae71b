//! What is taken for granted of the plans that something is proven about.
//!
//! | what is proven | of which plans |
//! |---|---|
//! | the finish of a plan | those [like] it: no overtime, if it has none; unbooked hours kept, if it keeps them |
//! | the finish beside it, and dates | those that keep as much of the reserve, [whatever their overtime](with_overtime) |
//! | dates, while there is no plan yet | those that keep the reserve, whatever their overtime: [`LOOKED_FOR`] |
//!
//! The longest chain knows nothing of the reserve: what it proves with overtime holds for every plan. Of the reserve the
//! labour model knows only the hours that stay unbooked; people who cannot be called do not matter to it.

use crate::account::{Account, ShortOf};
use crate::calendar::Hours;
use crate::labour::{Premises, Reserve};

/// The plans that are looked for.
pub const LOOKED_FOR: Premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };

/// The plans like one that comes to this.
#[must_use]
pub fn like(account: &Account) -> Premises {
    let overtime = account.people.iter().any(|p| !p.overtime.is_zero());
    let short = account.shortfalls.iter().any(|s| matches!(s.of, ShortOf::Unbooked { .. }));
    Premises {
        hours: if overtime { Hours::WithOvertime } else { Hours::Ordinary },
        reserve: if short { Reserve::Open } else { Reserve::Kept },
    }
}

/// The same, whatever their overtime.
#[must_use]
pub const fn with_overtime(premises: Premises) -> Premises {
    Premises { hours: Hours::WithOvertime, ..premises }
}
