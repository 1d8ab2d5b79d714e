//! What is looked for beyond each value by itself. One file a check, or a family of them; each
//! has a page for every finding it can make: what it finds, why it matters, an example, and the
//! same better.

pub(crate) mod after_circle;
pub(crate) mod approval;
pub(crate) mod elevation;
pub(crate) mod far_away;
pub(crate) mod gate_use;
pub(crate) mod legs;
pub(crate) mod look_at;
pub(crate) mod names;
pub(crate) mod narration;
pub(crate) mod no_effect;
pub(crate) mod recorder;
pub(crate) mod soundness;
pub(crate) mod turns;
pub(crate) mod zone_circle;
pub(crate) mod zone_shape;
pub(crate) mod zone_size;

use diagnostic::Page;

/// The pages of all findings that the compiler can make, by check.
#[must_use]
pub fn pages() -> Vec<&'static Page> {
    let all: [&'static [Page]; 16] = [
        names::PAGES,
        elevation::PAGES,
        far_away::PAGES,
        zone_shape::PAGES,
        zone_size::PAGES,
        zone_circle::PAGES,
        gate_use::PAGES,
        after_circle::PAGES,
        look_at::PAGES,
        turns::PAGES,
        no_effect::PAGES,
        narration::PAGES,
        recorder::PAGES,
        approval::PAGES,
        legs::PAGES,
        soundness::PAGES,
    ];
    all.into_iter().flatten().collect()
}
