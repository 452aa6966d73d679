//! The one command table. Matching, footer, help, palette, the manual's key table and
//! `leesline keys` all read it; nothing else knows a key.

mod table;

use super::press::Press;

pub use table::COMMANDS;

/// Where keys are read: the pane on top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// The board.
    Board,
    /// Dosing: a calculator whose answer is put into the wine.
    Dosing,
    /// There: a calculator that only says something.
    Reckoning,
    /// There: typing into a line.
    DosingLine,
    /// What a dose would write.
    DoseWrite,
    /// How an answer came about.
    Working,
    /// The cellar book.
    Book,
    /// The calendar.
    Calendar,
    /// A bottling: its steps but for those below.
    Bottling,
    /// A bottling, at the gate.
    Gate,
    /// A bottling, where something is typed.
    BottlingText,
    /// A bottling, at the spout.
    Count,
    /// The bottles: racks and runs.
    Bottles,
    /// The supplies.
    Stock,
    /// What was tasted.
    Tasting,
    /// There: typing what is sought.
    Finding,
    /// All of one vessel or run.
    Detail,
    /// The charts of one vessel or run.
    Charts,
    /// What a deed, waiting or another temperature would make of the forecast.
    WhatIf,
    /// What a bottling will take.
    Plan,
    /// All of one entry of the book.
    Entry,
    /// Why something needs you.
    Why,
    /// The thresholds of the rules.
    Thresholds,
    /// What was put off or dismissed.
    PutOff,
    /// A form.
    Form,
    /// Help.
    Help,
    /// Anything by name.
    Palette,
    /// Something is wrong: typing what is noticed.
    Trouble,
    /// All of a fault.
    TroubleText,
    /// What undoing would change.
    Undo,
}

impl Place {
    /// Every place.
    pub const ALL: &'static [Place] = &[
        Place::Board,
        Place::Dosing,
        Place::Reckoning,
        Place::DosingLine,
        Place::DoseWrite,
        Place::Working,
        Place::Book,
        Place::Calendar,
        Place::Bottling,
        Place::Gate,
        Place::BottlingText,
        Place::Count,
        Place::Bottles,
        Place::Finding,
        Place::Stock,
        Place::Tasting,
        Place::Detail,
        Place::Charts,
        Place::WhatIf,
        Place::Plan,
        Place::Entry,
        Place::Why,
        Place::Thresholds,
        Place::PutOff,
        Place::Form,
        Place::Help,
        Place::Palette,
        Place::Trouble,
        Place::TroubleText,
        Place::Undo,
    ];

    /// As help and manual call it.
    pub const fn title(self) -> &'static str {
        match self {
            Place::Board => "Board",
            Place::Dosing => "Dosing",
            Place::Reckoning => "Calculator",
            Place::DosingLine => "Line",
            Place::DoseWrite => "Dose",
            Place::Working => "Working",
            Place::Book => "Book",
            Place::Calendar => "Calendar",
            Place::Bottling => "Bottling",
            Place::Gate => "Bottling, before it begins",
            Place::BottlingText => "Bottling, typing",
            Place::Count => "Bottling, counting",
            Place::Bottles => "Bottles",
            Place::Stock => "Stock",
            Place::Tasting => "Tasting",
            Place::Finding => "Bottles, finding",
            Place::Detail => "Vessel",
            Place::Charts => "Charts",
            Place::WhatIf => "What if",
            Place::Plan => "Plan",
            Place::Entry => "Entry",
            Place::Why => "Why",
            Place::Thresholds => "Thresholds",
            Place::PutOff => "Put off",
            Place::Form => "Form",
            Place::Help => "Help",
            Place::Palette => "Anything",
            Place::Trouble => "Trouble, finding",
            Place::TroubleText => "Trouble",
            Place::Undo => "Undo",
        }
    }

    /// Whether plain characters are typed into a text there, so that no command may take one.
    pub const fn takes_text(self) -> bool {
        matches!(
            self,
            Place::Form
                | Place::Palette
                | Place::Trouble
                | Place::DosingLine
                | Place::BottlingText
                | Place::Finding
        )
    }
}

