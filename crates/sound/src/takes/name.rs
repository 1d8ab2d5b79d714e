//! The name of a take's file.
//!
//! ```text
//! [number_]name[_language][_take][_anything].ending        012_arch_de_t2.wav
//! ```
//!
//! Words are parted by `_`, `-`, blanks, points and brackets, all alike, and capitals do not
//! matter, so `12 Fourth Clerk (DE) Take 2 final.WAV` is the second take of `fourth-clerk` in
//! German. In detail:
//! - `number` is the cue's place in the script. Against a name it counts for nothing: scripts are
//!   put in another order, names stay. Alone it stands for the name.
//! - `language` may also stand before the name, or be the name of the folder that the file is in.
//!   Where none is given and the cue is said in one language only, it is that one.
//! - `take` is `t2`, `take2` or `take 2`. Where there is none it is the first. What stands behind
//!   it is a remark.
//! - Where a name could be read in two ways, as for cues `arch` and `arch-de`, the one that the
//!   number belongs to is meant, else the longer one.

use unicode_normalization::UnicodeNormalization;

use super::{Astray, Cue};

/// What a file's name says.
pub(super) enum Named {
    /// It is a take of this cue (by its place), with this number.
    Cue { cue: usize, number: u32 },
    /// It belongs to no cue.
    Astray(Astray),
}

