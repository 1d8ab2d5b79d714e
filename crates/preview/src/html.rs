//! The file: markup, data and program in one.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::data::{Page, Side};
use crate::side::SoundOf;

const PROGRAM: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/page.js"));
const STYLE: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/page.css"));
const NOTICES: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/notices.txt"));
/// Of the program: nothing else is allowed to run.
const PROGRAM_HASH: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/page.sha256"));

/// The whole file.
pub(crate) fn page(page: &Page, sounds: &[Option<SoundOf<'_>>]) -> String {
    let first = page.sides.first();
    let title = first.map_or("A flight", |side| side.identity.title.as_str());
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy(page));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                div id="page" { (without_program(page)) }
                @for (index, sound) in sounds.iter().enumerate() {
                    @if let Some(sound) = sound {
                        audio id=(sound_id(index)) preload="auto" src=(data_url(sound)) {}
                    }
                }
                script type="application/json" id="data" { (PreEscaped(json(page))) }
                script type="text/plain" id="notices" { (PreEscaped(NOTICES.replace('<', "&lt;"))) }
                script { (PreEscaped(PROGRAM)) }
            }
        }
    };
    markup.into_string()
}

/// The name of the sound of a side.
pub(crate) fn sound_id(side: usize) -> String {
    format!("sound-{side}")
}

/// The data so that no text in it can end its element or begin another.
fn json(page: &Page) -> String {
    // Of what is written here nothing can fail: no map has keys that are no strings.
    let text = serde_json::to_string(page).unwrap_or_default();
    text.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

/// What the page may load and run: itself, and pictures of map tiles where an address is given.
fn policy(page: &Page) -> String {
    let tiles = page.map.tiles.as_deref().and_then(origin).unwrap_or_default();
    format!(
        "default-src 'none'; script-src 'sha256-{PROGRAM_HASH}'; style-src 'unsafe-inline'; \
         img-src data: blob: {tiles}; media-src data: blob:; font-src data:"
    )
}

/// The scheme and host of an address, with its port; none where it has none, or where it holds what
/// would end it in a policy.
#[must_use]
pub fn origin(address: &str) -> Option<String> {
    let (scheme, rest) = address.split_once("://")?;
    if scheme != "https" && scheme != "http" {
        return None;
    }
    let host = rest.split(['/', '?', '#']).next().filter(|host| !host.is_empty())?;
    // One of several servers, by a letter or number in braces.
    let host = match host.split_once('}') {
        Some((choice, behind)) if choice.starts_with('{') => format!("*{behind}"),
        _ => host.to_owned(),
    };
    let plain = |c: char| c.is_ascii_alphanumeric() || "-.:*[]".contains(c);
    host.chars().all(plain).then(|| format!("{scheme}://{host}"))
}

fn data_url(sound: &SoundOf<'_>) -> String {
    format!("data:{};base64,{}", sound.media_type, STANDARD.encode(sound.bytes))
}

/// What is read where the program cannot run, and until it does.
fn without_program(page: &Page) -> Markup {
    html! {
        noscript {
            p { "This page needs a browser that runs its program; all it needs is in this file." }
        }
        @for side in &page.sides { (plain(side)) }
        p { "Media equipment, not for navigation." }
    }
}

fn plain(side: &Side) -> Markup {
    let identity = &side.identity;
    let status = identity.approved.as_ref().map_or_else(
        || "draft".to_owned(),
        |approved| format!("approved by {} on {}", approved.by, approved.on),
    );
    html! {
        h1 { (identity.title) }
        p { "plan " (identity.code) ", revision " (identity.revision) ", " (status) ", "
            (identity.aircraft) }
        ul {
            @for sight in &side.sights {
                @if let Some(place) = side.places.get(sight.place as usize) {
                    li { (place.title) ": " (sight.words) }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_host_of_an_address_comes_into_the_policy() {
        let tiles = "https://tiles.example:8443/{z}/{x}/{y}.png";
        assert_eq!(origin(tiles).as_deref(), Some("https://tiles.example:8443"));
        assert_eq!(
            origin("https://{a-c}.tiles.example/{z}").as_deref(),
            Some("https://*.tiles.example")
        );
        for bad in
            ["javascript:alert(1)", "https://", "https://a b/", "https://a;script-src", "data:x"]
        {
            assert_eq!(origin(bad), None, "{bad}");
        }
    }

    #[test]
    fn the_program_does_not_end_its_own_element() {
        assert!(!PROGRAM.to_ascii_lowercase().contains("</script"));
        assert!(!STYLE.to_ascii_lowercase().contains("</style"));
        assert!(PROGRAM.len() > 1000, "{}", PROGRAM.len());
        assert_eq!(PROGRAM_HASH.len(), 44);
    }
}
