//! Worked cases of the rest rules: intervals of work in hours, the findings and figures they must give.
//!
//! Every case says where it is from; "derived" ones were worked out by brute force over every minute. Time
//! before and after the work is rest.

use turnto::rest::rule::{BestRests, Kind, Limit, LongestRest, Measured, MostWork, RestInterval, RestPeriods, TotalRest};
use turnto::rest::{Divided, Edge, Finding, Readings, RuleSet, ShortGap, Timeline, Windows, figures, findings};
use turnto::time::{Minutes, Moment, Span};

struct Vector {
    id: &'static str,
    source: &'static str,
    /// Hours from 00:00 of day 1.
    work: &'static [(i32, i32)],
    /// Codes of the rules broken under the default readings.
    findings: &'static [&'static str],
    /// Codes of the rules broken if the split is tested at every minute with rests cut at both edges.
    clipped: &'static [&'static str],
    /// Whether it passes: all rest in two periods · 24 h after six hours off · from the first work of the
    /// day · by calendar days · back from the start of work · 14 h and 72 h of work · 15 h and 36 h of work.
    passes: [bool; 7],
    /// In minutes: least rest in 24 h at every moment · after six hours off · from the first work of the day
    /// · by calendar days · back from the start of work · least rest in 168 h · longest interval between
    /// rests · most work in 24 h · in 72 h · in 168 h · least sum of the two longest rests and least longest
    /// rest, anchored · most rest periods of an anchored window (a number) · the same two, every minute.
    numbers: [i32; 15],
}

