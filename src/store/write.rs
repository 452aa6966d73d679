//! Writing the rows of one entry. Nothing here is ever updated or deleted.

use rusqlite::{Connection, OptionalExtension, named_params};
use uuid::Uuid;

use crate::cellar::entry::{Draft, Entry, Filling, Job};
use crate::cellar::thing::{Account, Key, Sort};

use super::columns::{Columns, amount_to, dose_to, due_to, found_to, spot_to, supply_to, value_to};
use super::read::STANDS;

/// Begins the things of a draft. Those that the entry it amends began before, it takes over: they
/// stay the same things, and what later entries say of them still holds.
pub(super) fn begin_things(conn: &Connection, draft: &Draft) -> rusqlite::Result<Vec<Key>> {
    let earlier = match draft.amends {
        Some(amended) => begun_by(conn, amended)?,
        None => Vec::new(),
    };
    let mut insert = conn.prepare_cached("INSERT INTO thing (uid, sort) VALUES (:uid, :sort)")?;
    let taken_over = |at: usize, sort: Sort| {
        let (thing, was) = earlier.get(at)?;
        (*was == sort).then_some(*thing)
    };
    let mut things = Vec::new();
    for (at, sort) in draft.new_things.iter().enumerate() {
        things.push(if let Some(thing) = taken_over(at, *sort) {
            thing
        } else {
            insert.execute(named_params! {
                ":uid": Uuid::now_v7().into_bytes(),
                ":sort": sort.word(),
            })?;
            Key(conn.last_insert_rowid())
        });
    }
    Ok(things)
}

/// The things that an entry began, in its own order.
pub(super) fn begun_by(conn: &Connection, entry: Key) -> rusqlite::Result<Vec<(Key, Sort)>> {
    let mut select = conn.prepare_cached(
        "SELECT thing.key, thing.sort FROM begun JOIN thing ON thing.key = begun.thing
         WHERE begun.entry = :entry ORDER BY begun.seq",
    )?;
    select
        .query_map(named_params! {":entry": entry.0}, |row| {
            let mut columns = Columns::of(row);
            Ok((columns.get()?, columns.word(Sort::from_word)?))
        })?
        .collect()
}

/// Every thing that an entry names, accounts aside, each once.
pub(super) fn mentions(draft: &Draft, begun: &[Key]) -> Vec<Key> {
    let mut all = draft.places();
    all.extend(begun);
    all.extend(draft.filled_from().map(|(_, vessel)| vessel));
    all.extend(draft.changes.iter().map(|it| it.thing));
    all.extend(draft.movements.iter().filter_map(|it| it.batch));
    all.extend(draft.jobs.iter().map(|it| it.subject));
    all.extend(draft.silences.iter().map(|it| it.subject));
    all.retain(|it| Account::from_key(*it).is_none());
    all.sort_unstable();
    all.dedup();
    all
}

/// Writes a settled draft as an entry, with all that hangs on it.
pub(super) fn write(
    conn: &Connection,
    draft: Draft,
    begun: &[Key],
    recorded_ms: i64,
) -> rusqlite::Result<Entry> {
    let uid = Uuid::now_v7();
    // What is entered anew stands where it stood.
    let stands: Option<i64> = conn
        .prepare_cached(&format!("SELECT {STANDS} FROM entry WHERE key = :amends"))?
        .query_row(
            named_params! {":amends": draft.amends.map(|it| it.0)},
            |row| row.get(0),
        )
        .optional()?;
    conn.prepare_cached(
        "INSERT INTO entry (uid, when_ms, offset_min, recorded_ms, by_whom, kind, note, subject,
                            voids, amends, restores, stands, from_jot)
         VALUES (:uid, :when_ms, :offset_min, :recorded_ms, :by_whom, :kind, :note, :subject,
                 :voids, :amends, :restores, :stands, :from_jot)",
    )?
    .execute(named_params! {
        ":uid": uid.into_bytes(),
        ":when_ms": draft.when.utc_ms,
        ":offset_min": draft.when.offset_min,
        ":recorded_ms": recorded_ms,
        ":by_whom": draft.by,
        ":kind": draft.kind.word(),
        ":note": draft.note,
        ":subject": draft.subject.map(|it| it.0),
        ":voids": draft.voids.map(|it| it.0),
        ":amends": draft.amends.map(|it| it.0),
        ":restores": draft.restores,
        ":stands": stands,
        ":from_jot": draft.from_jot.map(|it| it.0),
    })?;
    let key = Key(conn.last_insert_rowid());
    let mut entry = Entry {
        key,
        stands: stands.unwrap_or(key.0),
        uid,
        recorded_ms,
        draft,
        voided_by: None,
    };
    write_begun(conn, &entry, begun)?;
    write_changes(conn, &entry)?;
    write_movements(conn, &entry)?;
    write_readings(conn, &entry)?;
    write_additions(conn, &entry)?;
    write_tastings(conn, &entry)?;
    write_bottles(conn, &entry)?;
    write_supplies(conn, &entry)?;
    write_jobs(conn, &mut entry)?;
    write_silences(conn, &entry)?;
    write_mentions(conn, &entry, begun)?;
    if let Some((run, _)) = entry.draft.filled_from() {
        for filling in &mut entry.draft.fillings {
            write_filling(conn, run, Some(entry.key), filling)?;
        }
    }
    Ok(entry)
}

