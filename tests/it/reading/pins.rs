//! Which place somebody takes who is put on a task without a word of it.

use turnto::input::read;

use crate::reading::{folder, plain, sound};

/// The places of task T that are decided, each with its person: T needs GEN and OOW, A holds both, B and C hold GEN.
fn seated(pins: &str) -> Vec<(usize, String)> {
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN, OOW\"\nhours = \"08:00-12:00, 13:00-17:00\"\n\
                [person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-17:00\"\n\
                [person.C]\nname = \"C\"\ncan = \"GEN\"\nhours = \"08:00-17:00\"\n";
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GEN + OOW\"\nhours = 1\n";
    let problem = sound(&folder(&[("crew.toml", crew), ("tasks.toml", tasks), ("pins.toml", pins)]));
    let task = problem.tasks.iter().next().expect("there is one");
    task.pinned.team.iter().map(|(need, person)| (*need, problem.people[*person].code.clone())).collect()
}

/// If this fails, who is put on a task takes the first place there is though nobody else can take the other, and the job is
/// refused.
#[test]
fn who_is_put_on_a_task_takes_a_place_that_leaves_a_team() {
    let a = || (1, "A".to_owned());
    assert_eq!(seated("[[pin]]\ntask = \"T\"\nby = \"A\"\n"), [a()]);
    assert_eq!(seated("[[pin]]\ntask = \"T\"\nby = \"A\"\n[[pin]]\ntask = \"T\"\nby = \"B\"\nfor = \"GEN\"\n"), [(0, "B".to_owned()), a()]);
    assert_eq!(seated("[[pin]]\ntask = \"T\"\nby = \"A, C\"\n"), [(0, "C".to_owned()), a()]);
}

/// If this fails, decisions that leave no team are not refused, or not once.
#[test]
fn decisions_that_leave_no_team_are_refused() {
    let pins = "[[pin]]\ntask = \"T\"\nby = \"B\"\n[[pin]]\ntask = \"T\"\nnot = \"A\"\n";
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"2 GEN\"\nhours = 1\n";
    let said = plain(&read(&folder(&[("tasks.toml", tasks), ("pins.toml", pins)])));
    assert_eq!(said, ["C222 pins.toml:6 what is decided about T leaves no team for it"]);
}
