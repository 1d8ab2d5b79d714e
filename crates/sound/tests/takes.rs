//! A folder of takes over the life of a tour: recorded, rewritten, recorded anew.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

use sound::Digest;
use sound::takes::{Cue, Ledger, Matched, Standing, TakeFile, match_takes};

fn cue(number: u32, name: &str, language: &str, text: &str) -> Cue {
    Cue { number, name: name.into(), language: language.into(), text: text.into(), said: true }
}

fn cues() -> Vec<Cue> {
    vec![
        cue(1, "welcome", "en", "Welcome aboard."),
        cue(1, "welcome", "de", "Willkommen an Bord."),
        cue(2, "arch", "en", "The sea has cut an arch."),
        cue(2, "arch", "de", "Das Meer hat einen Bogen geschnitten."),
    ]
}

/// A file whose sound is a text.
fn file(path: &str, sound: &str) -> TakeFile {
    TakeFile { path: path.into(), content: Some(Digest::of_text(sound)), usable: true }
}

fn words(matched: &Matched) -> Vec<&'static str> {
    matched.cues.iter().map(|cue| cue.standing.word()).collect()
}

fn used<'a>(matched: &Matched, files: &'a [TakeFile], cue: usize) -> &'a str {
    &files[matched.cues[cue].take().unwrap().file].path
}

fn names(matched: &Matched, cues: &[Cue], files: &[TakeFile]) -> Vec<&'static str> {
    matched.findings(cues, files, "takes").iter().map(|finding| finding.name).collect()
}

#[test]
fn an_empty_folder_lacks_everything() {
    let matched = match_takes(&cues(), &[], &Ledger::default());
    assert_eq!(words(&matched), ["missing"; 4]);
    let found = matched.findings(&cues(), &[], "takes");
    let headlines: Vec<&str> = found.iter().map(|finding| finding.headline.as_str()).collect();
    assert_eq!(
        headlines,
        [
            "2 of 2 narrations have no take in en: `welcome`, `arch`",
            "2 of 2 narrations have no take in de: `welcome`, `arch`"
        ]
    );
}

#[test]
fn from_the_first_take_to_the_pick_up() {
    let mut cues = cues();
    let mut files = vec![
        file("001_welcome_en_t1.wav", "w1"),
        file("002_arch_en_t1.wav", "a1"),
        file("002_arch_en_t2.wav", "a2"),
    ];
    let ledger = Ledger::default();
    let matched = match_takes(&cues, &files, &ledger);
    assert_eq!(words(&matched), ["new", "missing", "new", "missing"]);
    assert_eq!(used(&matched, &files, 2), "002_arch_en_t2.wav");
    let ledger = matched.noted(&cues, &files, &ledger, &[]);

    // Nothing has changed; the text is broken into lines in another way.
    cues[2].text = "The sea\n  has cut an arch.".into();
    let matched = match_takes(&cues, &files, &ledger);
    assert_eq!(words(&matched), ["recorded", "missing", "recorded", "missing"]);
    assert_eq!(matched.noted(&cues, &files, &ledger, &[]), ledger);

    // The author rewrites a text.
    let was = cues[2].text.clone();
    cues[2].text = "The sea has cut a bridge.".into();
    let matched = match_takes(&cues, &files, &ledger);
    assert!(matched.cues[2].standing.to_record());
    let Standing::TextChanged { was: noted } = &matched.cues[2].standing else { panic!() };
    assert_eq!(noted, "The sea has cut an arch.", "{was}");
    assert_eq!(names(&matched, &cues, &files), ["take-missing", "take-outdated"]);
    // Noting does not hide that.
    let ledger = matched.noted(&cues, &files, &ledger, &[]);
    assert_eq!(match_takes(&cues, &files, &ledger).cues[2].standing, matched.cues[2].standing);

    // The editor finds that it still fits.
    let accepted = matched.noted(&cues, &files, &ledger, &[2]);
    assert_eq!(match_takes(&cues, &files, &accepted).cues[2].standing, Standing::Recorded);

    // Or the voice artist comes again: as another take, or over the old one.
    files.push(file("002_arch_en_t3.wav", "a3"));
    let matched = match_takes(&cues, &files, &ledger);
    assert_eq!(matched.cues[2].standing, Standing::Rerecorded);
    files.pop();
    files[2] = file("002_arch_en_t2.wav", "a2 again");
    let matched = match_takes(&cues, &files, &ledger);
    assert_eq!(matched.cues[2].standing, Standing::Rerecorded);
    let ledger = matched.noted(&cues, &files, &ledger, &[]);
    assert_eq!(match_takes(&cues, &files, &ledger).cues[2].standing, Standing::Recorded);
}

