//! What has room on one page, and where it goes.

use std::collections::BTreeSet;

use ttf_parser::Face;

use crate::{Card, Item};

/// No letter is smaller than this, in points.
pub const SMALLEST: f32 = 11.0;

/// A4, in points.
pub(crate) const PAGE: (f32, f32) = (595.28, 841.89);
/// White on all sides, as far as common printers need it.
pub(crate) const MARGIN: f32 = 34.0;
const GUTTER: f32 = 18.0;
/// From base line to base line, heading and title, each of a text's size.
const LINE: f32 = 1.24;
const HEADING: f32 = 1.09;
const TITLE: f32 = 1.55;
/// Where there is room, letters are larger than they must be, down to the smallest in these steps.
const SIZES: [f32; 5] = [13.5, 13.0, 12.5, 12.0, 11.5];

/// The two faces of the card.
pub(crate) struct Faces {
    regular: Face<'static>,
    bold: Face<'static>,
}

/// How a piece of text is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    Regular,
    Bold,
}

/// A piece of text at its place: left and base line, in points from the top left.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Set {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) size: f32,
    pub(crate) weight: Weight,
    pub(crate) text: String,
}

/// A rule across the page or a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rule {
    pub(crate) from: (f32, f32),
    pub(crate) wide: f32,
    pub(crate) thick: f32,
}

/// A card that fits on one page.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// What it says: where something was left out, so many items are said to be missing.
    pub card: Card,
    /// How many items were left out.
    pub left_out: usize,
    /// Letters that the PDF form does not have and shows as empty boxes.
    pub unknown: BTreeSet<char>,
    /// The size of its plain text, in points; nothing is smaller.
    pub size: f32,
    pub(crate) texts: Vec<Set>,
    pub(crate) rules: Vec<Rule>,
}

impl Faces {
    /// The faces that are carried along; none only where the build is broken.
    pub(crate) fn new() -> Option<Self> {
        Some(Self {
            regular: Face::parse(dejavu::sans_condensed::regular(), 0).ok()?,
            bold: Face::parse(dejavu::sans_condensed::bold(), 0).ok()?,
        })
    }

    /// How wide a text is when it is set, in points.
    fn width(&self, text: &str, size: f32, weight: Weight) -> f32 {
        let face = match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        };
        let em = f32::from(face.units_per_em());
        let advance = |letter: char| {
            let glyph = face.glyph_index(letter).unwrap_or(ttf_parser::GlyphId(0));
            f32::from(face.glyph_hor_advance(glyph).unwrap_or(0))
        };
        text.chars().map(advance).sum::<f32>() / em * size
    }
}

/// A word or a part of one, with whether a blank stands before it.
struct Word {
    text: String,
    weight: Weight,
    blank: bool,
}

fn words(text: &str, weight: Weight) -> Vec<Word> {
    text.split_whitespace()
        .map(|word| Word { text: word.to_owned(), weight, blank: true })
        .collect()
}

/// A page that is being set.
struct Setter<'f> {
    faces: &'f Faces,
    /// Of the plain text, in points.
    size: f32,
    texts: Vec<Set>,
    rules: Vec<Rule>,
}

