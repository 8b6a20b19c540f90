"""The schema, step by step. A migration that was released is never edited: add another one.

Each is committed together with the record that it was applied, under `BEGIN IMMEDIATE`, so that several processes
may open the same folder at once and a crash leaves either the old or the new schema.
"""

from __future__ import annotations

from typing import Final

from sqlite_utils import Database, Migrations

from bot.store.errors import StoreUnusableError

SET: Final = "chargehand"
migrations = Migrations(SET)


@migrations()
def people_and_places(db: Database) -> None:
    """Who there is, how they are reached, who may do what."""
    db.executescript("""
        CREATE TABLE persons (
            id TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, language TEXT NOT NULL,
            timezone TEXT NOT NULL, on_duty INTEGER NOT NULL DEFAULT 1,
            conversation TEXT,  -- the preferred one: where they wrote last
            created TEXT NOT NULL, removed TEXT
        ) STRICT;
        CREATE TABLE signoffs (
            person TEXT NOT NULL REFERENCES persons(id), what TEXT NOT NULL, granted TEXT NOT NULL,
            PRIMARY KEY (person, what)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE identities (
            id TEXT PRIMARY KEY, platform TEXT NOT NULL, account TEXT NOT NULL, user TEXT NOT NULL,
            person TEXT NOT NULL REFERENCES persons(id), created TEXT NOT NULL,
            UNIQUE (platform, account, user)
        ) STRICT;
        CREATE TABLE invites (
            id TEXT PRIMARY KEY, code_hash TEXT NOT NULL UNIQUE, role TEXT NOT NULL, name TEXT NOT NULL,
            created TEXT NOT NULL, expires TEXT NOT NULL, used TEXT, person TEXT REFERENCES persons(id)
        ) STRICT;
        CREATE TABLE conversations (
            id TEXT PRIMARY KEY, platform TEXT NOT NULL, account TEXT NOT NULL, address TEXT NOT NULL,
            person TEXT NOT NULL REFERENCES persons(id), created TEXT NOT NULL,
            UNIQUE (platform, account, address, person)
        ) STRICT;
        CREATE TABLE audit (
            seq INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, person TEXT, what TEXT NOT NULL,
            data TEXT NOT NULL
        ) STRICT;
        CREATE TABLE settings (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
    """)


