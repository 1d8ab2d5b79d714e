//! Texts split to captions and lines.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::Millis;
use film::{Guidelines, Phrase, Rate, Spoken, columns, split};

fn guidelines() -> Guidelines {
    Guidelines::adult(Rate::PAL)
}

fn at_pace(text: &str) -> Vec<Phrase> {
    // 13 characters a second: about 130 words a minute.
    let length = Millis(i64::try_from(columns(text)).unwrap() * 1000 / 13);
    split(&Spoken { text, length, word: None }, &guidelines())
}

const TEXT: &str = "Ahead of you stands the arch, worn through by the sea in nine thousand \
    years. The fishermen call it the Needle's Eye. On a calm day, boats pass below it; on any \
    other day, they go round, and so do we.";

/// The figures of the guide that the defaults come from: 17 characters a second, 42 a line, two
/// lines, 5/6 s to 7 s, two frames between (Netflix English Template Timed Text Style Guide,
/// sections 2 and 5; General Requirements, section 1), and 1.5 s of hanging (BBC Subtitle
/// Guidelines, 5.2).
#[test]
fn the_published_figures_are_the_defaults() {
    let it = guidelines();
    assert_eq!((it.line, it.lines, it.speed), (42, 2, 17.0));
    assert_eq!((it.shortest, it.longest, it.hang), (Millis(833), Millis(7000), Millis(1500)));
    assert_eq!(it.gap, Millis(80));
    assert_eq!(Guidelines::adult("29.97".parse().unwrap()).gap, Millis(67));
}

#[test]
fn captions_keep_to_the_guidelines_and_lose_no_word() {
    let captions = at_pace(TEXT);
    let said: Vec<&str> = captions.iter().flat_map(|it| &it.lines).map(String::as_str).collect();
    assert_eq!(said.join(" "), TEXT.split_whitespace().collect::<Vec<_>>().join(" "));
    for caption in &captions {
        assert!(caption.lines.len() <= 2, "{caption:?}");
        assert!(caption.lines.iter().all(|line| columns(line) <= 42), "{caption:?}");
        let lasts = caption.to - caption.from;
        assert!(lasts >= Millis(833) && lasts <= Millis(7000), "{caption:?}");
    }
    assert!(captions.windows(2).all(|pair| pair[0].to <= pair[1].from));
    assert_eq!(captions[0].from, Millis(0));
}

#[test]
fn captions_end_with_sentences_and_lines_with_phrases() {
    let captions = at_pace(TEXT);
    let lines: Vec<String> = captions.iter().map(|it| it.lines.join(" | ")).collect();
    assert_eq!(
        lines,
        [
            "Ahead of you stands the arch, worn through | by the sea in nine thousand years.",
            "The fishermen call it the Needle's Eye.",
            "On a calm day, boats pass below it; on any | other day, they go round, and so do we.",
        ]
    );
}

#[test]
fn japanese_breaks_between_characters_and_never_before_a_full_stop() {
    let text = "前方に見えるのが、海が九千年かけて穿ったアーチです。漁師たちはこれを「針の目」と呼びます。\
        穏やかな日には、舟がその下をくぐります。";
    let length = Millis(i64::try_from(text.chars().count()).unwrap() * 200);
    let captions = split(&Spoken { text, length, word: None }, &guidelines());
    let said: String = captions.iter().flat_map(|it| it.lines.clone()).collect();
    assert_eq!(said, text);
    for line in captions.iter().flat_map(|it| &it.lines) {
        assert!(columns(line) <= 42, "{line}");
        assert!(!line.starts_with(['、', '。', '」', 'ー', 'っ']), "{line}");
        assert!(!line.ends_with('「'), "{line}");
    }
    assert!(captions.iter().all(|it| it.to - it.from <= Millis(7000)));
    assert!(captions.last().unwrap().lines.last().unwrap().ends_with("ます。"));
}

/// Known is when a word is heard: what comes before it fills the time before it, and it begins a
/// caption or lies in one that is on at that time.
#[test]
fn a_word_is_shown_when_it_is_heard() {
    let text = "One two three four. Arch six seven eight.";
    let plain = split(&Spoken { text, length: Millis(8000), word: None }, &guidelines());
    let known = Spoken { text, length: Millis(8000), word: Some(("arch", Millis(6000))) };
    let known = split(&known, &guidelines());
    let begins = |captions: &[Phrase]| {
        captions.iter().find(|it| it.lines[0].starts_with("Arch")).map(|it| it.from)
    };
    assert_eq!(begins(&known), Some(Millis(6000)));
    assert_ne!(begins(&plain), Some(Millis(6000)));
    assert_eq!(known.last().unwrap().to, Millis(8000));
    // A time outside the narration, or a word that is not in it, tells nothing.
    for word in
        [("arch", Millis(9000)), ("arch", Millis(0)), ("needle", Millis(6000)), ("", Millis(6000))]
    {
        assert_eq!(
            split(&Spoken { text, length: Millis(8000), word: Some(word) }, &guidelines()),
            plain
        );
    }
}

#[test]
fn time_passes_in_proportion_to_the_characters() {
    // 4 + 1 + 4 characters in 9 s, a line of five at most.
    let narrow = Guidelines { line: 5, lines: 1, ..guidelines() };
    let captions = split(&Spoken { text: "abcd efgh", length: Millis(9000), word: None }, &narrow);
    let times: Vec<_> = captions.iter().map(|it| (it.from, it.to)).collect();
    assert_eq!(times, [(Millis(0), Millis(4000)), (Millis(5000), Millis(9000))]);
    assert_eq!(captions[0].characters(), 4);
}

#[test]
fn odd_texts_are_split_too() {
    let none =
        |text: &str| split(&Spoken { text, length: Millis(1000), word: None }, &guidelines());
    assert_eq!(none(""), []);
    assert_eq!(none(" \n "), []);
    let long = "x".repeat(100);
    assert_eq!(none(&long)[0].lines, std::slice::from_ref(&long));
    // Without time, all of it still comes in order.
    let nothing = split(&Spoken { text: TEXT, length: Millis(0), word: None }, &guidelines());
    assert!(nothing.iter().all(|it| it.from == Millis(0) && it.to == Millis(0)));
    let three = Guidelines { lines: 3, line: 20, ..guidelines() };
    let three = split(&Spoken { text: TEXT, length: Millis(16_000), word: None }, &three);
    assert!(three.iter().any(|it| it.lines.len() == 3));
    assert!(three.iter().flat_map(|it| &it.lines).all(|line| columns(line) <= 20));
}
