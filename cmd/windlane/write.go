package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"
)

// file is one to be written: its name in the folder, and what draws it.
type file struct {
	name string
	draw func(io.Writer) error
}

// writeAll writes all files into a folder or none of them: each whole beside its
// place first, then all are put in place, in the order given.
func writeAll(folder string, files []file) (err error) {
	_, missing := os.Stat(folder)
	var beside []string // one for each file that is whole
	defer func() {
		for _, name := range beside {
			os.Remove(name)
		}
		if err != nil && missing != nil {
			os.Remove(folder) // if it is empty
		}
	}()
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return writeFault("make the folder", folder, err)
	}
	for _, f := range files {
		place := filepath.Join(folder, f.name)
		if info, err := os.Stat(place); err == nil && info.IsDir() {
			return fmt.Errorf("cannot write %s: a folder stands there", place)
		}
		var page bytes.Buffer
		if err := f.draw(&page); err != nil {
			return &insideError{fmt.Errorf("%s: %w", f.name, err)}
		}
		tmp, err := os.CreateTemp(folder, ".windlane-*")
		if err != nil {
			return writeFault("write in", folder, err)
		}
		beside = append(beside, tmp.Name())
		_, err = tmp.Write(page.Bytes())
		if err := errors.Join(err, tmp.Chmod(0o644), tmp.Close()); err != nil {
			return writeFault("write", place, err)
		}
	}
	for i, f := range files {
		place := filepath.Join(folder, f.name)
		if err := os.Rename(beside[i], place); err != nil {
			return writeFault("write", place, err)
		}
	}
	return nil
}

// ofThePlace are the faults of a place that somebody named; all others, such as a
// full disk, are not the person's.
var ofThePlace = []error{fs.ErrPermission, fs.ErrExist, fs.ErrNotExist, syscall.ENOTDIR, syscall.EROFS, syscall.ENAMETOOLONG}

func writeFault(what, place string, err error) error {
	said := fmt.Errorf("cannot %s %s: %w", what, place, err)
	if slices.ContainsFunc(ofThePlace, func(x error) bool { return errors.Is(err, x) }) {
		return said
	}
	return &insideError{said}
}

// minded is a stream that keeps its first fault, so that no answer is lost
// without a word.
type minded struct {
	io.Writer
	fault error
}

func (m *minded) Write(b []byte) (int, error) {
	n, err := m.Writer.Write(b)
	if m.fault == nil {
		m.fault = err
	}
	return n, err
}