@migrations()
def inbox_jobs_and_outbox(db: Database) -> None:
    """The way of a message: inbox, job and desk, trace and labels, messages, outbox, timers."""
    db.executescript("""
        CREATE TABLE inbox (
            seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, conversation TEXT NOT NULL,
            person TEXT NOT NULL, kind TEXT NOT NULL, event TEXT NOT NULL, at TEXT NOT NULL, accepted TEXT NOT NULL,
            state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'handled', 'parked', 'dropped')),
            attempts INTEGER NOT NULL DEFAULT 0, claims INTEGER NOT NULL DEFAULT 0,
            lease_owner TEXT, lease_until TEXT, handled TEXT, job TEXT, timer TEXT, understood TEXT, failure TEXT
        ) STRICT;
        CREATE INDEX inbox_waiting ON inbox (conversation, seq) WHERE state = 'waiting';
        CREATE INDEX inbox_parked ON inbox (seq) WHERE state = 'parked';
        CREATE INDEX inbox_timer ON inbox (timer) WHERE state = 'waiting' AND timer IS NOT NULL;

        CREATE TABLE sites (id TEXT PRIMARY KEY, key TEXT NOT NULL UNIQUE, name TEXT NOT NULL) STRICT;
        CREATE TABLE jobs (
            id TEXT PRIMARY KEY, version INTEGER NOT NULL, release TEXT NOT NULL, family TEXT, phase TEXT NOT NULL,
            label TEXT NOT NULL, tech TEXT NOT NULL, conversation TEXT NOT NULL, handed_to TEXT, outcome TEXT,
            question TEXT, site TEXT REFERENCES sites(id), opened TEXT NOT NULL, touched TEXT NOT NULL, ended TEXT,
            state TEXT NOT NULL
        ) STRICT;
        CREATE INDEX jobs_open_tech ON jobs (tech, opened) WHERE ended IS NULL;
        CREATE INDEX jobs_open_senior ON jobs (handed_to, opened) WHERE ended IS NULL AND handed_to IS NOT NULL;
        CREATE INDEX jobs_site ON jobs (site, opened) WHERE site IS NOT NULL;
        CREATE TABLE desks (
            conversation TEXT PRIMARY KEY, version INTEGER NOT NULL, focus TEXT, state TEXT NOT NULL
        ) STRICT, WITHOUT ROWID;

        CREATE TABLE traces (
            event TEXT NOT NULL, step INTEGER NOT NULL, job TEXT, what TEXT NOT NULL, data TEXT NOT NULL,
            at TEXT NOT NULL, PRIMARY KEY (event, step)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX traces_job ON traces (job, at) WHERE job IS NOT NULL;
        CREATE TABLE records (
            id TEXT PRIMARY KEY, job TEXT NOT NULL, person TEXT NOT NULL, what TEXT NOT NULL, data TEXT NOT NULL,
            at TEXT NOT NULL, event TEXT NOT NULL
        ) STRICT;
        CREATE INDEX records_job ON records (job, at);
        CREATE TABLE offers (
            id TEXT PRIMARY KEY, job TEXT NOT NULL, reason TEXT NOT NULL, people TEXT NOT NULL,
            urgent INTEGER NOT NULL, at TEXT NOT NULL, event TEXT NOT NULL
        ) STRICT;
        CREATE INDEX offers_job ON offers (job, at);

        CREATE TABLE messages (
            seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, conversation TEXT NOT NULL,
            person TEXT NOT NULL, direction TEXT NOT NULL CHECK (direction IN ('in', 'out')), event TEXT NOT NULL,
            job TEXT, at TEXT NOT NULL, plain TEXT NOT NULL,
            texts TEXT,    -- out: message keys and parameters
            rendered TEXT, -- out: paragraphs of spans
            question TEXT, choices TEXT, reply_to TEXT, photos TEXT, urgent INTEGER NOT NULL DEFAULT 0,
            closed TEXT, answer TEXT
        ) STRICT;
        CREATE INDEX messages_question ON messages (question) WHERE question IS NOT NULL;
        CREATE INDEX messages_open ON messages (conversation, seq) WHERE question IS NOT NULL AND closed IS NULL;
        CREATE INDEX messages_job ON messages (job, seq) WHERE job IS NOT NULL;
        CREATE TABLE message_ids (
            conversation TEXT NOT NULL, platform_id TEXT NOT NULL, message TEXT NOT NULL, part INTEGER NOT NULL,
            PRIMARY KEY (conversation, platform_id)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX message_ids_message ON message_ids (message, part);

        CREATE TABLE outbox (
            seq INTEGER PRIMARY KEY AUTOINCREMENT, key TEXT NOT NULL UNIQUE, kind TEXT NOT NULL,
            message TEXT NOT NULL, conversation TEXT NOT NULL REFERENCES conversations(id), closed TEXT, answer TEXT,
            created TEXT NOT NULL,
            state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'delivered', 'failed')),
            attempts INTEGER NOT NULL DEFAULT 0, failures INTEGER NOT NULL DEFAULT 0, not_before TEXT,
            lease_owner TEXT, lease_until TEXT, finished TEXT, reason TEXT
        ) STRICT;
        CREATE INDEX outbox_waiting ON outbox (conversation, seq) WHERE state = 'waiting';
        CREATE INDEX outbox_message ON outbox (message);

        CREATE TABLE timers (
            id TEXT PRIMARY KEY, job TEXT NOT NULL, person TEXT NOT NULL, conversation TEXT NOT NULL,
            at TEXT NOT NULL, name TEXT NOT NULL, data TEXT NOT NULL, set_by TEXT NOT NULL
        ) STRICT;
        CREATE INDEX timers_at ON timers (at);
        CREATE INDEX timers_job ON timers (job);
    """)