fn write_begun(conn: &Connection, entry: &Entry, begun: &[Key]) -> rusqlite::Result<()> {
    let mut insert =
        conn.prepare_cached("INSERT INTO begun (entry, seq, thing) VALUES (:entry, :seq, :thing)")?;
    for (seq, thing) in begun.iter().enumerate() {
        insert.execute(named_params! {
            ":entry": entry.key.0, ":seq": seq as i64, ":thing": thing.0,
        })?;
    }
    Ok(())
}

fn write_changes(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO change (entry, seq, thing, field, value)
         VALUES (:entry, :seq, :thing, :field, :value)",
    )?;
    for (seq, it) in entry.draft.changes.iter().enumerate() {
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":thing": it.thing.0,
            ":field": it.field,
            ":value": value_to(it.value.as_ref()),
        })?;
    }
    Ok(())
}

fn write_movements(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO movement (entry, seq, from_place, to_place, how, amount_ul, about, batch)
         VALUES (:entry, :seq, :from_place, :to_place, :how, :amount_ul, :about, :batch)",
    )?;
    for (seq, it) in entry.draft.movements.iter().enumerate() {
        let (how, amount_ul) = amount_to(it.amount);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":from_place": it.from.0,
            ":to_place": it.to.0,
            ":how": how,
            ":amount_ul": amount_ul,
            ":about": it.about,
            ":batch": it.batch.map(|it| it.0),
        })?;
    }
    Ok(())
}

fn write_readings(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO reading (entry, seq, place, property, form, low, high, word, typed,
                              instrument, rule)
         VALUES (:entry, :seq, :place, :property, :form, :low, :high, :word, :typed,
                 :instrument, :rule)",
    )?;
    for (seq, it) in entry.draft.readings.iter().enumerate() {
        let (form, low, high, word) = found_to(&it.found);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":place": it.place.0,
            ":property": it.property.word(),
            ":form": form,
            ":low": low,
            ":high": high,
            ":word": word,
            ":typed": it.typed,
            ":instrument": it.instrument,
            ":rule": it.rule,
        })?;
    }
    Ok(())
}

fn write_additions(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO addition (entry, seq, place, substance, unit, dose, so2_ug, lot, calculation)
         VALUES (:entry, :seq, :place, :substance, :unit, :dose, :so2_ug, :lot, :calculation)",
    )?;
    for (seq, it) in entry.draft.additions.iter().enumerate() {
        let (unit, dose) = dose_to(it.dose);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":place": it.place.0,
            ":substance": it.substance,
            ":unit": unit,
            ":dose": dose,
            ":so2_ug": it.so2.0,
            ":lot": it.lot.map(|it| it.0),
            ":calculation": it.calculation,
        })?;
    }
    Ok(())
}

fn write_tastings(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO tasting (entry, seq, place, words, score, sheet)
         VALUES (:entry, :seq, :place, :words, :score, :sheet)",
    )?;
    for (seq, it) in entry.draft.tastings.iter().enumerate() {
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":place": it.place.0,
            ":words": it.words,
            ":score": it.score,
            ":sheet": it.sheet,
        })?;
    }
    Ok(())
}

