//! Journeys on a real cellar file, in memory: what keys write is in the book, and the screen says
//! so only once it is.

use super::{COLOR, draw, keys, picture};
use crate::cellar::amount::Volume;
use crate::cellar::attention::ReasonKind;
use crate::cellar::entry::{Kind, Property};
use crate::cellar::moment::{Moment, Zone};
use crate::cellar::thing::Sort;
use crate::cellar::verbs::{self, Form};
use crate::store::{Clock, Filter, Store};
use crate::tui::commands::Place;
use crate::tui::effect;
use crate::tui::message::Message;
use crate::tui::press::Press;
use crate::tui::state::State;
use crate::tui::update::update;

/// 25 Nov 2026, 18:00 in the cellar.
const NOW: Moment = Moment {
    utc_ms: 1_795_626_000_000,
    offset_min: 60,
};

/// The program on a file, without a terminal.
struct Program {
    store: Store,
    state: State,
}

impl Program {
    /// On a cellar that those verbs wrote.
    fn after(lines: &[(&str, &[(&str, &str)])]) -> Program {
        let mut store = Store::in_memory().unwrap();
        let zone = [("zone", "+01:00"), ("at", "2026-01-01")];
        for (verb, fields) in [("settings", &zone[..])].iter().chain(lines) {
            let form = Form::of(fields.iter().copied());
            let said = verbs::when(&form, NOW, Zone::Fixed(60)).unwrap();
            let then = store.snapshot(said.moment).unwrap();
            let verb = verbs::find(verb).unwrap();
            let prepared = verbs::prepare(verb, &form, &then, &said).unwrap();
            let clock = Clock { now_ms: NOW.utc_ms };
            store.append(&prepared.draft, clock).unwrap();
        }
        let state = State::new(NOW);
        let mut program = Program { store, state };
        program.take(Message::Started);
        program
    }

    fn take(&mut self, message: Message) {
        let mut waiting = vec![message];
        while let Some(message) = waiting.pop() {
            for effect in update(&mut self.state, message, NOW) {
                let reply = effect::perform(effect, &mut self.store, NOW);
                waiting.extend(reply.map(Message::Reply));
            }
        }
    }

    fn press(&mut self, words: &str) {
        for press in keys(words) {
            self.take(Message::Press(press));
        }
    }

    fn type_in(&mut self, text: &str) {
        for c in text.chars() {
            self.take(Message::Press(Press::Char(c)));
        }
    }

    #[track_caller]
    fn shows(&self, words: &str) {
        let drawn = picture(&draw(&self.state, COLOR, 100, 30));
        assert!(drawn.contains(words), "no `{words}` in\n{drawn}");
    }

    /// Kinds of the living entries, newest first.
    fn kinds(&self) -> Vec<Kind> {
        let living = Filter {
            living: true,
            ..Filter::default()
        };
        let entries = self.store.entries(&living).unwrap();
        entries.iter().map(|it| it.entry.draft.kind).collect()
    }

    fn number(&self, vessel: &str, property: Property) -> Option<f64> {
        let cellar = self.store.snapshot(NOW).unwrap();
        let key = cellar.find(Sort::Vessel, vessel).unwrap().key;
        cellar.wine(key)?.number(property)
    }
}

fn with_riesling() -> Program {
    Program::after(&[
        (
            "vessel add",
            &[("name", "Carboy A"), ("brim", "23 L"), ("at", "2026-09-01")],
        ),
        (
            "vessel add",
            &[("name", "Carboy B"), ("brim", "23 L"), ("at", "2026-09-01")],
        ),
        (
            "receive",
            &[
                ("into", "Carboy A"),
                ("amount", "22 L"),
                ("batch", "Riesling"),
                ("at", "2026-09-02"),
            ],
        ),
        (
            "measure",
            &[("place", "Carboy A"), ("ph", "3.3"), ("at", "2026-09-03")],
        ),
    ])
}

