//! The engine's finish held to the least there is, on jobs so small that all their plans can be looked at.

mod every;
mod job;

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::time::Moment;
use turnto::verify::verify;

use crate::support::dice::Dice;
use crate::verify::brute::jobs;

use self::every::{Every, TooMany};

/// Looks at plans, whole or in part, after which a job is given up.
const MOST: usize = 150_000;
/// As the program is patient.
const PATIENCE: u64 = 1200;

/// What the engine came to.
#[derive(Debug)]
enum Engine {
    /// A plan that falls short of nothing.
    Whole(Moment),
    /// A plan that falls short.
    Short,
    /// None: the longest chain proves that there is none.
    Impossible,
    /// None: watches and duties have no legal roster.
    NoRoster(String),
    /// None: this task found no place.
    Stuck(String),
    /// A plan that breaks a rule, with what it breaks.
    Illegal(Vec<String>),
}

/// Plans as the program does.
fn engine(problem: &Problem) -> Engine {
    let Ok(with_overtime) = chain(problem, Hours::WithOvertime) else { return Engine::Impossible };
    let options = Options { seed: 0, patience: PATIENCE, bound: Some(with_overtime.at), threads: 1 };
    let solution = match solve(problem, &options, &mut Unwatched) {
        Outcome::Found(solution) => solution,
        Outcome::Stuck(task) => return Engine::Stuck(problem.tasks[task].code.clone()),
        Outcome::NoRoster(why) => return Engine::NoRoster(format!("{why:?}")),
    };
    let verified = match verify(problem, solution.plan) {
        Ok(verified) => verified,
        Err(rejected) => return Engine::Illegal(rejected.breaches.iter().map(|b| b.describe(problem)).collect()),
    };
    let account = verified.account();
    if account.machinery_shortfall + account.reserve_shortfall == 0 { Engine::Whole(account.finish) } else { Engine::Short }
}

/// How the jobs came out.
#[derive(Default, Debug)]
struct Tally {
    /// The engine's finish is the least there is.
    least: usize,
    /// No plan falls short of nothing, and the engine found none.
    none: usize,
    /// Given up.
    too_many: usize,
    /// The engine's finish is later: seed, what it found, the least finish.
    later: Vec<(u64, String, Moment)>,
}

/// If this fails, the engine does not find the least finish on a job of a few hours, or the enumeration does not know
/// plans that the engine makes.
#[test]
fn the_finish_is_the_least_there_is() {
    let mut tally = Tally::default();
    let mut illegal = Vec::new();
    for seed in 0..jobs(30) {
        let problem = job::job(&mut Dice::new(seed), std::env::var("DAYS").ok().and_then(|d| d.parse().ok()).unwrap_or(3));
        let found = engine(&problem);
        if let Engine::Illegal(breaches) = found {
            illegal.push((seed, breaches));
            continue;
        }
        let upto = if let Engine::Whole(finish) = found { finish.min(job::moment(job::LENGTH)) } else { job::moment(job::LENGTH) };
        match (Every::new(&problem, MOST).least(upto), &found) {
            (Err(TooMany), _) => tally.too_many += 1,
            (Ok(None), Engine::Whole(finish)) if *finish <= job::moment(job::LENGTH) => panic!("seed {seed}: the enumeration does not know the plan to {finish:?}"),
            (Ok(None), _) => tally.none += 1,
            (Ok(Some((least, _))), Engine::Whole(finish)) if least == *finish => tally.least += 1,
            (Ok(Some((least, plan))), _) => {
                check(&problem, plan, least);
                tally.later.push((seed, format!("{found:?}"), least));
            }
        }
    }
    eprintln!("least {} none {} too many {} later {}", tally.least, tally.none, tally.too_many, tally.later.len());
    for l in &tally.later { eprintln!("LATER {l:?}"); }
    assert!(illegal.is_empty(), "plans of the engine that break a rule: {illegal:?}");
    assert!(tally.later.is_empty(), "{tally:?}");
}

/// What the enumeration found is what it says.
fn check(problem: &Problem, plan: Plan, finish: Moment) {
    let verified = verify(problem, plan).expect("the enumeration only keeps legal plans");
    assert_eq!(verified.account().finish, finish);
}

