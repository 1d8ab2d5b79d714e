//! The digest of a plan, and its short code.

use std::fmt;

use crate::model::{Approval, Plan, Source};

/// A plan's digest: BLAKE3, 32 bytes, over the plan's content as compact JSON (keys in the order of
/// the types, no spaces, floats in the shortest form that reads back to the same value).
///
/// Two plans have the same digest where they are the same to fly and to read; how the file that
/// holds them is laid out has no part in it. Neither has where it was written: the names of the
/// authored files and of recordings are left out (a recording is known by its content), and every place
/// in the files is nought. Nor has the approval, which is
/// counted as a draft: an approval names the code of the plan that it was given for.
///
/// # References
/// J. O'Connor, J.-P. Aumasson, S. Neves, Z. Wilcox-O'Hearn, BLAKE3: one function, fast everywhere
/// (2020).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The short code: the first six hexadecimal digits, in lower case. For people, who compare
    /// the code on a card with the code on a film; it tells plans apart and proves nothing.
    #[must_use]
    pub fn code(&self) -> String {
        let mut whole = self.to_string();
        whole.truncate(6);
        whole
    }
}

impl fmt::Display for Digest {
    /// 64 hexadecimal digits in lower case.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// The digest of a plan's content.
#[must_use]
pub fn digest(plan: &Plan) -> Digest {
    const NOWHERE: Source = Source { file: 0, line: 0, column: 0 };
    let mut plan = plan.clone();
    plan.approval = Approval::Draft;
    plan.sources = Vec::new();
    plan.route.legs.iter_mut().for_each(|leg| leg.source = NOWHERE);
    plan.zones.iter_mut().for_each(|zone| zone.source = NOWHERE);
    let narrations = plan.narrations.iter_mut().flat_map(|narration| &mut narration.voices);
    let said = narrations.filter_map(|voice| voice.audio.as_mut());
    let played = plan.music.iter_mut().filter_map(|music| music.audio.as_mut());
    said.chain(played).for_each(|audio| audio.file.clear());
    for rule in &mut plan.rules {
        rule.source = NOWHERE;
        rule.conditions.iter_mut().for_each(|condition| condition.source = NOWHERE);
    }
    plan.narrations.iter_mut().for_each(|narration| narration.source = NOWHERE);
    seal(&plan)
}

/// The same over all of it, approval and places too: what gives a change to a plan file away.
pub(crate) fn seal(plan: &Plan) -> Digest {
    Digest(*blake3::hash(&content(plan)).as_bytes())
}

/// The plan's content as compact JSON.
fn content(plan: &Plan) -> Vec<u8> {
    // Cannot fail: a plan has no maps with keys that are no strings, and memory takes every byte.
    serde_json::to_vec(plan).unwrap_or_default()
}
