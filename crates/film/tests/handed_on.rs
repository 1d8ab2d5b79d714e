//! Captions, titles and edits of flights laid out by hand, read back as text.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::{Degrees, Metres, Millis, Position, Utc};
use engine::{CameraWhy, Cut, RecordWhy, StillWhy};
use film::*;
use plan::{
    Aircraft, Approval, Audio, Camera, CameraId, Lens, Mix, Music, MusicId, MusicOnRadio,
    Narration, NarrationId, Place, PlaceId, PlaceKind, Plan, PlannedRoute, Recorder, Repeat,
    Settings, Source, Title, TitleId, Voice,
};
use timeline::{Ending, Flight, MusicSpan, Shot, Span, Still, Stretch, Take, Telling, TitleSpan};

const SOURCE: Source = Source { file: 0, line: 7, column: 3 };
/// 2026-06-01T10:00:00Z.
const TEN: i64 = 1_780_308_000_000;

fn at(seconds: f64) -> Utc {
    Utc(TEN) + Millis::from_secs_f64(seconds)
}

fn span(from: f64, to: f64) -> Span {
    Span { from: at(from), to: at(to) }
}

fn camera(name: &str) -> Camera {
    Camera {
        name: name.into(),
        input: 1,
        bearing: Degrees::of(0.0),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    }
}