#[test]
fn zz_debug() {
    for seed in std::env::var("SEEDS").unwrap_or_default().split(',').filter_map(|s| s.parse().ok()) {
        let problem = job::job(&mut Dice::new(seed), std::env::var("DAYS").ok().and_then(|d| d.parse().ok()).unwrap_or(3));
        let h = |s: turnto::time::Span| format!("{}-{}", (s.start() - job::moment(0)).get() as f64 / 60.0, (s.end() - job::moment(0)).get() as f64 / 60.0);
        let hs = |v: &[turnto::time::Span]| v.iter().map(|s| h(*s)).collect::<Vec<_>>().join(" ");
        eprintln!("=== seed {seed} rules {}", problem.rule_sets.iter().next().unwrap().code);
        for p in problem.people.iter() {
            eprintln!("{} holds {:?} ord {} ot {} br {} away {} rec {} cap {:?} ev {:?}", p.code, p.competences, hs(&p.stretches[0].ordinary), hs(&p.stretches[0].overtime), hs(&p.breaks), hs(&p.away), hs(&p.recorded.iter().map(|r| r.span).collect::<Vec<_>>()), p.job_cap.map(|c| c.get() / 60), p.evenings);
        }
        for t in problem.tasks.iter() {
            eprintln!("{} needs {:?} len {} stop {:?} pauses {} after {:?} tools {:?} nb {:?} na {:?} tags {:?} out {:?} back {:?} same {:?} diff {:?} em {} att {:?}", t.code, t.needs, t.length.count(), t.stop, t.pauses, t.after, t.tools, t.not_before.map(|m| (m - job::moment(0)).get() / 60), t.not_after.map(|m| (m - job::moment(0)).get() / 60), t.tags, t.takes_out, t.hands_back, t.same, t.different, t.emergency, t.attended_by);
        }
        for t in problem.turns.iter() { eprintln!("turn {} {:?}", h(t.span), t.stand); }
        for d in problem.duties.iter() { eprintln!("duty {:?} who {:?} leav {} onw {:?} bans {:?}", match d.when { turnto::model::When::Fixed(s) => h(s), turnto::model::When::Movable { window, length } => format!("mov {} len {}", h(window), length.get() / 60) }, d.who, d.leavable, d.on_watch, d.bans); }
        for b in &problem.bans { eprintln!("ban {} {:?}", h(b.span), b.tags); }
        for t in problem.tools.iter() { eprintln!("tool away {}", hs(&t.away)); }
        for m in problem.modes.iter() { eprintln!("mode {:?}", m.reserve); }
        for u in problem.units.iter() { eprintln!("unit out {}", hs(&u.out)); }
        let show = |plan: &Plan| { for s in &plan.spells { eprintln!("  {} part {} {} by {:?}", problem.tasks[s.task].code, s.part, hs(&s.work), s.team); } eprintln!("  turns {:?} duties {:?} on hand {:?}", plan.turns, plan.duties, plan.on_hand.iter().map(|o| (o.person, h(o.span))).collect::<Vec<_>>()); };
        let with_overtime = chain(&problem, Hours::WithOvertime).unwrap();
        let aim = chain(&problem, Hours::Ordinary).map_or(with_overtime.at, |chain| chain.at);
        eprintln!("aim {} with overtime {}", (aim - job::moment(0)).get() / 60, (with_overtime.at - job::moment(0)).get() / 60);
        for es in 0..4 { for pat in [1200, 12000] { struct W; impl turnto::engine::Watch for W { fn improved(&mut self, g: u64, m: Moment) { eprint!("[{g}: {}]", (m - job::moment(0)).get() / 60); } fn stop(&mut self) -> bool { false } }
          let o = solve(&problem, &Options { seed: es, patience: pat, bound: Some(with_overtime.at), threads: 1 }, &mut W); if let Outcome::Found(s) = o { let g = s.generations; eprintln!(" seed {es} pat {pat} gens {g} finish {:?}", verify(&problem, s.plan).map(|v| (v.account().finish - job::moment(0)).get() / 60).ok()); } } }
        let options = Options { seed: 0, patience: PATIENCE, bound: Some(with_overtime.at), threads: 1 };
        match solve(&problem, &options, &mut Unwatched) {
            Outcome::Found(s) => { eprintln!("engine:"); show(&s.plan); match verify(&problem, s.plan) { Ok(v) => eprintln!("  finish {} short {} {} {:?}", (v.account().finish - job::moment(0)).get() / 60, v.account().machinery_shortfall, v.account().reserve_shortfall, v.account().shortfalls), Err(r) => eprintln!("{:?}", r.breaches.iter().map(|b| b.describe(&problem)).collect::<Vec<_>>()) } }
            other => eprintln!("engine {other:?}"),
        }
        match Every::new(&problem, MOST).least(problem.latest_end) { Ok(Some((at, plan))) => { eprintln!("least {}", (at - job::moment(0)).get() / 60); show(&plan) } other => eprintln!("{other:?}") }
    }
}
