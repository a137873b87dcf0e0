package wire

import (
	"bytes"
	"encoding/json"
)

// Envelope is the outside of every request: which it is and what it asks.
type Envelope struct {
	ID  json.RawMessage
	Ask string
}

// Open reads the envelope of one request line. The id is null when it cannot
// be read, and is given back even where the rest is refused.
func Open(line []byte) (Envelope, *Fault) {
	e := Envelope{ID: json.RawMessage("null")}
	if !json.Valid(line) {
		var syntax any
		err := json.Unmarshal(line, &syntax)
		return e, Refuse("", "is not readable JSON: %v: send one object on one line", err)
	}
	_, fields, fault := object(bytes.TrimSpace(line), "")
	if id, ok := fields["id"]; ok {
		e.ID = id
	}
	if fault != nil {
		return e, fault
	}
	if _, ok := fields["id"]; !ok {
		return e, Refuse("id", "is missing: any value that tells the answers apart belongs here")
	}
	ask, ok := fields["ask"]
	if !ok {
		return e, Refuse("ask", "is missing: the name of a question belongs here")
	}
	if json.Unmarshal(ask, &e.Ask) != nil || ask[0] != '"' {
		return e, Refuse("ask", "must be a text in quotes, not %s", short(ask))
	}
	return e, nil
}

// Answer closes an answer, or a fault, into one line without its line end.
func Answer(id json.RawMessage, answer any, fault *Fault) []byte {
	var out struct {
		ID     json.RawMessage `json:"id"`
		Answer any             `json:"answer,omitempty"`
		Error  *Fault          `json:"error,omitempty"`
	}
	out.ID, out.Answer, out.Error = id, answer, fault
	if fault != nil {
		out.Answer = nil
	}
	line, err := encode(out)
	if err != nil { // a number that JSON cannot hold
		out.Answer, out.Error = nil, Refuse("", "windlane failed inside: %v. Keep the request: it is the bug report", err)
		line, err = encode(out)
		if err != nil {
			panic("wire: an error that cannot be written: " + err.Error())
		}
	}
	return line
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}
