// Package store keeps diaries. What it promises stands in Store; contract_test.go
// asks it of every kind of store there is.
package store

import (
	"context"
	"errors"
	"fmt"

	"windlane/diary"
)

// Store keeps a diary's entries, and never changes one.
type Store interface {
	// Append adds entries, all of them or none, and returns once they will
	// outlast a crash of the program, of the machine, and a loss of power, as far
	// as the disk keeps its word. An entry that is there already is passed over,
	// so that a lost answer can be asked for again; added says how many were new.
	// Another entry under an id that is taken is a *ConflictError.
	Append(ctx context.Context, events ...diary.Event) (added int, err error)
	// Events are the entries of the days from first to last, both included, in the
	// order in which they were added; an empty date leaves that end open.
	Events(ctx context.Context, first, last string) ([]diary.Event, error)
	// Check reads everything there is and says what is wrong with it.
	Check(ctx context.Context) error
	// Backup writes the whole diary into a new file, whole or not at all.
	Backup(ctx context.Context, path string) error
	Close() error
}

// What can go wrong with a store; errors.Is tells them apart.
var (
	ErrAbsent   = errors.New("there is no diary")
	ErrFull     = errors.New("the disk is full: nothing of this was written; make room and write it again")
	ErrReadOnly = errors.New("it cannot be written to: nothing of this was written")
	ErrBusy     = errors.New("another program has been writing to it for too long: nothing of this was written; try again")
	ErrDamaged  = errors.New("it is damaged: put it aside and go back to a backup")
	ErrForeign  = errors.New("it is not a diary of windlane's")
	ErrNewer    = errors.New("it was written by a newer windlane: bring this one up to date")
)

// ConflictError says that an id is taken by another entry.
type ConflictError struct{ ID string }

func (e *ConflictError) Error() string {
	return fmt.Sprintf("entry %s stands there already and says something else: entries are never changed; write a correction", e.ID)
}
