//! The ways in which the rules can be read.
//!
//! Administrations differ in how they read the same words. A reading is chosen per set, has a name that is
//! printed with every result that depends on it, and has a default; the numbers `A1` ... are those of the
//! list of readings that the outputs print.

use crate::rest::rule::Kind;
use crate::rest::{Permit, RuleSet};
use crate::time::Minutes;

/// Where the windows of a rule lie.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Windows {
    /// Forward from every start of a block and back from every end of one.
    ///
    /// For totals this is the same as every moment: a window that starts inside a rest holds no less rest
    /// than one that starts at the next block, and one that starts inside a block no less than one that
    /// starts with it. Published by the Norwegian Maritime Authority as the way to check ("from going on
    /// duty 24 hours forward, or from going off duty 24 hours back").
    Anchored,
    /// From every minute. The strictest reading of the split: it cuts rests at both edges, so that six
    /// hours on and six hours off fails it.
    EveryMinute,
    /// Forward from each start of a block after at least so much rest (IBF framework agreement, article
    /// 8.2: six hours).
    AfterRest(Minutes),
    /// Forward from the first start of a block in each ship's day (Danish Order 676 of 2015, section 2).
    FirstWorkOfDay,
    /// The ship's days themselves; for windows of weeks so many weeks in a row, each from a Monday on. A day with a
    /// clock change is as long as it is.
    Calendar,
    /// Back from each start of a block (an opinion reported second-hand from the ILO's standards
    /// department).
    BackFromWorkStart,
}

impl Windows {
    /// The reading in plain words.
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::Anchored => "from every start of work forward and from every end of work back".to_owned(),
            Self::EveryMinute => "from every minute, rests cut at both edges".to_owned(),
            Self::AfterRest(rest) => format!("from the start of work after at least {rest} off"),
            Self::FirstWorkOfDay => "from the first start of work in a ship's day".to_owned(),
            Self::Calendar => "by ship's days and weeks".to_owned(),
            Self::BackFromWorkStart => "back from the start of work".to_owned(),
        }
    }
}

/// What of a rest counts that reaches over the edge of a window.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Edge {
    /// The part inside.
    #[default]
    Part,
    /// All of it.
    Whole,
}

impl Edge {
    /// The reading in plain words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Part => "a rest over the edge of a window counts with its part inside",
            Self::Whole => "a rest over the edge of a window counts whole",
        }
    }
}

/// What has to fit into the allowed number of rest periods.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Divided {
    /// The least daily hours; more rest may lie elsewhere (UK SI 2018/58 reg. 7(3), German Seearbeitsgesetz
    /// section 45(3), Singapore Merchant Shipping (MLC) Act section 16(3)).
    #[default]
    LeastHours,
    /// All rest of the window (the bare words of STCW Code A-VIII/1 paragraph 3).
    AllRest,
}

impl Divided {
    /// The reading in plain words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::LeastHours => "the least daily hours must fit the allowed periods",
            Self::AllRest => "all rest must fit the allowed periods",
        }
    }
}

/// What a gap is that is too short to be rest, to the rules that limit work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum ShortGap {
    /// Neither work nor rest.
    #[default]
    Neither,
    /// Work, named or not. A longer gap that is a named break is neither work nor rest all the same.
    Work,
}

impl ShortGap {
    /// The reading in plain words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Neither => "a break too short to be rest is neither work nor rest",
            Self::Work => "a break too short to be rest is work to the limits on work",
        }
    }
}

/// What the time between two exceptions is measured by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum ExceptionGap {
    /// Twice the longer of the two (UK SI 2018/58 reg. 7(2)(c)).
    #[default]
    LongerOfTwo,
    /// Twice the first of the two (the bare words of STCW Code A-VIII/1 paragraph 9).
    First,
    /// Twice the longer of the two, unless the first is followed by time off at least as long as it was (German
    /// Seearbeitsgesetz section 49(1)3).
    LeaveWaives,
    /// Twice the hours by which the first fell short (a published explainer: "an exception of 7 hours, the next after 14").
    Hours,
}

impl ExceptionGap {
    /// The reading in plain words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::LongerOfTwo => "between two exceptions lies at least twice the longer of the two",
            Self::First => "between two exceptions lies at least twice the first of the two",
            Self::LeaveWaives => {
                "between two exceptions lies at least twice the longer of the two, or the first is followed by as long a time off"
            }
            Self::Hours => "between two exceptions lie at least twice the hours that the first fell short",
        }
    }
}

