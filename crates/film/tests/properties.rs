//! Whatever is said, paused, cut off and recorded: captions that can be read by anybody, and edits
//! that leave nothing out.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::{Degrees, Millis, Utc};
use engine::{CameraWhy, Cut, RecordWhy};
use film::*;
use plan::{
    Aircraft, Approval, Camera, CameraId, Lens, Mix, Narration, NarrationId, PlaceId, Plan,
    PlannedRoute, Recorder, Settings, Source, Voice,
};
use timeline::{Ending, Flight, Shot, Span, Stretch, Take, Telling};

const SOURCE: Source = Source { file: 0, line: 1, column: 1 };

/// A small generator with a seed.
struct Dice(u64);

impl Dice {
    fn below(&mut self, below: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        i64::try_from(self.0 % u64::try_from(below).unwrap()).unwrap()
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[usize::try_from(self.below(i64::try_from(of.len()).unwrap())).unwrap()]
    }

    fn text(&mut self) -> String {
        const WORDS: &[&str] = &[
            "arch",
            "the",
            "sea,",
            "stands.",
            "a",
            "Worn?",
            "<b>",
            "&amp;",
            "-->",
            "--",
            "St.",
            "九千年",
            "橋です。",
            "「針」",
            "ー",
            "e\u{301}t\u{301}",
            "👩‍👩‍👧",
            "\u{200d}",
            "\u{feff}",
            "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch",
            "\n\n",
            "\r",
            "\t",
            "1.5",
            "ไทย",
            "العربية،",
            "नमस्ते।",
            "𠮷野家",
            "–",
            "…",
            "\"Hush!\"",
            "{camera}",
            "\u{85}",
            "\u{2028}",
        ];
        let words = self.below(60);
        (0..words).map(|_| self.one(WORDS)).collect::<Vec<_>>().join(" ")
    }
}

