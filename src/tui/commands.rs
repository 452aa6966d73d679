//! The one command table. Matching, footer, help, palette, the manual's key table and
//! `leesline keys` all read it; nothing else knows a key.

use super::press::Press;

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
    /// A bottling, where something is typed.
    BottlingText,
    /// A bottling, at the spout.
    Count,
    /// All of one vessel or run.
    Detail,
    /// All of one entry of the book.
    Entry,
    /// Why something needs you.
    Why,
    /// A form.
    Form,
    /// Help.
    Help,
    /// Anything by name.
    Palette,
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
        Place::BottlingText,
        Place::Count,
        Place::Detail,
        Place::Entry,
        Place::Why,
        Place::Form,
        Place::Help,
        Place::Palette,
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
            Place::BottlingText => "Bottling, typing",
            Place::Count => "Bottling, counting",
            Place::Detail => "Vessel",
            Place::Entry => "Entry",
            Place::Why => "Why",
            Place::Form => "Form",
            Place::Help => "Help",
            Place::Palette => "Anything",
            Place::Undo => "Undo",
        }
    }

    /// Whether plain characters are typed into a text there, so that no command may take one.
    pub const fn takes_text(self) -> bool {
        matches!(
            self,
            Place::Form | Place::Palette | Place::DosingLine | Place::BottlingText
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
    /// Do what would answer a question of the gate.
    Mend,
    /// One bottle more.
    More,
    /// One bottle fewer.
    Fewer,
    /// Wine was spilled.
    Spilled,
    /// A full bottle broke.
    Broken,
    /// A closure was refused.
    RefusedCork,
    /// Another bottle size.
    Size,
    /// A number of bottles at once.
    Number,
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
    let mut lines = vec![
        "| Keys | Does | Where |".to_owned(),
        "|---|---|---|".to_owned(),
    ];
    let mut rows: Vec<&Command> = COMMANDS.iter().collect();
    rows.sort_by_key(|it| it.group);
    for row in rows {
        let keys: Vec<String> = row.keys.iter().map(|key| format!("`{key}`")).collect();
        let places: Vec<&str> = row.places.iter().map(|it| it.title()).collect();
        let places = if row.places == ALL {
            "everywhere".to_owned()
        } else {
            places.join(", ")
        };
        lines.push(format!(
            "| {} | {} | {places} |",
            keys.join(" "),
            row.sentence
        ));
    }
    lines.join("\n") + "\n"
}

use Press::{
    BackTab, Backspace, Char, Ctrl, Down, End, Enter, Esc, F, Home, Left, PageDown, PageUp, Right,
    Tab, Up,
};

/// Everywhere.
const ALL: &[Place] = Place::ALL;
/// Where no text is typed.
const CALM: &[Place] = &[
    Place::Board,
    Place::Dosing,
    Place::Reckoning,
    Place::DoseWrite,
    Place::Working,
    Place::Book,
    Place::Calendar,
    Place::Bottling,
    Place::Detail,
    Place::Entry,
    Place::Why,
    Place::Help,
    Place::Undo,
];
/// Where no text is typed, the spout with its wet hands among them.
const EASY: &[Place] = &[
    Place::Board,
    Place::Dosing,
    Place::Reckoning,
    Place::DoseWrite,
    Place::Working,
    Place::Book,
    Place::Calendar,
    Place::Bottling,
    Place::Detail,
    Place::Entry,
    Place::Why,
    Place::Help,
    Place::Undo,
    Place::Count,
];
/// Where a vessel is looked at, so that a letter opens a form for it.
const QUICK: &[Place] = &[Place::Board, Place::Book, Place::Detail, Place::Why];
/// Where reasons are looked at.
const REASONS: &[Place] = &[Place::Board, Place::Calendar, Place::Detail, Place::Why];
/// Where something is laid over a screen.
const LAID_OVER: &[Place] = &[
    Place::DoseWrite,
    Place::Working,
    Place::Detail,
    Place::Entry,
    Place::Why,
    Place::Help,
    Place::Palette,
    Place::Undo,
    Place::Form,
];
const FORM: &[Place] = &[Place::Form];
/// Where text is typed.
const TYPED: &[Place] = &[
    Place::Form,
    Place::Palette,
    Place::DosingLine,
    Place::BottlingText,
];
/// The dosing screen while nothing is typed.
const DOSING: &[Place] = &[Place::Dosing, Place::Reckoning];
const DOSE: &[Place] = &[Place::Dosing];
const LINE: &[Place] = &[Place::DosingLine];
const BOOK: &[Place] = &[Place::Book, Place::Entry];
const BOARD: &[Place] = &[Place::Board];
const CALENDAR: &[Place] = &[Place::Calendar];
const BOTTLING: &[Place] = &[Place::Bottling];
const BOTTLING_TEXT: &[Place] = &[Place::BottlingText];
const COUNT: &[Place] = &[Place::Count];

const fn row(
    id: Id,
    keys: &'static [Press],
    places: &'static [Place],
    name: &'static str,
    sentence: &'static str,
    group: Group,
) -> Command {
    Command {
        id,
        keys,
        places,
        name,
        sentence,
        group,
        foot: false,
    }
}

/// The same row, shown in the footer.
const fn foot(mut command: Command) -> Command {
    command.foot = true;
    command
}

const fn quick(
    verb: &'static str,
    keys: &'static [Press],
    name: &'static str,
    sentence: &'static str,
) -> Command {
    row(Id::Verb(verb), keys, QUICK, name, sentence, Group::Write)
}

const fn screen(place: Place, keys: &'static [Press], sentence: &'static str) -> Command {
    row(
        Id::Screen(place),
        keys,
        EASY,
        place.title(),
        sentence,
        Group::Always,
    )
}

/// Every command. In the footer they stand in this order.
#[rustfmt::skip]
pub static COMMANDS: &[Command] = &[
    foot(row(Id::Open, &[Enter], &[Place::Board], "open", "Opens the vessel, or does what the marked line asks for.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Book], "open", "Shows all of the entry.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Detail, Place::Why], "do it", "Opens the form that deals with it, filled in.", Group::Here)),
    foot(row(Id::Open, &[Enter], CALENDAR, "open", "Opens what is marked, or the list of the marked day.", Group::Here)),
    foot(row(Id::Agenda, &[Tab], CALENDAR, "agenda", "Shows all that falls due in order, or the month again.", Group::Here)),
    foot(row(Id::Today, &[Char('t')], CALENDAR, "today", "Goes to today.", Group::Move)),
    foot(row(Id::NextDay, &[Char('n')], CALENDAR, "next", "Goes to the next day with something on it.", Group::Move)),
    foot(row(Id::Open, &[Enter, Char(' ')], BOTTLING, "go on", "Goes on to the next step.", Group::Here)),
    foot(row(Id::Mend, &[Char('f')], BOTTLING, "put right", "Opens what would answer the marked question of the gate.", Group::Here)),
    foot(row(Id::Write, &[Enter], BOTTLING_TEXT, "go on", "Takes what is typed and goes on; at a choice or a number Space does too.", Group::Here)),
    foot(row(Id::Next, &[Tab, Down], BOTTLING_TEXT, "next", "Goes to the next field.", Group::Here)),
    row(Id::Previous, &[BackTab, Up], BOTTLING_TEXT, "previous", "Goes to the previous field.", Group::Here),
    foot(row(Id::Right, &[Right], BOTTLING_TEXT, "other", "Takes the next choice.", Group::Here)),
    row(Id::Left, &[Left], BOTTLING_TEXT, "the one before", "Takes the choice before.", Group::Here),
    foot(row(Id::More, &[Char(' ')], COUNT, "one more", "Counts one bottle more. A key held down counts once: presses less than 0.15 s after the last are not counted.", Group::Here)),
    foot(row(Id::Fewer, &[Backspace], COUNT, "one fewer", "Takes one bottle back.", Group::Here)),
    foot(row(Id::Open, &[Enter], COUNT, "finish", "Goes on to finishing; Esc comes back.", Group::Here)),
    foot(row(Id::Size, &[Char('s')], COUNT, "size", "Fills another size of bottle from now on.", Group::Here)),
    foot(row(Id::Spilled, &[Char('x')], COUNT, "spilled", "Writes down wine that was spilled.", Group::Here)),
    foot(row(Id::Broken, &[Char('b')], COUNT, "broken", "Writes down a full bottle that broke.", Group::Here)),
    foot(row(Id::RefusedCork, &[Char('c')], COUNT, "bad cork", "Writes down a closure that would not go in or hold.", Group::Here)),
    foot(row(Id::Number, &[Char('#'), Char('n')], COUNT, "many", "Counts many bottles at once, by typing their number.", Group::Here)),
    foot(row(Id::StepBack, &[Esc], &[Place::Calendar, Place::Bottling, Place::BottlingText, Place::Count], "back", "Steps back; what was begun stays as it is.", Group::Move)),
    foot(row(Id::Open, &[Enter], &[Place::Palette], "open", "Opens what is marked.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Undo], "undo it", "Voids the entry shown.", Group::Here)),
    foot(row(Id::Write, &[Enter], FORM, "write", "Writes it to the book, or goes to the field that is missing.", Group::Here)),
    foot(row(Id::Next, &[Tab, Down], FORM, "next", "Goes to the next field.", Group::Here)),
    row(Id::Previous, &[BackTab, Up], FORM, "previous", "Goes to the previous field.", Group::Here),
    row(Id::Take, &[Right], FORM, "complete", "Takes the completion shown, or the next choice.", Group::Here),
    row(Id::Empty, &[Ctrl('u')], TYPED, "empty", "Empties the field.", Group::Here),
    foot(row(Id::Write, &[Enter], DOSE, "write it down", "Shows what this dose would write to the book, to be confirmed.", Group::Here)),
    foot(row(Id::Half, &[Char('h')], DOSE, "half now", "Shows what half of this dose would write, with a test to follow.", Group::Here)),
    foot(row(Id::Change, &[Char('e')], DOSE, "change a line", "Types into the marked line; the answer changes with it.", Group::Here)),
    foot(row(Id::Change, &[Char('e'), Enter], &[Place::Reckoning], "change a line", "Types into the marked line; the answer changes with it.", Group::Here)),
    foot(row(Id::Working, &[Char('w')], DOSING, "working", "Shows how the answer came about, with its sources and cautions.", Group::Here)),
    row(Id::Thumb, &[Char('f')], DOSE, "rule of thumb", "Goes to the rule of thumb for a wine nothing was measured of, or back from it.", Group::Here),
    row(Id::Restore, &[Char('b')], DOSING, "from the book", "Puts back what the book says in the marked line.", Group::Here),
    foot(row(Id::Verb("measure"), &[Char('m')], DOSING, "measure", "Writes down what was measured.", Group::Write)),
    foot(row(Id::Right, &[Right], DOSING, "next vessel", "Goes to the next vessel.", Group::Here)),
    row(Id::Left, &[Left], DOSING, "vessel before", "Goes to the vessel before.", Group::Here),
    foot(row(Id::Done, &[Enter, Esc], LINE, "done", "Stops typing; what was typed stays.", Group::Here)),
    foot(row(Id::Next, &[Tab, Down], LINE, "next line", "Goes to the next line.", Group::Here)),
    row(Id::Previous, &[BackTab, Up], LINE, "line before", "Goes to the line before.", Group::Here),
    foot(row(Id::Take, &[Right], LINE, "next choice", "Takes the next choice, or goes one character on.", Group::Here)),
    foot(row(Id::Write, &[Enter], &[Place::DoseWrite], "write it", "Writes the dose shown to the book.", Group::Here)),
    foot(row(Id::Yes, &[Char('y')], &[Place::DoseWrite], "yes to what is asked", "Writes the dose, with yes to what is asked about it.", Group::Here)),
    foot(row(Id::Void, &[Char('v')], BOOK, "void", "Voids the marked entry, after showing what changes.", Group::Here)),
    foot(row(Id::Amend, &[Char('e')], BOOK, "amend", "Writes the marked entry anew.", Group::Here)),
    foot(row(Id::Back, &[Esc], LAID_OVER, "back", "Steps back.", Group::Move)),
    row(Id::Back, &[Esc], &[Place::Board, Place::Book, Place::Dosing, Place::Reckoning], "board", "Goes back to the board.", Group::Move),

    foot(quick("dose", &[Char('d')], "dose", "Works out a dose of sulfite.")),
    foot(quick("rack", &[Char('r')], "rack", "Racks off the sediment.")),
    foot(quick("measure", &[Char('m')], "measure", "Writes down what was measured.")),
    quick("add", &[Char('a')], "add", "Writes down what was put in."),
    foot(quick("taste", &[Char('t')], "taste", "Writes down what it tasted of.")),
    quick("top-up", &[Char('p')], "top up", "Tops up."),
    quick("draw", &[Char('s')], "sample", "Writes down a sample drawn."),
    foot(quick("bottle start", &[Char('b')], "bottle", "Bottles it.")),
    quick("buy", &[Char('B')], "bought", "Writes down a supply bought."),
    quick("jot", &[Char('J')], "jot", "Saves a line now; entries can be made of it later."),
    foot(row(Id::Why, &[Char('w')], &[Place::Board, Place::Calendar, Place::Detail], "why", "Shows why it needs you, with the working.", Group::Here)),
    row(Id::PutOff, &[Char('z')], REASONS, "put off", "Puts a reason off for some days.", Group::Here),
    row(Id::Dismiss, &[Char('x')], REASONS, "dismiss", "Dismisses a reason for good.", Group::Here),
    row(Id::Round, &[Char('R')], BOARD, "round", "Writes down a cellar round: airlocks, films and corks looked at.", Group::Write),

    row(Id::Up, &[Up, Char('k')], CALM, "up", "Moves up.", Group::Move),
    row(Id::Down, &[Down, Char('j')], CALM, "down", "Moves down.", Group::Move),
    row(Id::Left, &[Left, Char('h')], &[Place::Board, Place::Calendar], "left", "Moves left.", Group::Move),
    row(Id::Right, &[Right, Char('l')], &[Place::Board, Place::Calendar], "right", "Moves right.", Group::Move),
    row(Id::Up, &[Up], &[Place::Palette], "up", "Moves up.", Group::Move),
    row(Id::Down, &[Down], &[Place::Palette], "down", "Moves down.", Group::Move),
    row(Id::PageUp, &[PageUp], CALM, "page up", "Moves up a screenful.", Group::Move),
    row(Id::PageDown, &[PageDown], CALM, "page down", "Moves down a screenful.", Group::Move),
    row(Id::First, &[Home, Char('g')], CALM, "first", "Moves to the first.", Group::Move),
    row(Id::Last, &[End, Char('G')], CALM, "last", "Moves to the last.", Group::Move),

    screen(Place::Board, &[Char('1')], "Shows the board: every vessel, and what needs you."),
    screen(Place::Dosing, &[Char('2')], "Shows dosing: any calculator, for the marked vessel."),
    screen(Place::Book, &[Char('3')], "Shows the cellar book."),
    screen(Place::Calendar, &[Char('4')], "Shows the calendar: what falls due when, and what was done."),
    screen(Place::Bottling, &[Char('5')], "Shows the bottling under way, or begins one."),

    foot(row(Id::Undo, &[Char('u')], &[Place::Board, Place::Dosing, Place::Book, Place::Calendar, Place::Detail, Place::Entry, Place::Why], "undo", "Undoes what was written last, after showing what changes.", Group::Always)),
    foot(row(Id::Help, &[Char('?'), F(1)], EASY, "help", "Shows every key that works here.", Group::Always)),
    foot(row(Id::Help, &[F(1)], TYPED, "help", "Shows every key that works here.", Group::Always)),
    foot(row(Id::Palette, &[Char(':')], EASY, "anything", "Finds any command, verb or calculator by name.", Group::Always)),
    row(Id::Leave, &[Char('q'), Ctrl('c')], EASY, "leave", "Leaves; all that was written is on disk.", Group::Always),
    row(Id::Leave, &[Ctrl('c')], TYPED, "leave", "Leaves, asking first if something typed is not written yet.", Group::Always),
    row(Id::Suspend, &[Ctrl('z')], ALL, "suspend", "Gives the shell back for a moment.", Group::Always),
    row(Id::Redraw, &[Ctrl('l')], ALL, "redraw", "Draws the screen anew.", Group::Always),
];

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
