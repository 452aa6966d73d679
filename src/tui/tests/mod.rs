//! Whole screens: every one at every size, and a few held as pictures.

mod bottles;
mod bottling;
mod calendar;
mod cellar;
mod dosing;
mod footer;
mod journeys;
mod on_file;
mod stock;
mod tasting;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use super::commands::{Id, Place};
use super::message::{Call, Effect, Facts, Message, Reply};
use super::press::Press;
use super::state::State;
use super::theme::Theme;
use super::update::update;
use super::view;
use crate::cellar::attention::ReasonKind;
use crate::cellar::trouble::FOLLOWED;

const COLOR: Theme = Theme {
    color: true,
    ascii: false,
};
const MONO: Theme = Theme {
    color: false,
    ascii: false,
};
const ASCII: Theme = Theme {
    color: false,
    ascii: true,
};

/// The program with those facts, after those keys. Effects are answered as an unwilling store would.
fn after(facts: Facts, presses: &[Press]) -> State {
    let now = facts.cellar.now;
    let mut state = State::new(now);
    update(
        &mut state,
        Message::Reply(Reply::Loaded(Box::new(facts))),
        now,
    );
    pressed(state, presses)
}

/// The same after more keys.
fn pressed(mut state: State, presses: &[Press]) -> State {
    let now = state.facts().cellar.now;
    for press in presses {
        let effects = update(&mut state, Message::Press(*press), now);
        answer(&mut state, effects);
    }
    state
}

/// Presses keys and gives what was asked for last.
fn press(state: &mut State, words: &str) -> Vec<Effect> {
    let mut asked = Vec::new();
    for press in keys(words) {
        asked = update(state, Message::Press(press), cellar::NOW);
    }
    asked
}

fn type_in(state: &mut State, text: &str) {
    for c in text.chars() {
        update(state, Message::Press(Press::Char(c)), cellar::NOW);
    }
}

/// The screen on a wide terminal.
fn shown(state: &State) -> String {
    picture(&draw(state, COLOR, 120, 40))
}

/// After those keys the screen of the hand-made cellar shows that.
fn check(words: &str, expected: &str) {
    let state = after(cellar::facts(), &keys(words));
    let drawn = shown(&state);
    assert!(
        drawn.contains(expected),
        "{expected} after {words}\n{drawn}"
    );
}

/// Answers what was asked from the test's own book.
fn answer(state: &mut State, effects: Vec<Effect>) {
    let now = state.facts().cellar.now;
    for effect in effects {
        let reply = match effect {
            Effect::ReadBook { about, limit } => {
                let mut entries = cellar::entries();
                entries.retain(|it| about.is_none_or(|key| it.entry.draft.places().contains(&key)));
                Reply::Book {
                    about,
                    limit,
                    entries,
                }
            }
            Effect::ReadDays { from_ms, until_ms } => {
                let mut entries = cellar::entries();
                entries.retain(|it| (from_ms..=until_ms).contains(&it.entry.draft.when.utc_ms));
                Reply::Days { from_ms, entries }
            }
            Effect::ReadFollowed => {
                let mut entries = cellar::entries();
                entries.retain(|it| FOLLOWED.contains(&it.entry.draft.kind));
                Reply::Followed(entries)
            }
            Effect::LookBack { then, .. } => {
                let mut past = state.facts().cellar.clone();
                past.now = then;
                Reply::Past(Box::new(past))
            }
            Effect::ReadTastings => Reply::Tastings(cellar::tastings()),
            Effect::ReadTastingWords => Reply::TastingWords(
                cellar::tastings()
                    .into_iter()
                    .map(|it| it.tasting.words)
                    .collect(),
            ),
            Effect::PreviewVoid(_) => Reply::Preview(Box::new(cellar::preview())),
            _ => continue,
        };
        let more = update(state, Message::Reply(reply), now);
        answer(state, more);
    }
}

fn keys(words: &str) -> Vec<Press> {
    let press = |word: &str| match word {
        "Enter" => Press::Enter,
        "Esc" => Press::Esc,
        "Tab" => Press::Tab,
        "Right" => Press::Right,
        "Left" => Press::Left,
        "Up" => Press::Up,
        "Down" => Press::Down,
        "Space" => Press::Char(' '),
        "F1" => Press::F(1),
        "PageUp" => Press::PageUp,
        "PageDown" => Press::PageDown,
        "Backspace" => Press::Backspace,
        "C-c" => Press::Ctrl('c'),
        "C-p" => Press::Ctrl('p'),
        "C-u" => Press::Ctrl('u'),
        word => Press::Char(word.chars().next().unwrap()),
    };
    words.split_whitespace().map(press).collect()
}

fn draw(state: &State, theme: Theme, width: u16, height: u16) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buffer = Buffer::empty(area);
    view::draw(state, theme, area, &mut buffer);
    buffer
}

