//! What is said and written in several languages.

use super::Project;
use crate::span::{Name, Spanned};

/// Something that the author gives once, in the tour's own language, or for each language.
#[derive(Clone, Debug)]
pub enum ByLanguage<T> {
    /// Given once: in the tour's own language.
    Own(Spanned<T>),
    /// Given for each language, in the order written.
    Each(Vec<(Spanned<Name>, Spanned<T>)>),
}

impl<T> ByLanguage<T> {
    /// What is given in a language; `own` says whether that is the tour's own.
    #[must_use]
    pub fn get(&self, language: &str, own: bool) -> Option<&Spanned<T>> {
        match self {
            Self::Own(value) => own.then_some(value),
            Self::Each(each) => {
                let found = each.iter().find(|(given, _)| given.value.as_str() == language);
                found.map(|(_, value)| value)
            }
        }
    }

    /// Every value, in the order written, to be changed.
    pub(crate) fn values_mut(&mut self) -> impl Iterator<Item = &mut Spanned<T>> {
        let (own, each) = match self {
            Self::Own(value) => (Some(value), None),
            Self::Each(each) => (None, Some(each)),
        };
        own.into_iter().chain(each.into_iter().flatten().map(|(_, value)| value))
    }

    /// Every value, in the order written.
    pub fn values(&self) -> impl Iterator<Item = &Spanned<T>> {
        let (own, each) = match self {
            Self::Own(value) => (Some(value), &[][..]),
            Self::Each(each) => (None, each.as_slice()),
        };
        own.into_iter().chain(each.iter().map(|(_, value)| value))
    }
}

/// A text in the language in which it is told.
#[derive(Clone, Copy, Debug)]
pub struct Told<'p> {
    /// The text.
    pub text: &'p Spanned<String>,
    /// Its language: the one asked for, or one that it falls back to.
    pub language: &'p str,
}

impl Project {
    /// The languages that are carried: those that were chosen, or else those that the tour's
    /// `language` names. Empty only where that could not be read.
    #[must_use]
    pub fn languages(&self) -> Vec<&str> {
        if !self.chosen.languages.is_empty() {
            return self.chosen.languages.iter().map(String::as_str).collect();
        }
        self.carried.iter().map(|tag| tag.value.as_str()).collect()
    }

    /// The first of the languages that are carried: that of titles and of what people are shown.
    #[must_use]
    pub fn told_in(&self) -> &str {
        let chosen = self.chosen.languages.first();
        chosen.map_or(&self.language, String::as_str)
    }

    /// A text in the language that was chosen, or else in the one that the author has it fall back
    /// to; none if it is missing.
    #[must_use]
    pub fn text<'p>(&'p self, texts: &'p ByLanguage<String>) -> Option<Told<'p>> {
        self.text_in(self.told_in(), texts)
    }

    /// A text in a language, or else in the one that the author has it fall back to; none if it is
    /// missing.
    #[must_use]
    pub fn text_in<'p>(
        &'p self,
        language: &'p str,
        texts: &'p ByLanguage<String>,
    ) -> Option<Told<'p>> {
        let mut language = language;
        // Languages that fall back on each other in a circle lead nowhere.
        for _ in 0..=self.other_languages.entries.len() {
            if let Some(text) = texts.get(language, language == self.language) {
                return Some(Told { text, language });
            }
            let other = self.other_languages.get(language)?;
            language = other.value.fallback.as_ref()?.value.as_str();
        }
        None
    }
}