#[test]
fn a_quick_form_writes_to_the_file() {
    let mut program = with_riesling();
    program.press("m");
    program.shows("Carboy A");
    program.type_in("0.994");
    program.press("Enter");
    assert_eq!(program.state.place(), Place::Board);
    assert_eq!(program.number("Carboy A", Property::Gravity), Some(0.994));
    program.shows("√ Measured Carboy A: gravity 0.994.");
}

#[test]
fn what_is_written_up_later_is_judged_by_the_cellar_of_that_day() {
    let mut program = with_riesling();
    program.press("m");
    program.type_in("1.080");
    program.press("Up Up Up Up");
    program.type_in("2026-09-01");
    program.shows("empty by the book");
    program.press("Enter");
    assert_eq!(program.state.place(), Place::Form);
    assert_eq!(program.number("Carboy A", Property::Gravity), None);
}

/// A key that writes does not wait for screens that nobody looks at.
#[test]
fn a_screen_that_is_not_shown_hears_of_a_change_as_it_is_shown() {
    let mut program = with_riesling();
    program.press("4 1 R Enter");
    let mut screens = program.state.screens.iter();
    let calendar = screens
        .position(|it| it.screen() == Place::Calendar)
        .unwrap();
    assert!(program.state.behind.contains(&calendar));
    program.press("4");
    assert!(!program.state.behind.contains(&calendar));
    program.shows("Made the cellar round.");
}

#[test]
fn undo_takes_back_what_was_written_last() {
    let mut program = with_riesling();
    program.press("u");
    program.shows("Carboy A: pH 3.30 becomes not known.");
    program.press("Enter");
    assert_eq!(program.number("Carboy A", Property::Ph), None);
    program.shows("Undone");
}

#[test]
fn an_empty_book_has_nothing_to_undo_but_its_settings() {
    let mut program = Program::after(&[]);
    program.press("u Enter u");
    assert_eq!(program.state.place(), Place::Board);
    program.shows("There is nothing in the book to undo.");
}

#[test]
fn the_book_amends_an_entry_as_it_was() {
    let mut program = with_riesling();
    program.press("3 e");
    program.shows("2026-09-03 12:00:00");
    program.press("Tab Tab Tab");
    program.shows("▌ pH");
    program.take(Message::Press(Press::Ctrl('u')));
    program.type_in("3.41");
    program.press("Enter");
    program.shows("Carboy A: pH 3.30 becomes 3.41.");
    assert_eq!(program.number("Carboy A", Property::Ph), Some(3.3));
    program.press("Enter");
    assert_eq!(program.number("Carboy A", Property::Ph), Some(3.41));
    assert_eq!(
        program
            .kinds()
            .iter()
            .filter(|it| **it == Kind::Measure)
            .count(),
        1
    );
    assert_eq!(program.state.place(), Place::Book);
    program.shows("voided: Measured Carboy A: pH 3.30.");
}

#[test]
fn amending_where_the_wine_came_from_is_judged_without_the_entry_itself() {
    let mut program = with_riesling();
    program.press("3 j e");
    program.shows("22 L");
    program.press("Tab");
    program.take(Message::Press(Press::Ctrl('u')));
    program.type_in("21 L");
    program.press("Enter");
    program.shows("Carboy A: 22.0 L becomes 21.0 L.");
    program.press("Enter");
    let cellar = program.store.snapshot(NOW).unwrap();
    let key = cellar.find(Sort::Vessel, "Carboy A").unwrap().key;
    assert_eq!(cellar.wine(key).unwrap().volume, Volume::litres(21.0));
}

#[test]
fn what_others_point_at_says_so_instead_of_being_voided() {
    let mut program = with_riesling();
    let before = program.kinds();
    program.press("3 j j j v Enter");
    assert_eq!(program.state.place(), Place::Undo);
    assert_eq!(program.kinds(), before);
    program.shows("Carboy A");
    program.press("Esc");
    assert_eq!(program.state.place(), Place::Book);
}

