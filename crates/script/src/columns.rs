//! The columns of a sheet. Each is known by its key, which is also its heading, so that a sheet may
//! come back with its columns in any order.

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Column {
    /// The narration's number.
    Number,
    /// Its name.
    Name,
    /// Which of its texts.
    Version,
    /// The language.
    Language,
    /// When it is said, in plain words.
    CuePoint,
    /// When and where it starts on the planned flight.
    Planned,
    /// Its text.
    Text,
    /// How many words (or characters) that is.
    Count,
    /// How long it takes, in seconds.
    Length,
    /// How many seconds there are for it.
    Room,
    /// How many words (or characters) there are for it.
    RoomCount,
    /// Notes on how its words are spoken.
    Pronunciation,
    /// For whoever records: which take is good.
    Take,
    /// For whoever records: how long it is.
    TakeLength,
    /// For whoever records: anything else.
    Remark,
    /// The code of the plan the sheet was made of.
    Plan,
    /// The digests of text and notes as they were when the sheet was made.
    MadeFrom,
}

impl Column {
    /// All, in the order in which they are written.
    pub(crate) const ALL: [Self; 17] = [
        Self::Number,
        Self::Name,
        Self::Version,
        Self::Language,
        Self::CuePoint,
        Self::Planned,
        Self::Text,
        Self::Count,
        Self::Length,
        Self::Room,
        Self::RoomCount,
        Self::Pronunciation,
        Self::Take,
        Self::TakeLength,
        Self::Remark,
        Self::Plan,
        Self::MadeFrom,
    ];

    /// Those without which nothing can be taken from a sheet.
    pub(crate) const NEEDED: [Self; 5] =
        [Self::Name, Self::Version, Self::Language, Self::Text, Self::MadeFrom];

    /// Its key.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Number => "number",
            Self::Name => "name",
            Self::Version => "version",
            Self::Language => "language",
            Self::CuePoint => "cue point",
            Self::Planned => "planned",
            Self::Text => "text",
            Self::Count => "words",
            Self::Length => "length s",
            Self::Room => "room s",
            Self::RoomCount => "room words",
            Self::Pronunciation => "pronunciation",
            Self::Take => "take",
            Self::TakeLength => "take length",
            Self::Remark => "remark",
            Self::Plan => "plan",
            Self::MadeFrom => "made from",
        }
    }

    /// Whether people write in it.
    pub(crate) const fn is_edited(self) -> bool {
        matches!(
            self,
            Self::Text | Self::Pronunciation | Self::Take | Self::TakeLength | Self::Remark
        )
    }

    /// Its heading: the key, in square brackets where nothing in the column is to be edited.
    pub(crate) fn heading(self) -> String {
        if self.is_edited() { self.key().to_owned() } else { format!("[{}]", self.key()) }
    }

    /// How wide it is in a workbook, in characters.
    pub(crate) const fn width(self) -> f64 {
        match self {
            Self::Number | Self::Count | Self::Length | Self::Room => 8.0,
            Self::RoomCount | Self::Version | Self::Language | Self::Plan | Self::Take => 9.0,
            Self::TakeLength => 11.0,
            Self::Name => 16.0,
            Self::CuePoint | Self::Planned => 26.0,
            Self::Text => 70.0,
            Self::Pronunciation | Self::Remark => 28.0,
            Self::MadeFrom => 24.0,
        }
    }

    /// The column of a heading, with or without its brackets, in capitals or not.
    pub(crate) fn of(heading: &str) -> Option<Self> {
        let heading = heading.trim().trim_start_matches('[').trim_end_matches(']').to_lowercase();
        let words: Vec<&str> = heading.split_whitespace().collect();
        let heading = words.join(" ");
        Self::ALL.into_iter().find(|column| column.key() == heading)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_is_known_however_a_spreadsheet_wrote_it() {
        for column in Column::ALL {
            for heading in
                [column.heading(), column.key().to_uppercase(), format!(" {} ", column.key())]
            {
                assert_eq!(Column::of(&heading), Some(column), "{heading}");
            }
        }
        assert_eq!(Column::of("[Room\u{A0}words]"), Some(Column::RoomCount));
        assert_eq!(Column::of("words in the room"), None);
        assert_eq!(Column::of(""), None);
    }
}
