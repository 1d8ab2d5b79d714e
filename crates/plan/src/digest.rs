//! The digest of a plan, and its short code.

use std::fmt;

use crate::model::Plan;

/// A plan's digest: BLAKE3, 32 bytes, over the plan's content as compact JSON (keys in the order of
/// the types, no spaces, floats in the shortest form that reads back to the same value).
///
/// Two plans have the same digest where their content is the same; how the file that holds them is
/// laid out has no part in it. Everything the author can change has: the revision and the approval
/// too.
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
    Digest(*blake3::hash(&content(plan)).as_bytes())
}

/// The plan's content as compact JSON: what the digest is taken over.
fn content(plan: &Plan) -> Vec<u8> {
    // Cannot fail: a plan has no maps with keys that are no strings, and memory takes every byte.
    serde_json::to_vec(plan).unwrap_or_default()
}
