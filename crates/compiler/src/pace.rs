//! How fast something is told.

use earth::Millis;
use route::model::{Narration, Project};

/// How fast a narration is told in a language.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pace {
    /// So many words a minute: what stands between blanks and has a letter or a digit in it.
    Words(f64),
    /// So many characters a minute, for scripts that put no blanks between words: letters and
    /// digits, without blanks and marks.
    Characters(f64),
}

impl Pace {
    /// That of a narration in a language: its own, else that of the language, else that of the
    /// tour. A language that is told by its characters is so whatever a narration says of words.
    #[must_use]
    pub fn of(project: &Project, narration: &Narration, language: &str) -> Self {
        let other = project.other_languages.get(language).map(|entry| &entry.value);
        if let Some(pace) = other.and_then(|other| other.characters_per_minute.as_ref()) {
            return Self::Characters(pace.value);
        }
        let other = other.and_then(|other| other.words_per_minute);
        let own = narration.words_per_minute.or(other);
        Self::Words(own.map_or(project.defaults.words_per_minute, |pace| pace.value))
    }

    /// How many a minute, words or characters.
    #[must_use]
    pub const fn a_minute(self) -> f64 {
        match self {
            Self::Words(pace) | Self::Characters(pace) => pace,
        }
    }

    /// How many words, or characters, a text has.
    #[must_use]
    pub fn count(self, text: &str) -> usize {
        match self {
            Self::Words(_) => {
                let is_word = |word: &&str| word.chars().any(char::is_alphanumeric);
                text.split_whitespace().filter(is_word).count()
            }
            Self::Characters(_) => text.chars().filter(|c| c.is_alphanumeric()).count(),
        }
    }

    /// How long a text takes, rounded up to a tenth of a second. A text without blanks between its
    /// words is one long word where words are counted.
    #[must_use]
    pub fn lasts(self, text: &str) -> Millis {
        let count = u32::try_from(self.count(text)).unwrap_or(u32::MAX);
        let seconds = f64::from(count) * 60.0 / self.a_minute().max(1.0);
        // A hair less, so that what comes out even in tenths is not rounded up by its last digits.
        let tenths = (seconds * 10.0 - 1e-9).ceil();
        Millis::from_secs_f64(tenths / 10.0)
    }

    /// How many words, or characters, are told in a time: whole ones; none in a negative one.
    #[must_use]
    pub fn told_in(self, time: Millis) -> u32 {
        // A hair more, so that what comes out whole is not rounded down by its last digits.
        let count = (time.secs() * self.a_minute() / 60.0 + 1e-9).floor();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the cast holds what lies outside at the ends of the range"
        )]
        let whole = count.max(0.0) as u32;
        whole
    }

    /// How many words, or characters, have to go to win so much time: rounded up.
    #[must_use]
    pub fn that_last(self, time: Millis) -> u32 {
        let whole = self.told_in(time);
        let least = f64::from(whole) * 60.0 / self.a_minute().max(1.0);
        if least * 1000.0 + 1e-6 < time.get() { whole.saturating_add(1) } else { whole }
    }

    /// What is counted: `words` or `characters`.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Words(_) => "words",
            Self::Characters(_) => "characters",
        }
    }

    /// One of them: `word` or `character`.
    #[must_use]
    pub const fn one(self) -> &'static str {
        match self {
            Self::Words(_) => "word",
            Self::Characters(_) => "character",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "one two three four five six seven eight nine ten eleven twelve thirteen";

    #[test]
    fn a_narration_takes_the_time_of_its_words() {
        // 13 words at 130 a minute are 6 s exactly.
        assert_eq!(Pace::Words(130.0).lasts(TEXT), Millis(6_000));
        // 14 words are 6.4615 s, and a dash between blanks is no word.
        assert_eq!(Pace::Words(130.0).lasts(&format!("{TEXT} – fourteen!")), Millis(6_500));
        assert_eq!(Pace::Words(130.0).lasts(" … ",), Millis(0));
        assert_eq!(Pace::Words(100.0).lasts("a b c"), Millis(1_800));
    }

    #[test]
    fn where_no_blanks_part_words_characters_count() {
        // Ten letters at 300 a minute; the marks are not spoken.
        let pace = Pace::Characters(300.0);
        assert_eq!(pace.count("岬の灯台は、白く光った。"), 10);
        assert_eq!(pace.lasts("岬の灯台は、白く光った。"), Millis(2_000));
    }

    #[test]
    fn a_budget_and_what_must_go_are_whole_words() {
        let pace = Pace::Words(130.0);
        assert_eq!(pace.told_in(Millis(6_000)), 13);
        assert_eq!(pace.told_in(Millis(6_400)), 13);
        assert_eq!(pace.told_in(Millis(-1)), 0);
        assert_eq!(pace.that_last(Millis(6_000)), 13);
        assert_eq!(pace.that_last(Millis(6_001)), 14);
        assert_eq!(pace.that_last(Millis(1)), 1);
        assert_eq!(pace.that_last(Millis(0)), 0);
    }
}