/// Each row, and below it how its cells are styled where they are: a letter for the colour (capital
/// when bold), `B` bold, `d` dim, `R` reversed.
fn picture(buffer: &Buffer) -> String {
    let mut lines = Vec::new();
    for y in 0..buffer.area.height {
        let mut row = String::new();
        let mut styles = String::new();
        let mut covered = 0;
        for x in 0..buffer.area.width {
            let cell = &buffer[(x, y)];
            styles.push(style_of(cell.fg, cell.modifier));
            if covered > 0 {
                covered -= 1;
                continue;
            }
            covered = super::widgets::text::width(cell.symbol()).saturating_sub(1);
            row.push_str(cell.symbol());
        }
        lines.push(row.trim_end().to_owned());
        if !styles.trim().is_empty() {
            lines.push(styles.trim_end().to_owned());
        }
    }
    lines.join("\n")
}

fn style_of(color: Color, modifier: Modifier) -> char {
    let bold = modifier.contains(Modifier::BOLD);
    let letter = match color {
        Color::Red => 'r',
        Color::LightRed => 'l',
        Color::Green => 'g',
        Color::Yellow => 'y',
        Color::LightYellow => 'z',
        Color::Blue => 'b',
        Color::Magenta => 'm',
        Color::Cyan => 'c',
        Color::LightMagenta => 'n',
        _ if modifier.contains(Modifier::REVERSED) => return 'R',
        _ if bold => return 'B',
        Color::DarkGray => return 'd',
        _ if modifier.contains(Modifier::DIM) => return 'd',
        _ => return ' ',
    };
    if bold {
        letter.to_ascii_uppercase()
    } else {
        letter
    }
}

fn check_picture(name: &str, state: &State, theme: Theme, (width, height): (u16, u16)) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        let drawn = picture(&draw(state, theme, width, height));
        insta::assert_snapshot!(format!("{name}-{width}x{height}"), drawn);
    });
}

/// The states that every test of drawing goes through.
fn states() -> Vec<(&'static str, State)> {
    let of = |words: &str| after(cellar::facts(), &keys(words));
    let mut form = of("");
    let call = Call {
        about: Some(cellar::DEMIJOHN),
        ..Call::default()
    };
    form.layers
        .push(Box::new(cellar::form(&call, form.facts())));
    vec![
        ("opening", State::new(cellar::NOW)),
        ("empty", after(cellar::empty(), &[])),
        ("board", of("")),
        ("board, marked below", of("j j j j l")),
        ("hostile", after(cellar::hostile(), &[])),
        (
            "hostile, marked below",
            after(cellar::hostile(), &keys("j j j j j j Enter")),
        ),
        ("tasting", of("7")),
        ("tasting, compared", of("7 Tab j")),
        ("stock", of("8")),
        ("stock, to buy", of("8 Tab")),
        ("hostile, stock", after(cellar::hostile(), &keys("8 G"))),
        ("book", of("3")),
        ("entry", of("3 j Enter")),
        ("detail", of("j j j j Enter")),
        ("charts", of("j j j j Enter f")),
        ("what if", of("j j j j v Right Up")),
        ("what if, a dose", of("2 v")),
        ("years", of("4 y j")),
        ("years, far on", of("4 y PageDown PageDown PageDown")),
        ("why", of("w")),
        ("help", of("?")),
        ("palette", of(": r a")),
        ("trouble, sought", of("! h a z e")),
        ("trouble, told to its end", of("! f i z z Enter G Right")),
        ("undo", of("u")),
        ("form", form),
        ("calendar", of("4")),
        ("calendar, in a day", of("4 Enter")),
        ("agenda", of("4 Tab")),
        ("hostile, calendar", after(cellar::hostile(), &keys("4"))),
        (
            "hostile, bottling",
            after(cellar::hostile(), &keys("5 Down Down Enter")),
        ),
        ("bottling", of("5")),
        ("gate", of("5 Enter")),
        ("overruling", of("5 Enter Enter a Enter")),
        ("wet", bottling::Session::wet().state),
        ("count", bottling::Session::at_spout().state),
        (
            "typed count",
            bottling::Session::at_spout().press("#").state_of(),
        ),
        (
            "finish",
            bottling::Session::at_spout()
                .press("Space Enter")
                .state_of(),
        ),
        ("sum", bottling::Session::at_sum().state),
    ]
    .into_iter()
    .chain(dosing::states())
    .chain(bottles::states())
    .collect()
}

/// Every screen at every size, in colour and in ASCII by turns. Screens are shared out among threads,
/// each of which makes its own once: there are some 370,000 drawings.
#[test]
fn draws_at_every_size() {
    let draw_all = |name: &str, state: &State| {
        for (width, height) in (0..=130).flat_map(|it| (0..=45).map(move |other| (it, other))) {
            let theme = if (width + height) % 2 == 0 {
                COLOR
            } else {
                ASCII
            };
            assert_eq!(
                draw(state, theme, width, height).area.height,
                height,
                "{name}"
            );
        }
    };
    let next = std::sync::atomic::AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                let all = states();
                let mine = || all.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed));
                while let Some((name, state)) = mine() {
                    draw_all(name, state);
                }
            });
        }
    });
}

