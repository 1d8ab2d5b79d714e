//! The card as a page that prints on one sheet.

use maud::{DOCTYPE, PreEscaped, html};

use crate::Fitted;

/// What is nowhere smaller than eleven points, and prints in black.
const STYLE: &str = "
@page { size: A4; margin: 10mm 11mm; }
* { box-sizing: border-box; }
html { font: var(--size)/1.22 'DejaVu Sans Condensed', 'Arial Narrow', 'Liberation Sans Narrow', 'Roboto Condensed', sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; max-width: 190mm; padding: 4mm 0; overflow-wrap: anywhere; }
.banner { font-size: 1.09em; font-weight: 700; margin: 0 0 3pt; }
h1 { font-size: 1.55em; line-height: 1.15; margin: 0 0 3pt; }
h2 { font-size: 1.09em; line-height: 1.2; margin: 0 0 3pt; border-bottom: 0.75pt solid #000; }
p { margin: 0 0 1pt; }
.plan { font-weight: 700; }
.head { border-bottom: 1.5pt solid #000; padding-bottom: 4pt; margin-bottom: 6pt; }
.columns { columns: 2; column-gap: 6mm; }
section { break-inside: avoid; margin: 0 0 7pt; }
section p { padding-left: 8pt; text-indent: -8pt; }
.cautions { border-top: 1.5pt solid #000; padding-top: 4pt; }
@media screen { body { padding: 8mm; } }
@media screen and (max-width: 600px) { .columns { columns: 1; } }
@media print { body { padding: 0; max-width: none; } }
";

/// The card in HTML. It asks nobody for anything.
#[must_use]
pub fn html(fitted: &Fitted) -> String {
    let card = &fitted.card;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Film briefing: " (card.title) }
                style { (PreEscaped(format!(":root {{ --size: {}pt; }}{STYLE}", fitted.size))) }
            }
            body {
                div class="head" {
                    p class="banner" { "Film briefing for the pilot — NOT FOR NAVIGATION" }
                    h1 { (card.title) }
                    p class="plan" { (card.plan) }
                    @for line in &card.about { p { (line) } }
                }
                div class="columns" {
                    @for part in &card.sections {
                        section {
                            h2 { (part.title) }
                            @if part.items.is_empty() { p { (part.none) } }
                            @for item in &part.items { p { b { (item.lead) ":" } " " (item.text) } }
                        }
                    }
                }
                div class="cautions" {
                    @for caution in &card.cautions { p { (caution) } }
                }
            }
        }
    };
    page.into_string()
}
