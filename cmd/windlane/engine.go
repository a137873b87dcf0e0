package main

import (
	"bufio"
	"bytes"
	"errors"
	"io"

	"windlane/internal/engine"
)

// engineCmd answers requests: one JSON object a line in, one a line out.
type engineCmd struct{}

func (engineCmd) Run(c *console) error {
	if err := serve(c.in, c.out); err != nil {
		return &insideError{err}
	}
	return nil
}

// serve answers each line of in with one line on out, in order. Blank lines are
// skipped; a line that is too long is answered with an error and passed over.
func serve(in io.Reader, out io.Writer) error {
	r := bufio.NewReaderSize(in, 1<<16)
	w := bufio.NewWriter(out)
	for {
		line, long, err := readLine(r)
		switch {
		case long:
			w.Write(engine.TooLong())
			w.WriteByte('\n')
		case len(bytes.TrimSpace(line)) > 0:
			w.Write(engine.Answer(line))
			w.WriteByte('\n')
		}
		if r.Buffered() == 0 || err != nil { // whoever asks one at a time gets each at once
			if err := w.Flush(); err != nil {
				return err
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// readLine reads up to a line end, or says that the line is longer than allowed.
func readLine(r *bufio.Reader) (line []byte, long bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		if !long && len(line)+len(part) > engine.MaxLine+1 {
			line, long = nil, true
		}
		if !long {
			line = append(line, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return bytes.TrimRight(line, "\r\n"), long, err
		}
	}
}