/// What exactly the limit is: ten hours where ten are asked for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Exactly {
    /// It passes.
    #[default]
    Passes,
    /// It fails: a minute more of rest is asked for, a minute less of work is allowed.
    Fails,
}

impl Exactly {
    /// What is asked for where `least` is.
    #[must_use]
    pub fn least(self, least: Minutes) -> Minutes {
        match self {
            Self::Passes => least,
            Self::Fails => least + Minutes::new(1),
        }
    }
}

/// What hours are counted by where the ship's clock is changed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Counted {
    /// Elapsed time.
    #[default]
    Elapsed,
    /// What the ship's clock shows: every day has 24 hours, an hour that is shown twice counts once and is work if either of
    /// them was, one that is left out counts as what was done around it.
    Shown,
}

/// What time on call is that brought no call.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum OnCall {
    /// Rest.
    #[default]
    Rest,
    /// Work: it is not freely at the seafarer's disposal.
    Work,
}

/// How much rest is owed for a call-out.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum CallOuts {
    /// The rest it took (German Seearbeitsgesetz section 45(4), Singapore Merchant Shipping (MLC) Act section 16(4)).
    #[default]
    RestLost,
    /// Of that only what is missing from the least hours of a day (Danish authority, Order 676 of 2015).
    BelowLeast,
}

/// What an emergency does to a finding.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Emergencies {
    /// The finding stays, is marked as excused with the reason on record, and the rest is owed.
    #[default]
    Excused,
    /// It takes the finding away; the emergency and its reason stay on record, and the rest is owed.
    Removes,
    /// Nothing: it is a finding as any other.
    Nothing,
}

/// What time before the record is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Unknown {
    /// Unknown: tried as rest and as work.
    #[default]
    Tried,
    /// Rest.
    Rest,
}

/// What a drill is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Drills {
    /// Work.
    #[default]
    Count,
    /// Exempt from the limits, with equal rest owed (German Seearbeitsgesetz section 47): inside a rest it is rest, between
    /// two pieces of work neither. Records can be read so; a job with drills is not planned under it.
    Exempt,
}

/// What is asked of those who stand the first watches after leaving port.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Departure {
    /// 10 h of rest in the 24 h before.
    #[default]
    Rested,
    /// 6 h of rest in the 12 h before (46 USC 8104(a)).
    SixInTwelve,
}

/// The readings of a set.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Readings {
    /// A1: where the 24-hour windows of totals start.
    pub day: Windows,
    /// A2: which seven days.
    pub week: Windows,
    /// A3: where the split and the longest rest are tested.
    pub split: Windows,
    /// A4: what must fit the allowed periods.
    pub divided: Divided,
    /// A6: what a gap is that is too short to be rest.
    pub short_gap: ShortGap,
    /// A7: what of a rest counts that reaches over an edge.
    pub edge: Edge,
    /// A8: what a drill is.
    pub drills: Drills,
    /// A9: what time on call is that brought no call.
    pub on_call: OnCall,
    /// A9: how much rest is owed for a call-out.
    pub call_outs: CallOuts,
    /// A10: what an emergency does to a finding.
    pub emergencies: Emergencies,
    /// A12: what the time between two exceptions is measured by.
    pub exception_gap: ExceptionGap,
    /// A14: what hours are counted by.
    pub counted: Counted,
    /// A15: what time before the record is.
    pub unknown: Unknown,
    /// A16: what exactly the limit is.
    pub exactly: Exactly,
    /// A17: what is asked at departure.
    pub departure: Departure,
}

impl Default for Readings {
    /// Every moment for totals, rolling 168 hours, the split at starts and ends of work, the least hours
    /// divided, short gaps neither work nor rest, the part inside counts, on call is rest, call-outs owed as the rest they
    /// took, emergencies excused, exceptions apart by the longer of two, elapsed time, unknown time tried both ways,
    /// exactly the limit passes.
    fn default() -> Self {
        Self {
            day: Windows::Anchored,
            week: Windows::Anchored,
            split: Windows::Anchored,
            divided: Divided::default(),
            short_gap: ShortGap::default(),
            edge: Edge::default(),
            drills: Drills::default(),
            on_call: OnCall::default(),
            call_outs: CallOuts::default(),
            emergencies: Emergencies::default(),
            exception_gap: ExceptionGap::default(),
            counted: Counted::default(),
            unknown: Unknown::default(),
            exactly: Exactly::default(),
            departure: Departure::default(),
        }
    }
}

