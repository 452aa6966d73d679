//! What was done to a wine.

use serde::{Deserialize, Serialize};

/// Things done to wine that later questions ask about. Kept with the wine as it moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Deed {
    /// The must was received, or the wine first written down.
    Begun,
    /// This vessel was filled from empty.
    Filled,
    /// Yeast was pitched.
    Pitched,
    /// Nutrient was last given.
    Fed,
    /// The wine last left its sediment.
    Racked,
    /// It left its sediment the time before that.
    RackedBefore,
    /// The cap of its skins was last pushed under.
    PunchedDown,
    /// The wine was pressed off its skins.
    Pressed,
    /// Malolactic bacteria were added.
    MaloStarted,
    /// Malolactic conversion was found finished.
    MaloFinished,
    /// Sulfite was last added.
    Sulfited,
    /// Sorbate was added.
    Sorbated,
    /// Sorbate went in by an amount of which nobody knows the weight: a packet.
    SorbateUnweighed,
    /// Filtered sterile.
    SterileFiltered,
    /// Gas was last driven out.
    Degassed,
    /// Gas was last found in it.
    GasFound,
    /// Last fined.
    Fined,
    /// Fined with the first of two parts, and the second has not gone in.
    HalfFined,
    /// Last topped up.
    ToppedUp,
    /// Last tasted.
    Tasted,
    /// Oak went in, and has not come out.
    Oaked,
    /// Filled into bottles.
    Bottled,
    /// Laid down.
    LaidDown,
    /// A bottle was last opened.
    Opened,
    /// The last bottle went.
    UsedUp,
    /// Two wines met here in parts that matter.
    Blended,
    /// Sugar went in after the ferment.
    Sweetened,
    /// Sugar was last added for the yeast to ferment, or nobody said that it should not.
    Sugared,
    /// It was wine before the book knew it: what went in until then is not written down.
    BeforeBook,
    /// Sulfite last went in by an amount of which nobody knows the SO2: a packet, a tablet.
    Unweighed,
    /// The same, since free SO2 was last measured.
    UnweighedUntested,
    /// How much there is was last found.
    LevelRead,
}
