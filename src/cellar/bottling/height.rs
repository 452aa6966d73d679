//! How high a bottle is filled: by what closes it, since wine that warms needs air to grow into.

use super::{Closure, corks};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Thing;

/// Air under a cork at 20 °C, mm: two cork makers ask for at least so much.
const UNDER_CORK_MM: i64 = 15;

/// Air under a screw cap, mm: the Australian institute asks for more than that. Crowns, swing tops and lids
/// are given as much (common practice).
const UNDER_CAP_MM: i64 = 30;

/// Lengths of the usual corks, mm.
const USUAL_MM: [i64; 2] = [38, 45];

/// How high a bottle, jug, bag or keg is filled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Height {
    /// From the lip down to the wine at 20 °C, mm, where that is known.
    pub below_lip_mm: Option<i64>,
    /// In a sentence, with where it comes from.
    pub sentence: String,
}

impl Height {
    /// For that closure; with the length of the cork where it is known.
    pub(super) fn of(closure: Closure, cork_mm: Option<i64>) -> Height {
        let under_cork = |cork_mm: i64| cork_mm + UNDER_CORK_MM;
        let below_lip_mm = match closure {
            _ if closure.is_driven() => cork_mm.map(under_cork),
            Closure::Stopper | Closure::Tap | Closure::Lid => None,
            _ => Some(UNDER_CAP_MM),
        };
        let warm = "Colder wine is filled some millimetres lower.";
        let sentence = match (closure, below_lip_mm) {
            (_, Some(lip)) if closure.is_driven() => format!(
                "Fill to {lip} mm below the lip at 20 °C: {UNDER_CORK_MM} mm of air under a cork of {} mm (cork makers). {warm}",
                lip - UNDER_CORK_MM
            ),
            _ if closure.is_driven() => {
                let [short, long] = USUAL_MM;
                format!(
                    "Fill so that {UNDER_CORK_MM} mm of air stays under the cork at 20 °C (cork makers): {} mm below the lip for a cork of {short} mm, {} mm for one of {long} mm. {warm}",
                    under_cork(short),
                    under_cork(long)
                )
            }
            (Closure::ScrewCap, Some(lip)) => format!(
                "Fill to {lip} mm below the lip at 20 °C, no higher (Australian Wine Research Institute). {warm}"
            ),
            (Closure::Stopper, _) => format!(
                "Fill so that {UNDER_CORK_MM} mm of air stays under the stopper at 20 °C (as under corks; common practice). {warm}"
            ),
            (Closure::Tap, _) => "Fill to what the bag is made for, no more (common practice).".to_owned(),
            (Closure::Lid, _) => {
                "Fill to two or three centimetres below the short gas tube, no higher (common practice).".to_owned()
            }
            _ => format!("Fill to {UNDER_CAP_MM} mm below the lip at 20 °C (common practice). {warm}"),
        };
        Height {
            below_lip_mm,
            sentence,
        }
    }
}

/// How high the bottles of a run are filled.
pub fn height_of(run: &Thing, cellar: &Snapshot) -> Option<Height> {
    let closure = Closure::of(run)?;
    let cork_mm = corks::first(closure, cellar).map(|it| it.length_mm);
    Some(Height::of(closure, cork_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 38 + 15, 45 + 15 and 49 + 15 mm. Bottles are stamped 55, 63 and 67 mm for these corks, two or three
    /// more, and the Cork Quality Council has 64 mm at 20 °C.
    #[test]
    fn a_cork_leaves_fifteen_millimetres_of_air_and_a_cap_thirty() {
        let check = |closure, cork_mm, expected: Option<i64>, words: &str| {
            let height = Height::of(closure, cork_mm);
            assert_eq!(height.below_lip_mm, expected, "{closure:?}");
            assert!(height.sentence.contains(words), "{}", height.sentence);
        };
        check(Closure::Cork, Some(38), Some(53), "53 mm below the lip");
        check(
            Closure::TechnicalCork,
            Some(45),
            Some(60),
            "60 mm below the lip",
        );
        check(
            Closure::SyntheticCork,
            Some(49),
            Some(64),
            "a cork of 49 mm",
        );
        check(
            Closure::Cork,
            None,
            None,
            "53 mm below the lip for a cork of 38 mm",
        );
        check(Closure::ScrewCap, None, Some(30), "30 mm below the lip");
        check(Closure::Crown26, None, Some(30), "common practice");
        check(Closure::SwingTop, None, Some(30), "common practice");
        check(
            Closure::Stopper,
            None,
            None,
            "15 mm of air stays under the stopper",
        );
        check(Closure::Lid, None, None, "below the short gas tube");
    }
}
