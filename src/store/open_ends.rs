//! What is still open: jobs that nobody closed, jots that nothing was made of.
//!
//! A long life has many of either and few that are open, so those are kept beside the book. The
//! condition is one and the same: for a snapshot, for keeping them, and for checking that.

use rusqlite::{Connection, named_params};

use crate::cellar::entry::{Entry, Kind};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::OpenJob;
use crate::cellar::thing::Key;

use super::columns::Columns;
use super::read::{JOB, LIVING, job_of};

/// Later than anything: what is open now, not at some moment.
const EVER: i64 = i64::MAX;

/// A job open at a moment, with the entry that set it.
fn open_job() -> String {
    format!(
        "job JOIN entry ON entry.key = job.entry
         WHERE entry.when_ms <= :at_ms AND {LIVING}
           AND NOT EXISTS (
               SELECT 1 FROM job_closed JOIN entry ON entry.key = job_closed.entry
               WHERE job_closed.job = job.key AND entry.when_ms <= :at_ms AND {LIVING})"
    )
}

/// A jot open at a moment, looked for among those of `from`.
fn open_jot(from: &str) -> String {
    format!(
        "{from} WHERE entry.kind = 'jot' AND entry.when_ms <= :at_ms AND {LIVING}
           AND NOT EXISTS (
               SELECT 1 FROM entry AS made WHERE made.from_jot = entry.key
               AND made.when_ms <= :at_ms
               AND NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.voids = made.key))"
    )
}

/// Jobs open at a moment. Unless it lies in the past, only those open now are looked through.
pub(super) fn jobs(conn: &Connection, at_ms: i64) -> rusqlite::Result<Vec<OpenJob>> {
    let kept = if is_now(conn, at_ms)? {
        "AND job.key IN (SELECT job FROM open_job)"
    } else {
        ""
    };
    let sql = format!(
        "SELECT {JOB}, entry.when_ms FROM {} {kept} ORDER BY job.key",
        open_job()
    );
    let mut select = conn.prepare_cached(&sql)?;
    select
        .query_map(named_params! {":at_ms": at_ms}, |row| {
            let mut columns = Columns::of(row);
            Ok(OpenJob {
                job: job_of(&mut columns)?,
                since_ms: columns.get()?,
            })
        })?
        .collect()
}

/// Jots open at a moment, oldest first: entry, when, words.
pub(super) fn jots(conn: &Connection, at_ms: i64) -> rusqlite::Result<Vec<(Key, Moment, String)>> {
    // A cross join keeps its order, so that the few are gone through and not all jots there are.
    let from = if is_now(conn, at_ms)? {
        "open_jot CROSS JOIN entry ON entry.key = open_jot.entry"
    } else {
        "entry"
    };
    let sql = format!(
        "SELECT entry.key, entry.when_ms, entry.offset_min, entry.note
         FROM {} ORDER BY entry.when_ms, entry.key",
        open_jot(from)
    );
    let mut select = conn.prepare_cached(&sql)?;
    select
        .query_map(named_params! {":at_ms": at_ms}, |row| {
            let mut columns = Columns::of(row);
            Ok((columns.get()?, columns.moment()?, columns.get()?))
        })?
        .collect()
}

/// Whether nothing in the book is dated after a moment.
fn is_now(conn: &Connection, at_ms: i64) -> rusqlite::Result<bool> {
    let newest: Option<i64> = conn
        .prepare_cached("SELECT max(when_ms) AS newest FROM entry")?
        .query_row([], |row| row.get("newest"))?;
    Ok(newest.is_none_or(|it| it <= at_ms))
}

/// Looks again at what an entry that was written or voided opens or closes.
pub(super) fn refresh(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let jobs = entry.draft.jobs.iter().map(|it| it.key);
    for job in jobs.chain(entry.draft.closes.iter().copied()) {
        let drop = "DELETE FROM open_job WHERE job = :key";
        let keep = format!(
            "INSERT INTO open_job (job) SELECT job.key FROM {} AND job.key = :key",
            open_job()
        );
        again(conn, drop, &keep, job)?;
    }
    let jot = (entry.draft.kind == Kind::Jot).then_some(entry.key);
    for jot in jot.into_iter().chain(entry.draft.from_jot) {
        let drop = "DELETE FROM open_jot WHERE entry = :key";
        let keep = format!(
            "INSERT INTO open_jot (entry) SELECT entry.key FROM {} AND entry.key = :key",
            open_jot("entry")
        );
        again(conn, drop, &keep, jot)?;
    }
    Ok(())
}

fn again(conn: &Connection, drop: &str, keep: &str, at: Key) -> rusqlite::Result<()> {
    conn.prepare_cached(drop)?
        .execute(named_params! {":key": at.0})?;
    conn.prepare_cached(keep)?
        .execute(named_params! {":key": at.0, ":at_ms": EVER})?;
    Ok(())
}

/// Derives all of them into empty tables.
pub(super) fn rebuild(conn: &Connection) -> rusqlite::Result<()> {
    for sql in [
        format!(
            "INSERT INTO open_job (job) SELECT job.key FROM {}",
            open_job()
        ),
        format!(
            "INSERT INTO open_jot (entry) SELECT entry.key FROM {}",
            open_jot("entry")
        ),
    ] {
        conn.execute(&sql, named_params! {":at_ms": EVER})?;
    }
    Ok(())
}

/// How many are kept and should not be, or the other way round.
pub(super) fn differences(conn: &Connection) -> rusqlite::Result<i64> {
    let differ = |book: &str, kept: &str| {
        format!(
            "(SELECT count(*) FROM ({book} EXCEPT {kept}))
           + (SELECT count(*) FROM ({kept} EXCEPT {book}))"
        )
    };
    let sql = format!(
        "SELECT {} + {} AS rows",
        differ(
            &format!("SELECT job.key FROM {}", open_job()),
            "SELECT job FROM open_job"
        ),
        differ(
            &format!("SELECT entry.key FROM {}", open_jot("entry")),
            "SELECT entry FROM open_jot"
        ),
    );
    conn.query_row(&sql, named_params! {":at_ms": EVER}, |row| row.get("rows"))
}
