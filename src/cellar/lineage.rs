//! Where a named part or a blend comes from.

use super::amount::Volume;
use super::entry::Draft;
use super::fold::Flow;
use super::makeup;
use super::state::Share;
use super::thing::{Account, Key};

/// The batches that went into a batch when wine took its name, and how much of each: what a blend
/// was made of, what a part was split from. Nothing for a batch that came in as must. `entries`
/// are living entries with what their movements came to.
pub fn parents<'a>(
    batch: Key,
    entries: impl IntoIterator<Item = (&'a Draft, &'a [Flow])>,
) -> Vec<Share> {
    let mut parents = Vec::new();
    for (draft, flows) in entries {
        let named = draft
            .movements
            .iter()
            .filter(|it| it.batch == Some(batch) && Account::from_key(it.from).is_none());
        for movement in named {
            // A movement of nothing leaves no flow, and two of one entry never share both ends.
            let flow = flows
                .iter()
                .find(|it| (it.from, it.to) == (movement.from, movement.to));
            let of_others = flow
                .map_or(&[][..], |it| &it.makeup)
                .iter()
                .filter(|it| it.batch != Some(batch));
            makeup::join(&mut parents, &of_others.copied().collect::<Vec<Share>>());
        }
    }
    parents.sort_by_key(|it: &Share| (std::cmp::Reverse(it.volume), it.batch));
    parents.retain(|it| it.volume > Volume::ZERO);
    parents
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::entry::{Amount, Kind, Movement};
    use crate::cellar::moment::Moment;

    #[test]
    fn a_blend_names_what_it_was_made_of_the_larger_part_first() {
        let (jug, carboy, blend, plum, regent) = (Key(101), Key(102), Key(103), Key(104), Key(105));
        let mut draft = Draft::new(
            Kind::Blend,
            Moment {
                utc_ms: 0,
                offset_min: 0,
            },
        );
        let part = |from, litres| Movement {
            from,
            to: carboy,
            amount: Amount::Exactly(Volume::litres(litres)),
            about: false,
            batch: Some(blend),
        };
        draft.movements = vec![part(carboy, 3.0), part(jug, 1.0)];
        let flow = |from, litres, batch| {
            let volume = Volume::litres(litres);
            Flow {
                from,
                to: carboy,
                volume,
                makeup: vec![Share {
                    batch: Some(batch),
                    volume,
                }],
            }
        };
        let flows = [flow(carboy, 3.0, regent), flow(jug, 1.0, plum)];
        let parents = parents(blend, [(&draft, &flows[..])]);
        let found: Vec<(Option<Key>, f64)> = parents
            .iter()
            .map(|it| (it.batch, it.volume.in_litres()))
            .collect();
        assert_eq!(found, [(Some(regent), 3.0), (Some(plum), 1.0)]);
    }
}
