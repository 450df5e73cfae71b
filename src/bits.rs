//! Sets of slots of a bounded range as bits, with the range queries planning needs.

/// A set over `0..len`.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Bits {
    words: Vec<u64>,
    len: usize,
}

impl Bits {
    /// No member of `0..len`.
    #[must_use]
    pub fn none(len: usize) -> Self {
        Self { words: vec![0; len.div_ceil(64)], len }
    }

    /// Every member of `0..len`.
    #[must_use]
    pub fn all(len: usize) -> Self {
        let mut bits = Self::none(len);
        bits.insert_range(0, len);
        bits
    }

    /// The bound of the range.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.len
    }

    /// Whether no member is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.words.iter().all(|w| *w == 0)
    }

    /// Whether `i` is in it; out of range counts as no.
    #[must_use]
    #[inline]
    pub fn has(&self, i: usize) -> bool {
        i < self.len && self.words[i / 64] >> (i % 64) & 1 == 1
    }

    /// The members `64 word..64 (word + 1)` as bits, the least first; 0 out of range.
    #[must_use]
    #[inline]
    pub fn word(&self, word: usize) -> u64 {
        self.words.get(word).copied().unwrap_or(0)
    }

    /// Adds `i`, if in range.
    pub fn insert(&mut self, i: usize) {
        if i < self.len {
            self.words[i / 64] |= 1 << (i % 64);
        }
    }

    /// Takes `i` out.
    pub fn remove(&mut self, i: usize) {
        if i < self.len {
            self.words[i / 64] &= !(1 << (i % 64));
        }
    }

    /// Adds `from..to`, as far as in range.
    pub fn insert_range(&mut self, from: usize, to: usize) {
        self.each_word(from, to, |word, mask| *word |= mask);
    }

    /// Takes `from..to` out.
    pub fn remove_range(&mut self, from: usize, to: usize) {
        self.each_word(from, to, |word, mask| *word &= !mask);
    }

    fn each_word(&mut self, from: usize, to: usize, mut change: impl FnMut(&mut u64, u64)) {
        let to = to.min(self.len);
        if from >= to {
            return;
        }
        let (first, last) = (from / 64, (to - 1) / 64);
        for (i, word) in self.words[first..=last].iter_mut().enumerate() {
            change(word, mask(first + i, from, to));
        }
    }

    /// Whether all of `from..to` is in it; an empty range is, one that leaves the bound is not.
    #[must_use]
    pub fn has_range(&self, from: usize, to: usize) -> bool {
        from >= to || (to <= self.len && (from / 64..=(to - 1) / 64).all(|w| self.words[w] & mask(w, from, to) == mask(w, from, to)))
    }

    /// Whether any of `from..to` is in it.
    #[must_use]
    pub fn meets_range(&self, from: usize, to: usize) -> bool {
        let to = to.min(self.len);
        from < to && (from / 64..=(to - 1) / 64).any(|w| self.words[w] & mask(w, from, to) != 0)
    }

    /// How many of `from..to` are in it.
    #[must_use]
    pub fn count_range(&self, from: usize, to: usize) -> usize {
        let to = to.min(self.len);
        if from >= to {
            return 0;
        }
        (from / 64..=(to - 1) / 64).map(|w| (self.words[w] & mask(w, from, to)).count_ones() as usize).sum()
    }

    /// How many of `from..to` are in all of `sets`, which are some.
    #[must_use]
    pub fn count_common<const N: usize>(sets: [&Self; N], from: usize, to: usize) -> usize {
        let words = if from < to { from / 64..to.div_ceil(64) } else { 0..0 };
        let common = |w: usize| sets.iter().fold(mask(w, from, to), |common, set| common & set.word(w));
        words.map(|w| common(w).count_ones() as usize).sum()
    }

    /// The first member at or after `from`.
    #[must_use]
    pub fn next(&self, from: usize) -> Option<usize> {
        self.scan(from, |w| w)
    }

    /// The first of `from..len` that is not a member.
    #[must_use]
    pub fn next_gap(&self, from: usize) -> Option<usize> {
        self.scan(from, |w| !w)
    }

    /// The first of `from..to` that is not a member, as everything out of range is not.
    #[must_use]
    pub fn first_gap(&self, from: usize, to: usize) -> Option<usize> {
        let words = if from < to { from / 64..to.div_ceil(64) } else { 0..0 };
        words.into_iter().find_map(|w| {
            let gaps = !self.word(w) & mask(w, from, to);
            (gaps != 0).then(|| w * 64 + gaps.trailing_zeros() as usize)
        })
    }

    /// The last of `from..to` that is not a member, as everything out of range is not.
    #[must_use]
    pub fn last_gap(&self, from: usize, to: usize) -> Option<usize> {
        let words = if from < to { from / 64..to.div_ceil(64) } else { 0..0 };
        words.into_iter().rev().find_map(|w| {
            let gaps = !self.word(w) & mask(w, from, to);
            (gaps != 0).then(|| w * 64 + gaps.ilog2() as usize)
        })
    }

    /// The `number`th member at or after `from`; the first is number 1.
    #[must_use]
    pub fn nth(&self, from: usize, number: usize) -> Option<usize> {
        let mut left = number.checked_sub(1)?;
        let mut first = u64::MAX << (from % 64);
        for (w, word) in self.words.iter().enumerate().skip(from / 64) {
            let mut members = word & first;
            first = u64::MAX;
            let here = members.count_ones() as usize;
            if left < here {
                (0..left).for_each(|_| members &= members - 1);
                return Some(w * 64 + members.trailing_zeros() as usize);
            }
            left -= here;
        }
        None
    }

    /// The `number`th member before `to`, counted backwards; the last is number 1.
    #[must_use]
    pub fn nth_back(&self, to: usize, number: usize) -> Option<usize> {
        let before = self.count_range(0, to);
        self.nth(0, before.checked_sub(number)? + 1).filter(|_| number > 0)
    }

    fn scan(&self, from: usize, view: impl Fn(u64) -> u64) -> Option<usize> {
        if from >= self.len {
            return None;
        }
        let mut w = from / 64;
        let mut word = view(self.words[w]) & (u64::MAX << (from % 64));
        loop {
            if word != 0 {
                let i = w * 64 + word.trailing_zeros() as usize;
                return (i < self.len).then_some(i);
            }
            w += 1;
            word = view(*self.words.get(w)?);
        }
    }

    /// All members, in order.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        std::iter::successors(self.next(0), |i| self.next(i + 1))
    }

    /// Keeps what is also in `other` (same bound).
    pub fn intersect(&mut self, other: &Self) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= b;
        }
    }

    /// Adds what is in `other` (same bound).
    pub fn unite(&mut self, other: &Self) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a |= b;
        }
    }

    /// Takes out what is in `other` (same bound).
    pub fn subtract(&mut self, other: &Self) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= !b;
        }
    }
}

/// The bits of word `w` that lie in `from..to`.
const fn mask(w: usize, from: usize, to: usize) -> u64 {
    let low = if from > w * 64 { u64::MAX << (from - w * 64) } else { u64::MAX };
    let high = if to < (w + 1) * 64 { u64::MAX >> ((w + 1) * 64 - to) } else { u64::MAX };
    low & high
}

#[cfg(test)]
mod tests;
