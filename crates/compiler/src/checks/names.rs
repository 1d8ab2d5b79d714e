//! Names: unknown, given twice, or of a thing that is not a sight.

use diagnostic::{Page, Severity};
use route::{Name, Span, Spanned};

use crate::findings::Findings;
use crate::names::{Kind, Scope};

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "unknown-name",
        severity: Severity::Error,
        finds: "A name that no file of the project gives to anything of that kind.",
        why: "The tour would fly without the zone, camera or narration that was meant. Most \
                  often it is a slip of the pen, or the library with the name is not included.",
        example: "zones:\n  arch: {circle: {centre: ARHC, radius: 600 m}}",
        better: "zones:\n  arch: {circle: {centre: ARCH, radius: 600 m}}",
    },
    Page {
        name: "name-twice",
        severity: Severity::Error,
        finds: "A name that two files give to two things of one kind. Waypoints and sights share \
                their names.",
        why: "One of the two would never be meant, and which one depends on the order of the \
                  files.",
        example: "# in sights.yaml\nsights:\n  ARCH: {at: \"61.2 N, 6.7 W\"}\n\
                  # in the tour\nwaypoints:\n  ARCH: {at: \"61.3 N, 6.7 W\"}",
        better: "# in the tour\nwaypoints:\n  BEFORE-ARCH: {at: \"61.3 N, 6.7 W\"}",
    },
    Page {
        name: "not-a-sight",
        severity: Severity::Error,
        finds: "A waypoint where a sight is asked for: `look at`, `before abeam`, `at closest`.",
        why: "Only sights are filmed and told about; whoever reviews the flight asks which \
                  sights were seen.",
        example: "waypoints:\n  ARCH: {at: \"61.2 N, 6.7 W\"}\n\
                  rules:\n  arch: {camera: {look at: ARCH}}",
        better: "sights:\n  ARCH: {at: \"61.2 N, 6.7 W\"}\n\
                 rules:\n  arch: {camera: {look at: ARCH}}",
    },
];

pub(crate) fn twice(findings: &mut Findings<'_>, kind: Kind, name: &Spanned<Name>, before: Span) {
    let headline = format!("the {} `{}` is given twice", kind.word(), name.value);
    let place = findings.sources().place(before);
    let finding = findings
        .error("name-twice", name.span, headline)
        .label("given again here")
        .related(place, "first given here")
        .help("give one of them another name, or take it out");
    findings.put(finding);
}

pub(crate) fn unknown(
    findings: &mut Findings<'_>,
    scope: &Scope<'_>,
    kind: Kind,
    name: &Spanned<Name>,
) {
    let headline = format!("there is no {} `{}`", kind.word(), name.value);
    let mut finding = findings.error("unknown-name", name.span, headline.as_str());
    if findings.same("unknown-name", &headline).is_some() {
        // Most often it is what gives the name that is misspelt.
        findings.put_or_join(finding);
        return;
    }
    let near = if findings.may_look_for_near_name() {
        route::near(&name.value, scope.all(kind))
    } else {
        None
    };
    // What names something of another kind is no slip of the pen.
    let slip = near.filter(|_| scope.elsewhere(kind, &name.value).is_none());
    let slip = slip.and_then(|_| route::slip(&name.value, scope.all(kind)));
    if let Some(near) = near {
        finding = finding.label(format!("do you mean `{near}`?"));
        finding = finding.help(format!("write `{near}`, or add `{}`", name.value));
        let sources = findings.sources();
        finding =
            finding.edits(slip.and_then(|slip| sources.instead(name.span, &name.value, slip)));
        if let Some(span) = scope.place_of(kind, near) {
            finding = finding.related(findings.sources().place(span), "it is given here");
        }
    } else if let Some((other, span)) = scope.elsewhere(kind, &name.value) {
        let place = findings.sources().place(span);
        finding = finding
            .label(format!("this names {}, not {}", other.one(), kind.one()))
            .related(place, "it is given here")
            .help(format!("name {}", kind.one()));
    } else {
        let known: Vec<&str> = scope.all(kind).take(8).collect();
        let more = scope.all(kind).nth(known.len()).is_some();
        let help = match known.as_slice() {
            [] => format!("the project has no {} at all: add it, or its library", kind.word()),
            known => format!("known: {}{}", known.join(", "), if more { ", …" } else { "" }),
        };
        finding = finding.help(help);
    }
    findings.put(finding);
}

pub(crate) fn not_a_sight(findings: &mut Findings<'_>, name: &Spanned<Name>) {
    let headline = format!("`{}` is a waypoint, not a sight", name.value);
    let finding = findings
        .error("not-a-sight", name.span, headline)
        .label("a sight is asked for here")
        .help("put it under `sights`; a sight may be used as a waypoint too");
    findings.put(finding);
}
