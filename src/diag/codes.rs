//! The table of codes: `turnto explain CODE` prints what stands here.
//!
//! C1xx people, C2xx tasks and tools, C3xx time, watches and duties, C4xx rules, reserve and machinery,
//! C5xx files and how they are written, C6xx the log. A code keeps its meaning for good; a new meaning gets a new code.

/// Whether a diagnostic stops the job from being planned.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Severity {
    /// Nothing is planned until it is put right.
    Error,
    /// It can be planned, but looks like a slip.
    Doubtful,
}

macro_rules! codes {
    ($($name:ident $text:literal $severity:ident $title:literal $explanation:literal)+) => {
        /// What kind of thing is wrong or doubtful.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Code {
            $(#[doc = $title] $name,)+
        }

        impl Code {
            /// Every code, in the order of the table.
            pub const ALL: &[Self] = &[$(Self::$name),+];

            /// The code as printed (`C204`).
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }

            /// A few words that name it.
            #[must_use]
            pub const fn title(self) -> &'static str {
                match self { $(Self::$name => $title),+ }
            }

            /// One paragraph: what it means, why it matters, what to do.
            #[must_use]
            pub const fn explanation(self) -> &'static str {
                match self { $(Self::$name => $explanation),+ }
            }

            /// Whether it stops the job from being planned.
            #[must_use]
            pub const fn severity(self) -> Severity {
                match self { $(Self::$name => Severity::$severity),+ }
            }

            /// Whether something was not read, not known or not there, so that what its table says as a whole is not known.
            #[must_use]
            pub const fn leaves_unsure(self) -> bool {
                matches!(
                    self,
                    Self::UnknownPerson
                        | Self::UnknownCompetence
                        | Self::UnknownTask
                        | Self::UnknownTool
                        | Self::UnknownTag
                        | Self::TimeNotUnderstood
                        | Self::NeverOccurs
                        | Self::OccursTwice
                        | Self::OutsideHorizon
                        | Self::HoursNotUnderstood
                        | Self::WrongOffset
                        | Self::UnknownPost
                        | Self::UnknownMode
                        | Self::UnknownGroup
                        | Self::UnknownUnit
                        | Self::Syntax
                        | Self::WrongType
                        | Self::UnknownKey
                        | Self::MissingKey
                        | Self::OutOfRange
                        | Self::NotAChoice
                        | Self::BrokenRow
                        | Self::NotUnderstood
                        | Self::NotACode
                        | Self::UsedTwice
                )
            }
        }
    };
}