#[test]
fn over_the_brim_is_refused_in_the_form_and_the_form_stays() {
    let mut program = with_riesling();
    program.press("p");
    program.press("Tab");
    program.type_in("bought-wine");
    program.press("Tab");
    program.type_in("4 L");
    program.press("Enter Enter");
    assert_eq!(program.state.place(), Place::Form);
    program.shows("! ");
    program.shows("4 L");
    assert!(!program.kinds().contains(&Kind::TopUp));
}

#[test]
fn a_jot_is_made_into_an_entry_that_points_back_at_it() {
    let mut program = with_riesling();
    program.press("J");
    program.type_in("riesling was 0.995 on sunday");
    program.press("Enter");
    // The jot is a reason on the board now; whatever is written while it is marked comes from it.
    for _ in 0..5 {
        let marked = program.state.top().reason(program.state.facts());
        if marked.is_some_and(|it| it.kind == ReasonKind::Jot) {
            break;
        }
        program.press("j");
    }
    program.press("m");
    program.shows("riesling was 0.995 on sunday");
    program.type_in("Carboy A");
    program.press("Tab");
    program.type_in("0.995");
    program.press("Enter");
    assert_eq!(program.number("Carboy A", Property::Gravity), Some(0.995));
    assert!(program.store.snapshot(NOW).unwrap().jots.is_empty());
}

#[test]
fn a_reason_put_off_leaves_the_board() {
    let mut program = with_riesling();
    let first = program.state.facts().reasons[0].clone();
    program.press("z");
    // Until when is said before it is written and after.
    program.shows("until 2 Dec 2026.");
    program.press("Enter");
    program.shows("until 2 Dec 2026.");
    assert!(!program.state.facts().reasons.contains(&first));
    assert_eq!(program.kinds()[0], Kind::Snooze);
}

#[test]
fn the_thresholds_of_a_reason_are_shown_and_one_is_set() {
    let mut program = with_riesling();
    for _ in 0..8 {
        let marked = program.state.top().reason(program.state.facts());
        if marked.is_some_and(|it| it.kind == ReasonKind::Round) {
            break;
        }
        program.press("j");
    }
    program.press("w");
    program.press("T");
    program.shows("Thresholds: the cellar round");
    program.shows("7 d: Airlocks, film and corks are looked at every week");
    program.shows("round days: common practice; Enter sets it, 1 to 31.");
    program.press("Enter");
    program.shows("round days=7");
    program.press("Backspace");
    program.type_in("5");
    program.press("Enter");
    assert!((program.state.facts().policy.round_days - 5.0).abs() < 1e-9);
    program.shows("5 d, yours; usually 7: Airlocks");
    // Asked again it shows all, and what is not a person's to set says so.
    program.press("T");
    program.press("j");
    program.press("Enter");
    program.shows("guards the wine or its maker");
}

#[test]
fn a_reason_dismissed_asks_why_and_is_taken_back_from_the_list() {
    let mut program = with_riesling();
    let first = program.state.facts().reasons[0].clone();
    program.press("x");
    // Without a why nothing is written.
    program.press("Enter");
    program.shows("Why? Say it in the note");
    program.type_in("kept for cooking");
    program.press("Enter");
    assert!(!program.state.facts().reasons.contains(&first));
    assert_eq!(program.kinds()[0], Kind::Dismiss);
    program.press("Z");
    program.shows("Because: kept for cooking");
    program.press("Enter");
    program.press("Enter");
    assert!(program.state.facts().reasons.contains(&first));
}

