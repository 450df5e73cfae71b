//! A plain serial generator with random priorities: the yardstick beside the engine.
//!
//! Activities are taken in a random order that respects what comes after what; each starts at the earliest
//! time at which its resources and a team are free. Nothing of the library's planning is used.

use turnto::rng::Stream;

use crate::instances::Project;

/// Draws schedules one after the other.
pub(crate) struct Plain<'p> {
    project: &'p Project,
    followers: Vec<Vec<usize>>,
    /// Per resource and time, how much is free.
    free: Vec<Vec<u32>>,
    /// Per person and time, whether he is taken.
    taken: Vec<Vec<bool>>,
    used_to: usize,
}

impl<'p> Plain<'p> {
    pub(crate) fn new(project: &'p Project) -> Self {
        let horizon = project.activities.iter().map(|a| a.length).sum();
        Self {
            project,
            followers: project.followers(),
            free: project.capacities.iter().map(|c| vec![*c; horizon]).collect(),
            taken: vec![vec![false; horizon]; project.masters.len()],
            used_to: 0,
        }
    }

    /// One schedule; its makespan. `None` where an activity fits nowhere.
    pub(crate) fn draw(&mut self, random: &mut Stream) -> Option<usize> {
        self.clear();
        let mut ends = vec![0; self.project.activities.len()];
        let mut waiting: Vec<usize> = self.project.activities.iter().map(|a| a.after.len()).collect();
        let mut ready: Vec<usize> = (0..waiting.len()).filter(|i| waiting[*i] == 0).collect();
        while !ready.is_empty() {
            let next = ready.swap_remove(random.below(ready.len()));
            ends[next] = self.place(next, &ends, random)?;
            self.used_to = self.used_to.max(ends[next]);
            for follower in &self.followers[next] {
                waiting[*follower] -= 1;
                if waiting[*follower] == 0 {
                    ready.push(*follower);
                }
            }
        }
        ends.into_iter().max()
    }

    fn clear(&mut self) {
        for (row, capacity) in self.free.iter_mut().zip(&self.project.capacities) {
            row[..self.used_to].fill(*capacity);
        }
        for row in &mut self.taken {
            row[..self.used_to].fill(false);
        }
        self.used_to = 0;
    }

    fn place(&mut self, index: usize, ends: &[usize], random: &mut Stream) -> Option<usize> {
        let activity = &self.project.activities[index];
        let mut start = activity.after.iter().map(|b| ends[*b]).max().unwrap_or(0);
        let horizon = self.free.first().map(Vec::len).or(self.taken.first().map(Vec::len)).unwrap_or(usize::MAX);
        while start + activity.length <= horizon {
            let short =
                activity.uses.iter().filter_map(|(r, n)| (start..start + activity.length).rev().find(|t| self.free[*r][*t] < *n)).max();
            if let Some(t) = short {
                start = t + 1;
                continue;
            }
            if let Some(team) = self.team(&activity.skills, start, activity.length, random) {
                for (resource, number) in &activity.uses {
                    self.free[*resource][start..start + activity.length].iter_mut().for_each(|left| *left -= number);
                }
                for person in team {
                    self.taken[person][start..start + activity.length].fill(true);
                }
                return Some(start + activity.length);
            }
            start += 1;
        }
        None
    }

    /// Different free people for all skills, people tried in a random order (augmenting paths).
    fn team(&self, skills: &[usize], start: usize, length: usize, random: &mut Stream) -> Option<Vec<usize>> {
        if skills.is_empty() {
            return Some(Vec::new());
        }
        let mut people: Vec<usize> =
            (0..self.taken.len()).filter(|p| self.taken[*p][start..start + length].iter().all(|taken| !taken)).collect();
        if people.len() < skills.len() {
            return None;
        }
        for i in (1..people.len()).rev() {
            people.swap(i, random.below(i + 1));
        }
        let mut filled: Vec<Option<usize>> = vec![None; people.len()];
        for need in 0..skills.len() {
            if !self.augment(need, skills, &people, &mut filled, &mut vec![false; people.len()]) {
                return None;
            }
        }
        Some(people.into_iter().zip(filled).filter(|(_, need)| need.is_some()).map(|(person, _)| person).collect())
    }

    fn augment(&self, need: usize, skills: &[usize], people: &[usize], filled: &mut [Option<usize>], seen: &mut [bool]) -> bool {
        for i in 0..people.len() {
            if seen[i] || !self.project.masters[people[i]][skills[need]] {
                continue;
            }
            seen[i] = true;
            if filled[i].is_none_or(|other| self.augment(other, skills, people, filled, seen)) {
                filled[i] = Some(need);
                return true;
            }
        }
        false
    }
}
