package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	driver "modernc.org/sqlite"

	"windlane/diary"
)

// sqlite is a diary in one SQLite file. There is one connection: a diary has one
// writer at a time, and a day is read in a millisecond.
type sqlite struct {
	path   string
	db     *sql.DB
	insert *sql.Stmt
}

// Open opens a diary that is there; ErrAbsent if none is.
func Open(ctx context.Context, path string) (Store, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", path, ErrAbsent)
	}
	return open(ctx, path)
}

// Create opens a diary, and begins one, with its folder, where none is.
func Create(ctx context.Context, path string) (Store, error) {
	folder := filepath.Dir(path)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("cannot make the folder of the diary: %w", err)
	}
	_, err := os.Stat(path)
	s, failed := open(ctx, path)
	if failed == nil && errors.Is(err, fs.ErrNotExist) {
		// A new file outlasts a loss of power only once its folder does.
		if err := syncFile(folder); err != nil {
			return nil, errors.Join(fmt.Errorf("%s: %w", path, err), s.Close())
		}
	}
	return s, failed
}

// open opens the file, with more settings of the connection for tests.
func open(ctx context.Context, path string, more ...string) (Store, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	// FULL brings each commit to the disk before it returns; a transaction takes
	// the writer's place at its beginning, so that it cannot lose it halfway.
	settings := append([]string{
		"_pragma=busy_timeout(5000)", "_pragma=synchronous(FULL)", "_pragma=trusted_schema(0)", "_txlock=immediate",
	}, more...)
	place := url.URL{Scheme: "file", Path: filepath.ToSlash(abs), RawQuery: strings.Join(settings, "&")}
	db, err := sql.Open("sqlite", place.String())
	if err != nil {
		return nil, told(path, err)
	}
	db.SetMaxOpenConns(1)
	s := &sqlite{path: path, db: db}
	if err := s.migrate(ctx); err != nil {
		return nil, errors.Join(told(path, err), db.Close())
	}
	s.insert, err = db.PrepareContext(ctx, `insert into events (id, day, at_ms, kind, line) values (?, ?, ?, ?, ?) on conflict (id) do nothing`)
	if err != nil {
		return nil, errors.Join(told(path, err), db.Close())
	}
	return s, nil
}

// mark is SQLite's application_id of a diary: "WLDY".
const mark = 0x574c4459

// migrations bring a file from each version (its user_version) to the next. One
// that has been released is never changed; what it should have been is a new one.
var migrations = []string{
	`create table events (
		seq   integer primary key autoincrement, -- order of adding
		id    text not null unique,
		day   text not null,
		at_ms integer not null,                  -- since 1970, UTC
		kind  text not null,
		line  text not null                      -- the entry as docs/formats.md has it
	) strict;
	create index events_by_day on events (day, seq);
	create trigger events_are_not_changed before update on events begin select raise(abort, 'entries are never changed'); end;
	create trigger events_are_not_replaced before insert on events
		when exists (select 1 from events where id = new.id or seq = new.seq) begin select raise(ignore); end;
	create trigger events_are_not_removed before delete on events begin select raise(abort, 'entries are never removed'); end;
	pragma application_id = 1464616025;`,
}

func (s *sqlite) migrate(ctx context.Context) error {
	version, id, tables, err := s.look(ctx)
	if err != nil {
		return err
	}
	switch {
	case id != mark && (tables > 0 || version != 0 || id != 0):
		return ErrForeign
	case version > len(migrations):
		return ErrNewer
	}
	// Only now: it stays in the file, which must be ours.
	if _, err := s.db.ExecContext(ctx, `pragma journal_mode = wal`); err != nil {
		return err
	}
	if version == len(migrations) {
		return nil
	}
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	// Another program may have done it since.
	if err := tx.QueryRowContext(ctx, `pragma user_version`).Scan(&version); err != nil {
		return err
	}
	for ; version < len(migrations); version++ {
		if _, err := tx.ExecContext(ctx, migrations[version]+fmt.Sprintf("\npragma user_version = %d;", version+1)); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// look reads whose file it is, at one moment: another program may be beginning it.
func (s *sqlite) look(ctx context.Context) (version, id, tables int, err error) {
	tx, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return 0, 0, 0, err
	}
	defer tx.Rollback()
	for _, q := range []struct {
		ask string
		to  *int
	}{{`select count(*) from sqlite_schema`, &tables}, {`pragma user_version`, &version}, {`pragma application_id`, &id}} {
		if err := tx.QueryRowContext(ctx, q.ask).Scan(q.to); err != nil {
			return 0, 0, 0, err
		}
	}
	return version, id, tables, nil
}

func (s *sqlite) Append(ctx context.Context, events ...diary.Event) (added int, err error) {
	for _, e := range events {
		if err := e.Check(); err != nil {
			return 0, err
		}
	}
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return 0, told(s.path, err)
	}
	defer tx.Rollback() // no matter after the commit
	insert := tx.StmtContext(ctx, s.insert)
	for _, e := range events {
		line := string(e.Line())
		done, err := insert.ExecContext(ctx, e.ID, e.Day, e.At.UnixMilli(), e.Kind(), line)
		if err != nil {
			return 0, told(s.path, err)
		}
		n, err := done.RowsAffected()
		if err != nil {
			return 0, told(s.path, err)
		}
		if added += int(n); n > 0 {
			continue
		}
		var stands string
		if err := tx.QueryRowContext(ctx, `select line from events where id = ?`, e.ID).Scan(&stands); err != nil {
			return 0, told(s.path, err)
		}
		if stands != line {
			return 0, &ConflictError{e.ID}
		}
	}
	if err := tx.Commit(); err != nil {
		return 0, told(s.path, err)
	}
	return added, nil
}