@migrations()
def knowledge_photos_and_search(db: Database) -> None:
    """Knowledge releases, photos counted by reference, words of all messages."""
    db.executescript("""
        CREATE TABLE releases (id TEXT PRIMARY KEY, created TEXT NOT NULL, families TEXT NOT NULL) STRICT;
        CREATE TABLE photos (
            sha256 TEXT PRIMARY KEY, mime TEXT NOT NULL, bytes INTEGER NOT NULL, width INTEGER NOT NULL,
            height INTEGER NOT NULL, brightness REAL NOT NULL, sharpness REAL NOT NULL, kept TEXT NOT NULL
        ) STRICT;
        CREATE TABLE photo_uses (
            sha256 TEXT NOT NULL, message TEXT NOT NULL, PRIMARY KEY (sha256, message)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX photo_uses_message ON photo_uses (message);

        CREATE VIRTUAL TABLE messages_fts USING fts5 (
            plain, content='messages', content_rowid='seq', tokenize='unicode61 remove_diacritics 2'
        );
        CREATE TRIGGER messages_words_in AFTER INSERT ON messages BEGIN
            INSERT INTO messages_fts (rowid, plain) VALUES (new.seq, new.plain);
        END;
        CREATE TRIGGER messages_words_out AFTER DELETE ON messages BEGIN
            INSERT INTO messages_fts (messages_fts, rowid, plain) VALUES ('delete', old.seq, old.plain);
        END;
        CREATE TRIGGER messages_words_changed AFTER UPDATE OF plain ON messages BEGIN
            INSERT INTO messages_fts (messages_fts, rowid, plain) VALUES ('delete', old.seq, old.plain);
            INSERT INTO messages_fts (rowid, plain) VALUES (new.seq, new.plain);
        END;
    """)


@migrations()
def arrivals(db: Database) -> None:
    """What platforms handed over that is no event yet."""
    db.executescript("""
        CREATE TABLE arrivals (
            seq INTEGER PRIMARY KEY AUTOINCREMENT, platform TEXT NOT NULL, account TEXT NOT NULL, key TEXT NOT NULL,
            lane TEXT NOT NULL, batch TEXT, payload TEXT NOT NULL, kept TEXT NOT NULL, failure TEXT,
            UNIQUE (platform, account, key)
        ) STRICT;
    """)