#[test]
fn what_is_wrong_is_found_marked_lifted_and_undone_by_keys() {
    let mut program = with_riesling();
    program.press("!");
    program.shows("What is wrong with Carboy A");
    program.type_in("smells of eggs");
    program.shows("rotten egg");
    program.press("Enter");
    program.shows("Never copper by guess");
    program.press("m");
    program.shows("! Marked on 25 Nov 2026");
    program.shows("By the book Riesling is nowhere else");
    assert_eq!(program.kinds()[0], Kind::Trouble);
    // A second press is no second mark.
    program.press("m");
    program.shows("is marked with rotten egg since");
    // The reason on the board leads back to the text, and not straight to its end.
    program.press("Esc Esc");
    program.shows("marked with rotten egg");
    program.press("Enter");
    program.shows("! Marked on 25 Nov 2026");
    program.press("Right Left Enter");
    assert_eq!(program.state.place(), Place::Form);
    program.press("Esc o");
    assert_eq!(program.kinds()[0], Kind::TroubleOver);
    program.press("u Enter");
    assert_eq!(program.kinds()[0], Kind::Trouble);
    program.shows("! Marked on 25 Nov 2026");
    program.press("u Enter");
    assert!(!program.kinds().contains(&Kind::Trouble));
}

#[test]
fn from_bottles_their_friends_are_named() {
    let mut program = Program::after(&[
        (
            "here",
            &[("name", "Plum"), ("bottles", "12"), ("at", "2026-09-01")],
        ),
        (
            "give",
            &[
                ("run", "Plum"),
                ("count", "2"),
                ("to", "Ines"),
                ("at", "2026-10-01"),
            ],
        ),
    ]);
    program.press("6 !");
    program.shows("What is wrong with Plum");
    program.type_in("fizz");
    program.press("Enter m");
    program.shows("Tell Ines: 2 bottles of Plum given");
    program.shows("10 bottles (here)");
    program.shows("pour bottles back into a vessel");
}

#[test]
fn an_empty_cellar_says_how_to_begin() {
    let mut program = Program::after(&[]);
    program.shows("Nothing is written down yet.");
    program.press("H");
    program.type_in("Carboy A");
    program.press("Tab");
    program.type_in("Plum 25");
    program.press("Enter");
    program.shows("Took over Carboy A with an unknown amount of Plum 25.");
    let cellar = program.store.snapshot(NOW).unwrap();
    assert!(cellar.find(Sort::Vessel, "Carboy A").is_ok());
}

/// A rack of 25 and 28 bottles that stand.
fn with_a_rack() -> Program {
    let here = [
        ("name", "Plum"),
        ("bottles", "28"),
        ("bottle-closure", "screw-cap"),
        ("where", "table"),
    ];
    let shelves = [("name", "Stair rack"), ("rows", "5"), ("columns", "5")];
    Program::after(&[("shelves add", &shelves), ("here", &here)])
}

/// Twenty-eight do not fit the rack; that is said, and Tab moves all the same.
#[test]
fn tab_moves_on_from_a_field_that_does_not_fit_the_others_yet() {
    let mut program = with_a_rack();
    program.press("6 d");
    program.type_in("Stair rack");
    program.shows("Stair rack has room for 25 bottles, not 28");
    program.press("Tab");
    program.shows("Stair rack has room for 25 bottles, not 28");
    program.type_in("25");
    program.shows("Lay down 25 of Plum in Stair rack");
    program.press("Enter");
    assert_eq!(program.kinds().first(), Some(&Kind::LayDown));
}

#[test]
fn a_place_that_is_called_nearly_as_a_rack_is_asked_about() {
    let mut program = with_a_rack();
    program.press("6 d");
    program.type_in("Stair rack25");
    program.press("Enter");
    program.shows("No rack is called `Stair rack25`; is it Stair rack?");
    assert_eq!(program.kinds().first(), Some(&Kind::Here));
    program.press("Enter");
    assert_eq!(program.kinds().first(), Some(&Kind::LayDown));
}

