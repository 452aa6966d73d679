//! `shelves list`: the racks, and what room is left in them.

use serde_json::{Value, json as value};

use crate::cellar::racks::{Racks, Stowed, stowed};
use crate::cellar::thing::{Key, Thing, field};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::{LISTS, Own, Said, lists};

pub(super) static SHELVES: Own = Own {
    name: "shelves list",
    sentence: "List the racks, bins and cases, with what room is left in them.",
    heading: LISTS,
    arguments: lists::nothing,
    run: |session, _| {
        let opened = session.open()?;
        let cellar = &opened.cellar;
        let racks = Racks::of(&cellar.things);
        let all = stowed(&racks, cellar.lots());
        let none = Stowed::default();
        let there = |key: Key| all.get(&key).unwrap_or(&none);
        if session.json {
            let racks = racks.iter().map(|it| {
                let there = there(it.key);
                let slots = there.slots.iter().flat_map(|(slot, held)| {
                    held.iter().map(|held| {
                        value!({
                            "slot": slot.to_string(),
                            "run": json::reference(held.run, cellar),
                            "size_ml": held.lot.size_ml,
                            "count": held.lot.count,
                            "reserved": held.lot.reserved,
                        })
                    })
                });
                let slots: Vec<Value> = slots.collect();
                value!({
                    "uid": cellar.thing(it.key).map(|it| it.uid.to_string()),
                    "name": it.name,
                    "kind": it.kind.word(),
                    "columns": it.columns,
                    "each_holds_count": it.holds,
                    "room": cellar.thing(it.key).map(|it| it.text(field::ROOM)),
                    "room_for_count": it.room(),
                    "count": there.count(),
                    "slots": slots,
                })
            });
            let mut document = json::heading(cellar);
            document.put("racks", racks.collect::<Vec<Value>>());
            return Ok(Said::json(&document.value()));
        }
        let mut page = Page::default();
        if racks.is_empty() {
            page.line("There are no racks yet; `leesline shelves add` writes one down.");
        }
        let rows: Vec<Vec<String>> = racks
            .iter()
            .map(|it| {
                let count = there(it.key).count();
                vec![
                    it.name.clone(),
                    it.shape(),
                    format!("{count} in it"),
                    match it.room() - count {
                        free @ 1.. => format!("{free} free"),
                        _ => "full".to_owned(),
                    },
                    cellar
                        .thing(it.key)
                        .map_or("", |it: &Thing| it.text(field::ROOM))
                        .to_owned(),
                ]
            })
            .collect();
        page.rows(&rows);
        Ok(page.into())
    },
};