impl Setter<'_> {
    /// Sets words in lines of a width, from a base line on; gives the base line below the last.
    fn lines(
        &mut self,
        words: Vec<Word>,
        (x, wide): (f32, f32),
        mut y: f32,
        size: f32,
        indent: f32,
    ) -> f32 {
        let blank = self.faces.width(" ", size, Weight::Regular);
        let step = LINE * size;
        let mut at = x;
        let mut begun = false;
        let pieces: Vec<Word> =
            words.into_iter().flat_map(|word| self.broken(word, wide - indent, size)).collect();
        for word in pieces {
            let own = self.faces.width(&word.text, size, word.weight);
            let gap = if begun && word.blank { blank } else { 0.0 };
            if begun && at + gap + own > x + wide {
                y += step;
                at = x + indent;
            } else {
                at += gap;
            }
            match self.texts.last_mut() {
                // Joined with what stands before it, so that a reader of the file finds sentences.
                Some(last)
                    if begun
                        && last.y == y
                        && last.weight == word.weight
                        && gap > 0.0
                        && at > x + indent =>
                {
                    last.text.push(' ');
                    last.text.push_str(&word.text);
                }
                _ => self.texts.push(Set { x: at, y, size, weight: word.weight, text: word.text }),
            }
            at += own;
            begun = true;
        }
        y + step
    }

    /// A word that is wider than a line, in pieces that are not.
    fn broken(&self, word: Word, wide: f32, size: f32) -> Vec<Word> {
        if self.faces.width(&word.text, size, word.weight) <= wide {
            return vec![word];
        }
        let mut pieces: Vec<Word> = Vec::new();
        let mut piece = String::new();
        for letter in word.text.chars() {
            piece.push(letter);
            if self.faces.width(&piece, size, word.weight) > wide {
                piece.pop();
                let text = std::mem::take(&mut piece);
                pieces.push(Word { text, weight: word.weight, blank: pieces.is_empty() });
                piece.push(letter);
            }
        }
        pieces.push(Word { text: piece, weight: word.weight, blank: pieces.is_empty() });
        pieces
    }

    fn rule(&mut self, x: f32, y: f32, wide: f32, thick: f32) {
        self.rules.push(Rule { from: (x, y), wide, thick });
    }
}

/// What of a card has room on one page. Items are left out from the end of the longest section, and
/// how many is said in it; sections themselves, the plan and the cautions never are.
///
/// # Panics
/// Never; a build without the faces it carries gives an empty page.
#[must_use]
pub fn fit(card: &Card) -> Fitted {
    let Some(faces) = Faces::new() else {
        let (texts, rules) = (Vec::new(), Vec::new());
        let unknown = BTreeSet::new();
        return Fitted { card: card.clone(), left_out: 0, size: SMALLEST, unknown, texts, rules };
    };
    let unknown = unknown_letters(&faces, card);
    let whole = shortened(card, 1);
    for size in SIZES {
        let (texts, rules, low) = set(&faces, &whole, size);
        if low <= PAGE.1 - MARGIN {
            return Fitted { card: whole, left_out: 0, size, unknown, texts, rules };
        }
    }
    // Names that are all very long are cut shorter still.
    let mut fitted = pruned(&faces, card, 1);
    for shorter in 2..=4 {
        if fitted.1 {
            break;
        }
        fitted = pruned(&faces, card, shorter);
    }
    Fitted { unknown, ..fitted.0 }
}

/// The letters of a card that the faces do not have.
fn unknown_letters(faces: &Faces, card: &Card) -> BTreeSet<char> {
    let items = card.sections.iter().flat_map(|section| &section.items);
    let items = items.flat_map(|item| [&item.lead, &item.text]);
    let texts = [&card.title, &card.plan].into_iter().chain(&card.about).chain(items);
    let letters = texts.flat_map(|text| text.chars()).filter(|it| !it.is_whitespace());
    letters.filter(|letter| faces.regular.glyph_index(*letter).is_none()).collect()
}

/// Leaves out items until all has room, and says whether that came about.
fn pruned(faces: &Faces, card: &Card, shorter: usize) -> (Fitted, bool) {
    let mut card = shortened(card, shorter);
    let size = SMALLEST;
    let mut missing = vec![0_usize; card.sections.len()];
    loop {
        let said = with_missing(&card, &missing);
        let (texts, rules, low) = set(faces, &said, size);
        let fits = low <= PAGE.1 - MARGIN;
        // What there is most of is left out first.
        let sections = card.sections.iter_mut().zip(&mut missing);
        let can = sections.filter(|(section, _)| section.items.len() > section.keep);
        let most = can.max_by_key(|(section, _)| section.items.len());
        let Some((section, count)) = most.filter(|_| !fits) else {
            let left_out = missing.iter().sum();
            let unknown = BTreeSet::new();
            return (Fitted { card: said, left_out, size, unknown, texts, rules }, fits);
        };
        section.items.pop();
        *count += 1;
    }
}