/// Words of a name, in small letters. A letter with a mark is one letter, as people type it, also
/// where a file system has taken it apart into two (Unicode's NFC against NFD).
fn words(text: &str) -> Vec<String> {
    let text: String = text.nfc().collect();
    let parting = |c: char| c.is_whitespace() || "_-.()[]".contains(c);
    text.split(parting).filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

/// Reads the name of a file, as seen from the folder of takes.
pub(super) fn read_name(path: &str, cues: &[Cue]) -> Named {
    let (folder, file) = path.rsplit_once('/').unwrap_or(("", path));
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let all = words(stem);
    let (mut rest, number) = without_take(&all);
    let by_number = match rest.split_first() {
        // A cue may itself be called by a number.
        Some((first, behind)) if !cues.iter().any(|cue| words(&cue.name) == rest) => {
            let number = first.parse::<u32>().ok().filter(|_| first.len() <= 4);
            if number.is_some() {
                rest = behind;
            }
            number
        }
        _ => None,
    };
    let folder_language = folder.rsplit('/').next().map(words).unwrap_or_default();
    let in_language = |language: Option<&[String]>, fits: &dyn Fn(&Cue) -> bool| {
        choose(cues, language, &folder_language, fits)
    };
    // All readings, that with the longest name first: all of the words, then without a language
    // behind or before them.
    let mut readings = Vec::new();
    readings.extend(in_language(None, &|cue| words(&cue.name) == rest));
    for split in (0..=rest.len()).rev() {
        let (before, behind) = rest.split_at(split);
        readings.extend(in_language(Some(behind), &|cue| words(&cue.name) == before));
        readings.extend(in_language(Some(before), &|cue| words(&cue.name) == behind));
    }
    if readings.is_empty()
        && let Some(number) = by_number
    {
        let language = (!rest.is_empty()).then_some(rest);
        readings.extend(in_language(language, &|cue| cue.number == number));
    }
    // Where there are several, the number may agree with one of them.
    let agrees = |reading: &Result<usize, Astray>| match reading {
        Ok(cue) => Some(cues[*cue].number) == by_number,
        Err(_) => false,
    };
    let agreeing = readings.iter().position(agrees).unwrap_or(0);
    let named = readings.into_iter().nth(agreeing);
    match named {
        Some(Ok(cue)) => Named::Cue { cue, number },
        Some(Err(why)) => Named::Astray(why),
        None => Named::Astray(Astray::NoCue { near: near(rest, cues) }),
    }
}

/// The cue that fits in a language; where none is said, in that of the folder, or in the only one.
/// `None` where nothing fits at all.
fn choose(
    cues: &[Cue],
    language: Option<&[String]>,
    folder: &[String],
    fits: &dyn Fn(&Cue) -> bool,
) -> Option<Result<usize, Astray>> {
    let fitting = || cues.iter().enumerate().filter(|(_, cue)| fits(cue));
    let said = |said: &[String]| {
        fitting().find(|(_, cue)| words(&cue.language) == said).map(|(index, _)| Ok(index))
    };
    if let Some(language) = language {
        return said(language);
    }
    if let Some(found) = said(folder) {
        return Some(found);
    }
    let mut all = fitting();
    match (all.next(), all.next()) {
        (Some((only, _)), None) => Some(Ok(only)),
        (Some(_), Some(_)) => Some(Err(Astray::NoLanguage)),
        (None, _) => None,
    }
}

/// The words before the take, and its number.
fn without_take(all: &[String]) -> (&[String], u32) {
    let number = |text: &str| text.parse::<u32>().ok().filter(|_| text.len() <= 4);
    for (at, word) in all.iter().enumerate().skip(1).rev() {
        let digits = word.strip_prefix("take").or_else(|| word.strip_prefix('t'));
        let taken = match digits {
            Some("") if word == "take" || word == "t" => {
                all.get(at + 1).and_then(|next| number(next))
            }
            Some(digits) => number(digits),
            None => None,
        };
        if let Some(taken) = taken {
            return (&all[..at], taken);
        }
    }
    (all, 1)
}

fn near(rest: &[String], cues: &[Cue]) -> Option<String> {
    let language = |word: &&String| cues.iter().any(|cue| words(&cue.language).contains(*word));
    let meant: Vec<&str> = rest.iter().filter(|word| !language(word)).map(String::as_str).collect();
    let meant = meant.join("-");
    cues.iter()
        .map(|cue| (&cue.name, strsim::jaro_winkler(&words(&cue.name).join("-"), &meant)))
        .filter(|(_, nearness)| *nearness > 0.8)
        .max_by(|one, other| one.1.total_cmp(&other.1))
        .map(|(name, _)| name.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cues() -> Vec<Cue> {
        let cue = |number, name: &str, language: &str| Cue {
            number,
            name: name.to_owned(),
            language: language.to_owned(),
            text: String::new(),
            said: true,
        };
        vec![
            cue(12, "arch", "de"),
            cue(12, "arch", "en"),
            cue(13, "fourth-clerk", "de"),
            cue(13, "fourth-clerk", "pt-BR"),
            cue(14, "goodbye", "en"),
            cue(15, "arch-de", "en"),
            cue(16, "pier 9", "de"),
        ]
    }

    /// Number, name and language of the cue, and the number of the take.
    fn read(path: &str) -> Option<(u32, String, u32)> {
        let cues = cues();
        match read_name(path, &cues) {
            Named::Cue { cue, number } => {
                let cue = &cues[cue];
                Some((cue.number, format!("{} {}", cue.name, cue.language), number))
            }
            Named::Astray(_) => None,
        }
    }

    fn is(path: &str, name: &str, number: u32) {
        let found = read(path).map(|(_, name, take)| (name, take));
        assert_eq!(found, Some((name.to_owned(), number)), "{path}");
    }

    #[test]
    fn names_are_read_as_people_write_them() {
        is("012_arch_de_t2.wav", "arch de", 2);
        is("arch_en.flac", "arch en", 1);
        is("ARCH-EN-T03.WAV", "arch en", 3);
        is("en_arch_take 4.mp3", "arch en", 4);
        is("12 Fourth Clerk (DE) Take 2 final.WAV", "fourth-clerk de", 2);
        is("13_fourth_clerk_pt-br_take7_louder_de.ogg", "fourth-clerk pt-BR", 7);
        is("goodbye.wav", "goodbye en", 1);
        is("pier_9_de_t1.wav", "pier 9 de", 1);
        is("16_pier-9.wav", "pier 9 de", 1);
    }

    #[test]
    fn a_letter_taken_apart_by_a_file_system_is_the_same_letter() {
        let cue = Cue {
            number: 1,
            name: "m\u{f6}we".into(),
            language: "de".into(),
            text: String::new(),
            said: true,
        };
        let found = read_name("001_Mo\u{308}we_de_t3.wav", &[cue]);
        assert!(matches!(found, Named::Cue { cue: 0, number: 3 }));
    }

    #[test]
    fn a_folder_gives_the_language_where_the_file_does_not() {
        is("de/012_arch_t2.wav", "arch de", 2);
        is("studio/pt-BR/fourth-clerk_t1.wav", "fourth-clerk pt-BR", 1);
        is("de/012_arch_en_t2.wav", "arch en", 2);
    }

    #[test]
    fn a_number_counts_where_there_is_no_name() {
        is("012_de_t2.wav", "arch de", 2);
        is("014.wav", "goodbye en", 1);
        // The name stays where the script was put in another order.
        is("099_fourth-clerk_de_t1.wav", "fourth-clerk de", 1);
    }

    #[test]
    fn of_two_readings_the_longer_name_is_meant() {
        is("arch_de_t1.wav", "arch-de en", 1);
        is("015_arch_de_t1.wav", "arch-de en", 1);
        is("012_arch_de_t1.wav", "arch de", 1);
    }

    #[test]
    fn what_belongs_to_nothing_says_why() {
        let cues = cues();
        let why = |path: &str| match read_name(path, &cues) {
            Named::Astray(why) => why,
            Named::Cue { .. } => panic!("{path} was matched"),
        };
        assert_eq!(why("012_t1.wav"), Astray::NoLanguage);
        assert_eq!(why("arch_t1.wav"), Astray::NoLanguage);
        let near = Some("fourth-clerk".to_owned());
        assert_eq!(why("fourht-clerk_de_t1.wav"), Astray::NoCue { near });
        assert_eq!(why("_.wav"), Astray::NoCue { near: None });
        assert_eq!(why(".wav"), Astray::NoCue { near: None });
        assert_eq!(why("t1.wav"), Astray::NoCue { near: None });
        assert!(matches!(why("012_arch_fr_t1.wav"), Astray::NoCue { .. }));
    }
}