/// Which September is meant is for the person to see, before it is written.
#[test]
fn a_date_is_shown_as_it_was_understood() {
    let mut program = with_riesling();
    program.press("m");
    program.type_in("1.080");
    program.press("Up Up Up Up");
    let small = |program: &Program| picture(&draw(&program.state, COLOR, 60, 16));
    for (typed, day) in [
        ("2026-09-12", "12 Sep 2026"),
        ("12 Sep", "12 Sep 2026"),
        ("last September", "about 15 Sep 2026"),
    ] {
        program.press("C-u");
        program.type_in(typed);
        program.shows(&format!("Dated {day}."));
        let drawn = small(&program);
        assert!(drawn.contains(&format!("Dated {day}.")), "{drawn}");
    }
    program.press("C-u");
    program.type_in("1 Dec");
    program.shows("1 Dec 2025");
    program.press("C-u");
    assert!(!small(&program).contains("Dated"));
}

#[test]
fn the_book_amends_a_bottling_and_keeps_its_count() {
    let start = [
        ("from", "Carboy A"),
        ("filled", "10"),
        ("overrule", "a trial"),
        ("mark", "ri"),
        ("at", "2026-11-01"),
    ];
    let finish = [("run", "Riesling"), ("at", "2026-11-02")];
    let mut program = with_riesling();
    for (name, fields) in [("bottle start", &start[..]), ("bottle finish", &finish[..])] {
        let form = Form::of(fields.iter().copied());
        let said = verbs::when(&form, NOW, Zone::Fixed(60)).unwrap();
        let then = program.store.snapshot(said.moment).unwrap();
        let prepared = verbs::prepare(verbs::find(name).unwrap(), &form, &then, &said).unwrap();
        let clock = Clock { now_ms: NOW.utc_ms };
        program.store.append(&prepared.draft, clock).unwrap();
    }
    program.take(Message::Stale);
    let kept = |program: &Program| {
        let cellar = program.store.snapshot(NOW).unwrap();
        let run = cellar.find(Sort::Run, "Riesling").unwrap().key;
        assert_eq!(program.store.check().unwrap(), [""; 0]);
        cellar.wine(run).unwrap().bottle_count()
    };
    // Nothing but who did it.
    program.press("3 j e");
    program.press(&"Tab ".repeat(15));
    program.type_in("AB");
    program.press("Enter");
    program.shows("Nothing else changes.");
    program.press("Enter");
    assert_eq!(kept(&program), 10);
    program.press("u");
    program.shows("holds again");
    program.press("Enter");
    assert_eq!(kept(&program), 10);
}

/// 0.8 g × 576.3 / 22.9 L are 20.1 mg/L of SO2, of which two thirds stay free: 13 after five days, which no test has seen.
#[test]
fn the_board_says_of_free_so2_that_it_is_presumed() {
    let mut steps = vec![
        (
            "vessel add",
            vec![("name", "Carboy A"), ("brim", "23 L"), ("at", "2026-06-01")],
        ),
        (
            "receive",
            vec![
                ("into", "Carboy A"),
                ("amount", "22.9 L"),
                ("batch", "Riesling"),
                ("gravity", "1.080"),
                ("at", "2026-06-02"),
            ],
        ),
        ("pitch", vec![("place", "Carboy A"), ("at", "2026-06-03")]),
    ];
    for day in ["2026-07-10", "2026-07-20", "2026-07-30"] {
        let of = [("place", "Carboy A"), ("gravity", "0.994")];
        steps.push(("measure", [&of[..], &[("ph", "3.3"), ("at", day)]].concat()));
    }
    let given = [("place", "Carboy A"), ("substance", "sulfite")];
    let dose = [("amount", "0.8 g"), ("at", "2026-11-20")];
    steps.push(("add", [&given[..], &dose[..]].concat()));
    let steps: Vec<(&str, &[(&str, &str)])> =
        steps.iter().map(|it| (it.0, it.1.as_slice())).collect();
    let program = Program::after(&steps);
    for (width, height) in [(80, 24), (100, 30), (160, 50)] {
        let drawn = picture(&draw(&program.state, COLOR, width, height));
        assert!(drawn.contains("presumed ~13"), "{width}×{height}\n{drawn}");
    }
}
