//! The table itself, and the sets of places that its rows hold in.

use super::{Command, Group, Id, Place, Press};
use Press::{
    BackTab, Backspace, Char, Ctrl, Down, End, Enter, Esc, F, Home, Left, PageDown, PageUp, Right,
    Tab, Up,
};

/// Everywhere.
const ALL: &[Place] = Place::ALL;
/// Where no text is typed.
pub(super) const CALM: &[Place] = &[
    Place::Board,
    Place::Dosing,
    Place::Reckoning,
    Place::DoseWrite,
    Place::Working,
    Place::Book,
    Place::Calendar,
    Place::Bottling,
    Place::Gate,
    Place::Bottles,
    Place::Stock,
    Place::Tasting,
    Place::Detail,
    Place::Charts,
    Place::Plan,
    Place::Entry,
    Place::Why,
    Place::TroubleText,
    Place::Thresholds,
    Place::PutOff,
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
    Place::Gate,
    Place::Bottles,
    Place::Stock,
    Place::Tasting,
    Place::Detail,
    Place::Charts,
    Place::WhatIf,
    Place::Plan,
    Place::Entry,
    Place::Why,
    Place::TroubleText,
    Place::Thresholds,
    Place::PutOff,
    Place::Help,
    Place::Undo,
    Place::Count,
];
/// Where a vessel is looked at, so that a letter opens a form for it.
const QUICK: &[Place] = &[Place::Board, Place::Book, Place::Detail, Place::Why];
/// Where reasons are looked at.
const REASONS: &[Place] = &[
    Place::Board,
    Place::Calendar,
    Place::Detail,
    Place::Why,
    Place::Stock,
    Place::Tasting,
];
/// Where something to be done is looked at, so that what would come of it can be seen first.
const WHAT_IF: &[Place] = &[
    Place::Board,
    Place::Calendar,
    Place::Detail,
    Place::Why,
    Place::Dosing,
];
/// Where something is laid over a screen.
const LAID_OVER: &[Place] = &[
    Place::DoseWrite,
    Place::Working,
    Place::Detail,
    Place::Charts,
    Place::WhatIf,
    Place::Plan,
    Place::Entry,
    Place::Why,
    Place::TroubleText,
    Place::Thresholds,
    Place::PutOff,
    Place::Help,
    Place::Palette,
    Place::Trouble,
    Place::Undo,
    Place::Form,
];
/// Where something may be found wrong with a wine.
const WINES: &[Place] = &[
    Place::Board,
    Place::Book,
    Place::Detail,
    Place::Why,
    Place::Bottles,
];
const TROUBLE_TEXT: &[Place] = &[Place::TroubleText];
const FORM: &[Place] = &[Place::Form];
/// Where text is typed.
const TYPED: &[Place] = &[
    Place::Form,
    Place::Palette,
    Place::Trouble,
    Place::DosingLine,
    Place::BottlingText,
    Place::Finding,
];
/// The dosing screen while nothing is typed.
const DOSING: &[Place] = &[Place::Dosing, Place::Reckoning];
const DOSE: &[Place] = &[Place::Dosing];
const LINE: &[Place] = &[Place::DosingLine];
const BOOK: &[Place] = &[Place::Book, Place::Entry];
const BOARD: &[Place] = &[Place::Board];
const CALENDAR: &[Place] = &[Place::Calendar];
const BOTTLING: &[Place] = &[Place::Bottling, Place::Gate];
const GATE: &[Place] = &[Place::Gate];
const BOTTLING_TEXT: &[Place] = &[Place::BottlingText];
const COUNT: &[Place] = &[Place::Count];
const BOTTLES: &[Place] = &[Place::Bottles];
const STOCK: &[Place] = &[Place::Stock];
const TASTING: &[Place] = &[Place::Tasting];
const FINDING: &[Place] = &[Place::Finding];

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
    foot(row(Id::Details, &[Char('o')], &[Place::Board], "details", "Shows the marked vessel: its readings, what was done, its notes.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Book], "open", "Shows all of the entry.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Detail, Place::Why], "do it", "Opens the form that deals with it, filled in.", Group::Here)),
    foot(row(Id::Charts, &[Char('f')], &[Place::Detail], "forecast", "Draws free SO2, gravity and scores: as found, and as they are expected to go on.", Group::Here)),
    foot(row(Id::Right, &[Right], &[Place::Charts], "next chart", "Shows the next chart.", Group::Here)),
    foot(row(Id::Left, &[Left], &[Place::Charts], "chart before", "Shows the chart before.", Group::Here)),
    foot(row(Id::Right, &[Right], &[Place::WhatIf], "later", "Supposes that a week more goes by.", Group::Here)),
    foot(row(Id::Left, &[Left], &[Place::WhatIf], "sooner", "Supposes that a week less goes by.", Group::Here)),
    foot(row(Id::Up, &[Up], &[Place::WhatIf], "warmer", "Supposes that the cellar is kept a degree warmer.", Group::Here)),
    foot(row(Id::Down, &[Down], &[Place::WhatIf], "colder", "Supposes that the cellar is kept a degree colder.", Group::Here)),
    row(Id::First, &[Home], &[Place::WhatIf], "as it is", "Supposes no waiting and no other temperature.", Group::Here),
    foot(row(Id::Open, &[Enter], CALENDAR, "open", "Opens what is marked, or the list of the marked day.", Group::Here)),
    foot(row(Id::Agenda, &[Tab], CALENDAR, "agenda", "Shows all that falls due in order, or the month again.", Group::Here)),
    foot(row(Id::Years, &[Char('y')], CALENDAR, "years", "Shows the years of every wine, from must to drunk up, or the month again.", Group::Here)),
    foot(row(Id::Today, &[Char('t')], CALENDAR, "today", "Goes to today.", Group::Move)),
    foot(row(Id::NextDay, &[Char('n')], CALENDAR, "next", "Goes to the next day with something on it.", Group::Move)),
    foot(row(Id::Open, &[Enter, Char(' ')], BOTTLING, "go on", "Goes on to the next step.", Group::Here)),
    foot(row(Id::Plan, &[Char('p')], BOTTLING, "plan", "Shows what bottling it takes, and what of that is short; nothing is written.", Group::Here)),
    row(Id::Plan, &[Ctrl('p')], BOTTLING_TEXT, "plan", "Shows what bottling it so takes, and what of that is short; nothing is written.", Group::Here),
    foot(row(Id::Mend, &[Char('f')], GATE, "put right", "Opens what would answer the marked question.", Group::Here)),
    foot(row(Id::Right, &[Right], GATE, "later", "Asks the questions of a bottling a week later.", Group::Here)),
    row(Id::Left, &[Left], GATE, "sooner", "Asks the questions of a bottling a week sooner.", Group::Here),
    foot(row(Id::Write, &[Enter], BOTTLING_TEXT, "go on", "Takes what is typed and goes on; at a choice or a number Space does too.", Group::Here)),
    row(Id::Next, &[Tab, Down], BOTTLING_TEXT, "next", "Goes to the next field.", Group::Here),
    row(Id::Previous, &[BackTab, Up], BOTTLING_TEXT, "previous", "Goes to the previous field.", Group::Here),
    row(Id::Right, &[Right], BOTTLING_TEXT, "other", "Takes the next choice.", Group::Here),
    row(Id::Left, &[Left], BOTTLING_TEXT, "the one before", "Takes the choice before.", Group::Here),
    foot(row(Id::More, &[Char(' ')], COUNT, "+1", "Counts one bottle more. A key held down counts once: what comes less than 0.19 s after the last press is a repeat.", Group::Here)),
    foot(row(Id::Fewer, &[Backspace], COUNT, "-1", "Takes one bottle back.", Group::Here)),
    foot(row(Id::Open, &[Enter], COUNT, "done", "Goes on to finishing; Esc comes back.", Group::Here)),
    foot(row(Id::Size, &[Char('s')], COUNT, "size", "Fills another size of bottle from now on.", Group::Here)),
    foot(row(Id::Spilled, &[Char('x')], COUNT, "spill", "Writes down wine that was spilled.", Group::Here)),
    row(Id::Drawn, &[Char('d')], COUNT, "drawn", "Writes down a glass drawn to taste.", Group::Here),
    foot(row(Id::Broken, &[Char('b')], COUNT, "broke", "Writes down a full bottle that broke.", Group::Here)),
    foot(row(Id::RefusedCork, &[Char('c')], COUNT, "bad cork", "Writes down closures that would not go in or hold, or takes one back.", Group::Here)),
    row(Id::CorksSit, &[Char('k')], COUNT, "corks sit", "Says that two corks were looked at and sit well, before the rest are driven in.", Group::Here),
    foot(row(Id::Number, &[Char('#'), Char('n')], COUNT, "many", "Counts many bottles at once, by typing their number.", Group::Here)),
    foot(row(Id::Across, &[Tab], BOTTLES, "switch", "Goes from the runs to the racks, or back.", Group::Here)),
    foot(row(Id::Verb("open"), &[Char('o')], BOTTLES, "drink", "Opens a bottle, and takes how it tastes.", Group::Write)),
    foot(row(Id::Verb("give"), &[Char('v')], BOTTLES, "give", "Gives bottles away.", Group::Write)),
    foot(row(Id::Verb("shift"), &[Char('m')], BOTTLES, "move", "Moves bottles to another rack, slot or shelf.", Group::Write)),
    foot(row(Id::Verb("reserve"), &[Char('r')], BOTTLES, "keep", "Keeps bottles for someone or something.", Group::Write)),
    foot(row(Id::Verb("lay-down"), &[Char('d')], BOTTLES, "lay down", "Lays standing bottles down.", Group::Write)),
    foot(row(Id::Find, &[Char('/')], BOTTLES, "find", "Finds by name, mark, year, size, place, closure, colour, shape, or whom they are kept for.", Group::Here)),
    foot(row(Id::Open, &[Enter], BOTTLES, "details", "Shows all of the run, or of the run in the slot.", Group::Here)),
    row(Id::Verb("break"), &[Char('b')], BOTTLES, "broke", "Writes down a bottle that broke.", Group::Write),
    row(Id::Verb("release"), &[Char('f')], BOTTLES, "free", "Lets bottles that were kept be drunk after all.", Group::Write),
    row(Id::Verb("taste"), &[Char('t')], BOTTLES, "taste", "Writes down what it tasted of.", Group::Write),
    row(Id::Verb("back"), &[Char('B')], BOTTLES, "back", "Writes down bottles that came back, empty or full.", Group::Write),
    row(Id::Verb("unbottle"), &[Char('p')], BOTTLES, "pour back", "Pours bottles back into a vessel.", Group::Write),
    row(Id::Verb("bottles describe"), &[Char('i')], BOTTLES, "looks", "Writes down what the bottles look like, so that one can be told.", Group::Write),
    row(Id::Verb("shelves add"), &[Char('n')], BOTTLES, "new rack", "Writes down a new rack, bins or a case.", Group::Write),
    row(Id::Verb("shelves change"), &[Char('e')], BOTTLES, "change rack", "Gives the marked rack another name, shape, or largest bottle.", Group::Write),
    foot(row(Id::Verb("blind taste"), &[Char('a')], TASTING, "by letter", "Writes down how a wine of the blind tasting tastes.", Group::Write)),
    foot(row(Id::Verb("blind reveal"), &[Char('r')], TASTING, "reveal", "Ends the blind tasting and says which was which.", Group::Write)),
    foot(row(Id::Verb("taste"), &[Char('t')], TASTING, "taste", "Writes down what it tasted of.", Group::Write)),
    foot(row(Id::Across, &[Tab], TASTING, "compare", "Keeps the marked wine beside the next one marked, or lets it go.", Group::Here)),
    foot(row(Id::Open, &[Enter], TASTING, "details", "Shows all of the wine where it is now.", Group::Here)),
    foot(row(Id::Verb("blind start"), &[Char('b')], TASTING, "blind", "Begins a blind tasting.", Group::Write)),
    foot(row(Id::Open, &[Enter], STOCK, "count", "Writes down what is left of the marked supply.", Group::Here)),
    foot(row(Id::Charts, &[Char('f')], STOCK, "forecast", "Draws what was left of the marked supply as it was used, and how long it will last.", Group::Here)),
    foot(row(Id::ToBuy, &[Tab], STOCK, "to buy", "Shows what is to be bought for the work ahead, or what there is.", Group::Here)),
    foot(row(Id::Verb("buy"), &[Char('B')], STOCK, "buy", "Writes down a supply bought.", Group::Write)),
    foot(row(Id::Verb("empties add"), &[Char('n')], STOCK, "empties", "Writes down empty bottles.", Group::Write)),
    row(Id::Verb("empties wash"), &[Char('e')], STOCK, "washed", "Writes down empty bottles washed, soaked or sanitised.", Group::Write),
    row(Id::Verb("empties out"), &[Char('b')], STOCK, "broken", "Puts empty bottles out of use: broken, chipped, given away.", Group::Write),
    foot(row(Id::Done, &[Enter, Esc], FINDING, "done", "Stops typing; what was sought stays, and Esc once more forgets it.", Group::Here)),
    foot(row(Id::StepBack, &[Esc], &[Place::Bottles, Place::Stock, Place::Tasting, Place::Calendar, Place::Bottling, Place::Gate, Place::BottlingText, Place::Count], "back", "Steps back; what was begun stays as it is.", Group::Move)),
    foot(row(Id::Open, &[Enter], &[Place::Palette], "open", "Opens what is marked.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Trouble], "read", "Shows how to know the marked fault, and what to do.", Group::Here)),
    foot(row(Id::Mark, &[Char('m')], TROUBLE_TEXT, "mark it", "Marks the wine with this fault in the book, and shows its bottles and whom to tell.", Group::Write)),
    foot(row(Id::Over, &[Char('o')], TROUBLE_TEXT, "over", "Writes down that it is over.", Group::Write)),
    foot(row(Id::Open, &[Enter], TROUBLE_TEXT, "do it", "Opens the form of the marked answer, filled in.", Group::Here)),
    foot(row(Id::Right, &[Right, Tab], TROUBLE_TEXT, "next answer", "Goes to the next answer.", Group::Here)),
    row(Id::Left, &[Left, BackTab], TROUBLE_TEXT, "answer before", "Goes to the answer before.", Group::Here),
    foot(row(Id::Open, &[Enter], &[Place::Undo], "undo it", "Voids the entry shown.", Group::Here)),
    foot(row(Id::Write, &[Enter], FORM, "write", "Writes it to the book, or goes to the field that is missing.", Group::Here)),
    foot(row(Id::Next, &[Tab, Down], FORM, "next", "Goes to the next field.", Group::Here)),
    row(Id::Previous, &[BackTab, Up], FORM, "previous", "Goes to the previous field.", Group::Here),
    row(Id::Take, &[Right], FORM, "complete", "Takes the completion shown, or the next choice.", Group::Here),
    row(Id::Empty, &[Ctrl('u')], TYPED, "empty", "Empties the field.", Group::Here),
    foot(row(Id::Write, &[Enter], DOSE, "write it down", "Shows what this dose would write to the book, to be confirmed.", Group::Here)),
    foot(row(Id::Half, &[Char('h')], DOSE, "half/all", "Goes from half of the dose, with a test to follow, to all of it at once, or back.", Group::Here)),
    foot(row(Id::Change, &[Char('e')], DOSE, "change a line", "Types into the marked line; the answer changes with it.", Group::Here)),
    foot(row(Id::Change, &[Char('e'), Enter], &[Place::Reckoning], "change a line", "Types into the marked line; the answer changes with it.", Group::Here)),
    foot(row(Id::Working, &[Char('w')], DOSING, "working", "Shows how the answer came about, with its sources and cautions.", Group::Here)),
    foot(row(Id::AllLines, &[Char('a')], DOSING, "all lines", "Shows every line that the answer hangs on, or only those that matter.", Group::Here)),
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
    foot(row(Id::Why, &[Char('w')], &[Place::Board, Place::Bottles, Place::Calendar, Place::Detail, Place::Stock], "why", "Shows why it needs you or when to drink it, with the working.", Group::Here)),
    foot(row(Id::Back, &[Esc], LAID_OVER, "back", "Steps back.", Group::Move)),
    row(Id::Back, &[Esc], &[Place::Board, Place::Book, Place::Dosing, Place::Reckoning], "board", "Goes back to the board.", Group::Move),

    row(Id::Trouble, &[Char('!')], WINES, "trouble", "Says what may be wrong by what is seen, smelled or tasted, and what to do.", Group::Here),
    foot(quick("dose", &[Char('d')], "dose", "Works out a dose of sulfite.")),
    foot(quick("rack", &[Char('r')], "rack", "Racks off the sediment.")),
    foot(quick("measure", &[Char('m')], "measure", "Writes down what was measured.")),
    quick("add", &[Char('a')], "add", "Writes down what was put in."),
    foot(quick("taste", &[Char('t')], "taste", "Writes down what it tasted of.")),
    quick("top-up", &[Char('p')], "top up", "Tops up."),
    quick("draw", &[Char('s')], "sample", "Writes down a sample drawn."),
    foot(quick("bottle start", &[Char('b')], "bottle", "Bottles it.")),
    quick("receive", &[Char('i')], "receive", "Writes down must, juice, fruit or bought wine coming in."),
    row(Id::Verb("here"), &[Char('H')], BOARD, "here", "Writes down what is in the cellar already; a name is enough.", Group::Write),
    row(Id::Verb("vessel add"), &[Char('n')], BOARD, "new vessel", "Writes down a new vessel.", Group::Write),
    quick("buy", &[Char('B')], "buy", "Writes down a supply bought."),
    quick("jot", &[Char('J')], "jot", "Saves a line now; entries can be made of it later."),
    foot(row(Id::WhatIf, &[Char('v')], WHAT_IF, "what if", "Shows what it would make of the forecast, with waiting and another temperature; nothing is written.", Group::Here)),
    row(Id::Thresholds, &[Char('T')], &[Place::Board, Place::Calendar, Place::Detail], "thresholds", "Shows the thresholds of the marked reason, or all, each with its why.", Group::Here),
    foot(row(Id::Thresholds, &[Char('T')], &[Place::Why], "thresholds", "Shows the thresholds behind the marked reason, each with its why and source.", Group::Here)),
    foot(row(Id::Thresholds, &[Char('T')], &[Place::Thresholds], "all", "Shows all thresholds.", Group::Here)),
    foot(row(Id::Open, &[Enter], &[Place::Thresholds], "set", "Opens the settings with the marked threshold, where it is yours to set.", Group::Here)),
    row(Id::PutOff, &[Char('z')], REASONS, "put off", "Puts a reason off for some days.", Group::Here),
    row(Id::Dismiss, &[Char('x')], REASONS, "dismiss", "Dismisses a reason for good, and asks why.", Group::Here),
    row(Id::PutOffs, &[Char('Z')], REASONS, "put off already", "Lists what was put off or dismissed, until when and why; each can be taken back.", Group::Here),
    foot(row(Id::Open, &[Enter], &[Place::PutOff], "take back", "Takes back that it was put off or dismissed, after showing what changes.", Group::Here)),
    row(Id::Round, &[Char('R')], BOARD, "round", "Writes down a cellar round: airlocks, films and corks looked at.", Group::Write),

    row(Id::Up, &[Up, Char('k')], CALM, "up", "Moves up.", Group::Move),
    row(Id::Down, &[Down, Char('j')], CALM, "down", "Moves down.", Group::Move),
    row(Id::Left, &[Left, Char('h')], &[Place::Board, Place::Calendar, Place::Bottles], "left", "Moves left.", Group::Move),
    row(Id::Right, &[Right, Char('l')], &[Place::Board, Place::Calendar, Place::Bottles], "right", "Moves right.", Group::Move),
    row(Id::Up, &[Up], &[Place::Palette, Place::Trouble], "up", "Moves up.", Group::Move),
    row(Id::Down, &[Down], &[Place::Palette, Place::Trouble], "down", "Moves down.", Group::Move),
    row(Id::PageUp, &[PageUp], CALM, "page up", "Moves up a screenful.", Group::Move),
    row(Id::PageDown, &[PageDown], CALM, "page down", "Moves down a screenful.", Group::Move),
    row(Id::First, &[Home, Char('g')], CALM, "first", "Moves to the first.", Group::Move),
    row(Id::Last, &[End, Char('G')], CALM, "last", "Moves to the last.", Group::Move),

    screen(Place::Board, &[Char('1')], "Shows the board: every vessel, and what needs you."),
    screen(Place::Dosing, &[Char('2')], "Shows dosing: any calculator, for the marked vessel."),
    screen(Place::Book, &[Char('3')], "Shows the cellar book."),
    screen(Place::Calendar, &[Char('4')], "Shows the calendar: what falls due when, and what was done."),
    row(Id::Screen(Place::Calendar), &[Char('c')], CALM, "calendar", "Shows the calendar.", Group::Always),
    screen(Place::Bottling, &[Char('5')], "Shows the bottling under way, or begins one."),
    screen(Place::Bottles, &[Char('6')], "Shows the bottles: the racks as they are, and what there is of each run."),
    screen(Place::Tasting, &[Char('7')], "Shows what was tasted, wine by wine, and compares two."),
    screen(Place::Stock, &[Char('8')], "Shows the supplies: what is left, what the work ahead takes, what to buy."),

    foot(row(Id::Undo, &[Char('u')], &[Place::Board, Place::Bottles, Place::Stock, Place::Tasting, Place::Dosing, Place::Book, Place::Calendar, Place::Detail, Place::Entry, Place::Why, Place::TroubleText], "undo", "Undoes what was written last, after showing what changes.", Group::Always)),
    foot(row(Id::Help, &[Char('?'), F(1)], EASY, "help", "Shows every key that works here.", Group::Always)),
    foot(row(Id::Help, &[F(1)], TYPED, "help", "Shows every key that works here.", Group::Always)),
    foot(row(Id::Palette, &[Char(':')], EASY, "anything", "Finds any command, verb or calculator by name.", Group::Always)),
    row(Id::Leave, &[Char('q'), Ctrl('c')], EASY, "leave", "Leaves; all that was written is on disk.", Group::Always),
    row(Id::Leave, &[Ctrl('c')], TYPED, "leave", "Leaves, asking first if something typed is not written yet.", Group::Always),
    row(Id::Suspend, &[Ctrl('z')], ALL, "suspend", "Gives the shell back for a moment.", Group::Always),
    row(Id::Redraw, &[Ctrl('l')], ALL, "redraw", "Draws the screen anew.", Group::Always),
];
