//! Where a changed text is written.

use route::model::ByLanguage;
use route::{Project, Span, TextPlace};

use super::{Field, authored};
use crate::document::Version;

/// Where a text belongs, `now` being where it stands; else what the author has to do first.
pub(super) fn target(
    project: &Project,
    name: &str,
    version: Version,
    field: Field,
    language: &str,
    now: Option<Span>,
) -> Result<TextPlace, String> {
    if let Some(now) = now {
        return Ok(TextPlace::InPlaceOf(now));
    }
    let there = authored(project, name, version, field);
    if let Some(ByLanguage::Own(_)) = there {
        let own = &project.language;
        return Err(format!(
            "in the file it is given once, for {own} alone: give it by language there, as \
             `{{{own}: …}}`"
        ));
    }
    let keys: &[&str] = match (field, version, there.is_some()) {
        (Field::Text, Version::Long, _) => &["text"],
        (Field::Text, Version::Short, true) => &["short", "text"],
        (Field::Text, Version::Short, false) => {
            return Err("a narration gets a short version in the file: `short: {text: …}`".into());
        }
        (Field::Pronunciation, Version::Long, _) => &["pronunciation"],
        (Field::Pronunciation, Version::Short, _) => {
            return Err("notes stand with the long version: write them into its row".into());
        }
    };
    let entry = project.narrations.get(name).map(|entry| entry.name.span);
    let entry = entry.ok_or_else(|| "name the narration in the file first".to_owned())?;
    let keys = keys.iter().chain([&language]).map(|key| (*key).to_owned()).collect();
    Ok(TextPlace::Under { entry, keys })
}