codes! {
    UnknownPerson "C101" Error "a person who is not in the crew"
        "A file names somebody by a code that crew.toml does not have. People are named by the code after `person.` in crew.toml, with capitals as written there. Correct the code, or add the person to crew.toml."
    UnknownCompetence "C102" Error "a competence nobody has heard of"
        "A competence is a short code that crew.toml declares under [competence], or, if nothing is declared there, one that somebody in the crew holds. Where competences are declared, every other code is taken for a slip of the pen. Correct the code or declare it."
    NoPeople "C103" Error "a crew without people"
        "crew.toml lists nobody, so there is nobody to plan for. Add at least one [person.CODE] table with name, what the person can do and the ordinary hours."
    NoHours "C104" Doubtful "a person who is never free for the job"
        "The person has no ordinary hours, stands no watch and is named in no duty, so the plan will never use him or her. If the person works on the job, give `hours`, for example hours = \"08:00-12:00, 13:00-17:00\"."
    NoCompetence "C105" Doubtful "a person who can do nothing"
        "Tasks and posts ask for competences, and this person holds none, so nothing can be given to him or her. List the competences under `can`."
    EveningsWithoutOvertime "C106" Doubtful "a limit on evenings without any overtime"
        "`evenings` limits the days on which a person may be given overtime, but no overtime hours are allowed for this person, so the limit says nothing. Add `overtime`, or take `evenings` out."
    BreakOfNobody "C107" Doubtful "a break that nobody has"
        "A named break holds for those whose ordinary hours leave it out: hours = \"08:00-12:00, 13:00-17:00\" with lunch = \"12:00-13:00\". Who is down for work in it works through it. The hours of everybody who works then go on through this break, so it changes nothing. Leave it out of the hours, or take it out of job.toml."
    LongHours "C108" Doubtful "ordinary hours longer than a day's work"
        "Hours that end before they begin go on past midnight: \"17:00-13:00\" is twenty hours, to 13:00 of the next day. Nobody may work more than fourteen hours in a day, so hours longer than that in one piece are most often two times that changed places. Write the earlier one first."
    UnknownTask "C201" Error "a task that is not in the job"
        "A task is named by the code after `task.` in tasks.toml. The code used here is not among them. Correct it or add the task."
    Cycle "C202" Error "tasks that wait for one another in a circle"
        "Each of the named tasks comes after the one before it and the first comes after the last, so none of them can ever begin. Take one of the `after` entries out; the excerpt shows all of them."
    NobodyHolds "C203" Error "a task that asks for what nobody holds"
        "A task needs one person for each competence it lists, and there is nobody in the crew who holds this one. Add the competence to somebody's `can`, add a person, or change what the task needs."
    NoTeam "C204" Error "a task that needs more different people than there are"
        "All the people a task needs are different people and present together from start to end. Here fewer people hold the listed competences than places are to be filled: one person can fill only one place, whatever else he or she holds. Ask for fewer, or train more."
    HoursOutOfOrder "C205" Error "hours that are not least, typical, most"
        "Hours are written as one number, or as three in the order least, typical, most, for example hours = [1.5, 2, 4]. Here a later number is smaller than one before it. The plan is made with the typical hours."
    TooManyParts "C206" Error "more parts than slots"
        "A task that stops only between its parts needs at least one slot for each part. With this length and this slot there are fewer slots than parts. Ask for fewer parts, give more hours, or choose a shorter slot in job.toml."
    UnknownTool "C207" Error "a tool that is not listed"
        "A tool is named by its code in tools.toml. The code used here is not among them. Correct it or add the tool."
    NoSuchNumber "C208" Error "more of a tool than there are"
        "The task asks for more of a tool than tools.toml says there are, so it could never be done. Tools that are aboard none of the time are better left out of tools.toml. Lower the number here or raise it there."
    UnknownPhase "C209" Error "a phase that is not declared"
        "Phases are declared under [phase] in tasks.toml in the order of the job. If none are declared, the words used in the tasks are taken as they come; once some are, every other word is taken for a slip of the pen."
    UnknownTag "C210" Error "a tag that is not declared"
        "Tags put cautions on the day sheet and are what bans refer to, so a misspelt tag would silently switch off both. The usual tags are built in; declare your own under [tag] in tasks.toml with the caution to print."
    WindowTooShort "C211" Error "a task that does not fit its own window"
        "Between the task's `not_before` and `not_after` there is less time than the task takes, even if somebody worked on it without a stop. Widen the window or shorten the task."
    TooLongInOneGo "C212" Error "work that is longer than anybody's day"
        "The task, or one of its parts, has to be done in one go inside a working stretch, but nobody who holds this competence has a stretch that long, overtime included. Let it stop (stop = \"any\"), divide it into more parts, or give somebody longer hours."
    HoldEndsBefore "C213" Error "a tool held until a task that does not follow"
        "A held tool is booked from the first start of the task that fills it to the end of the task that empties it. The second must come after the first, directly or through other tasks. Here nothing makes it so; add it to the `after` of that task."
    NotInNeeds "C214" Error "a place in the team that the task does not have"
        "`same` and `different` name places by the competence they ask for. The task named has no place with this competence in its `needs`."
    AttendedByWatch "C215" Error "a task with people that the watch is to attend"
        "`attended_by` is for tasks without people (needs = \"none\"), such as a running-in that the watch looks after. This task has people of its own. Take one of the two out."
    Unattended "C216" Doubtful "a task that nobody does and nobody looks after"
        "The task needs nobody and names no post that attends it. That is right for a soak or a cure that looks after itself, though a wait (after = \"A20 + 12h\") says it better. If the watch looks after it, add attended_by."
    StopContradiction "C217" Error "stop, parts and shortest spell that contradict each other"
        "`parts` goes with stop = \"unit\" (which may then be left out), `min_spell` goes with stop = \"any\", and stop = \"unit\" needs `parts`. A task without people runs in one piece and has none of them."
    NoTasks "C218" Error "a job without tasks"
        "tasks.toml lists no task, so there is nothing to plan. Add at least one [task.CODE] table with text, needs and hours."
    CalibrationRunsOut "C219" Doubtful "a tool whose calibration runs out before the job ends"
        "The calibration date of the tool lies before the planned end. Measurements taken after that day may not be accepted. Have it calibrated, or plan the tasks that use it early."
    NoTool "C220" Error "a tool of which there is none"
        "tools.toml lists the tool with number = 0. A tool that cannot be had makes every task that uses it impossible. Give the number there are; use `away` for the time it cannot be had."
    NamedTwice "C221" Doubtful "the same thing listed twice"
        "A list names the same thing twice. It counts once (the longer wait or the larger number), but one of the two was probably meant to be something else."
    PinnedImpossible "C222" Error "a decision that cannot be kept"
        "A pin in pins.toml puts somebody on a task who cannot fill a place of it, or has no hours for the job, keeps off everybody who could, or asks for a start that the task's own not_before or not_after rules out, or at which no team of those who may do it can be at work, by their hours, watches, duties and time away, by bans and by tools that are away. The nearest times that would do are named. Correct the pin, or take it out."
    PinnedTwice "C223" Error "two decisions that contradict each other"
        "Two pins in pins.toml say different things about the start of one task, or have a task start before what it comes after, with a start of its own, can be done. Take one of them out."
    CloseUpContradiction "C224" Error "a task that cannot be left out when closing up early so"
        "`close_up` says what `turnto stops` may leave out where the job is closed up early: \"leave out\" for work that need not be done once it was not begun, \"if A12\" for a task that puts back what A12 opens and is needed only if A12 was begun. A task that hands a machine back cannot be left out while the machine is out, and one that puts something back comes after what opens it."
    ToolHeldAlready "C225" Error "a tool that is held while it is wanted"
        "A held tool is booked from the first start of the task that fills it to the end of the task that empties it. The task named comes between the two and lists the tool itself, and there is not one more of it, so it could never be placed; or holds that meet take more of it together than there is: one that ends with the task with which the other begins meets it there. The tasks at the two ends of a hold use the held tool; a task between them that works on it uses it as well, and need not list it."
    NobodyLeft "C226" Doubtful "a place kept from everybody who could fill it"
        "`different` keeps those who were on another task from a place, and there are not enough people for the places of both: whoever is on the other task, nobody is left for this one. No plan will be found unless the other task is done or dropped by then. Add the competence to somebody, or take `different` out."
    TimeNotUnderstood "C301" Error "a time that cannot be read"
        "Times are written as a date and time by ship's clock, 2027-03-01T08:00, or by the day of the job, \"day 4 14:20\"; day 1 is the day of the start, the day before is day 0. Windows are written \"day 3 09:30-16:00\" or \"day 3 22:00 - day 4 02:00\". Hours run from 00:00 to 24:00, in whole minutes."
    NeverOccurs "C302" Error "a time the ship's clock never shows"
        "The clock is put forward over this time, so it never occurs. Use a time before or after the change; the change itself is in job.toml under [[clock_change]]."
    OccursTwice "C303" Error "a time the ship's clock shows twice"
        "The clock is put back over this time, so it occurs twice. Say which one by adding the offset from UTC in force, for example \"day 4 02:30 UTC+3\" or 2027-03-04T02:30:00+03:00."
    OutsideHorizon "C304" Error "a time outside the job"
        "The time lies before the start of the job, or so late that no plan can reach it: a plan may grow to three times the length given in job.toml, and watches and duties are laid out eight days beyond that. A wrong day, month or year is the usual cause."
    HoursNotUnderstood "C305" Error "hours of the day that cannot be read"
        "Hours of the day are written \"08:00-12:00\", several with commas between: \"08:00-12:00, 13:00-18:00\". They may run past midnight, \"22:00-06:00\", and 24:00 is the end of a day. Pieces of one list may not overlap."
    EndsBeforeItBegins "C306" Error "a window that ends before it begins"
        "The end of the window is at or before its beginning. Windows are half-open: the last minute is the one before the end. Hours of the day may run past midnight; a named break may too, but more than 12 h of break are taken for its two ends in the wrong order."
    OffSlot "C307" Error "a time or length that does not fit the slots"
        "The slot is 15, 30 or 60 minutes (any number of minutes that divides an hour). The start and end of the job must lie on slot boundaries, and the ship's clock may change only by whole slots. Move the time, or choose a shorter slot."
    ClockChange "C308" Error "a change of the ship's clock that does not work"
        "Two changes of the clock fall together, or an offset from UTC is a day or more, or a change changes nothing, or the clock would jump by a day or more, at once or in several steps: then a date would be left out or shown twice, and days could no longer be told apart. Each [[clock_change]] gives the time by the old clock and the new offset. At the date line keep the date of the side the job began on, or begin another job."
    WrongOffset "C309" Error "an offset that is not in force then"
        "The time is written with an offset from UTC, but ship's clock does not have that offset at that moment. Leave the offset out, or write the one in force."
    UnknownPost "C310" Error "a post that is not listed"
        "A post is named by the code after `post.` in watches.toml. The code used here is not among them. Correct it or add the post."
    NobodyMayStand "C311" Error "a post nobody may stand"
        "A post may be stood by whoever holds the competence it asks for, and nobody in the crew does. Correct the competence of the post or add it to somebody's `can`."
    MayNotStand "C312" Error "a watch given to somebody who may not stand it"
        "The person put on the post does not hold the competence it asks for. Put somebody else on it, or add the competence in crew.toml."
    Unmanned "C313" Error "a post with a hole in its watches"
        "A post must be stood at every minute it is to be manned, to the end of everything that is laid out. The lines and stands in watches.toml leave a hole. Extend a line, add a stand, or say with `manned` when the post is to be manned."
    TwoOnPost "C314" Error "two people on one post at once"
        "Two lines or stands put somebody on the same post at the same time. One person stands a post at a time. If somebody takes over for a while, write a [[cover]], which replaces whoever has the watch; if two are wanted, make a second post."
    AwayOnWatch "C315" Error "a watch given to somebody who is away"
        "The person put on this watch is not aboard then. Put somebody else on it with a [[cover]], or correct `away` in crew.toml."
    TwoWatches "C316" Error "one person on two watches at once"
        "Two lines, stands or covers put the same person on watch at the same time. Change one of them."
    DutyOnWatch "C317" Error "a duty during the person's own watch"
        "Nobody can attend a duty and stand a watch at once. Write a [[cover]] in watches.toml for the time of the duty, or say how the two meet: on_watch = \"excused\" (those on watch stay on watch) or on_watch = \"done\" (it is done along with the watch)."
    DutiesOverlap "C318" Error "one person in two duties at once"
        "Two duties at fixed times call the same person at the same time. Move one of them, take the person out of one, or let one be movable (`within` and `hours` in place of `when`)."
    NobodyInDuty "C319" Error "a duty without people"
        "The duty names nobody, or nobody who is aboard then. Say with `who` whom it calls: people, \"all\", \"all but CE\", or everybody with a competence, \"all OOW\"."
    AwayInDuty "C320" Doubtful "a duty for somebody who is away"
        "The person is named for the duty but is not aboard then. The duty is planned without him or her. If that is right, take the name out."
    DutyTooLong "C321" Error "a duty that is longer than its window"
        "A movable duty is done in one piece inside its window, and here the window, or what the job leaves of it, is shorter than the duty. Widen `within` or lower `hours`."
    CoverOfNothing "C322" Doubtful "a cover when there is no watch"
        "Nobody has the watch on this post at the time of the cover, so it replaces nothing and is left out. Correct its time, or write a [[stand]] if somebody is to stand an extra watch."
    OvertimeApart "C323" Error "overtime away from ordinary hours"
        "Overtime goes with a working day: it begins where ordinary hours or a named break end, or ends where they begin. Here a gap is between them. Name the gap as a break in job.toml under [breaks], or move the overtime."
    HoursOnWatch "C324" Doubtful "ordinary hours during the person's own watch"
        "The person is down for ordinary hours and for a watch at the same time. The watch counts, and the hours are lost for the job. If that is meant, nothing need be done."
    RecordOverlaps "C325" Doubtful "recorded hours that overlap"
        "Two rows of hours.csv give the same person at work at the same time. For the rest rules they count once. One of the two rows is probably wrong."
    RecordTooShort "C326" Doubtful "less than seven days of recorded hours"
        "The weekly rest rule looks back seven days. The record of this person begins later than seven days before the start (or there is none), so part of the rule cannot be checked; the plan says so. Add the missing days to hours.csv, or say under [rest] in job.toml from when the record is complete."
    OpenTooFew "C327" Error "an open watch that nobody can take"
        "The watch is left open for the plan to fill, but of those who may be chosen nobody is aboard for the whole of it. Name more people."
    RecordEmpty "C328" Doubtful "a complete record with nothing in it"
        "job.toml says from when on the record of hours is complete, and hours.csv has no row; or crew.toml says it of somebody, and there is no row of anybody, or no hours.csv. So everybody of whom it is said counts as rested since then, whatever was worked. If nobody has worked, say so in job.toml and take hours.csv out; otherwise fill it in, or take `recorded_from` out, and what cannot be known will be said."
    AllHandsMovable "C329" Error "a stand-by of all hands without a fixed time"
        "While a duty has all hands out (`all_hands = true`) it is the ship's own reserve, and nobody else is asked to be callable. So it must be known when it is. Write `when` in place of `within` and `hours`, or take `all_hands` out."
    RecordLong "C331" Doubtful "more than a day of work in one piece"
        "A row of hours.csv has somebody at work for more than 24 hours without a break. That may be so, and then the rest rules say what they say of it; more often the date of one end is a day out."
    RecordStale "C332" Doubtful "a record that ends before the job starts"
        "hours.csv has nothing for the last three days before the start, or with a grid of half-hours no row of somebody for whole days before it, so everybody, or that person, counts as rested since then. Add those days to hours.csv; a day of rest is a row without marks in a grid, and rows from-to need none."
    AttendsNone "C333" Error "a post that attends no task, and a task it is to attend"
        "`attends` says how many tasks without people the watch of a post may attend at once. With 0 it attends none, so a task that is attended by it could never be done. Let the post attend one or more, or name another post."
    UnknownRules "C401" Error "a set of rest rules that is not there"
        "The rest rules are chosen by code in job.toml under [rest] or for one person in crew.toml. The code used here is neither that of a built-in set (`turnto rules` lists them) nor that of a set in rules.toml."
    ReserveTooLarge "C402" Error "a reserve that the crew cannot give"
        "The reserve asks for callable people of several kinds, all different, at every moment. There are fewer people who hold these competences than it asks for, so it could never be met."
    UnknownMode "C403" Error "a mode that is not listed"
        "A mode of the ship is named by the code after `mode.` in machinery.toml. The code used here is not among them. Correct it or add the mode."
    ModeGap "C404" Error "a time without a mode"
        "Modes say what machinery and reserve are needed, so there must be one at every moment from the start to the end of everything that is laid out. Let one mode have when = \"otherwise\", or close the gap."
    ModesOverlap "C405" Error "two modes at once"
        "Two modes claim the same time. The ship is in one mode at a time. Correct the windows; a mode with when = \"otherwise\" gives way to all others."
    UnknownGroup "C406" Error "a group of machines that is not listed"
        "A group is named by the code after `group.` in machinery.toml. The code used here is not among them. Correct it or add the group."
    UnknownUnit "C407" Error "a machine that is not listed"
        "A machine is named by its code under [unit] in machinery.toml. The code used here is not among them. Correct it or add the machine."
    NeedsMoreThanGroup "C408" Error "a mode that needs more machines than the group has"
        "The mode asks for more able units than the group has members, so it could never be met. Correct the number or the members of the group."
    NeverHandedBack "C409" Doubtful "a machine that is never handed back"
        "A task or duty takes the machine out, and nothing hands it back, so it counts as out to the end of everything that is laid out; a duty that does both has it out for its own time only and hands nothing back for others. Add `hands_back` to the task after which it can be used again."
    NeverTakenOut "C410" Doubtful "a machine that is handed back but never taken out"
        "A task or duty hands the machine back, and nothing takes it out, so it counts as out from the start; a duty that does both takes nothing out for others. If it is, nothing need be done; otherwise add `takes_out` to the task that stops it."
    TwoReserves "C411" Error "a mode with two reserves"
        "Two [[reserve]] tables in job.toml hold for the same mode. A mode has one reserve or none. Correct `modes` in one of them."
    NeverTogetherEmpty "C412" Error "a never-together rule that says nothing"
        "`never_together` names machines and how many of them may be out at once. With fewer than two machines, or with as many allowed out as it names, it forbids nothing."
    AimTwice "C413" Error "an aim that stands twice"
        "The order of aims is a list from the most to the least important; each may stand in it once. Aims that are left out follow in their usual order."
    MilestoneWithoutTask "C414" Error "a milestone without a task"
        "A milestone is met when its tasks have ended, and this one names no task, so nothing could ever meet or miss it. List the tasks under `tasks`."
    UnitInNoGroup "C415" Doubtful "a machine in no group"
        "The machine is listed, but no group has it as a member, so whether it is able or out makes no difference to anything. Add it to the `units` of a group."
    FixedWorkBreaksRest "C416" Doubtful "watches and duties that leave too little rest by themselves"
        "With nothing planned at all, the recorded hours, the watches and the fixed duties of this person already break a rest rule. Whatever is planned besides, no plan can be legal. Take a watch or a duty off this person, move the duty, or leave the watch open for the plan to fill."
    HandedBackApart "C417" Doubtful "a machine whose handing back does not follow its taking out"
        "A machine counts as out from the first start of a task that takes it out to the last end of a task that hands it back. Nothing makes the one named here follow the other, directly or through other tasks, so a plan may do them the other way round: then the machine stays out to the end of everything that is laid out. Add the order to `after`."
    HoursWithoutBreak "C418" Doubtful "ordinary hours longer than may be worked without a break"
        "The rest rules of this person limit work without a break, as those for people under 18 do, and the ordinary hours have longer pieces. Time on hand between two tasks of one piece counts as work, so of each piece no more is used than the rule lets be worked at a stretch. Write the breaks into the hours, as in \"08:00-10:00, 10:30-12:30\"."
    UnbookedTooMuch "C419" Doubtful "more unbooked hours than there are"
        "`unbooked` asks for so many hours a day that nothing is booked in, of all people together. On every day of the job their ordinary hours between the hours named are fewer, those away and daily caps taken off, so that every plan falls short of it on every day. Hours of overtime do not count. Lower it, or widen `between`."
    RulesAmiss "C431" Error "a set of rest rules that makes no sense"
        "A set in rules.toml cannot be used: a number does not fit the window it is for, two rules share a code, or the code of the set is that of a built-in one. Correct it; `turnto rules` lists the built-in sets, and `turnto rules CODE` shows one in full."
    ExceptionsUnnamed "C432" Error "exceptions without the flag state and the agreement that allow them"
        "70 h of rest in seven days, and rest in three periods, are exceptions that a flag state may allow where an agreement provides for them (STCW Code A-VIII/1 paragraph 9). They are off until both are named under [rest.exceptions] in job.toml, and are printed with every result."
    AdultRules "C433" Doubtful "rules for adults for somebody under 18"
        "The person is under 18 when the job starts (`born` or `age` in crew.toml), and `rest` names a set that is not made for that. The set for those under 18 is taken where `rest` is left out; under_18 under [rest] in job.toml names another. Whoever turns 18 during the job stays under it to the end."
    CannotPlan "C434" Doubtful "rest rules that records can be checked by and no plan can be made by"
        "While a plan grows it has to be known that what is legal so far stays legal whatever is added. That is not so for every rule and reading: where more work can take a finding away, where hours are counted as a changing ship's clock shows them, or where drills are exempt and rest is owed for them. `turnto rest` checks records and plans by such rules; `turnto plan` refuses. To plan, choose another set or reading under [rest] in job.toml, and check the plan by the other one afterwards."
    RuleReplaced "C435" Doubtful "a rest rule that takes the place of a stricter one"
        "A set in rules.toml is `like` another one and has a rule with the same code as one of that set, which then no longer counts. It asks for something else, or for less. Give the rule another code, and both count; `turnto rules CODE --folder FOLDER` shows what is left."
    NotText "C501" Error "a file that is not text"
        "Job files are plain text in UTF-8. This one has bytes that are not, which happens when a file was saved in another encoding or is not a text file at all. Save it again as UTF-8."
    Syntax "C502" Error "something that is not TOML"
        "The file does not follow the rules of TOML at this place. The usual slips: a missing quotation mark, a missing closing bracket, two keys on one line, text without quotation marks. What could be read has been checked all the same."
    WrongType "C503" Error "a value of the wrong kind"
        "The key takes another kind of value: text stands in quotation marks, numbers and true or false do not, lists stand in square brackets."
    UnknownKey "C504" Error "a key turnto does not know"
        "Keys that are not known are errors, because a misspelt key would otherwise be left out without a word. If the key looks right, see whether it belongs in another table or file: `turnto explain tasks.toml` lists all keys of tasks.toml with what they mean, and so for every file."
    MissingKey "C505" Error "a key that is missing"
        "The table cannot be understood without this key, or with nothing in it, and nothing can be assumed in its place. The remedy shows how it is written."
    MissingFile "C506" Error "a file that is missing"
        "A job folder has at least job.toml, crew.toml and tasks.toml. The other files may be left out, which then means none of what they say. `turnto new FOLDER` writes a small folder to start from."
    UnknownFile "C508" Doubtful "a file turnto does not know"
        "The file has the ending of a job file, but its name is none of those turnto reads, so it is left out. If it is a misspelt name, rename it."
    TooLarge "C509" Error "a file that is too large"
        "A job file is written by hand and small enough to print; anything above four megabytes is taken for a mistake and not read."
    OutOfRange "C510" Error "a number that is out of range"
        "The number is too small or too large for what it stands for. Numbers of things and lengths of time are above zero unless said otherwise."
    NotAChoice "C511" Error "a word that is not one of the choices"
        "The key takes one of a few words, which are listed with the error."
    BrokenRow "C512" Error "a row of hours.csv that cannot be read"
        "Rows have the columns person, from, to, kind, note, in any order and with commas, semicolons or tabs between, as the first line names them; note may be left out. kind is watch, task, duty, call, drill, emergency or oncall. A grid of half-hours has the columns person, date and 00:00 to 23:30, and a row for every day aboard; a half-hour is left empty for rest, or is marked b for a break, x or d for work, w for a watch, t task, c call-out, m drill, e emergency, o on call without a call, ? where it is not known. `turnto explain hours.csv` lists the columns."
    NotUnderstood "C513" Error "a phrase that cannot be read"
        "Some keys take short phrases: needs = \"LEAD + 2 GEN\", after = \"A20 + 12h, A13\", hold = \"SOAK until A22\", different = \"MEAS not from A44, A45\". The phrase here does not follow the form shown with the error."
    NotACode "C514" Error "something that cannot be a code"
        "Codes of people, tasks, tools and the like are short words of letters, digits, `_`, `-`, `.` and `/`, at most 24 characters, so that they fit the day sheet and can be listed with commas. A few words (all, none, open, ...) have a meaning of their own in phrases and cannot be codes, but for those of phases, which no phrase names."
    UsedTwice "C515" Error "a code or key that stands twice"
        "The same code or key is given twice. One of the two was probably meant to be something else; give each its own."
    UnseenCharacter "C516" Error "a character that does not show"
        "Some characters do not show on a screen or on paper, and some turn the direction in which what follows is written, so that a name or an instruction reads as something else than it says. They come in with text that was pasted. The place and the code point are named; take the character out, or type the words again. Joiners between letters of scripts that are written with them may stay."
    LogTeam "C601" Error "people who cannot be the team of the task they worked on"
        "An entry `started` in log.toml may name who worked on the task. Then it names everybody, each once, and together they can fill the places of the task, each with a competence of his own. Leave `by` out if it was the team of the plan."
    LogDuty "C602" Error "a duty the log cannot move or add"
        "An entry `moved` names a duty of duties.toml, with `occurrence` where it is done more than once; a duty that is added has a code of its own. Correct the code or the number."
    LogDoubtful "C603" Doubtful "an entry of the log that does not go with the rest"
        "The entry can be read and is taken as it stands, but it does not go with what else is known: somebody is fit again who was never unfit or limited, a task is begun or broken off after it was done or dropped, or a milestone is moved to before the start of the job, a call lasts more than a day, or an entry says what another one says. The log is only ever added to: correct a slip by a further entry, or, where nobody has planned by it yet, in log.toml itself."
}

impl Code {
    /// The code written as `text` (`c204` is as good as `C204`), if there is one.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|code| code.text().eq_ignore_ascii_case(text.trim()))
    }
}