@migrations()
def what_the_owner_sees(db: Database) -> None:
    """Logins, marks, notes, wordings; and one row a visit with what its records come to, kept by triggers.

    A visit is wrong when a proof failed, when a senior named another fault than the finding, or when the owner says
    so. `finding` is the one that the first proof put to the test.
    """
    db.executescript("""
        CREATE TABLE logins (
            key_hash TEXT PRIMARY KEY, person TEXT, created TEXT NOT NULL, expires TEXT NOT NULL, used TEXT
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE sessions (
            key_hash TEXT PRIMARY KEY, person TEXT, created TEXT NOT NULL, expires TEXT NOT NULL
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE marks (
            job TEXT NOT NULL, message TEXT NOT NULL DEFAULT '',
            mark TEXT NOT NULL CHECK (mark IN ('good', 'wrong', 'training')), person TEXT, at TEXT NOT NULL,
            PRIMARY KEY (job, message, mark)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE notes (
            id TEXT PRIMARY KEY, job TEXT NOT NULL, message TEXT, note TEXT NOT NULL, person TEXT, at TEXT NOT NULL
        ) STRICT;
        CREATE INDEX notes_job ON notes (job, at);
        CREATE TABLE wordings (
            id TEXT PRIMARY KEY, family TEXT NOT NULL, meaning TEXT NOT NULL, language TEXT NOT NULL,
            phrase TEXT NOT NULL, person TEXT, at TEXT NOT NULL, undone TEXT
        ) STRICT;
        CREATE VIRTUAL TABLE messages_words USING fts5vocab (messages_fts, row);
        CREATE INDEX jobs_opened ON jobs (opened);
        CREATE INDEX inbox_job ON inbox (job) WHERE job IS NOT NULL;
        CREATE INDEX records_event ON records (event);

        CREATE TABLE visits (
            job TEXT PRIMARY KEY, finding TEXT, finding_p REAL, found TEXT, proved TEXT, repair TEXT, verdict TEXT,
            failed INTEGER NOT NULL DEFAULT 0, ordered INTEGER NOT NULL DEFAULT 0, unsafe INTEGER NOT NULL DEFAULT 0,
            hazard TEXT, offered TEXT, taken_by TEXT, misses INTEGER NOT NULL DEFAULT 0,
            marked_wrong INTEGER NOT NULL DEFAULT 0,
            wrong INTEGER GENERATED ALWAYS AS (failed > 0 OR marked_wrong > 0
                OR (verdict IS NOT NULL AND finding IS NOT NULL AND verdict <> finding)) VIRTUAL
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE job_seniors (
            job TEXT NOT NULL, person TEXT NOT NULL, PRIMARY KEY (person, job)
        ) STRICT, WITHOUT ROWID;
    """)
    for statement in _VISIT_TRIGGERS:
        db.execute(statement)
    # Records that are there already go through the same triggers: they are read once more.
    db.executescript("""
        CREATE TEMP TABLE again AS SELECT * FROM records ORDER BY at, rowid;
        DELETE FROM records;
        INSERT INTO records SELECT * FROM again;
        DROP TABLE again;
        INSERT INTO visits (job) SELECT id FROM jobs WHERE true ON CONFLICT DO NOTHING;
        UPDATE visits SET offered = (SELECT reason FROM offers o WHERE o.job = visits.job ORDER BY at LIMIT 1);
        INSERT OR IGNORE INTO job_seniors (job, person) SELECT data ->> '$.job', data ->> '$.by' FROM audit
            WHERE what = 'handoff_taken' AND data ->> '$.job' IS NOT NULL AND data ->> '$.by' IS NOT NULL;
        UPDATE visits SET taken_by = (SELECT person FROM job_seniors s WHERE s.job = visits.job LIMIT 1);
    """)


_VISIT_TRIGGERS: Final = (
    """
    CREATE TRIGGER visits_job AFTER INSERT ON jobs BEGIN
        INSERT INTO visits (job) VALUES (new.id) ON CONFLICT DO NOTHING;
    END
    """,
    """
    CREATE TRIGGER visits_record AFTER INSERT ON records BEGIN
        INSERT INTO visits (job) VALUES (new.job) ON CONFLICT DO NOTHING;
        UPDATE visits SET finding = new.data ->> '$.fault', finding_p = new.data ->> '$.p',
            found = coalesce(found, new.at)
            WHERE job = new.job AND new.what = 'finding' AND failed = 0 AND proved IS NULL;
        UPDATE visits SET proved = new.data ->> '$.fault', repair = new.data ->> '$.repair'
            WHERE job = new.job AND new.what = 'proof' AND new.data ->> '$.held' = 1;
        UPDATE visits SET failed = failed + 1
            WHERE job = new.job AND new.what = 'proof' AND new.data ->> '$.held' = 0;
        UPDATE visits SET verdict = new.data ->> '$.fault'
            WHERE job = new.job AND new.what = 'verdict' AND new.data ->> '$.fault' IS NOT NULL;
        UPDATE visits SET ordered = 1
            WHERE job = new.job AND new.what = 'outcome' AND new.data ->> '$.outcome' = 'part_on_order';
        UPDATE visits SET unsafe = 1 WHERE job = new.job AND (new.what = 'unsafe'
            OR (new.what = 'outcome' AND new.data ->> '$.outcome' = 'unsafe_tagged'));
        UPDATE visits SET hazard = coalesce(hazard, new.data ->> '$.hazard')
            WHERE job = new.job AND new.what = 'hazard';
        UPDATE visits SET misses = misses + 1
            WHERE job = new.job AND new.what IN ('not_followed', 'misunderstood');
    END
    """,
    """
    CREATE TRIGGER visits_offer AFTER INSERT ON offers BEGIN
        INSERT INTO visits (job) VALUES (new.job) ON CONFLICT DO NOTHING;
        UPDATE visits SET offered = coalesce(offered, new.reason) WHERE job = new.job;
    END
    """,
    """
    CREATE TRIGGER visits_taken AFTER INSERT ON audit WHEN new.what = 'handoff_taken'
            AND new.data ->> '$.job' IS NOT NULL AND new.data ->> '$.by' IS NOT NULL BEGIN
        INSERT OR IGNORE INTO job_seniors (job, person) VALUES (new.data ->> '$.job', new.data ->> '$.by');
        INSERT INTO visits (job) VALUES (new.data ->> '$.job') ON CONFLICT DO NOTHING;
        UPDATE visits SET taken_by = new.data ->> '$.by' WHERE job = new.data ->> '$.job';
    END
    """,
    """
    CREATE TRIGGER visits_marked AFTER INSERT ON marks WHEN new.mark = 'wrong' BEGIN
        UPDATE visits SET marked_wrong = marked_wrong + 1 WHERE job = new.job;
    END
    """,
    """
    CREATE TRIGGER visits_unmarked AFTER DELETE ON marks WHEN old.mark = 'wrong' BEGIN
        UPDATE visits SET marked_wrong = marked_wrong - 1 WHERE job = old.job;
    END
    """,
)