const VECTORS: [Vector; 20] = [
    Vector {
        id: "P1a",
        source: "knowledgeofsea.com, 2010 rules explained, example 1: day 1 alone complies",
        work: &[(6, 20)],
        findings: &[],
        clipped: &["6h"],
        passes: [true, true, true, true, true, true, true],
        numbers: [600, 600, 600, 600, 1440, 9240, 840, 840, 840, 840, 600, 600, 1, 600, 300],
    },
    Vector {
        id: "P1b",
        source: "same, example 1 continued: not compliant, 9 h in 06:00 to 06:00",
        work: &[(6, 20), (29, 34)],
        findings: &["24h", "split"],
        clipped: &["24h", "split", "6h"],
        passes: [true, false, false, true, true, false, true],
        numbers: [540, 540, 540, 600, 600, 8940, 840, 900, 1140, 1140, 540, 540, 1, 540, 300],
    },
    Vector {
        id: "P2",
        source: "six on, six off; press discussion 2013: complies on rest, exceeds 72 h of work",
        work: &[
            (0, 6),
            (12, 18),
            (24, 30),
            (36, 42),
            (48, 54),
            (60, 66),
            (72, 78),
            (84, 90),
            (96, 102),
            (108, 114),
            (120, 126),
            (132, 138),
            (144, 150),
            (156, 162),
            (168, 174),
            (180, 186),
            (192, 198),
            (204, 210),
            (216, 222),
            (228, 234),
        ],
        findings: &[],
        clipped: &["split"],
        passes: [true, true, true, true, true, false, true],
        numbers: [720, 720, 720, 720, 720, 5040, 360, 720, 2160, 5040, 720, 360, 2, 540, 360],
    },
    Vector {
        id: "P3",
        source: "officerofthewatch.com 2013: 168 − 77 = 91 h, thirteen hours a day",
        work: &[
            (7, 20),
            (31, 44),
            (55, 68),
            (79, 92),
            (103, 116),
            (127, 140),
            (151, 164),
            (175, 188),
            (199, 212),
            (223, 236),
            (247, 260),
            (271, 284),
            (295, 308),
            (319, 332),
        ],
        findings: &[],
        clipped: &["6h"],
        passes: [true, true, true, true, true, false, false],
        numbers: [660, 660, 660, 660, 660, 4620, 780, 780, 2340, 5460, 660, 660, 1, 660, 330],
    },
    Vector {
        id: "P4",
        source: "van Leeuwen et al., Chronobiology International 30(9), 2013: a missed off-watch; verdict derived",
        work: &[(0, 4), (12, 16), (24, 28), (28, 36), (36, 40), (48, 52), (60, 64)],
        findings: &["24h", "split", "14h"],
        clipped: &["24h", "split", "6h", "14h"],
        passes: [true, false, false, false, false, false, false],
        numbers: [480, 480, 480, 480, 480, 8160, 960, 960, 1920, 1920, 480, 480, 2, 480, 240],
    },
    Vector {
        id: "P5",
        source: "textbook pattern, three watches of four on and eight off; verdict derived",
        work: &[
            (0, 4),
            (12, 16),
            (24, 28),
            (36, 40),
            (48, 52),
            (60, 64),
            (72, 76),
            (84, 88),
            (96, 100),
            (108, 112),
            (120, 124),
            (132, 136),
            (144, 148),
            (156, 160),
            (168, 172),
            (180, 184),
            (192, 196),
            (204, 208),
            (216, 220),
            (228, 232),
        ],
        findings: &[],
        clipped: &[],
        passes: [true, true, true, true, true, true, true],
        numbers: [960, 960, 960, 960, 960, 6720, 240, 480, 1440, 3360, 960, 480, 2, 720, 480],
    },
    Vector {
        id: "P6",
        source: "two watches 7-5-5-7 (everything2); verdict derived",
        work: &[
            (0, 7),
            (12, 17),
            (24, 31),
            (36, 41),
            (48, 55),
            (60, 65),
            (72, 79),
            (84, 89),
            (96, 103),
            (108, 113),
            (120, 127),
            (132, 137),
            (144, 151),
            (156, 161),
            (168, 175),
            (180, 185),
            (192, 199),
            (204, 209),
            (216, 223),
            (228, 233),
        ],
        findings: &[],
        clipped: &["split", "6h"],
        passes: [true, true, true, true, true, false, true],
        numbers: [720, 720, 720, 720, 720, 5040, 420, 720, 2160, 5040, 720, 420, 2, 510, 300],
    },
    Vector {
        id: "P7",
        source: "traditional four on and four off with dog watches (saltytar); verdict derived",
        work: &[(4, 8), (12, 16), (18, 20), (24, 28), (32, 36), (40, 42), (44, 48), (52, 56), (60, 64), (66, 68)],
        findings: &["split", "6h"],
        clipped: &["split", "6h"],
        passes: [false, true, true, true, true, true, true],
        numbers: [600, 600, 600, 600, 720, 8040, 240, 840, 2040, 2040, 480, 240, 3, 480, 240],
    },
    Vector {
        id: "P8",
        source: "sample table of shipboard working arrangements, 2018: 9 h of work, 15 h of rest",
        work: &[
            (8, 12),
            (13, 18),
            (32, 36),
            (37, 42),
            (56, 60),
            (61, 66),
            (80, 84),
            (85, 90),
            (104, 108),
            (109, 114),
            (128, 132),
            (133, 138),
            (152, 156),
            (157, 162),
            (176, 180),
            (181, 186),
            (200, 204),
            (205, 210),
            (224, 228),
            (229, 234),
        ],
        findings: &[],
        clipped: &[],
        passes: [true, true, true, true, true, true, true],
        numbers: [900, 900, 900, 900, 900, 6300, 300, 540, 1620, 3780, 900, 840, 2, 840, 420],
    },
    Vector {
        id: "P9",
        source: "Norwegian Prop. 11 L (2011-2012), summary: one period of six and one of four",
        work: &[(0, 7), (11, 18), (24, 31), (35, 42), (48, 55), (59, 66)],
        findings: &[],
        clipped: &["split", "6h"],
        passes: [true, true, true, true, true, true, false],
        numbers: [600, 600, 600, 600, 600, 7560, 420, 840, 2520, 2520, 600, 360, 2, 420, 240],
    },
    Vector {
        id: "P10",
        source: "same: six and two of at least one hour only by exception; verdict derived",
        work: &[(0, 5), (6, 11), (14, 18), (24, 28)],
        findings: &["split"],
        clipped: &["split", "6h"],
        passes: [false, true, true, true, true, true, true],
        numbers: [600, 600, 600, 600, 600, 9000, 300, 840, 1080, 1080, 540, 360, 3, 360, 180],
    },
    Vector {
        id: "D1",
        source: "derived: parts every moment from after six hours off",
        work: &[(0, 2), (3, 6), (15, 27)],
        findings: &["24h", "split"],
        clipped: &["24h", "split"],
        passes: [true, true, true, true, true, false, true],
        numbers: [540, 600, 600, 600, 1140, 9060, 720, 900, 1020, 1020, 540, 540, 2, 540, 360],
    },
    Vector {
        id: "D3",
        source: "derived: six days of 14 h, then a day off",
        work: &[(6, 20), (30, 44), (54, 68), (78, 92), (102, 116), (126, 140)],
        findings: &[],
        clipped: &["6h"],
        passes: [true, true, true, true, true, false, false],
        numbers: [600, 600, 600, 600, 600, 5040, 840, 840, 2520, 5040, 600, 600, 1, 600, 300],
    },
    Vector {
        id: "D4",
        source: "derived: seven days of 14 h, 70 h of rest",
        work: &[(6, 20), (30, 44), (54, 68), (78, 92), (102, 116), (126, 140), (150, 164)],
        findings: &["7d"],
        clipped: &["6h", "7d"],
        passes: [true, true, true, true, true, false, false],
        numbers: [600, 600, 600, 600, 600, 4200, 840, 840, 2520, 5880, 600, 600, 1, 600, 300],
    },
    Vector {
        id: "D7",
        source: "derived: rests of 1, 2 and 8 h",
        work: &[(8, 12), (13, 18), (20, 24), (32, 36)],
        findings: &[],
        clipped: &["split", "6h"],
        passes: [false, true, true, true, true, true, true],
        numbers: [660, 660, 660, 660, 660, 9060, 300, 780, 1020, 1020, 600, 480, 3, 480, 240],
    },
    Vector {
        id: "D10",
        source: "derived: 5 + 5, no six hours",
        work: &[(0, 7), (12, 19), (24, 28)],
        findings: &["6h"],
        clipped: &["split", "6h"],
        passes: [true, true, true, true, true, true, true],
        numbers: [600, 600, 600, 600, 600, 9000, 420, 840, 1080, 1080, 600, 300, 2, 450, 300],
    },
    Vector {
        id: "D12",
        source: "derived: 1 + 9",
        work: &[(6, 13), (14, 21)],
        findings: &[],
        clipped: &["split", "6h"],
        passes: [true, true, true, true, true, true, true],
        numbers: [600, 600, 600, 600, 1020, 9240, 420, 840, 840, 840, 600, 540, 2, 540, 270],
    },
    Vector {
        id: "D13",
        source: "derived: a call-out in ten hours of rest",
        work: &[(6, 20), (26, 27), (30, 42)],
        findings: &["24h", "split"],
        clipped: &["24h", "split", "6h"],
        passes: [true, false, false, true, false, false, true],
        numbers: [540, 540, 540, 600, 540, 8460, 840, 900, 1620, 1620, 540, 360, 2, 450, 240],
    },
    Vector {
        id: "D17",
        source: "derived: 13 h days, 39 h in 72",
        work: &[(7, 20), (31, 44), (55, 68)],
        findings: &[],
        clipped: &["6h"],
        passes: [true, true, true, true, true, true, false],
        numbers: [660, 660, 660, 660, 660, 7740, 780, 780, 2340, 2340, 660, 660, 1, 660, 330],
    },
    Vector {
        id: "D18",
        source: "derived: twelve on, twelve off",
        work: &[(6, 18), (30, 42), (54, 66), (78, 90), (102, 114), (126, 138), (150, 162), (174, 186), (198, 210), (222, 234)],
        findings: &[],
        clipped: &[],
        passes: [true, true, true, true, true, false, true],
        numbers: [720, 720, 720, 720, 720, 5040, 720, 720, 2160, 5040, 720, 720, 1, 720, 360],
    },
];

