//! Words for a side, against the side on which the sight is.

use diagnostic::{Page, Severity};
use earth::Surface;
use plan::{Place, PlaceKind, Shape, Test};
use route::Span;
use route::model::{Entry, Narration, Side};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "wrong-side",
    severity: Severity::Warning,
    finds: "A narration with words such as `on your left`, or with a `side`, whose sight is on the \
            other side all the while it is told on the planned flight. The sight is that of its \
            rule's `before abeam`, else the one in the middle of the rule's zone. Words are known \
            in English and German.",
    why: "Everybody looks out of the wrong window.",
    example: "narrations:\n  arch: {text: On your left is the Arch.}    # it lies to the right",
    better: "narrations:\n  arch: {text: On your right is the Arch.}    # or words for either side",
}];

/// By the first letters of a language tag: words that say that something is on a side.
const WORDS: &[(&str, Side, &[&str])] = &[
    (
        "en",
        Side::Left,
        &[
            "on your left",
            "on the left",
            "to your left",
            "to the left",
            "left-hand side",
            "left side",
        ],
    ),
    (
        "en",
        Side::Right,
        &[
            "on your right",
            "on the right",
            "to your right",
            "to the right",
            "right-hand side",
            "right side",
        ],
    ),
    ("de", Side::Left, &["links", "linken seite", "linker hand", "linken hand"]),
    ("de", Side::Right, &["rechts", "rechten seite", "rechter hand", "rechten hand"]),
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for (number, entry) in (0..).zip(&flown.project.narrations.entries) {
        let Some((side, span)) = said(flown, entry) else { continue };
        let asks = flown.plan.rules.iter().find_map(|rule| {
            let effect = rule.narration?;
            (effect.narration == plan::NarrationId(number)).then_some(rule)
        });
        let Some(sight) = asks.and_then(|rule| sight(flown, rule)) else { continue };
        let at = Surface::from(sight.position);
        let told = flown
            .moments
            .iter()
            .filter(|moment| moment.narration == Some(plan::NarrationId(number)));
        let sides: Vec<Side> = told
            .filter_map(|moment| {
                let off = moment.heading?.shortest_to(moment.surface.azimuth_to(&at)).get();
                Some(if off < 0.0 { Side::Left } else { Side::Right })
            })
            .collect();
        if sides.is_empty() || sides.contains(&side) {
            continue;
        }
        let word = |side| if side == Side::Left { "left" } else { "right" };
        let other = if side == Side::Left { Side::Right } else { Side::Left };
        let headline = format!(
            "`{}` says {}, and `{}` is on the {} all the while",
            entry.name.value,
            word(side),
            sight.name,
            word(other)
        );
        let finding = findings
            .warning("wrong-side", span, headline)
            .help("say it without a side, so that it serves both ways round, or mend the side");
        findings.put(finding);
    }
}

/// The side that a narration speaks of, and where it says so; none if it names both or none.
fn said(flown: &Flown<'_>, entry: &Entry<Narration>) -> Option<(Side, Span)> {
    if let Some(side) = entry.value.side {
        return Some((side.value, side.span));
    }
    let told = flown.project.text(&entry.value.told.text)?;
    let (text, told_in) = (told.text, told.language.to_ascii_lowercase());
    let source = flown.project.sources.file(text.span.file)?;
    let written = source.text.get(text.span.start..text.span.end)?;
    let lower = written.to_ascii_lowercase();
    let mut found: Option<(Side, Span)> = None;
    for (language, side, words) in WORDS {
        if !told_in.starts_with(language) {
            continue;
        }
        for word in *words {
            let Some((start, end)) = whole_word(&lower, word) else { continue };
            if found.is_some_and(|(other, _)| other != *side) {
                return None;
            }
            let (start, end) = (text.span.start + start, text.span.start + end);
            found.get_or_insert((*side, Span { file: text.span.file, start, end }));
        }
    }
    found
}

/// Where words stand in a text as words of their own, with any blanks between them.
fn whole_word(text: &str, words: &str) -> Option<(usize, usize)> {
    let mut from = 0;
    let first = words.split(' ').next()?;
    while let Some(at) = text.get(from..)?.find(first).map(|at| at + from) {
        from = at + first.len();
        let letter_before = text.get(..at)?.chars().next_back().is_some_and(char::is_alphanumeric);
        let mut end = at;
        let all = words.split(' ').enumerate().all(|(index, word)| {
            let rest = text.get(end..).unwrap_or_default();
            let blank = rest.len() - rest.trim_start().len();
            if index > 0 && blank == 0 {
                return false;
            }
            let there = rest.trim_start().starts_with(word);
            end += blank + word.len();
            there
        });
        let after = text.get(end..).and_then(|rest| rest.chars().next());
        if all && !letter_before && !after.is_some_and(char::is_alphanumeric) {
            return Some((at, end));
        }
    }
    None
}

/// The sight that a rule is about.
fn sight<'p>(flown: &Flown<'p>, rule: &plan::Rule) -> Option<&'p Place> {
    let places = &flown.plan.places;
    let tests = || rule.conditions.iter().map(|condition| &condition.test);
    let abeam = tests().find_map(|test| match test {
        Test::BeforeAbeam { sight, .. } => places.get(sight.index()),
        _ => None,
    });
    let centre = || {
        tests().find_map(|test| {
            let Test::In(zone) = test else { return None };
            let (Shape::Circle { centre, .. } | Shape::Sector { centre, .. }) =
                &flown.plan.zones.get(zone.index())?.shape
            else {
                return None;
            };
            places.iter().find(|place| place.kind == PlaceKind::Sight && place.position == *centre)
        })
    };
    abeam.or_else(centre)
}