@migrations()
def duty_links_and_rooms(db: Database) -> None:
    """Duty and phone of a person, codes that link an account, rows that wait for duty, the firm's notes."""
    db.executescript("""
        ALTER TABLE persons ADD COLUMN phone TEXT NOT NULL DEFAULT '';
        ALTER TABLE persons ADD COLUMN hours TEXT NOT NULL DEFAULT '';
        ALTER TABLE persons ADD COLUMN off_until TEXT;
        ALTER TABLE persons ADD COLUMN on_until TEXT;
        ALTER TABLE invites ADD COLUMN links TEXT;     -- the person whom the code gives another account
        ALTER TABLE messages ADD COLUMN forget INTEGER NOT NULL DEFAULT 0;  -- its words go once it was delivered
        ALTER TABLE outbox ADD COLUMN held_until TEXT; -- waits for its reader's duty; others pass it
        CREATE TABLE firm_notes (
            number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, family TEXT NOT NULL,
            fault TEXT NOT NULL, note TEXT NOT NULL, person TEXT NOT NULL, job TEXT, at TEXT NOT NULL, retired TEXT
        ) STRICT;
    """)


@migrations()
def what_was_learned(db: Database) -> None:
    """Each application of what was learned from confirmed visits; the newest that was not undone is in force."""
    db.executescript("""
        CREATE TABLE learned (
            number INTEGER PRIMARY KEY AUTOINCREMENT, data TEXT NOT NULL, person TEXT, at TEXT NOT NULL, undone TEXT
        ) STRICT;
    """)


def migrate(db: Database, steps: Migrations = migrations) -> None:
    """Bring the file up to date. Raises StoreUnusableError if a newer version of the program wrote it."""
    known = {step.name for step in steps.pending(Database(memory=True))}
    unknown = {done.name for done in steps.applied(db)} - known
    if unknown:
        raise StoreUnusableError("the data folder was written by a newer version of this program "
                                 f"(schema step '{min(unknown)}'): install that version, or use another folder")
    while pending := [step.name for step in steps.pending(db)]:
        db.execute("BEGIN IMMEDIATE")
        try:
            # Read again under the write lock: another process may have been faster.
            pending = [step.name for step in steps.pending(db)]
            if pending:
                steps.apply(db, stop_before=pending[1:])
            db.commit()
        finally:
            db.rollback()