/// Names and texts so long that a few of them fill a page are cut, and the cut is seen. `shorter`: by
/// what the greatest lengths are divided.
fn shortened(card: &Card, shorter: usize) -> Card {
    let cut = |text: &str, most: usize| {
        let most = most / shorter;
        if text.chars().count() <= most {
            return text.to_owned();
        }
        let kept: String = text.chars().take(most.saturating_sub(1)).collect();
        format!("{}…", kept.trim_end())
    };
    let mut card = card.clone();
    card.title = cut(&card.title, 110);
    card.about = card.about.iter().map(|line| cut(line, 320)).collect();
    for section in &mut card.sections {
        // What is never left out whole is of our own words, but for the names of cameras.
        let most = if section.keep >= section.items.len() { 260 * shorter } else { 260 };
        for item in &mut section.items {
            item.lead = cut(&item.lead, 70);
            item.text = cut(&item.text, most);
        }
    }
    card.plan = cut(&card.plan, 200);
    card
}

fn with_missing(card: &Card, missing: &[usize]) -> Card {
    let mut said = card.clone();
    for (section, missing) in said.sections.iter_mut().zip(missing) {
        if *missing > 0 {
            let text = format!(
                "{missing} more have no room here; `fulmar page` and `fulmar coverage` show all"
            );
            section.items.push(Item::new("And", text));
        }
    }
    said
}

/// Sets a card; gives how low it comes.
fn set(faces: &Faces, card: &Card, size: f32) -> (Vec<Set>, Vec<Rule>, f32) {
    let mut setter = Setter { faces, size, texts: Vec::new(), rules: Vec::new() };
    let wide = PAGE.0 - 2.0 * MARGIN;
    let mut y = MARGIN + size * TITLE * 0.8;
    y = setter.lines(
        words("Film briefing for the pilot — NOT FOR NAVIGATION", Weight::Bold),
        (MARGIN, wide),
        y,
        size * HEADING,
        0.0,
    );
    y += 4.0;
    y = setter.lines(words(&card.title, Weight::Bold), (MARGIN, wide), y, size * TITLE, 0.0) - 3.0;
    y = setter.lines(words(&card.plan, Weight::Bold), (MARGIN, wide), y, size, 0.0);
    for line in &card.about {
        y = setter.lines(words(line, Weight::Regular), (MARGIN, wide), y, size, 0.0);
    }
    setter.rule(MARGIN, y - size * LINE * 0.55, wide, 1.5);
    y += 6.0;
    let column = (wide - GUTTER) / 2.0;
    // Sections go where there is less so far, in their order, so that both columns end alike.
    let mut low = [y, y];
    for section in &card.sections {
        let at = usize::from(low[1] < low[0]);
        let x = MARGIN + if at == 0 { 0.0 } else { column + GUTTER };
        low[at] = one(&mut setter, section, (x, column), low[at]);
    }
    let mut y = low[0].max(low[1]) + 2.0;
    setter.rule(MARGIN, y - size * LINE * 0.7, wide, 1.5);
    y += 4.0;
    for caution in &card.cautions {
        y = setter.lines(words(caution, Weight::Regular), (MARGIN, wide), y, size, 0.0) + 1.0;
    }
    let Setter { texts, rules, .. } = setter;
    (texts, rules, y - size * LINE + 4.0)
}

fn one(setter: &mut Setter<'_>, section: &crate::Section, column: (f32, f32), y: f32) -> f32 {
    let size = setter.size;
    let mut y = setter.lines(words(&section.title, Weight::Bold), column, y, size * HEADING, 0.0);
    setter.rule(column.0, y - size * LINE * 0.93, column.1, 0.75);
    y += 1.0;
    if section.items.is_empty() {
        y = setter.lines(words(&section.none, Weight::Regular), column, y, size, 0.0);
    }
    for item in &section.items {
        let mut line = words(&format!("{}:", item.lead), Weight::Bold);
        line.extend(words(&item.text, Weight::Regular));
        y = setter.lines(line, column, y, size, 8.0) + 1.0;
    }
    y + 6.0
}
