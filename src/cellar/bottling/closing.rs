//! What to mind of what closes a bottle, said while it is gathered and again at the filler.

use super::Closure;

/// Sentences for that closure. Corks are used dry or rinsed briefly, since boiling makes them brittle; a
/// corker, a crowner or a capping machine is tried before it is trusted (all common practice).
pub(super) fn closing(closure: Closure, corker: &str) -> String {
    match closure {
        Closure::Cork | Closure::TechnicalCork | Closure::SyntheticCork => {
            format!("Corks dry, or rinsed briefly, never boiled; set {corker}, and look at two before the rest.")
        }
        Closure::Crown26 | Closure::Crown29 => format!(
            "{}s only on necks of that size, with the crowner's bell for it; a crown that can be turned by hand does not seal.",
            closure.label()
        ),
        Closure::CrownCap => "Crowns of 26 mm and of 29 mm do not fit each other's necks: try one; a crown that can be turned \
                              by hand does not seal."
            .to_owned(),
        Closure::ScrewCap => "Screw caps only on necks with their thread, put on by the machine for it: a cap turned on by hand \
                              is good for weeks, not for years."
            .to_owned(),
        Closure::SwingTop => "Look at each gasket: supple, clean and without cracks, or a new one; sanitise it with the bottle."
            .to_owned(),
        Closure::Stopper => "Stoppers are pushed in by hand and pulled again: for wine to be drunk soon, and kept standing.".to_owned(),
        Closure::Tap => "Squeeze the air out of the bag before the tap is pressed on.".to_owned(),
        Closure::Lid => "Look at the seals of lid and posts, and try the relief valve, before the keg is filled.".to_owned(),
    }
}
