//! Characters that do not show on a screen, or turn the direction in which what follows is written.

use crate::diag::{FileId, Place};

/// What a character does that may not stand in a file of a job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Unseen {
    /// The byte at which it begins.
    pub at: usize,
    /// The character.
    pub character: char,
}

impl Unseen {
    /// Where it stands in `file`, of whose text it is.
    #[must_use]
    pub const fn place(self, file: FileId) -> Place {
        Place { file, start: self.at, end: self.at + self.character.len_utf8() }
    }

    /// The code point and what it does: `U+202E, which turns the direction of writing`.
    #[must_use]
    pub fn text(self) -> String {
        let does = if turns(self.character) { "turns the direction of writing" } else { "cannot be seen" };
        format!("U+{:04X}, which {does}", u32::from(self.character))
    }
}

/// All such characters of `text`: those of the Unicode Bidirectional Algorithm (UAX #9, section 2) that mark or turn a
/// direction, those of no width or without a shape, and control characters but for line breaks and tabs. The byte order mark
/// is one but at the very start. Joiners are none between letters of scripts that are written with them.
pub fn unseen(text: &str) -> impl Iterator<Item = Unseen> + '_ {
    let is_one = |at: usize, character: char| match character {
        '\u{feff}' => at > 0,
        '\u{200c}' | '\u{200d}' => {
            let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphabetic() && !c.is_ascii());
            let after = text[at + character.len_utf8()..].chars().next();
            !(letter(text[..at].chars().next_back()) && letter(after))
        }
        c => turns(c) || shapeless(c) || (c.is_control() && !matches!(c, '\n' | '\r' | '\t')),
    };
    text.char_indices().filter(move |(at, c)| is_one(*at, *c)).map(|(at, character)| Unseen { at, character })
}

/// Whether a character marks or turns a direction of writing.
const fn turns(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character has no width or no shape.
const fn shapeless(c: char) -> bool {
    matches!(
        c,
        '\u{ad}' | '\u{34f}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180e}' | '\u{200b}' | '\u{2028}' | '\u{2029}'
            | '\u{2060}'..='\u{2064}' | '\u{206a}'..='\u{206f}' | '\u{3164}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}'
    )
}

#[cfg(test)]
mod tests {
    use super::unseen;

    /// If this fails, a character passes that shows one thing and says another, or one that does not is refused.
    #[test]
    fn what_cannot_be_seen() {
        let found = |text: &str| unseen(text).map(|u| (u.at, u.text())).collect::<Vec<_>>();
        let one = |at: usize, text: &str| vec![(at, text.to_owned())];
        assert_eq!(found("pump \u{202e}pmup"), one(5, "U+202E, which turns the direction of writing"));
        assert_eq!(found("A\u{200b}E"), one(1, "U+200B, which cannot be seen"));
        assert_eq!(found("A\u{200d}E"), one(1, "U+200D, which cannot be seen"));
        assert_eq!(found("\u{1b}[31m"), one(0, "U+001B, which cannot be seen"));
        assert_eq!(found("ship\u{feff}"), one(4, "U+FEFF, which cannot be seen"));
        // The mark some editors put first, line breaks, letters of any script, and a joiner that Persian is written with.
        for fine in ["\u{feff}ship", "a\tb\r\nc", "Ærø \u{5e9}\u{5dc} 機関長", "\u{645}\u{6cc}\u{200c}\u{634}\u{648}\u{62f}"] {
            assert_eq!(found(fine), [], "{fine}");
        }
    }
}