impl RuleSet {
    /// Number and plain words of each reading, for every output that depends on them.
    #[must_use]
    pub fn reading_lines(&self) -> Vec<(&'static str, String)> {
        let readings = &self.readings;
        let totals = |windows: Windows, every: &str| match windows {
            Windows::Anchored | Windows::EveryMinute => every.to_owned(),
            other => other.text(),
        };
        let mut lines = if self.own {
            vec![("A1-4", "windows lie where each rule says".to_owned())]
        } else {
            vec![
                ("A1", format!("24 hours: {}", totals(readings.day, "at every moment"))),
                ("A2", format!("7 days: {}", totals(readings.week, "any 168 hours"))),
                ("A3", format!("split and longest rest: {}", readings.split.text())),
                ("A4", readings.divided.text().to_owned()),
            ]
        };
        lines.push(("A5", format!("a rest is at least {} long", self.min_rest)));
        lines.push(("A6", readings.short_gap.text().to_owned()));
        let edge = if self.own { Edge::Part } else { readings.edge };
        lines.push(("A7", edge.text().to_owned()));
        lines.push((
            "A8",
            match readings.drills {
                Drills::Count => "a drill counts as work",
                Drills::Exempt => "a drill is exempt from the limits and owed as rest; jobs with drills are not planned so",
            }
            .to_owned(),
        ));
        let on_call = match readings.on_call {
            OnCall::Rest => "on call without a call is rest",
            OnCall::Work => "on call without a call is work",
        };
        let owed = match readings.call_outs {
            CallOuts::RestLost => "the rest it took is owed",
            CallOuts::BelowLeast => "of the rest it took so much is owed as is missing from a day's least",
        };
        lines.push(("A9", format!("a call-out counts as work and {owed}; {on_call}")));
        lines.push((
            "A10",
            match readings.emergencies {
                Emergencies::Excused => "an emergency with its reason on record excuses a finding, which stays, and the rest is owed",
                Emergencies::Removes => "an emergency with its reason on record takes a finding away, and the rest is owed",
                Emergencies::Nothing => "an emergency excuses nothing",
            }
            .to_owned(),
        ));
        lines.push(("A11", self.permit.as_ref().map_or_else(|| "no exceptions (70 h in 7 days, three periods)".to_owned(), Permit::text)));
        if self.permit.as_ref().is_some_and(|permit| permit.seventy_hours) {
            lines.push(("A12", readings.exception_gap.text().to_owned()));
        }
        lines.push(("A13", self.regime().to_owned()));
        lines.push((
            "A14",
            match readings.counted {
                Counted::Elapsed => "hours are elapsed time; the ship's clock is only printed",
                Counted::Shown => "hours are counted as the ship's clock shows them, 24 to every day",
            }
            .to_owned(),
        ));
        lines.push((
            "A15",
            match readings.unknown {
                Unknown::Tried => "time before the record is unknown: tried as rest and as work",
                Unknown::Rest => "time before the record is taken as rest",
            }
            .to_owned(),
        ));
        lines.push((
            "A16",
            match readings.exactly {
                Exactly::Passes => "exactly the limit passes",
                Exactly::Fails => "exactly the limit fails: the limits printed are a minute stricter",
            }
            .to_owned(),
        ));
        lines.push((
            "A17",
            match readings.departure {
                Departure::Rested => "first watches at departure: 10 h of rest in the 24 h before",
                Departure::SixInTwelve => "first watches at departure: 6 h of rest in the 12 h before",
            }
            .to_owned(),
        ));
        lines
    }

    /// Whether hours of rest are limited, hours of work, or both.
    fn regime(&self) -> &'static str {
        let rest = self.rules.iter().any(|rule| matches!(rule.kind, Kind::TotalRest(_) | Kind::WeekExcepted(_)));
        let work = self.rules.iter().any(|rule| matches!(rule.kind, Kind::MostWork(_)));
        match (rest, work) {
            (true, true) => "hours of rest and hours of work are limited, both at once",
            (false, true) => "hours of work are limited",
            (true | false, false) => "hours of rest are limited",
        }
    }
}