/// What a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Id {
    /// Up one.
    Up,
    /// Down one.
    Down,
    /// Left one.
    Left,
    /// Right one.
    Right,
    /// Up a screenful.
    PageUp,
    /// Down a screenful.
    PageDown,
    /// To the first.
    First,
    /// To the last.
    Last,
    /// Open, or do what is marked.
    Open,
    /// Step back.
    Back,
    /// Why it needs someone.
    Why,
    /// The thresholds behind it, or all.
    Thresholds,
    /// What was put off or dismissed.
    PutOffs,
    /// Put a reason off.
    PutOff,
    /// Dismiss a reason.
    Dismiss,
    /// The cellar round.
    Round,
    /// Open a verb's form, or the pane that does it better.
    Verb(&'static str),
    /// To a screen.
    Screen(Place),
    /// Anything by name.
    Palette,
    /// Something is wrong.
    Trouble,
    /// Mark a wine as troubled.
    Mark,
    /// What was wrong is over.
    Over,
    /// Undo.
    Undo,
    /// Help.
    Help,
    /// Leave the program.
    Leave,
    /// Stop for a moment and give the shell back.
    Suspend,
    /// Draw anew.
    Redraw,
    /// Void an entry of the book.
    Void,
    /// Write an entry anew.
    Amend,
    /// Next field.
    Next,
    /// Previous field.
    Previous,
    /// Write the form to the book.
    Write,
    /// Show all of the marked vessel.
    Details,
    /// Draw how it went and is expected to go on.
    Charts,
    /// What it would make of the forecast.
    WhatIf,
    /// What bottling it will take.
    Plan,
    /// Which run a bottle without a label may be of.
    Which,
    /// Take the completion shown.
    Take,
    /// Empty a field.
    Empty,
    /// A calculator, for what is marked.
    Calculator(&'static str),
    /// Type into a line.
    Change,
    /// A line as the book has it.
    Restore,
    /// Done with typing.
    Done,
    /// Write half a dose.
    Half,
    /// Every line, or only those that matter.
    AllLines,
    /// The rule of thumb, or back from it.
    Thumb,
    /// How an answer came about.
    Working,
    /// Yes.
    Yes,
    /// One step back within a screen, or to the board.
    StepBack,
    /// To today.
    Today,
    /// To the next day with something on it.
    NextDay,
    /// The agenda, or the month again.
    Agenda,
    /// Show the years of every wine.
    Years,
    /// Do what would answer a question of the gate.
    Mend,
    /// One bottle more.
    More,
    /// One bottle fewer.
    Fewer,
    /// Wine was spilled.
    Spilled,
    /// Wine was drawn to taste.
    Drawn,
    /// A full bottle broke.
    Broken,
    /// A closure was refused.
    RefusedCork,
    /// Two corks sit well.
    CorksSit,
    /// Another bottle size.
    Size,
    /// A number of bottles at once.
    Number,
    /// From the runs to the racks, or back.
    Across,
    /// Find by words.
    Find,
    /// What is to be bought, or what there is.
    ToBuy,
}

/// Groups of commands, in the order in which help lists them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// What is particular to the place.
    Here,
    /// Writing to the book.
    Write,
    /// Moving about.
    Move,
    /// The same everywhere.
    Always,
}

impl Group {
    /// As help heads it.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Here => "Here",
            Group::Write => "Write it down",
            Group::Move => "Move",
            Group::Always => "Everywhere",
        }
    }
}

/// A row of the table.
#[derive(Debug)]
pub struct Command {
    /// What it does.
    pub id: Id,
    /// Keys that do it, the one to show first.
    pub keys: &'static [Press],
    /// Where they hold.
    pub places: &'static [Place],
    /// Short name, as the footer writes it.
    pub name: &'static str,
    /// What it does, one sentence.
    pub sentence: &'static str,
    /// Where help lists it.
    pub group: Group,
    /// Whether the footer shows it, room permitting.
    pub foot: bool,
}

