//! Rules that never get what they want.

use diagnostic::{Page, Severity};
use plan::{Rule, RuleId};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "always-outranked",
    severity: Severity::Warning,
    finds: "A camera, recording, music or title of a rule that is active on the planned flight, \
            and always beside another rule that comes before it for the same thing.",
    why: "It is never seen or heard. The rule looks alive in the text and is dead in the air.",
    example: "rules:\n  coast: {when: {in: coast}, priority: 10, camera: left}\n\
              \u{20} arch:  {when: {in: arch}, camera: right}    # inside coast",
    better: "rules:\n  coast: {when: {in: coast}, camera: left}\n\
             \u{20} arch:  {when: {in: arch}, priority: 10, camera: right}",
}];

type Wants = fn(&Rule) -> bool;

const CHANNELS: [(&str, Wants); 4] = [
    ("camera", |rule| rule.camera.is_some()),
    ("recording", |rule| rule.record.is_some()),
    ("music", |rule| rule.music.is_some()),
    ("title", |rule| rule.title.is_some()),
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let rules = &flown.plan.rules;
    let before = |one: RuleId, other: RuleId| {
        let priority = |id: RuleId| rules.get(id.index()).map(|rule| rule.priority);
        priority(one) > priority(other) || (priority(one) == priority(other) && one < other)
    };
    for (number, rule) in (0..).zip(rules) {
        let id = RuleId(number);
        for (channel, wants) in CHANNELS {
            if !wants(rule) {
                continue;
            }
            let mut above = None;
            let mut free = false;
            for moment in flown.moments.iter().filter(|moment| moment.active.contains(&id)) {
                let rival = moment.active.iter().copied().find(|other| {
                    rules.get(other.index()).is_some_and(wants) && before(*other, id)
                });
                match rival {
                    Some(rival) => above = Some(rival),
                    None => free = true,
                }
            }
            let entries = &flown.project.rules.entries;
            let (Some(above), false) = (above, free) else { continue };
            let (Some(entry), Some(rival)) =
                (entries.get(number as usize), entries.get(above.index()))
            else {
                continue;
            };
            // Two rules that want the same recording get it, whichever wins.
            let same = rules.get(above.index()).is_some_and(|rival| {
                channel == "recording"
                    && rival.record.map(|it| it.on) == rule.record.map(|it| it.on)
            });
            if same {
                continue;
            }
            let headline = format!("the {channel} of `{}` never has its turn", entry.name.value);
            let place = findings.sources().place(rival.name.span);
            let finding = findings
                .warning("always-outranked", entry.name.span, headline)
                .related(place, format!("`{}` comes before it", rival.name.value))
                .help("give it a higher `priority`, or take it out");
            findings.put(finding);
        }
    }
}
