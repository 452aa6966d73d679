//! The attribute of a thing that a field of a verb sets.

use crate::cellar::thing::field;
use crate::cellar::verbs::Verb;

/// Which attribute a field sets.
pub(super) fn attribute(verb: &Verb, key: &str) -> Option<&'static str> {
    let of_batch = verb.name.starts_with("batch");
    let of_run = verb.name.starts_with("bottle");
    Some(match key {
        "name" => field::NAME,
        "kind" => field::KIND,
        "source" if of_batch => field::KIND,
        "mark" if of_run => field::RUN_MARK,
        "mark" => field::MARK,
        "lees" if of_run => field::LEES,
        "brim" => field::BRIM,
        "material" => field::MATERIAL,
        "neck" => field::NECK,
        "closure" | "bottle-closure" => field::CLOSURE,
        "room" => field::ROOM,
        "wine" => field::WINE,
        "malo" => field::MALO,
        "aim" => field::AIM,
        "vintage" => field::VINTAGE,
        "size" if verb.name == "bottle size" => field::FILL_SIZE,
        "size" => field::SIZE,
        "since" => field::SINCE_WORDS,
        "strength" => field::STRENGTH,
        "tablet-so2" => field::TABLET_SO2,
        "best-before" => field::BEST_BEFORE,
        "currency" => field::CURRENCY,
        "makers-lot" => field::MAKERS_LOT,
        "count" if verb.name == "empties out" => field::OUT_LAST,
        "because" if verb.name == "empties out" => field::OUT_BECAUSE,
        "because" => field::COUNTED_BECAUSE,
        "opened" => field::OPENED,
        "step" => field::STEPS,
        "zone" => field::ZONE,
        "gallon" => field::GALLON,
        "measures" => field::MEASURES,
        "scale" => field::SCALE,
        "syringe" => field::SYRINGE,
        "hydrometer" => field::HYDROMETER,
        "temperature" => field::TEMPERATURE,
        "so2-test" => field::SO2_TEST,
        "package" if verb.name.starts_with("empties") => field::SUBSTANCE,
        "package" => field::PACKAGE,
        "rating" => field::RATING,
        "pressure" => field::PRESSURE,
        "finish" => field::FINISH,
        "colour" => field::COLOUR,
        "shape" => field::SHAPE,
        "columns" => field::COLUMNS,
        "largest" => field::LARGEST,
        "holds" if verb.name.starts_with("shelves") => field::ROOM_FOR,
        _ => return None,
    })
}
