//! What is wrong with captions.

use diagnostic::{Diagnostic, Page, Place, Severity};
use earth::Millis;
use plan::{Narration, NarrationId, Plan};

use crate::captions::{Outside, reading_time, spoken};
use crate::clock::Clock;
use crate::columns;
use crate::guidelines::Guidelines;
use crate::split::{Phrase, split};

const TOO_FAST: &str = "caption-too-fast";
const TOO_LONG: &str = "caption-too-long";
const OVERLAP: &str = "captions-overlap";
const OUTSIDE: &str = "said-outside-the-film";

/// The pages of what [`review`] finds.
pub const CAPTION_PAGES: &[Page] = &[
    Page {
        name: TOO_FAST,
        severity: Severity::Warning,
        finds: "A narration with captions of more characters a second than can be read: more \
                    than 17, unless another speed is asked for.",
        why: "Who reads does not get to look at the picture, or does not get to the end. The \
                  words are spoken too fast for the text, or the length of the narration is wrong.",
        example: "narrations:\n  arch: {text: \"A text of two hundred characters …\", length: 9 s}",
        better: "narrations:\n  arch: {text: \"A text of two hundred characters …\", length: 14 s}",
    },
    Page {
        name: TOO_LONG,
        severity: Severity::Warning,
        finds: "A word that is longer than a line of captions, and that nothing tells where to \
                    part: 42 characters, of full-width ones 21, unless another width is asked for.",
        why: "Players break such a line anywhere, or it runs out of the picture.",
        example: "text: \"See https://example.org/the/arch/and/all/its/stories\"",
        better: "text: \"See example.org for more\"",
    },
    Page {
        name: OVERLAP,
        severity: Severity::Warning,
        finds: "Captions of a narration that would overlap, if each of them stood for the least \
                    time of 5/6 s.",
        why: "A caption that flashes by cannot be read. Much text is said in no time, so the \
                  length of the narration is most likely wrong.",
        example: "narrations:\n  arch: {text: \"A text of two hundred characters …\", length: 2 s}",
        better: "narrations:\n  arch: {text: \"A text of two hundred characters …\", length: 14 s}",
    },
];

/// The page of what is found of a flight: [`outside`].
#[must_use]
pub fn pages() -> &'static [Page] {
    &[Page {
        name: OUTSIDE,
        severity: Severity::Note,
        finds: "A narration of which something was said while nothing was recorded, or before \
                take-off where time is counted from there, so that it has no time and no captions \
                there.",
        why: "Passengers have heard it, and who sees the film does not.",
        example: "rules:\n  tell-arch: {when: {in: bay}, narration: arch}",
        better: "rules:\n  tell-arch: {when: {in: bay}, narration: arch}\n  \
                     film-bay: {when: {in: bay}, record: on}",
    }]
}

/// What is wrong with the captions of all narrations of a plan in one of its languages, whether or
/// not a flight tells them: too fast, too long, too close upon each other. In the order of the
/// plan, each with its narration. Where captions would overlap, that they are too fast is not said
/// besides.
#[must_use]
pub fn review(
    plan: &Plan,
    language: &str,
    guidelines: &Guidelines,
) -> Vec<(NarrationId, Diagnostic)> {
    let ids = (0..).map(NarrationId).take(plan.narrations.len());
    ids.flat_map(|id| {
        review_one(plan, id, language, guidelines).into_iter().map(move |finding| (id, finding))
    })
    .collect()
}

/// [`review`] of one narration.
#[must_use]
pub fn review_one(
    plan: &Plan,
    id: NarrationId,
    language: &str,
    guidelines: &Guidelines,
) -> Vec<Diagnostic> {
    let narration = plan.narrations.get(id.index());
    let (Some(narration), Some(spoken)) = (narration, spoken(plan, id, language)) else {
        return Vec::new();
    };
    let captions = split(&spoken, guidelines);
    let who = Who { plan, narration, language };
    let overlap = overlap(&who, &captions, guidelines);
    let fast = overlap.or_else(|| too_fast(&who, &captions, guidelines));
    let long = too_long(&who, &captions, guidelines);
    fast.into_iter().chain(long).collect()
}

/// Says of which narrations something was said that has no time on a clock. What is not in one take
/// may be in another, so of the clock of a take nothing is said.
#[must_use]
pub fn outside(plan: &Plan, all: &[Outside], clock: Clock) -> Vec<Diagnostic> {
    let (when, what) = match clock {
        Clock::Film => ("while nothing was recorded", "they are not in the film"),
        Clock::TakeOff => ("before take-off", "they have no time from take-off"),
        Clock::Flight | Clock::Take(_) => return Vec::new(),
    };
    let told = all.iter().filter_map(|outside| {
        let narration = plan.narrations.get(outside.narration.index())?;
        let seconds = outside.length.secs();
        let headline =
            format!("{seconds:.1} s of the narration `{}` were said {when}", narration.name);
        Some(
            Diagnostic::note(OUTSIDE, place(plan, narration), headline)
                .help(format!("{what} and have no captions there")),
        )
    });
    told.collect()
}