impl Vector {
    fn work(&self) -> Vec<Span> {
        let moment = |hour: i32| Moment::new(hour * 60);
        self.work.iter().filter_map(|&(from, to)| Span::new(moment(from), moment(to))).collect()
    }

    fn timeline(&self) -> Timeline {
        Timeline::new(&RuleSet::stcw_mlc_rest(), self.work(), &[])
    }

    fn broken(&self, readings: Readings) -> Vec<String> {
        let set = RuleSet::stcw_mlc_rest().read_as(readings);
        codes(&set, &findings(&set, &self.timeline(), everything()))
    }

    fn least(&self, kind: Kind) -> i32 {
        extreme(kind, &kind.measure(&self.timeline(), everything()))
    }
}

/// A scope that all windows around the cases touch: ten days before to thirty days after.
fn everything() -> Span {
    Span::new(Moment::new(-10 * 1440), Moment::new(30 * 1440)).expect("not empty")
}

/// The codes of the rules broken, in order of the set, each once.
fn codes(set: &RuleSet, findings: &[Finding]) -> Vec<String> {
    let mut codes: Vec<String> = findings.iter().map(|finding| set.rules[finding.rule].code.clone()).collect();
    codes.dedup();
    codes
}

/// The worst found, in minutes.
fn extreme(kind: Kind, measured: &[Measured]) -> i32 {
    let found = measured.iter().map(|m| m.found.get());
    match kind.limit() {
        Limit::AtLeast(_) => found.min(),
        Limit::AtMost(_) => found.max(),
    }
    .expect("every case has windows")
}

fn total(window: Minutes, windows: Windows) -> Kind {
    Kind::TotalRest(TotalRest { window, at_least: Minutes::hours(10), windows, edge: Edge::Part })
}

fn most(hours: i32, at_most: i32) -> Kind {
    let (windows, short_gap) = (Windows::Anchored, ShortGap::Neither);
    Kind::MostWork(MostWork { window: Minutes::hours(hours), at_most: Minutes::hours(at_most), windows, short_gap })
}

fn best(windows: Windows) -> Kind {
    Kind::BestRests(BestRests { window: Minutes::DAY, count: 2, at_least: Minutes::hours(10), windows, edge: Edge::Part })
}

