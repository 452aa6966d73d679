//! What closes a bottle, and the mouth it was made for.

use crate::cellar::thing::{Thing, field, words};

words! {
    /// What closes a bottle, jug, bag or keg.
    Closure {
        Cork "cork" "cork",
        TechnicalCork "technical-cork" "technical cork",
        SyntheticCork "synthetic-cork" "synthetic cork",
        ScrewCap "screw-cap" "screw cap",
        Crown26 "crown-26" "26 mm crown",
        Crown29 "crown-29" "29 mm crown",
        // As it was written before sizes were: which of the two is not known.
        CrownCap "crown-cap" "crown cap",
        Stopper "stopper" "stopper",
        SwingTop "swing-top" "swing top",
        Tap "tap" "tap",
        Lid "lid" "lid",
    }
}

impl Closure {
    /// Those of a bottle, the usual one first.
    pub const OF_BOTTLES: &'static [Closure] = &[
        Closure::Cork,
        Closure::ScrewCap,
        Closure::Crown26,
        Closure::Crown29,
        Closure::Stopper,
        Closure::SwingTop,
        Closure::SyntheticCork,
        Closure::TechnicalCork,
        Closure::CrownCap,
    ];

    /// That of a run, where it was said.
    pub fn of(run: &Thing) -> Option<Closure> {
        Closure::from_word(run.text(field::CLOSURE))
    }

    /// In words: `26 mm crown`; a word of no list as it is.
    pub fn said(word: &str) -> String {
        Closure::from_word(word).map_or_else(|| word.replace('-', " "), |it| it.label().to_owned())
    }

    /// Whether a corker drives it into the neck.
    pub const fn is_driven(self) -> bool {
        matches!(
            self,
            Closure::Cork | Closure::TechnicalCork | Closure::SyntheticCork
        )
    }

    /// The supply that a bottling counts for it: a swing top stays on its bottle and wants a gasket, bag
    /// and keg bring their own.
    pub const fn supply(self) -> Option<&'static str> {
        match self {
            Closure::SwingTop => Some("gasket"),
            Closure::Tap | Closure::Lid => None,
            _ => Some(self.word()),
        }
    }

    /// Whether each bottle uses one up.
    pub const fn is_used_up(self) -> bool {
        !matches!(self, Closure::SwingTop | Closure::Tap | Closure::Lid)
    }
}

words! {
    /// The mouth of a bottle, which decides what closes it.
    Finish {
        Cork "cork" "for corks",
        Crown26 "crown-26" "for 26 mm crowns",
        Crown29 "crown-29" "for 29 mm crowns",
        Screw "screw" "for screw caps",
        Swing "swing" "for a swing top with its gasket",
        Tap "tap" "for a tap",
    }
}

impl Finish {
    /// The mouth that a bottle closed by that has; `None` where it may be one of two.
    pub fn of_closure(closure: Closure) -> Option<Finish> {
        let mut fit = Finish::ALL.iter().filter(|it| it.takes(closure));
        let first = fit.next()?;
        fit.next().is_none().then_some(*first)
    }

    /// Whether that closure holds on it. A stopper of cork or plastic sits where a cork does. A crown
    /// whose size nobody said may be the right one.
    pub const fn takes(self, closure: Closure) -> bool {
        match self {
            Finish::Cork => closure.is_driven() || matches!(closure, Closure::Stopper),
            Finish::Crown26 => matches!(closure, Closure::Crown26 | Closure::CrownCap),
            Finish::Crown29 => matches!(closure, Closure::Crown29 | Closure::CrownCap),
            Finish::Screw => matches!(closure, Closure::ScrewCap),
            Finish::Swing => matches!(closure, Closure::SwingTop),
            Finish::Tap => matches!(closure, Closure::Tap),
        }
    }

    /// What to close it with.
    pub const fn wants(self) -> &'static str {
        match self {
            Finish::Cork => "corks or stoppers",
            Finish::Crown26 => "26 mm crowns",
            Finish::Crown29 => "29 mm crowns",
            Finish::Screw => "screw caps, with the machine for that thread",
            Finish::Swing => "their swing tops, with sound gaskets",
            Finish::Tap => "their taps",
        }
    }

    /// That of a lot of bottles, where it was said.
    pub fn of(lot: &Thing) -> Option<Finish> {
        Finish::from_word(lot.text(field::FINISH))
    }
}