fn plan(dice: &mut Dice) -> Plan {
    let camera = |name: &str| Camera {
        name: name.into(),
        input: 1,
        bearing: Degrees::of(0.0),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    };
    let narrations = (0..6).map(|number| {
        let voice = Voice::unrecorded("en", &dice.text(), Millis(1 + dice.below(40_000)));
        Narration::new(&format!("n{number}"), vec![voice], SOURCE)
    });
    Plan {
        title: "Small".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["small.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Tern".into(),
            registration: None,
            heading_source: false,
            cameras: vec![camera("left"), camera("right"), camera("nose")],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: Vec::new(),
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: Vec::new(),
        rules: Vec::new(),
        narrations: narrations.collect(),
        music: Vec::new(),
        titles: Vec::new(),
    }
}

fn flight(dice: &mut Dice, plan: &Plan) -> Flight {
    let begins = 1_780_308_000_000 + dice.below(86_400_000);
    let ends = begins + 300_000 + dice.below(600_000);
    let span = |from: i64, to: i64| Span { from: Utc(from), to: Utc(to) };
    let mut flight = Flight { run: 1, number: 1, span: span(begins, ends), ..Flight::default() };
    flight.zero = Some(Utc(begins + dice.below(60_000)));
    let mut now = begins;
    while now < ends {
        let to = (now + 1 + dice.below(20_000)).min(ends);
        let camera = CameraId(u32::try_from(dice.below(3)).unwrap());
        let (span, why) = (span(now, to), CameraWhy::DefaultSequence);
        flight.shots.push(Shot { camera, span, began: span.from, why, rule: None });
        now = to;
    }
    now = begins + dice.below(60_000);
    while now < ends {
        let to = (now + 1 + dice.below(200_000)).min(ends);
        let number = u32::try_from(flight.takes.len()).unwrap() + 1;
        let (why, ended) = (RecordWhy::NoRule, RecordWhy::NoRule);
        flight.takes.push(Take { number, span: span(now, to), why, rule: None, ended });
        now = to + 1 + dice.below(30_000);
    }
    now = begins + dice.below(20_000);
    for number in 0..6_u32 {
        let length = plan.narrations[number as usize].length.0;
        let mut stretches = Vec::new();
        let (start, mut into) = (now, 0);
        let end = if dice.below(3) == 0 { dice.below(length) + 1 } else { length };
        while into < end && now < ends {
            let plays = (1 + dice.below(length)).min(end - into).min(ends - now);
            let ducked = dice.below(3) == 0;
            stretches.push(Stretch { span: span(now, now + plays), into: Millis(into), ducked });
            now += plays + if dice.below(2) == 0 { dice.below(10_000) } else { 0 };
            into += plays;
        }
        let Some(last) = stretches.last() else { break };
        let whole = Span { from: Utc(start), to: last.span.to };
        let ending = if into < length { Ending::CutOff(Cut::Skipped) } else { Ending::Told };
        flight.narrations.push(Telling {
            narration: NarrationId(number),
            rule: None,
            waited: None,
            span: whole,
            stretches,
            ending,
        });
        now = whole.to.0 + dice.below(20_000);
    }
    flight
}

/// Reads WebVTT by its grammar, as strictly as it is written there, and gives the cues.
fn strict(text: &str) -> Vec<(i64, i64, Vec<String>)> {
    let rest = text.strip_prefix("WEBVTT\n\n").unwrap();
    assert!(!rest.contains('\r'), "{rest:?}");
    let mut cues: Vec<(i64, i64, Vec<String>)> = Vec::new();
    for block in rest.split("\n\n").filter(|block| !block.is_empty()) {
        let mut lines = block.lines();
        let first = lines.next().unwrap();
        if first == "NOTE" {
            assert!(!block.contains("-->"));
            continue;
        }
        assert_eq!(first, (cues.len() + 1).to_string(), "identifiers are told apart");
        let (from, to) = lines.next().unwrap().split_once(" --> ").unwrap();
        let time = |text: &str| -> i64 {
            let (clock, millis) = text.split_once('.').unwrap();
            let parts: Vec<&str> = clock.split(':').collect();
            assert!(parts.len() == 3 && parts.iter().all(|part| part.len() == 2), "{text}");
            assert_eq!(millis.len(), 3);
            let number = |part: &str| part.parse::<i64>().unwrap();
            assert!(number(parts[1]) < 60 && number(parts[2]) < 60);
            ((number(parts[0]) * 60 + number(parts[1])) * 60 + number(parts[2])) * 1000
                + number(millis)
        };
        let lines: Vec<String> = lines.map(str::to_owned).collect();
        assert!(!lines.is_empty(), "a cue has text");
        for line in &lines {
            assert!(!line.contains("-->") && !line.contains('<'), "{line}");
            for after in line.split('&').skip(1) {
                assert!(["amp;", "lt;", "gt;"].iter().any(|it| after.starts_with(it)), "{line}");
            }
        }
        cues.push((time(from), time(to), lines));
    }
    cues
}

#[test]
fn captions_of_anything() {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    for round in 0..150 {
        let plan = plan(&mut dice);
        let flight = flight(&mut dice, &plan);
        let clock = [Clock::Flight, Clock::TakeOff, Clock::Film, Clock::Take(1)][round % 4];
        let guidelines = Guidelines::adult(Rate::PAL);
        let captions = Captions::of(&flight, &plan, "en", clock, &guidelines);
        let sections = Sections::of(&flight, clock);
        for pair in captions.cues.windows(2) {
            assert!(pair[0].to <= pair[1].from, "{round}: {pair:?}");
        }
        for cue in &captions.cues {
            assert!(cue.from < cue.to && cue.from >= Millis(0), "{round}: {cue:?}");
            assert!(cue.to <= sections.length(), "{round}: {cue:?}");
            assert!(cue.to - cue.from <= guidelines.longest, "{round}: {cue:?}");
            assert!(!cue.lines.is_empty() && cue.lines.len() <= 2, "{round}: {cue:?}");
            assert!(cue.lines.iter().all(|line| !line.trim().is_empty()), "{round}: {cue:?}");
        }
        let text = write(&captions.cues, Format::WebVtt, &[], false);
        let read = strict(&text);
        assert_eq!(read.len(), captions.cues.len(), "{round}");
        for ((from, to, lines), cue) in read.iter().zip(&captions.cues) {
            assert_eq!((Millis(*from), Millis(*to)), (cue.from, cue.to));
            assert_eq!(lines.len(), cue.lines.len());
        }
        // No word is lost or made up, whatever the flight does.
        for (number, narration) in (0..).zip(&plan.narrations) {
            let spoken = spoken(&plan, NarrationId(number), "en").unwrap();
            let parts = split(&spoken, &guidelines);
            let bare = |text: &str| text.split_whitespace().collect::<String>();
            let said: String =
                parts.iter().flat_map(|part| &part.lines).map(|it| bare(it)).collect();
            assert_eq!(said, bare(narration.text()), "{round}");
        }
    }
}

#[test]
fn edits_of_anything() {
    let mut dice = Dice(0x1234_5678_9abc_def1);
    for round in 0..200 {
        let plan = plan(&mut dice);
        let flight = flight(&mut dice, &plan);
        let names: Vec<&str> = Rate::known().collect();
        let rate: Rate = dice.one(&names).parse().unwrap();
        let options = EditOptions {
            rate,
            clock: if round % 2 == 0 { Clock::Film } else { Clock::Flight },
            start: dice.below(2_000_000),
            recorder_ahead: Millis(dice.below(100_000) - 50_000),
            media: None,
            languages: vec!["en".into()],
            recordings: None,
        };
        let edit = Edit::of(&flight, &plan, &[], &options);
        let live = edit.live();
        for pair in live.windows(2) {
            assert!(pair[0].1.at.to <= pair[1].1.at.from, "{round}");
        }
        // All that was recorded is in it: with the film's clock there are no gaps.
        let frames: i64 = live.iter().map(|(_, clip)| clip.at.count()).sum();
        if options.clock == Clock::Film {
            assert_eq!(frames, edit.length, "{round}");
        }
        for (_, clip) in live {
            let available = clip.media.available.unwrap();
            assert!(available.from <= clip.source, "{round}");
            assert!(clip.source + clip.at.count() <= available.to, "{round}");
            assert!(clip.at.from >= 0 && clip.at.to <= edit.length, "{round}");
        }
        let (text, events) = edl(&edit, "x");
        assert!(text.is_ascii());
        let numbered = text.lines().filter(|line| line.contains("  C        ")).count();
        assert_eq!(numbered, events, "{round}");
        let value = otio(&edit, "x", &serde_json::Value::Null).to_string();
        assert!(!value.contains("NaN") && !value.contains("inf"));
    }
}