#[test]
fn a_chosen_take_is_used_until_it_is_gone() {
    let cues = cues();
    let mut files = vec![file("arch_en_t1.wav", "a1"), file("arch_en_t2.wav", "a2")];
    let ledger = match_takes(&cues, &files, &Ledger::default());
    let ledger = ledger.noted(&cues, &files, &Ledger::default(), &[]);
    let (first, rest) = ledger
        .write()
        .split_once("\"chosen\":false")
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .unwrap();
    let chosen = Ledger::read(&format!("{first}\"chosen\": true{rest}"), "takes.json").unwrap();
    let matched = match_takes(&cues, &files, &chosen);
    assert_eq!(used(&matched, &files, 2), "arch_en_t1.wav");
    // Under another name it is the same take.
    files[0].path = "arch_en_take7.wav".into();
    let matched = match_takes(&cues, &files, &chosen);
    assert_eq!(used(&matched, &files, 2), "arch_en_take7.wav");
    // Recorded over, it is gone.
    files[0] = file("arch_en_t1.wav", "another");
    let matched = match_takes(&cues, &files, &chosen);
    assert_eq!(used(&matched, &files, 2), "arch_en_t2.wav");
    assert!(names(&matched, &cues, &files).contains(&"take-gone"));
}

#[test]
fn what_the_tour_does_not_say_is_noted_and_not_missed() {
    let mut cues = cues();
    cues[1].said = false;
    cues[2].said = false;
    cues[3].said = false;
    let files = [file("welcome_en_t1.wav", "w"), file("arch_en_t1.wav", "a")];
    let matched = match_takes(&cues, &files, &Ledger::default());
    assert_eq!(names(&matched, &cues, &files), [""; 0]);
    let ledger = matched.noted(&cues, &files, &Ledger::default(), &[]);
    assert_eq!(ledger.noted().len(), 2);
    cues[2].text = "Another.".into();
    let matched = match_takes(&cues, &files, &ledger);
    assert_eq!(names(&matched, &cues, &files), [""; 0]);
    cues[2].said = true;
    assert_eq!(names(&matched, &cues, &files), ["take-outdated"]);
}

#[test]
fn a_take_that_cannot_be_used_has_to_be_recorded_again() {
    let cues = cues();
    let mut files = vec![file("arch_en_t1.wav", "a1"), file("arch_en_t2.wav", "a2")];
    files[1].usable = false;
    let matched = match_takes(&cues, &files, &Ledger::default());
    assert_eq!(matched.cues[2].standing, Standing::Unusable);
    assert!(matched.cues[2].standing.to_record());
}

#[test]
fn strays_and_doubles_are_told() {
    let cues = cues();
    let files = [
        file("arch_t1.wav", "1"),
        file("acrh_en_t1.wav", "2"),
        file("arch_en_t1.flac", "3"),
        file("arch_en_t1.wav", "4"),
        file("arch_de_t1.flac", "5"),
        file("arch_de_t1.wav", "5"),
    ];
    let matched = match_takes(&cues, &files, &Ledger::default());
    assert_eq!(matched.doubles, [(2, 3)]);
    assert_eq!(used(&matched, &files, 2), "arch_en_t1.wav");
    let mut found = names(&matched, &cues, &files);
    found.sort_unstable();
    found.dedup();
    assert_eq!(found, ["take-astray", "take-language", "take-missing", "take-twice"]);
    let findings = matched.findings(&cues, &files, "takes");
    let astray = findings.iter().find(|one| one.name == "take-astray").unwrap();
    assert!(astray.help.starts_with("is it `arch`?"), "{}", astray.help);
}

#[test]
fn notes_are_read_as_written_and_mistakes_in_them_have_a_place() {
    let cues = [cue(1, "arch", "en", "He said \"no\",\nand æ.")];
    let files = [file("arch_t1.wav", "a")];
    let matched = match_takes(&cues, &files, &Ledger::default());
    let ledger = matched.noted(&cues, &files, &Ledger::default(), &[]);
    let text = ledger.write();
    assert_eq!(Ledger::read(&text, "takes.json").unwrap(), ledger);
    assert_eq!(text.lines().filter(|line| line.contains("arch_t1")).count(), 1);
    // A spreadsheet's or an editor's mark at the beginning does not matter.
    assert_eq!(Ledger::read(&format!("\u{feff}{text}"), "takes.json").unwrap(), ledger);

    for keep in 0..text.trim_end().len() {
        let Some(cut) = text.get(..keep) else { continue };
        let finding = Ledger::read(cut, "takes.json").unwrap_err();
        assert_eq!((finding.name, &*finding.place.file), ("takes-file", "takes.json"), "{keep}");
    }
    let slip = text.replace("\"chosen\":false", "\"chosen\":yes");
    let finding = Ledger::read(&slip, "takes.json").unwrap_err();
    assert_eq!(finding.place.line, 4);
    let unknown = text.replace("\"chosen\":false", "\"chosen\":false,\"best\":true");
    assert!(Ledger::read(&unknown, "takes.json").unwrap_err().headline.contains("best"));
    let later = text.replace("\"version\": 1", "\"version\": 2");
    assert!(Ledger::read(&later, "takes.json").unwrap_err().headline.contains("fulmar-takes 2"));
}
