//! Networks printed in textbooks, with their printed tables, through calendars and chains: with enough
//! people round the clock, earliest and latest times must be those of the critical-path method.

use turnto::bound::chain;
use turnto::calendar::{Deadlines, Fit, Hours, People, Windows};
use turnto::clock::Day;
use turnto::id::{Id, TaskId};
use turnto::model::{After, Problem, Stop, Stretch};
use turnto::time::{Minutes, Slots, Span};

use crate::support::job::Job;

/// One row of a printed table: name, what it comes after, length, earliest start and finish, latest start
/// and finish.
type Row<'a> = (&'a str, &'a [&'a str], i32, [usize; 4]);

/// A job of `rows` in which every task has somebody of its own who works round the clock.
fn network(rows: &[Row<'_>], stop: Stop) -> Problem {
    let mut job = Job::new(14);
    let hand = job.competence("HAND");
    for (i, (name, after, length, _)) in rows.iter().enumerate() {
        let person = job.person(&format!("P{i}"), &[hand]);
        let always = Span::new(job.parts.start, job.parts.layout_end).expect("a layout has time");
        job.parts.people[person].stretches = vec![Stretch { day: Day::new(1), ordinary: vec![always], overtime: Vec::new() }];
        let task = job.task(name, &[hand], *length);
        job.parts.tasks[task].stop = stop;
        job.parts.tasks[task].after = after
            .iter()
            .map(|before| {
                let index = rows.iter().position(|(other, ..)| other == before).expect("a task comes after one in the table");
                After { task: TaskId::from_index(index), lag: Minutes::ZERO }
            })
            .collect();
    }
    job.problem()
}

/// Holds earliest and latest times against the table and the chain against the printed path, for tasks that
/// may stop anywhere, nowhere, and between two parts.
fn agrees(rows: &[Row<'_>], duration: usize, critical: &[&str]) {
    for stop in [Stop::Any { min_spell: Slots::new(1) }, Stop::Never, Stop::Parts(1)] {
        let problem = network(rows, stop);
        let people = People::new(&problem);
        let fit = Fit::new(&problem, &people, Hours::Ordinary);
        let windows = Windows::forward(&problem, &fit).expect("there is room for all");
        assert_eq!(windows.finish(), duration, "{stop:?}");
        let deadlines = Deadlines::backward(&problem, &fit, &windows, duration).expect("the finish can be met");
        for (id, (name, _, _, printed)) in problem.tasks.ids().zip(rows) {
            let early = windows.of(id);
            assert_eq!([early.start, early.end, deadlines.start(id), deadlines.end(id)], *printed, "task {name}, {stop:?}");
        }
        // One slot less cannot be met, and the model of calendars says so.
        assert!(Deadlines::backward(&problem, &fit, &windows, duration - 1).is_err());
        let longest = chain(&problem, Hours::Ordinary).expect("there is room for all");
        assert_eq!(longest.at, people.range().moment(duration));
        let path: Vec<&str> = longest.links.iter().map(|l| problem.tasks[l.task].code.as_str()).collect();
        assert_eq!(path, critical, "{stop:?}");
    }
}

/// Taylor, Introduction to Management Science, chapter 8, solutions, first table: 20 days, 1-3-4-5-6.
/// Activities are arcs between events.
#[test]
fn seven_arcs() {
    let rows: [Row<'_>; 7] = [
        ("1-2", &[], 7, [0, 7, 2, 9]),
        ("1-3", &[], 10, [0, 10, 0, 10]),
        ("2-4", &["1-2"], 6, [7, 13, 9, 15]),
        ("3-4", &["1-3"], 5, [10, 15, 10, 15]),
        ("3-5", &["1-3"], 4, [10, 14, 14, 18]),
        ("4-5", &["2-4", "3-4"], 3, [15, 18, 15, 18]),
        ("5-6", &["3-5", "4-5"], 2, [18, 20, 18, 20]),
    ];
    agrees(&rows, 20, &["1-3", "3-4", "4-5", "5-6"]);
}

/// The same source, second table: 38 days, 1-3-5-7-8-9. The dummy 4-5 is spelt out: what leaves event 5 also
/// comes after 1-4.
#[test]
fn thirteen_arcs_with_a_dummy() {
    let rows: [Row<'_>; 12] = [
        ("1-2", &[], 8, [0, 8, 1, 9]),
        ("1-3", &[], 10, [0, 10, 0, 10]),
        ("1-4", &[], 9, [0, 9, 6, 15]),
        ("2-5", &["1-2"], 6, [8, 14, 9, 15]),
        ("2-6", &["1-2"], 4, [8, 12, 16, 20]),
        ("3-5", &["1-3"], 5, [10, 15, 10, 15]),
        ("4-7", &["1-4"], 7, [9, 16, 20, 27]),
        ("5-7", &["2-5", "3-5", "1-4"], 12, [15, 27, 15, 27]),
        ("5-8", &["2-5", "3-5", "1-4"], 15, [15, 30, 16, 31]),
        ("6-9", &["2-6"], 18, [12, 30, 20, 38]),
        ("7-8", &["4-7", "5-7"], 4, [27, 31, 27, 31]),
        ("8-9", &["5-8", "7-8"], 7, [31, 38, 31, 38]),
    ];
    agrees(&rows, 38, &["1-3", "3-5", "5-7", "7-8", "8-9"]);
}

/// Hillier & Lieberman, Introduction to Operations Research, house-building contractor: 44 weeks,
/// A-B-C-E-F-J-L-N.
#[test]
fn house_building_contractor() {
    let rows: [Row<'_>; 14] = [
        ("A", &[], 2, [0, 2, 0, 2]),
        ("B", &["A"], 4, [2, 6, 2, 6]),
        ("C", &["B"], 10, [6, 16, 6, 16]),
        ("D", &["C"], 6, [16, 22, 20, 26]),
        ("E", &["C"], 4, [16, 20, 16, 20]),
        ("F", &["E"], 5, [20, 25, 20, 25]),
        ("G", &["D"], 7, [22, 29, 26, 33]),
        ("H", &["E", "G"], 9, [29, 38, 33, 42]),
        ("I", &["C"], 7, [16, 23, 18, 25]),
        ("J", &["F", "I"], 8, [25, 33, 25, 33]),
        ("K", &["J"], 4, [33, 37, 34, 38]),
        ("L", &["J"], 5, [33, 38, 33, 38]),
        ("M", &["H"], 2, [38, 40, 42, 44]),
        ("N", &["K", "L"], 6, [38, 44, 38, 44]),
    ];
    agrees(&rows, 44, &["A", "B", "C", "E", "F", "J", "L", "N"]);
}

/// Hendrickson & Au, Project Management for Construction, chapters 10 and 11, nine activities: 30 days,
/// A-C-F-I.
#[test]
fn nine_activities() {
    let rows: [Row<'_>; 9] = [
        ("A", &[], 4, [0, 4, 0, 4]),
        ("B", &[], 3, [0, 3, 9, 12]),
        ("C", &["A"], 8, [4, 12, 4, 12]),
        ("D", &["A"], 7, [4, 11, 15, 22]),
        ("E", &["B", "C"], 9, [12, 21, 13, 22]),
        ("F", &["B", "C"], 12, [12, 24, 12, 24]),
        ("G", &["D", "E"], 2, [21, 23, 22, 24]),
        ("H", &["D", "E"], 5, [21, 26, 25, 30]),
        ("I", &["F", "G"], 6, [24, 30, 24, 30]),
    ];
    agrees(&rows, 30, &["A", "C", "F", "I"]);
}

/// Heizer & Render, fourteen activities with three estimates each: 50.8333 weeks, A-C-E-H-I-K-M-N. Lengths
/// are means (least + 4 × likely + most) / 6, here in sixths of a week.
#[test]
fn fourteen_activities_in_sixths() {
    let rows: [Row<'_>; 14] = [
        ("A", &[], 32, [0, 32, 0, 32]),
        ("B", &[], 14, [0, 14, 48, 62]),
        ("C", &["A"], 30, [32, 62, 32, 62]),
        ("D", &["A"], 49, [32, 81, 43, 92]),
        ("E", &["B", "C"], 58, [62, 120, 62, 120]),
        ("F", &["D"], 28, [81, 109, 92, 120]),
        ("G", &["D"], 35, [81, 116, 111, 146]),
        ("H", &["E", "F"], 26, [120, 146, 120, 146]),
        ("I", &["G", "H"], 40, [146, 186, 146, 186]),
        ("J", &["I"], 25, [186, 211, 201, 226]),
        ("K", &["I"], 59, [186, 245, 186, 245]),
        ("L", &["J"], 32, [211, 243, 226, 258]),
        ("M", &["K"], 13, [245, 258, 245, 258]),
        ("N", &["L", "M"], 47, [258, 305, 258, 305]),
    ];
    agrees(&rows, 305, &["A", "C", "E", "H", "I", "K", "M", "N"]);
}

/// Heizer & Render, installation of a pollution filter: 15 weeks, A-C-E-G-H.
#[test]
fn pollution_filter() {
    let rows: [Row<'_>; 8] = [
        ("A", &[], 2, [0, 2, 0, 2]),
        ("B", &[], 3, [0, 3, 1, 4]),
        ("C", &["A"], 2, [2, 4, 2, 4]),
        ("D", &["A", "B"], 4, [3, 7, 4, 8]),
        ("E", &["C"], 4, [4, 8, 4, 8]),
        ("F", &["C"], 3, [4, 7, 10, 13]),
        ("G", &["D", "E"], 5, [8, 13, 8, 13]),
        ("H", &["F", "G"], 2, [13, 15, 13, 15]),
    ];
    agrees(&rows, 15, &["A", "C", "E", "G", "H"]);
}
