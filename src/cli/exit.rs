//! What the command tells the program that started it.

use std::process::ExitCode;

/// Exit codes; the README lists them, and they are part of what does not change between versions.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Exit {
    /// Done, nothing to report.
    Done,
    /// Done, and something needs attention: a finding, a shortfall, a milestone missed, a search cut short.
    Attention,
    /// The command line or the files are wrong; a required file missing included.
    Wrong,
    /// There is no legal plan, or none was found.
    NoPlan,
    /// A file or a stream could not be read or written for another reason.
    Machine,
    /// A fault in turnto itself.
    Ours,
    /// Interrupted before there was any plan.
    Interrupted,
}

impl Exit {
    /// The number.
    #[must_use]
    pub(super) const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Attention => 1,
            Self::Wrong => 2,
            Self::NoPlan => 3,
            Self::Machine => 4,
            Self::Ours => 70,
            Self::Interrupted => 130,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}