fn plan(narrations: &[(&str, &str, i64)]) -> Plan {
    let narrations = narrations.iter().map(|(name, text, millis)| {
        let voice = Voice::unrecorded("en", text, Millis(*millis));
        Narration::new(name, vec![voice], SOURCE)
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
            cameras: vec![camera("left"), camera("right"), camera("Left!")],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![Place {
            name: "ARCH".into(),
            title: "The <Arch> & Æ".into(),
            kind: PlaceKind::Sight,
            position: Position::of(-48.0, -20.0),
            elevation: None,
            height: None,
            wanted: Some(plan::Wanted::default()),
        }],
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
        titles: vec![Title { name: "arch".into(), text: "The Arch".into() }],
    }
}

fn telling(narration: u32, stretches: &[(f64, f64, i64, bool)], ending: Ending) -> Telling {
    let all: Vec<Stretch> = stretches
        .iter()
        .map(|(from, to, into, ducked)| Stretch {
            span: span(*from, *to),
            into: Millis(*into),
            ducked: *ducked,
        })
        .collect();
    let whole = Span { from: all[0].span.from, to: all.last().unwrap().span.to };
    let narration = NarrationId(narration);
    Telling { narration, rule: None, waited: None, span: whole, stretches: all, ending }
}

fn take(number: u32, from: f64, to: f64) -> Take {
    let (why, ended) = (RecordWhy::NoRule, RecordWhy::NoRule);
    Take { number, span: span(from, to), why, rule: None, ended }
}

fn shot(camera: u32, from: f64, to: f64) -> Shot {
    let span = span(from, to);
    let why = CameraWhy::DefaultSequence;
    Shot { camera: CameraId(camera), span, began: span.from, why, rule: None }
}

fn flight() -> Flight {
    Flight {
        run: 1,
        number: 1,
        span: span(0.0, 600.0),
        zero: Some(at(30.0)),
        take_offs: vec![at(30.0)],
        ..Flight::default()
    }
}

fn guidelines() -> Guidelines {
    Guidelines::adult(Rate::PAL)
}

fn captions(flight: &Flight, plan: &Plan, clock: Clock) -> Captions {
    Captions::of(flight, plan, "en", clock, &guidelines())
}

fn times(captions: &Captions) -> Vec<(i64, i64)> {
    captions.cues.iter().map(|cue| (cue.from.0, cue.to.0)).collect()
}

/// 40 characters: a sentence of 18, a blank, a sentence of 21.
const TWO: &str = "The arch is ahead. | It stands in the sea.";

fn two() -> Plan {
    // A caption each: of one line of 25.
    plan(&[("arch", &TWO.replace(" | ", " "), 4000), ("bay", "The bay lies behind us.", 2000)])
}

fn narrow() -> Guidelines {
    Guidelines { line: 25, lines: 1, ..guidelines() }
}

#[test]
fn captions_stand_while_their_words_are_heard() {
    let mut flight = flight();
    flight.narrations = vec![telling(0, &[(100.0, 104.0, 0, false)], Ending::Told)];
    let plan = two();
    let captions = Captions::of(&flight, &plan, "en", Clock::Flight, &narrow());
    // A tenth of a second each: the blank between them is more than the two frames of the
    // gap, and neither is too fast, so neither hangs.
    assert_eq!(times(&captions), [(100_000, 101_800), (101_900, 104_000)]);
    let lines: Vec<&str> = captions.cues.iter().map(|cue| cue.lines[0].as_str()).collect();
    assert_eq!(lines, ["The arch is ahead.", "It stands in the sea."]);
    assert_eq!(captions.outside, []);
    // From take-off it is 30 s less; in a language that is not carried there is nothing.
    let since = Captions::of(&flight, &plan, "en", Clock::TakeOff, &narrow());
    assert_eq!(times(&since)[0], (70_000, 71_800));
    assert_eq!(Captions::of(&flight, &plan, "de", Clock::Flight, &narrow()).cues, []);
}

#[test]
fn a_pause_pauses_captions_and_ducking_does_not() {
    let mut flight = flight();
    let plan = two();
    // Ducked at 1 s, paused from 3 s of it on for 10 s.
    let stretches =
        [(100.0, 101.0, 0, false), (101.0, 103.0, 1000, true), (113.0, 114.0, 3000, false)];
    flight.narrations = vec![telling(0, &stretches, Ending::Told)];
    let captions = Captions::of(&flight, &plan, "en", Clock::Flight, &narrow());
    assert_eq!(times(&captions), [(100_000, 101_800), (101_900, 103_000), (113_000, 114_235)]);
    assert_eq!(captions.cues[1].lines, captions.cues[2].lines);
    // What would only flash by before a pause comes after it.
    let stretches = [(100.0, 102.0, 0, false), (113.0, 115.0, 2000, false)];
    flight.narrations = vec![telling(0, &stretches, Ending::Told)];
    let captions = Captions::of(&flight, &plan, "en", Clock::Flight, &narrow());
    assert_eq!(times(&captions), [(100_000, 101_800), (113_000, 115_000)]);
    assert_eq!(captions.too_short, 1);
}

#[test]
fn what_is_cut_off_takes_its_caption_with_it() {
    let mut flight = flight();
    let plan = two();
    let cut = Ending::CutOff(Cut::Skipped);
    flight.narrations = vec![telling(0, &[(100.0, 103.0, 0, false)], cut)];
    let captions = Captions::of(&flight, &plan, "en", Clock::Flight, &narrow());
    assert_eq!(times(&captions), [(100_000, 101_800), (101_900, 103_000)]);
    flight.narrations = vec![telling(0, &[(100.0, 102.0, 0, false)], cut)];
    let captions = Captions::of(&flight, &plan, "en", Clock::Flight, &narrow());
    assert_eq!(times(&captions), [(100_000, 101_800)]);
}

/// The film's clock: takes one after the other. What is said in between is not in it.
#[test]
fn the_film_has_a_clock_of_its_own() {
    let mut flight = flight();
    let plan = two();
    flight.takes = vec![take(1, 50.0, 101.5), take(2, 103.0, 200.0)];
    flight.narrations = vec![
        telling(0, &[(100.0, 104.0, 0, false)], Ending::Told),
        telling(1, &[(110.0, 112.0, 0, false)], Ending::Told),
    ];
    let captions = Captions::of(&flight, &plan, "en", Clock::Film, &narrow());
    // Take 1 is 51.5 s long: the first caption runs into its end, the second begins after it.
    assert_eq!(times(&captions), [(50_000, 51_420), (51_500, 52_500), (58_500, 60_500)]);
    assert_eq!(captions.outside, [Outside { narration: NarrationId(0), length: Millis(1500) }]);
    let second = Captions::of(&flight, &plan, "en", Clock::Take(2), &narrow());
    assert_eq!(times(&second), [(0, 1000), (7000, 9000)]);
    assert!(Captions::of(&flight, &plan, "en", Clock::Take(3), &narrow()).cues.is_empty());
    assert_eq!(outside(&plan, &second_outside(&flight, &plan), Clock::Take(2)), []);
    let found = outside(&plan, &captions.outside, Clock::Film);
    assert!(found[0].headline.starts_with("1.5 s of the narration `arch`"), "{found:?}");
    assert_eq!((found[0].place.line, &*found[0].place.file), (7, "small.yaml"));
}

/// What take 2 lacks, which take 1 may have.
fn second_outside(flight: &Flight, plan: &Plan) -> Vec<Outside> {
    let captions = Captions::of(flight, plan, "en", Clock::Take(2), &narrow());
    assert_eq!(captions.outside[0].length, Millis(3000));
    captions.outside
}

#[test]
fn a_fast_caption_hangs_where_nothing_follows() {
    let mut flight = flight();
    let plan =
        plan(&[("arch", "Look at that arch over there!", 1000), ("bay", "And the bay.", 1500)]);
    flight.narrations = vec![telling(0, &[(100.0, 101.0, 0, false)], Ending::Told)];
    // 29 characters at 17 a second.
    assert_eq!(times(&captions(&flight, &plan, Clock::Flight)), [(100_000, 101_706)]);
    flight.narrations.push(telling(1, &[(101.5, 103.0, 0, false)], Ending::Told));
    assert_eq!(times(&captions(&flight, &plan, Clock::Flight))[0], (100_000, 101_420));
    // It hangs for 1.5 s at most, and never past the end of the flight.
    flight.narrations = vec![telling(0, &[(599.0, 600.0, 0, false)], Ending::Told)];
    assert_eq!(times(&captions(&flight, &plan, Clock::Flight)), [(599_000, 600_000)]);
}

#[test]
fn captions_that_cannot_be_read_are_found() {
    let long = "Ahead of you stands the arch, worn through by the sea in nine thousand years. \
        The fishermen call it the Needle's Eye. On a calm day, boats pass below it.";
    let word = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch ahead.";
    let plan = plan(&[
        ("slow", long, 12_000),
        ("fast", long, 6000),
        ("none", long, 700),
        ("word", word, 6000),
    ]);
    let review = |guidelines: &Guidelines| -> Vec<diagnostic::Diagnostic> {
        review(&plan, "en", guidelines).into_iter().map(|(_, finding)| finding).collect()
    };
    let found = review(&guidelines());
    let named: Vec<(&str, String)> = found
        .iter()
        .map(|it| (it.name, it.headline.split('`').nth(1).unwrap().to_owned()))
        .collect();
    let named: Vec<(&str, &str)> = named.iter().map(|(a, b)| (*a, b.as_str())).collect();
    assert_eq!(
        named,
        [("caption-too-fast", "fast"), ("captions-overlap", "none"), ("caption-too-long", "word"),]
    );
    assert!(found[0].headline.contains("and 17 can be read"), "{}", found[0].headline);
    let names: Vec<&str> = CAPTION_PAGES.iter().map(|page| page.name).collect();
    assert!(found.iter().all(|it| names.contains(&it.name)));
    assert!(CAPTION_PAGES.iter().chain(film::pages()).all(diagnostic::Page::is_whole));
    // At another speed, what was too fast is not.
    let quick = Guidelines { speed: 60.0, ..guidelines() };
    assert!(review(&quick).iter().all(|it| !it.headline.contains("`fast`")));
}

#[test]
fn web_vtt_and_sub_rip_as_they_are_written() {
    let cues = [
        Cue { from: Millis(1500), to: Millis(4000), lines: vec!["A & B <c> --> d".into()] },
        Cue {
            from: Millis(3_600_000),
            to: Millis(360_001_001),
            lines: vec!["one".into(), "two".into()],
        },
    ];
    let notes = ["plan ABC --> x".to_owned(), String::new(), "second\nline".to_owned()];
    assert_eq!(
        write(&cues, Format::WebVtt, &notes, false),
        "WEBVTT\n\nNOTE\nplan ABC → x\nsecond line\n\n\
         1\n00:00:01.500 --> 00:00:04.000\nA &amp; B &lt;c&gt; --&gt; d\n\n\
         2\n01:00:00.000 --> 100:00:01.001\none\ntwo\n\n"
    );
    assert_eq!(
        write(&cues, Format::SubRip, &notes, false),
        "1\r\n00:00:01,500 --> 00:00:04,000\r\nA & B ‹c› → d\r\n\r\n\
         2\r\n01:00:00,000 --> 100:00:01,001\r\none\r\ntwo\r\n\r\n"
    );
    assert!(write(&cues, Format::WebVtt, &[], true).contains("04.000 line:0\n"));
    assert_eq!(write(&[], Format::WebVtt, &[], false), "WEBVTT\n\n");
    assert_eq!(write(&[], Format::SubRip, &[], false), "");
}

fn options(rate: &str, clock: Clock) -> EditOptions {
    let rate: Rate = rate.parse().unwrap();
    EditOptions {
        rate,
        clock,
        start: rate
            .frame_of(if rate.is_drop_frame() { "01:00:00;00" } else { "01:00:00:00" })
            .unwrap(),
        recorder_ahead: Millis(2500),
        media: Some("card/{camera} {take}-{input}.mov".into()),
        languages: vec!["en".into()],
        recordings: Some("file:///tours".into()),
    }
}

fn filmed() -> Flight {
    let mut flight = flight();
    flight.takes = vec![take(1, 50.0, 101.5), take(2, 103.0, 200.0)];
    flight.shots = vec![shot(0, 0.0, 60.0), shot(1, 60.0, 102.0), shot(0, 102.0, 600.0)];
    flight.narrations = vec![telling(0, &[(100.0, 104.0, 0, false)], Ending::Told)];
    flight.titles =
        vec![TitleSpan { title: TitleId(0), span: span(90.0, 110.0), began: at(90.0), rule: None }];
    let still = |seconds: f64| Still {
        camera: CameraId(1),
        time: at(seconds),
        told: at(seconds),
        position: Position::of(-48.0, -20.0),
        altitude: None,
        why: StillWhy::Hand,
        rule: None,
    };
    flight.stills = vec![still(70.0), still(102.0)];
    flight
}

#[test]
fn an_edit_lays_what_was_live_on_a_track_each() {
    let passes = [Pass { sight: PlaceId(0), time: at(80.0), distance: Metres::of(321.4) }];
    let edit = Edit::of(&filmed(), &two(), &passes, &options("25", Clock::Film));
    assert_eq!(edit.length, 3713, "148.5 s, the half a frame to the later");
    let clips = |camera: usize| -> Vec<(i64, i64, i64, Option<u32>)> {
        let clips = edit.cameras[camera].clips.iter();
        clips.map(|clip| (clip.at.from, clip.at.to, clip.source, clip.take)).collect()
    };
    // At ten o'clock, on a clock 2.5 s ahead, 50 s in: 36,052.5 s of the day.
    let first = 901_313;
    assert_eq!(clips(0), [(0, 250, first, Some(1)), (1288, 3713, 902_638, Some(2))]);
    assert_eq!(clips(1), [(250, 1288, first + 250, Some(1))]);
    assert_eq!(clips(2), []);
    let narration = &edit.narration[0].clips;
    assert_eq!(narration.len(), 2);
    assert_eq!((narration[0].at, narration[0].source), (Frames { from: 1250, to: 1288 }, 0));
    assert_eq!((narration[1].at, narration[1].source), (Frames { from: 1288, to: 1313 }, 75));
    assert_eq!(edit.stills_outside, 1);
    let marks: Vec<(MarkKind, i64, i64)> =
        edit.marks.iter().map(|mark| (mark.kind, mark.at.from, mark.at.to)).collect();
    use MarkKind::{Sight, Still, Take, Title};
    assert_eq!(
        marks,
        [
            (Take, 0, 1288),
            (Still, 500, 500),
            (Sight, 750, 750),
            (Title, 1000, 1288),
            (Title, 1288, 1463),
            (Take, 1288, 3713),
        ]
    );
}

/// A take that began before take-off: what is laid begins with it, what there is does not.
#[test]
fn the_media_are_the_whole_take() {
    let mut flight = filmed();
    flight.zero = Some(at(55.0));
    let edit = Edit::of(&flight, &two(), &[], &options("25", Clock::TakeOff));
    let clip = &edit.cameras[0].clips[0];
    assert_eq!((clip.at, clip.source), (Frames { from: 0, to: 125 }, 901_438));
    // To 10:01:44 on the recorder's clock, and the frame by which halves were rounded up twice.
    assert_eq!(clip.media.available, Some(Frames { from: 901_313, to: 902_601 }));
}

#[test]
fn an_edit_decision_list_as_it_is_written() {
    let mut flight = filmed();
    flight.narrations.clear();
    let edit = Edit::of(&flight, &two(), &[], &options("25", Clock::Film));
    let (text, events) = edl(&edit, "Small – Flug 1");
    assert_eq!(events, 3);
    assert_eq!(
        text,
        "TITLE: Small _ Flug 1\nFCM: NON-DROP FRAME\n\n\
         001  LEFT     V     C        10:00:52:13 10:01:02:13 01:00:00:00 01:00:10:00\n\
         * FROM CLIP NAME: left, take 1\n\
         * SOURCE FILE: card/left 1-1.mov\n\n\
         002  RIGHT    V     C        10:01:02:13 10:01:44:01 01:00:10:00 01:00:51:13\n\
         * FROM CLIP NAME: right, take 1\n\
         * SOURCE FILE: card/right 1-1.mov\n\
         * COMMENT: STILL 01:00:20:00 right\n\
         * COMMENT: TITLE 01:00:40:00 01:00:51:13 The Arch\n\n\
         003  LEFT     V     C        10:01:45:13 10:03:22:13 01:00:51:13 01:02:28:13\n\
         * FROM CLIP NAME: left, take 2\n\
         * SOURCE FILE: card/left 2-1.mov\n\
         * COMMENT: TITLE 01:00:51:13 01:00:58:13 The Arch\n\n"
    );
    let drop = Edit::of(&flight, &two(), &[], &options("29.97", Clock::Film));
    let (text, _) = edl(&drop, "x");
    assert!(text.contains("FCM: DROP FRAME\n"));
    assert!(text.contains(" 01:00:00;00 01:00:10;00\n"), "{text}");
}

/// A minute of music that goes back from 40 s to 10 s, a pause for the radio, and a piece that is
/// played once.
#[test]
fn music_goes_round_and_is_paused() {
    let audio = Audio { file: "../audio/./a b.ogg".into(), content: "0".repeat(64) };
    let music = |repeat: Option<Repeat>| Music {
        name: "m".into(),
        title: "Westering".into(),
        composer: None,
        publisher: None,
        audio: Some(audio.clone()),
        length: Some(Millis::from_secs(60)),
        repeat,
        level: None,
        licence: None,
    };
    let secs = Millis::from_secs;
    let round = Repeat { from: secs(10), to: secs(40), crossfade: secs(2) };
    let mut plan = two();
    plan.music = vec![music(Some(round)), music(None)];
    plan.mix.radio = MusicOnRadio::Paused;
    let mut flight = flight();
    let played = |music: u32, from: f64, to: f64, began: f64| MusicSpan {
        music: MusicId(music),
        span: span(from, to),
        began: at(began),
        rule: None,
        ducked: Vec::new(),
        ended: None,
        followed_by: None,
    };
    flight.music = vec![played(0, 0.0, 100.0, -5.0), played(1, 200.0, 300.0, 200.0)];
    flight.music[0].ducked = vec![span(20.0, 30.0)];
    let edit = Edit::of(&flight, &plan, &[], &options("25", Clock::Flight));
    let clips: Vec<(i64, i64, i64)> = edit
        .music
        .clips
        .iter()
        .map(|clip| (clip.at.from / 25, clip.at.to / 25, clip.source / 25))
        .collect();
    // 5 s into it at the beginning; 20 s play, 10 s pause, 15 s more to the end of the round.
    assert_eq!(clips, [(0, 20, 5), (30, 45, 25), (45, 75, 10), (75, 100, 10), (200, 260, 0)]);
    let file = edit.music.clips[0].media.file.as_deref();
    assert_eq!(file, Some("file:///audio/a b.ogg"));
    // Ducked, it plays on.
    plan.mix.radio = MusicOnRadio::Ducked;
    let edit = Edit::of(&flight, &plan, &[], &options("25", Clock::Flight));
    assert_eq!(edit.music.clips[0].at, Frames { from: 0, to: 35 * 25 });
    assert_eq!(edit.music.clips[0].note, "ducked");
}

/// Two languages carried at once: the narration lasts as long as the longer, each has its own
/// captions and its own clip.
#[test]
fn languages_carried_at_once() {
    let mut plan = two();
    plan.languages = vec!["en".into(), "de".into()];
    let german =
        Voice::unrecorded("de", "Der Bogen liegt vor Ihnen. Er steht im Meer.", Millis(6000));
    plan.narrations[0].voices.push(german);
    plan.narrations[0].length = Millis(6000);
    let mut flight = filmed();
    flight.narrations = vec![telling(0, &[(110.0, 116.0, 0, false)], Ending::Told)];
    let of = |language: &str| Captions::of(&flight, &plan, language, Clock::Flight, &narrow());
    assert_eq!(times(&of("en")).last().unwrap().1, 114_000);
    assert_eq!(times(&of("de")).last().unwrap().1, 116_000);
    let languages = vec!["en".into(), "de".into()];
    let options = EditOptions { languages, ..options("25", Clock::Flight) };
    let edit = Edit::of(&flight, &plan, &[], &options);
    let counts: Vec<(&str, i64)> = edit
        .narration
        .iter()
        .map(|track| (track.name.as_str(), track.clips[0].at.count()))
        .collect();
    assert_eq!(counts, [("narration en", 100), ("narration de", 150)]);
}

/// A flight of an hour with a change of camera every 5 s, at each rate: in the last minute the
/// edit is no farther off the clock than in the first.
#[test]
fn an_hour_does_not_drift() {
    let mut flight = flight();
    flight.span = span(0.0, 3600.0);
    flight.takes = vec![take(1, 0.4, 3599.7)];
    flight.shots = (0..720_u32)
        .map(|n| shot(n % 2, f64::from(n) * 5.0 + 0.123, f64::from(n) * 5.0 + 5.123))
        .collect();
    for name in Rate::known() {
        let edit = Edit::of(&flight, &two(), &[], &options(name, Clock::Film));
        let frame = 1000.0 / edit.rate.per_second();
        let live = edit.live();
        assert_eq!(live.len(), 720);
        for (number, (_, clip)) in (0_u32..).zip(&live) {
            #[expect(clippy::cast_precision_loss, reason = "small numbers")]
            let (at, source) = (clip.at.from as f64 * frame, clip.source as f64 * frame);
            let real = (f64::from(number) * 5.0 + 0.123).max(0.4) * 1000.0;
            assert!((at + 400.0 - real).abs() <= frame * 0.5 + 0.5, "{name} {number}");
            let shown = 36_000_000.0 + 2500.0 + real;
            assert!((source - shown).abs() <= frame + 0.5, "{name} {number}");
        }
        for pair in live.windows(2) {
            assert_eq!(pair[0].1.at.to, pair[1].1.at.from, "{name}");
            assert_eq!(pair[0].1.source + pair[0].1.at.count(), pair[1].1.source, "{name}");
        }
    }
}

/// Over midnight the recorder's timecode begins again, its frames go on.
#[test]
fn midnight_is_passed() {
    let mut flight = flight();
    let shift = Millis::from_secs(14 * 3600 - 60);
    let later = |span: Span| Span { from: span.from + shift, to: span.to + shift };
    flight.span = later(flight.span);
    flight.takes = vec![Take { span: later(span(0.0, 120.0)), ..take(1, 0.0, 0.0) }];
    flight.shots = vec![
        Shot { span: later(span(0.0, 70.0)), ..shot(0, 0.0, 0.0) },
        Shot { span: later(span(70.0, 120.0)), ..shot(1, 0.0, 0.0) },
    ];
    let edit = Edit::of(&flight, &two(), &[], &options("25", Clock::Film));
    assert_eq!(edit.cameras[1].clips[0].source, 86_400 * 25 + 313);
    let (text, _) = edl(&edit, "x");
    assert!(text.contains("RIGHT    V     C        00:00:12:13 00:01:02:13"), "{text}");
}

#[test]
fn reels_are_told_apart() {
    let mut flight = filmed();
    flight.shots.push(shot(2, 0.0, 0.0));
    flight.shots = vec![shot(0, 0.0, 60.0), shot(2, 60.0, 600.0)];
    let (text, _) = edl(&Edit::of(&flight, &two(), &[], &options("25", Clock::Film)), "x");
    assert!(text.contains("  LEFT     V") && text.contains("  LEFT2    V"), "{text}");
}

#[test]
fn time_line_json_has_what_its_readers_ask_for() {
    let edit = Edit::of(&filmed(), &two(), &[], &options("29.97", Clock::Flight));
    let value = otio(&edit, "flight 1", &serde_json::json!({"plan": "ABC"}));
    assert_eq!(value["OTIO_SCHEMA"], "Timeline.1");
    assert_eq!(value["metadata"]["fulmar"]["plan"], "ABC");
    let tracks = value["tracks"]["children"].as_array().unwrap();
    let kinds: Vec<&str> = tracks.iter().map(|track| track["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["Video", "Video", "Video", "Audio", "Audio"]);
    for track in tracks {
        let frames = |child: &serde_json::Value| {
            child["source_range"]["duration"]["value"].as_f64().unwrap()
        };
        let sum: f64 = track["children"].as_array().unwrap().iter().map(frames).sum();
        assert_eq!(sum, 17_982.0, "each track is as long as the flight");
    }
    let clip = &tracks[0]["children"][1];
    assert_eq!(clip["media_references"]["DEFAULT_MEDIA"]["target_url"], "card/left%201-1.mov");
    assert_eq!(clip["metadata"]["fulmar"]["take"], 1);
}