/// A narration in a language.
struct Who<'a> {
    plan: &'a Plan,
    narration: &'a Narration,
    language: &'a str,
}

impl Who<'_> {
    fn warn(&self, name: &'static str, headline: String) -> Diagnostic {
        Diagnostic::warning(name, place(self.plan, self.narration), headline)
    }
}

fn place(plan: &Plan, narration: &Narration) -> Place {
    let source = narration.source;
    let file = usize::try_from(source.file).ok().and_then(|file| plan.sources.get(file));
    let whole = Place::whole(file.map_or("the plan", String::as_str));
    Place { line: source.line, column: source.column, ..whole }
}

/// How long each caption can stand: until the next, or, of the last, as long as it may hang in the
/// breath that follows.
fn standing<'c>(
    who: &Who<'_>,
    captions: &'c [Phrase],
    guidelines: &Guidelines,
) -> impl Iterator<Item = (&'c Phrase, Millis)> {
    let gap = guidelines.gap;
    let breath = who.plan.settings.breath - gap;
    let last = guidelines.hang.min(Millis(breath.0.max(0)));
    let next = captions.iter().skip(1).map(|next| Some(next.from)).chain([None]);
    captions.iter().zip(next).map(move |(caption, next)| {
        let until = next.map_or(caption.to + last, |next| next - gap);
        (caption, until - caption.from)
    })
}

fn too_fast(who: &Who<'_>, captions: &[Phrase], guidelines: &Guidelines) -> Option<Diagnostic> {
    // A frame more or less is not worth a word.
    let slack = guidelines.gap.max(Millis(40));
    let fast: Vec<(&Phrase, Millis)> = standing(who, captions, guidelines)
        .filter(|(caption, stands)| reading_time(caption, guidelines) > *stands + slack)
        .collect();
    let speed = |(caption, stands): &(&Phrase, Millis)| {
        #[expect(clippy::cast_precision_loss, reason = "a caption has few characters")]
        let characters = caption.characters() as f64;
        characters / stands.secs().max(0.001)
    };
    let worst = fast.iter().max_by(|a, b| speed(a).total_cmp(&speed(b)))?;
    let missing = |(caption, stands): &(&Phrase, Millis)| {
        (reading_time(caption, guidelines) - *stands).secs().max(0.0)
    };
    let missing: f64 = fast.iter().map(missing).sum();
    let characters = (missing * guidelines.speed).ceil();
    let headline = format!(
        "{} of {} captions of `{}` in {} cannot be read in time: up to {:.1} characters a second, \
         and {} can be read",
        fast.len(),
        captions.len(),
        who.narration.name,
        who.language,
        speed(worst),
        guidelines.speed
    );
    let line = worst.0.lines.join(" ");
    Some(who.warn(TOO_FAST, headline).help(format!(
        "the fastest is “{line}”; say it {missing:.1} s slower, or leave out {characters:.0} \
         characters"
    )))
}

fn too_long(who: &Who<'_>, captions: &[Phrase], guidelines: &Guidelines) -> Option<Diagnostic> {
    let lines = captions.iter().flat_map(|caption| &caption.lines);
    let longest = lines.max_by_key(|line| columns(line))?;
    let wide = columns(longest);
    (wide > guidelines.line).then(|| {
        let headline = format!(
            "a caption of `{}` in {} has a line of {wide} characters, and {} is the most",
            who.narration.name, who.language, guidelines.line
        );
        who.warn(TOO_LONG, headline).help(format!("put a blank or a shorter word into “{longest}”"))
    })
}

fn overlap(who: &Who<'_>, captions: &[Phrase], guidelines: &Guidelines) -> Option<Diagnostic> {
    let short = |(_, stands): &(&Phrase, Millis)| *stands < guidelines.shortest;
    let all = captions.len().saturating_sub(1);
    let count = standing(who, captions, guidelines).take(all).filter(short).count();
    (count > 0).then(|| {
        let headline = format!(
            "{count} of {} captions of `{}` in {} would overlap the next if they stood for {:.2} s",
            captions.len(),
            who.narration.name,
            who.language,
            guidelines.shortest.secs()
        );
        who.warn(OVERLAP, headline)
            .help("give the narration the length that it takes to say, or shorten its text")
    })
}