#[test]
fn ascii_is_ascii() {
    for (name, state) in states() {
        if name.starts_with("hostile") {
            continue;
        }
        for (width, height) in [(120, 40), (80, 24), (60, 16)] {
            let drawn = draw(&state, ASCII, width, height);
            let foreign: Vec<&str> = drawn
                .content
                .iter()
                .map(ratatui::buffer::Cell::symbol)
                .filter(|it| !it.is_ascii())
                .collect();
            assert!(foreign.is_empty(), "{name} {width}x{height}: {foreign:?}");
        }
    }
}

#[test]
fn without_colour_nothing_is_coloured_and_the_mark_is_still_seen() {
    for (name, state) in states() {
        let drawn = draw(&state, MONO, 120, 40);
        assert!(
            drawn
                .content
                .iter()
                .all(|it| it.fg == Color::Reset && it.bg == Color::Reset),
            "{name}"
        );
    }
    let drawn = draw(&after(cellar::facts(), &[]), MONO, 80, 24);
    assert!(
        drawn
            .content
            .iter()
            .any(|it| it.symbol() == super::theme::MARK)
    );
}

#[test]
fn every_screen_says_how_to_get_help() {
    for (name, state) in states() {
        let drawn = picture(&draw(&state, COLOR, 80, 24));
        let has_help = super::commands::at(state.place()).any(|it| it.id == Id::Help);
        assert!(
            has_help
                && (drawn.contains("help")
                    || state.place() == Place::Form
                    || state.place() == Place::Palette
                    || state.place() == Place::Trouble),
            "{name}\n{drawn}"
        );
    }
}

#[test]
fn what_is_wrong_in_pictures() {
    let list = after(cellar::facts(), &keys("! h a z e"));
    let told = after(cellar::facts(), &keys("! e g g Enter"));
    let mut marked = cellar::facts();
    let wine = marked.cellar.states.get_mut(&cellar::DEMIJOHN).unwrap();
    if let crate::cellar::state::State::Wine(wine) = std::sync::Arc::make_mut(wine) {
        wine.troubles.insert("mould".to_owned(), cellar::NOW.utc_ms);
    }
    let marked = after(
        Facts::of(marked.cellar, marked.policy, None),
        &keys("! Enter"),
    );
    check_picture("trouble", &list, COLOR, (80, 24));
    check_picture("trouble-told", &told, COLOR, (120, 40));
    check_picture("trouble-told", &told, COLOR, (60, 16));
    check_picture("trouble-marked-mono", &marked, MONO, (60, 16));
}

#[test]
fn the_board_in_pictures() {
    let state = after(cellar::facts(), &[]);
    check_picture("board", &state, COLOR, (120, 40));
    check_picture("board", &state, COLOR, (80, 24));
    check_picture("board", &state, COLOR, (60, 16));
    check_picture("board-mono", &state, MONO, (80, 24));
    check_picture("board-ascii", &state, ASCII, (120, 40));
    check_picture(
        "board-hostile",
        &after(cellar::hostile(), &[]),
        COLOR,
        (80, 24),
    );
}

/// How long something is overdue is never cut to another time, nor run into what is before it.
#[test]
fn on_the_board_what_is_overdue_is_told_in_full() {
    let mut facts = cellar::facts();
    for (at, reason) in facts.reasons.iter_mut().enumerate() {
        reason.kind = ReasonKind::Lees;
        reason.due = cellar::NOW.plus_days(-710 - at as i64);
        reason.sentence = "6 months on gross lees: back in a clean vessel soon".to_owned();
    }
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let state = after(facts, &[]);
    for (width, height) in [(80, 24), (120, 40)] {
        let drawn = picture(&draw(&state, COLOR, width, height));
        let rows = drawn.lines().filter(|it| it.contains(" overdue"));
        let mut told = 0;
        for row in rows {
            assert!(row.contains(" 23 months overdue"), "{row}");
            told += 1;
        }
        assert!(told > 1, "{drawn}");
    }
}

#[test]
fn other_screens_in_pictures() {
    for (name, state) in states() {
        if [
            "book", "entry", "detail", "charts", "what if", "why", "help", "palette", "undo",
            "form",
        ]
        .contains(&name)
        {
            check_picture(name, &state, COLOR, (80, 24));
        }
        if ["detail", "charts", "form"].contains(&name) {
            check_picture(name, &state, COLOR, (120, 40));
            check_picture(name, &state, COLOR, (60, 16));
        }
    }
}
