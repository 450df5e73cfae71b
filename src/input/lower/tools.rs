//! `tools.toml`: tools and when they can be had.

use crate::diag::Code;
use crate::id::{IdVec, ToolId};
use crate::input::names::Names;
use crate::input::raw::tools::Tools;
use crate::input::sink::Sink;
use crate::input::times::Times;
use crate::model::Tool;
use crate::time::{Moment, Span, union};

/// The tools.
pub(in crate::input) fn tools(raw: &Tools, names: &mut Names<ToolId>, times: &Times, sink: &Sink) -> IdVec<ToolId, Tool> {
    let mut tools = IdVec::new();
    for tool in &raw.tools {
        let number = tool.number.as_ref().map_or(1, |n| n.value);
        if let Some(zero) = tool.number.as_ref().filter(|n| n.value == 0) {
            let message = format!("there is no {}", tool.code.as_str());
            sink.say(Code::NoTool, message, zero.place, "", "give the number aboard, or take the tool and the tasks' use of it out");
        }
        let mut away: Vec<Span> = tool.away.iter().flat_map(|w| times.spans(w, "the time away", sink)).collect();
        let from = tool.from.as_ref().and_then(|at| times.moment(at, sink));
        let to = tool.to.as_ref().and_then(|at| times.moment(at, sink));
        if let (Some(from), Some(to), Some(at)) = (from, to, &tool.to)
            && from >= to
        {
            sink.say(Code::EndsBeforeItBegins, "the tool goes before it comes", at.place, "", "correct `from` or `to`");
        }
        away.extend(from.and_then(|from| Span::new(times.start, from)));
        away.extend(to.and_then(|to| Span::new(to.max(times.start), times.layout_end)));
        if let Some(date) = &tool.calibrated_until {
            let day = times.clock.day(times.end - crate::time::Minutes::new(1));
            if times.known && date.value < times.clock.date(day) {
                let message = format!("the calibration of {} runs out before the job ends", tool.code.as_str());
                sink.say(Code::CalibrationRunsOut, message, date.place, "", "have it calibrated, or see that it is used before that day");
            }
        }
        if names.define(&tool.code, sink).is_none() {
            continue;
        }
        let _: ToolId = tools.push(Tool {
            code: tool.code.as_str().to_owned(),
            name: tool.name.as_ref().map_or(String::new(), |n| n.as_str().to_owned()),
            number: u32::try_from(number).unwrap_or(0),
            away: clipped(away, times),
            calibrated_until: tool.calibrated_until.as_ref().map(|d| d.value.format("%Y-%m-%d").to_string()),
        });
    }
    tools
}

/// Joined, in time order, cut to the layout.
pub(in crate::input) fn clipped(spans: Vec<Span>, times: &Times) -> Vec<Span> {
    let layout = Span::new(times.start, times.layout_end.max(Moment::new(times.start.minutes() + 1)));
    union(spans.into_iter().filter_map(|s| layout.and_then(|l| s.intersection(l))).collect())
}
