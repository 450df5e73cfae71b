//! All codes of a job, and where they are defined.

use std::collections::BTreeMap;

use crate::diag::{Code, Place, Sources};
use crate::id::{CompetenceId, GroupId, MilestoneId, ModeId, PersonId, PhaseId, PostId, TagId, TaskId, ToolId, UnitId};
use crate::input::names::Names;

/// The codes of every kind of thing.
pub(super) struct Index {
    /// Competences.
    pub competences: Names<CompetenceId>,
    /// People.
    pub people: Names<PersonId>,
    /// Posts.
    pub posts: Names<PostId>,
    /// Phases.
    pub phases: Names<PhaseId>,
    /// Tags.
    pub tags: Names<TagId>,
    /// Tasks.
    pub tasks: Names<TaskId>,
    /// Tools.
    pub tools: Names<ToolId>,
    /// Machines.
    pub units: Names<UnitId>,
    /// Groups of machines.
    pub groups: Names<GroupId>,
    /// Modes.
    pub modes: Names<ModeId>,
    /// Milestones.
    pub milestones: Names<MilestoneId>,
}

impl Index {
    /// No codes yet; `unsure` says of which files the codes may be incomplete, because of errors of syntax.
    pub(super) fn new(unsure: impl Fn(&str) -> bool) -> Self {
        let [crew, watches, tasks, tools, machinery] =
            ["crew.toml", "watches.toml", "tasks.toml", "tools.toml", "machinery.toml"].map(unsure);
        Self {
            competences: Names::new(
                "competence",
                Code::UnknownCompetence,
                "correct it, or declare it under [competence] in crew.toml",
                crew,
            ),
            people: Names::new("person", Code::UnknownPerson, "correct it, or add the person to crew.toml", crew),
            posts: Names::new("post", Code::UnknownPost, "correct it, or add the post to watches.toml", watches),
            phases: Names::new("phase", Code::UnknownPhase, "correct it, or declare it under [phase] in tasks.toml", tasks)
                .apart_from_phrases(),
            tags: Names::new("tag", Code::UnknownTag, "correct it, or declare it under [tag] in tasks.toml", tasks),
            tasks: Names::new("task", Code::UnknownTask, "correct it, or add the task to tasks.toml", tasks),
            tools: Names::new("tool", Code::UnknownTool, "correct it, or add the tool to tools.toml", tools),
            units: Names::new("machine", Code::UnknownUnit, "correct it, or add it under [unit] in machinery.toml", machinery),
            groups: Names::new("group", Code::UnknownGroup, "correct it, or add the group to machinery.toml", machinery),
            modes: Names::new("mode", Code::UnknownMode, "correct it, or add the mode to machinery.toml", machinery),
            milestones: Names::new("milestone", Code::UnknownTask, "", false),
        }
    }
}

/// What an origin is the origin of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Topic {
    /// A person.
    Person,
    /// A competence.
    Competence,
    /// A post.
    Post,
    /// A duty.
    Duty,
    /// A task.
    Task,
    /// A tool.
    Tool,
    /// A machine.
    Unit,
    /// A group of machines.
    Group,
    /// A mode.
    Mode,
    /// A milestone.
    Milestone,
}

/// Where a thing is defined.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Origin {
    /// File, relative to the job folder.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// The exact place.
    pub place: Place,
}

/// Where each thing of a job is defined, by topic and code.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Origins {
    places: BTreeMap<(Topic, String), Origin>,
}

impl Origins {
    /// Where the thing with `code` is defined; `None` for things that are not in the files.
    #[must_use]
    pub fn get(&self, topic: Topic, code: &str) -> Option<&Origin> {
        self.places.get(&(topic, code.to_owned()))
    }

    /// All of them, by topic, then code.
    pub fn iter(&self) -> impl Iterator<Item = (Topic, &str, &Origin)> {
        self.places.iter().map(|((topic, code), origin)| (*topic, code.as_str(), origin))
    }

    /// Adds where `code` is defined.
    pub(super) fn add(&mut self, topic: Topic, code: &str, place: Place, sources: &Sources) {
        let origin = Origin { path: sources.path(place.file).to_owned(), line: sources.line(place), place };
        self.places.insert((topic, code.to_owned()), origin);
    }

    /// Adds all codes of `index`.
    pub(super) fn add_all(&mut self, index: &Index, sources: &Sources) {
        let mut add = |topic, places: &mut dyn Iterator<Item = (&str, Place)>| {
            for (code, place) in places {
                self.add(topic, code, place, sources);
            }
        };
        add(Topic::Person, &mut index.people.places());
        add(Topic::Competence, &mut index.competences.places());
        add(Topic::Post, &mut index.posts.places());
        add(Topic::Task, &mut index.tasks.places());
        add(Topic::Tool, &mut index.tools.places());
        add(Topic::Unit, &mut index.units.places());
        add(Topic::Group, &mut index.groups.places());
        add(Topic::Mode, &mut index.modes.places());
        add(Topic::Milestone, &mut index.milestones.places());
    }
}