impl Command {
    /// Where it holds, in words.
    fn places_words(&self) -> String {
        if self.places == Place::ALL {
            return "everywhere".to_owned();
        }
        if self.places == table::CALM {
            return "where nothing is typed".to_owned();
        }
        let titles: Vec<&str> = self.places.iter().map(|it| it.title()).collect();
        titles.join(", ")
    }

    /// Its keys in words: `↑ k`.
    pub fn keys_words(&self) -> String {
        let words: Vec<String> = self.keys.iter().map(Press::to_string).collect();
        words.join(" ")
    }
}

/// The row that a key calls in a place.
pub fn find(place: Place, press: Press) -> Option<&'static Command> {
    at(place).find(|it| it.keys.contains(&press))
}

/// The row of a command.
pub fn of(id: Id) -> Option<&'static Command> {
    COMMANDS.iter().find(|it| it.id == id)
}

/// The rows that hold in a place, in order of the table.
pub fn at(place: Place) -> impl Iterator<Item = &'static Command> {
    COMMANDS.iter().filter(move |it| it.places.contains(&place))
}

/// The table as Markdown, for the manual and `leesline keys`.
pub fn keys_table() -> String {
    let mut places: Vec<String> = Vec::new();
    for row in COMMANDS {
        if !places.contains(&row.places_words()) {
            places.push(row.places_words());
        }
    }
    // What holds nearly everywhere is what one looks up first.
    places.sort_by_key(|it| !it.contains("where"));
    let mut lines = vec![
        "| Where | Keys | Does |".to_owned(),
        "|---|---|---|".to_owned(),
    ];
    for place in places {
        let rows = COMMANDS.iter().filter(|it| it.places_words() == place);
        let mut said = place.as_str();
        for row in rows {
            let keys: Vec<String> = row.keys.iter().map(|key| format!("`{key}`")).collect();
            lines.push(format!(
                "| {said} | {} | {} |",
                keys.join(" "),
                row.sentence
            ));
            said = "";
        }
    }
    lines.join("\n") + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_rows_share_a_key_in_one_place() {
        for place in Place::ALL {
            let mut taken: Vec<(Press, Id)> = Vec::new();
            for row in at(*place) {
                for key in row.keys {
                    if let Some((_, other)) = taken.iter().find(|(it, _)| it == key) {
                        panic!("{key} in {place:?} is both {other:?} and {:?}", row.id);
                    }
                    taken.push((*key, row.id));
                }
            }
        }
    }

    #[test]
    fn every_row_is_reachable() {
        for row in COMMANDS {
            assert!(
                !row.keys.is_empty() && !row.places.is_empty(),
                "{:?}",
                row.id
            );
            for place in row.places {
                for key in row.keys {
                    let found = find(*place, *key).map(|it| it.id);
                    assert_eq!(found, Some(row.id), "{key} in {place:?}");
                }
            }
        }
    }

    #[test]
    fn every_place_reaches_help_and_leaving() {
        for place in Place::ALL {
            for wanted in [Id::Help, Id::Leave, Id::Suspend] {
                assert!(
                    at(*place).any(|it| it.id == wanted),
                    "{wanted:?} in {place:?}"
                );
            }
        }
    }

    #[test]
    fn no_command_takes_a_character_where_text_is_typed() {
        for place in Place::ALL.iter().filter(|it| it.takes_text()) {
            for row in at(*place) {
                let typed = row.keys.iter().find(|it| matches!(it, Press::Char(_)));
                assert_eq!(typed, None, "{:?} in {place:?}", row.id);
            }
        }
    }

    #[test]
    fn no_command_stands_on_a_character_of_altgr() {
        for row in COMMANDS {
            for key in row.keys {
                if let Press::Char(c) = key {
                    assert!(!"{[]}\\@~|€".contains(*c), "{:?} on {c}", row.id);
                }
            }
        }
    }

    #[test]
    fn sentences_are_sentences() {
        for row in COMMANDS {
            assert!(row.sentence.ends_with('.'), "{}", row.sentence);
            assert!(!row.sentence.contains('|'), "{}", row.sentence);
        }
    }
}