fn longest(windows: Windows) -> Kind {
    Kind::LongestRest(LongestRest { window: Minutes::DAY, at_least: Minutes::hours(6), windows, edge: Edge::Part })
}

/// If it fails, the default set does not find exactly what the sources or the brute force found.
#[test]
fn default_findings() {
    for vector in &VECTORS {
        assert_eq!(vector.broken(Readings::default()), vector.findings, "{}: {}", vector.id, vector.source);
    }
}

/// If it fails, the strict reading of the split (every minute, rests cut at both edges) is not what it says.
#[test]
fn clipped_findings() {
    let readings = Readings { split: Windows::EveryMinute, ..Readings::default() };
    for vector in &VECTORS {
        assert_eq!(vector.broken(readings), vector.clipped, "{}: {}", vector.id, vector.source);
    }
}

/// If it fails, one of the selectable readings, or a limit on work, gives a wrong verdict.
#[test]
fn verdicts_of_readings() {
    for vector in &VECTORS {
        let passes = |readings: Readings, code: &str| !vector.broken(readings).iter().any(|broken| broken == code);
        let day = |windows| passes(Readings { day: windows, ..Readings::default() }, "24h");
        let work = |kinds: &[Kind]| kinds.iter().all(|kind| kind.limit().passes(Minutes::new(vector.least(*kind))));
        let verdicts = [
            passes(Readings { divided: Divided::AllRest, ..Readings::default() }, "split-all"),
            day(Windows::AfterRest(Minutes::hours(6))),
            day(Windows::FirstWorkOfDay),
            day(Windows::Calendar),
            day(Windows::BackFromWorkStart),
            work(&[most(24, 14), most(168, 72)]),
            work(&[most(24, 15), most(72, 36)]),
        ];
        assert_eq!(verdicts, vector.passes, "{}: {}", vector.id, vector.source);
    }
}

/// If it fails, a rule measures something else than its words say.
#[test]
fn numbers() {
    for vector in &VECTORS {
        let periods = (1..=4)
            .find(|&count| vector.least(Kind::RestPeriods(RestPeriods { window: Minutes::DAY, count, windows: Windows::Anchored })) == 0)
            .expect("no case has more than four rests in a day");
        let numbers = [
            vector.least(total(Minutes::DAY, Windows::Anchored)),
            vector.least(total(Minutes::DAY, Windows::AfterRest(Minutes::hours(6)))),
            vector.least(total(Minutes::DAY, Windows::FirstWorkOfDay)),
            vector.least(total(Minutes::DAY, Windows::Calendar)),
            vector.least(total(Minutes::DAY, Windows::BackFromWorkStart)),
            vector.least(total(Minutes::WEEK, Windows::Anchored)),
            vector.least(Kind::RestInterval(RestInterval { at_most: Minutes::hours(14) })),
            vector.least(most(24, 14)),
            vector.least(most(72, 36)),
            vector.least(most(168, 72)),
            vector.least(best(Windows::Anchored)),
            vector.least(longest(Windows::Anchored)),
            i32::try_from(periods).expect("at most four"),
            vector.least(best(Windows::EveryMinute)),
            vector.least(longest(Windows::EveryMinute)),
        ];
        assert_eq!(numbers, vector.numbers, "{}: {}", vector.id, vector.source);
    }
}

/// If it fails, the figures that every output shows differ from what the rules measure, or the total at
/// every minute differs from the total at starts and ends of work.
#[test]
fn figures_of_cases() {
    for vector in &VECTORS {
        let shown = figures(&vector.timeline(), everything());
        let [any, .., best, longest, _, _, _] = vector.numbers;
        assert_eq!([shown.least_24h.get(), shown.best_two_24h.get(), shown.longest_24h.get()], [any, best, longest], "{}", vector.id);
        assert_eq!(shown.least_7d.get(), vector.numbers[5], "{}", vector.id);
        assert_eq!(vector.least(total(Minutes::DAY, Windows::EveryMinute)), any, "{}", vector.id);
    }
}

/// The published sum of P1b: if it fails, the window or the numbers of a finding are wrong.
#[test]
fn window_of_a_finding() {
    let vector = VECTORS.iter().find(|vector| vector.id == "P1b").expect("it is in the table");
    let found = findings(&RuleSet::stcw_mlc_rest(), &vector.timeline(), everything());
    // 06:00 of day 1 to 06:00 of day 2: rest 20:00 to 05:00 is 9 h, one hour short.
    let window = Span::of(Moment::new(6 * 60), Minutes::DAY).expect("not empty");
    let expected = Finding { rule: 0, window, found: Minutes::hours(9), required: Minutes::hours(10) };
    assert!(found.contains(&expected), "{found:?}");
    assert_eq!(expected.shortfall(), Minutes::hours(1));
}