func (s *sqlite) Events(ctx context.Context, first, last string) ([]diary.Event, error) {
	if last == "" {
		last = "9999-99"
	}
	var events []diary.Event
	err := s.rows(ctx, func(r row) error {
		e, err := diary.Parse([]byte(r.line))
		if err != nil {
			return fmt.Errorf("entry %d: %v: %w", r.seq, err, ErrDamaged)
		}
		events = append(events, e)
		return nil
	}, `select seq, id, day, at_ms, kind, line from events where day between ? and ? order by seq`, first, last)
	return events, err
}

type row struct {
	seq, at             int64
	id, day, kind, line string
}

func (s *sqlite) rows(ctx context.Context, each func(row) error, query string, args ...any) error {
	rows, err := s.db.QueryContext(ctx, query, args...)
	if err != nil {
		return told(s.path, err)
	}
	defer rows.Close()
	for rows.Next() {
		var r row
		if err := rows.Scan(&r.seq, &r.id, &r.day, &r.at, &r.kind, &r.line); err != nil {
			return told(s.path, err)
		}
		if err := each(r); err != nil {
			return told(s.path, err)
		}
	}
	if err := rows.Err(); err != nil {
		return told(s.path, err)
	}
	return nil
}

// Check has SQLite look through the file, and reads every entry against its columns.
func (s *sqlite) Check(ctx context.Context) error {
	var said string
	if err := s.db.QueryRowContext(ctx, `pragma integrity_check(1)`).Scan(&said); err != nil {
		return told(s.path, err)
	}
	if said != "ok" {
		return told(s.path, fmt.Errorf("%s: %w", said, ErrDamaged))
	}
	return s.rows(ctx, func(r row) error {
		e, err := diary.Parse([]byte(r.line))
		if err == nil && (e.ID != r.id || e.Day != r.day || e.At.UnixMilli() != r.at || e.Kind() != r.kind || string(e.Line()) != r.line) {
			err = errors.New("is not what its columns say")
		}
		if err != nil {
			return fmt.Errorf("entry %d: %v: %w", r.seq, err, ErrDamaged)
		}
		return nil
	}, `select seq, id, day, at_ms, kind, line from events order by seq`)
}

// Backup lets SQLite write a new, whole file beside the place, brings it to the
// disk, and only then gives it its name.
func (s *sqlite) Backup(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s: %w: a backup is a new file", path, fs.ErrExist)
	}
	folder, err := os.MkdirTemp(filepath.Dir(path), ".windlane-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	defer os.RemoveAll(folder)
	beside := filepath.Join(folder, "backup")
	if _, err := s.db.ExecContext(ctx, `vacuum into ?`, beside); err != nil {
		return told(path, err)
	}
	// SQLite does not bring the new file to the disk (its documentation of VACUUM INTO).
	if err := syncFile(beside); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	if err := os.Rename(beside, path); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return syncFile(filepath.Dir(path))
}

// syncFile brings a file or a folder to the disk.
func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

func (s *sqlite) Close() error {
	return errors.Join(s.insert.Close(), s.db.Close())
}

// told says which file it is and, of SQLite's own faults, what to do.
func told(path string, err error) error {
	// The primary result codes (sqlite.org, Result and Error Codes).
	kinds := map[int]error{5: ErrBusy, 6: ErrBusy, 8: ErrReadOnly, 11: ErrDamaged, 13: ErrFull, 26: ErrForeign}
	var fault *driver.Error
	if errors.As(err, &fault) {
		switch kind := kinds[fault.Code()&0xff]; {
		case kind != nil:
			return fmt.Errorf("%s: %w", path, kind)
		case fault.Code()&0xff == 14:
			return fmt.Errorf("%s: cannot be opened: %w", path, fs.ErrPermission)
		}
	}
	return fmt.Errorf("%s: %w", path, err)
}