fn write_bottles(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO bottle_move (entry, seq, run, size_ml, count, from_account, from_posture,
                                  from_at, from_reserved, from_found, to_account, to_posture,
                                  to_at, to_reserved, to_found, about)
         VALUES (:entry, :seq, :run, :size_ml, :count, :from_account, :from_posture,
                 :from_at, :from_reserved, :from_found, :to_account, :to_posture,
                 :to_at, :to_reserved, :to_found, :about)",
    )?;
    for (seq, it) in entry.draft.bottles.iter().enumerate() {
        let (from_account, from_posture, from_at, from_reserved, from_found) = spot_to(&it.from);
        let (to_account, to_posture, to_at, to_reserved, to_found) = spot_to(&it.to);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":run": it.run.0,
            ":size_ml": it.size_ml,
            ":count": it.count,
            ":from_account": from_account,
            ":from_posture": from_posture,
            ":from_at": from_at,
            ":from_reserved": from_reserved,
            ":from_found": from_found,
            ":to_account": to_account,
            ":to_posture": to_posture,
            ":to_at": to_at,
            ":to_reserved": to_reserved,
            ":to_found": to_found,
            ":about": it.about,
        })?;
    }
    Ok(())
}

fn write_supplies(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO supply_move (entry, seq, lot, how, unit, dose)
         VALUES (:entry, :seq, :lot, :how, :unit, :dose)",
    )?;
    for (seq, it) in entry.draft.supplies.iter().enumerate() {
        let (how, dose) = supply_to(it.change);
        let (unit, dose) = dose_to(dose);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":lot": it.lot.0,
            ":how": how,
            ":unit": unit,
            ":dose": dose,
        })?;
    }
    Ok(())
}

/// Jobs get their keys here; those closed are named by theirs.
fn write_jobs(conn: &Connection, entry: &mut Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO job (entry, seq, subject, title, due_ms, gravity, verb)
         VALUES (:entry, :seq, :subject, :title, :due_ms, :gravity, :verb)",
    )?;
    for (seq, it) in entry.draft.jobs.iter_mut().enumerate() {
        let Job {
            subject,
            title,
            due,
            verb,
            ..
        } = &*it;
        let (due_ms, gravity) = due_to(*due);
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":subject": subject.0,
            ":title": title,
            ":due_ms": due_ms,
            ":gravity": gravity,
            ":verb": verb,
        })?;
        it.key = Key(conn.last_insert_rowid());
    }
    let mut close = conn
        .prepare_cached("INSERT INTO job_closed (entry, seq, job) VALUES (:entry, :seq, :job)")?;
    for (seq, job) in entry.draft.closes.iter().enumerate() {
        close.execute(named_params! {
            ":entry": entry.key.0, ":seq": seq as i64, ":job": job.0,
        })?;
    }
    Ok(())
}

fn write_silences(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO silence (entry, seq, subject, reason, until_ms)
         VALUES (:entry, :seq, :subject, :reason, :until_ms)",
    )?;
    for (seq, it) in entry.draft.silences.iter().enumerate() {
        insert.execute(named_params! {
            ":entry": entry.key.0,
            ":seq": seq as i64,
            ":subject": it.subject.0,
            ":reason": it.reason,
            ":until_ms": it.until_ms,
        })?;
    }
    Ok(())
}

/// Also what a rebuild of the projection writes.
pub(super) fn write_mentions(
    conn: &Connection,
    entry: &Entry,
    begun: &[Key],
) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO mention (thing, when_ms, entry) VALUES (:thing, :when_ms, :entry)",
    )?;
    for thing in mentions(&entry.draft, begun) {
        insert.execute(named_params! {
            ":thing": thing.0, ":when_ms": entry.draft.when.utc_ms, ":entry": entry.key.0,
        })?;
    }
    Ok(())
}

/// Bottles counted in an entry, or at the spout one by one, after all that were counted of the run.
pub(super) fn write_filling(
    conn: &Connection,
    run: Key,
    counted_in: Option<Key>,
    filling: &mut Filling,
) -> rusqlite::Result<()> {
    filling.sequence = conn
        .prepare_cached(
            "INSERT INTO filling (run, sequence, event, size_ml, count, at_ms, counted_in)
             SELECT :run, ifnull(max(sequence), 0) + 1, :event, :size_ml, :count, :at_ms, :counted_in
             FROM filling WHERE run = :run
             RETURNING sequence",
        )?
        .query_row(
            named_params! {
                ":run": run.0,
                ":event": filling.event.word(),
                ":size_ml": filling.size_ml,
                ":count": filling.count,
                ":at_ms": filling.at_ms,
                ":counted_in": counted_in.map(|it| it.0),
            },
            |row| row.get("sequence"),
        )?;
    Ok(())
}
