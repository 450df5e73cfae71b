//! What is needed of a task where the job is closed up early.

use crate::diag::Code;
use crate::id::{Id, IdVec, TaskId};
use crate::input::lower::tasks::TaskContext;
use crate::input::lower::tasks::order::follows;
use crate::input::raw::phrase::CloseUp as RawCloseUp;
use crate::input::raw::tasks::Task as RawTask;
use crate::model::{CloseUp, Task};

/// Fills in what is needed of each task from the `first` on, once all tasks are known.
pub(super) fn closing(raw: &[&RawTask], tasks: &mut IdVec<TaskId, Task>, first: usize, context: &TaskContext<'_>) {
    let unsure = raw.iter().any(|task| context.sink.is_unsure(task.code.place()));
    for (i, row) in raw.iter().enumerate().skip(first) {
        let id = TaskId::from_index(i);
        let code = row.code.as_str();
        tasks[id].close_up = match &row.close_up {
            None | Some(RawCloseUp::Needed) => CloseUp::Needed,
            Some(RawCloseUp::LeaveOut(place)) => {
                if let Some(unit) = row.hands_back.first() {
                    let message = format!("task {code} hands back {}, and is to be left out when closing up", unit.as_str());
                    let help = "take `close_up` out, or name what it puts back: close_up = \"if A05\"";
                    context.sink.say(Code::CloseUpContradiction, message, *place, "", help);
                }
                CloseUp::LeftOut
            }
            Some(RawCloseUp::If(words)) => {
                let opened = context.index.tasks.find_all(words, context.sink);
                for word in words {
                    let Some(other) = context.index.tasks.get(word.as_str()) else { continue };
                    if (other != id && follows(tasks, id, other)) || unsure {
                        continue;
                    }
                    let message = format!("task {code} is to put back what {} opens, and does not come after it", word.as_str());
                    let help = "name tasks it comes after, or add them to its `after`";
                    context.sink.say(Code::CloseUpContradiction, message, word.place(), "", help);
                }
                CloseUp::PutsBack(opened)
            }
        };
    }
}
