package report

import (
	"io"
	"strconv"
	"strings"
	"time"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// columns are the cells of a row. The last header has no cells below it: it says when and from what the file
// was made, without a line that a spreadsheet or a parser would stumble over.
var columns = []string{
	"session", "session name", "source", "denomination", "notes are", "strap", "position",
	"serial", "prefix", "digits", "suffix", "star", "decision", "patterns", "near misses",
	"series", "plant", "seal", "second serial", "note position", "face plate", "back plate",
	"condition", "defects", "printing error", "on the face", "on the back", "tracking stamp", "neighbours wanted",
	"why", "remark", "where it lies", "own rule", "against the rule", "second look", "read again", "digits typed first",
	"what became of it", "on the day", "remark on that", "decided", "seconds taken", "version",
}

// flushAt is how many bytes are gathered before they are written.
const flushAt = 64 << 10

func writeCSV(w io.Writer, m Made, s Source) error {
	var b []byte
	for _, c := range columns {
		b = append(append(b, c...), ',')
	}
	b = appendCell(b, "made "+m.At.Format(time.RFC3339)+" from "+m.From+" by "+m.By)
	b = append(b, "\r\n"...)
	all, stop := batches(s)
	defer stop()
	for batch := range all {
		if batch.err != nil {
			return batch.err
		}
		head := sessionCells(batch.session)
		for i := range batch.notes {
			b = appendRow(b, head, batch.names, &batch.notes[i])
		}
		if len(b) >= flushAt {
			if _, err := w.Write(b); err != nil {
				return err
			}
			b = b[:0]
		}
	}
	_, err := w.Write(b)
	return err
}

// sessionCells are the cells that are the same for every note of a session.
func sessionCells(s *triage.Session) []byte {
	kind := "used"
	if s.NewNotes {
		kind = "new"
	}
	b := strconv.AppendUint(nil, s.ID, 10)
	b = appendCell(append(b, ','), s.Name)
	b = appendCell(append(b, ','), s.Source)
	b = strconv.AppendInt(append(b, ','), int64(s.Denomination), 10)
	return append(append(append(b, ','), kind...), ',')
}

func appendRow(b, head []byte, names *names, n *triage.Note) []byte {
	text := func(s string) { b = append(appendCell(b, s), ',') }
	word := func(s string) { b = append(append(b, s...), ',') } // our own: no sign, no comma
	num := func(x int) { b = append(strconv.AppendInt(b, int64(x), 10), ',') }
	yes := func(is bool) {
		if is {
			b = append(b, "yes"...)
		}
		b = append(b, ',')
	}
	b = append(b, head...)
	num(n.Strap)
	num(n.Position)
	b = append(appendDigits(b, n.Serial), ',')
	word(n.Serial.Prefix)
	b = append(appendNumber(b, n.Serial.Digits), ',')
	if n.Serial.Suffix != 0 {
		b = append(b, n.Serial.Suffix)
	}
	b = append(b, ',')
	yes(n.Serial.Star)
	word(n.Decision.String())
	text(names.join(n.Hits))
	text(names.join(n.Near))
	text(n.Series)
	word(known(n.Facility != currency.FacilityUnknown, n.Facility))
	word(known(n.Seal != currency.ColourUnknown, n.Seal))
	text(n.Second)
	text(n.Sheet)
	text(n.Plate)
	text(n.BackPlate)
	word(known(n.Grade != flaws.NoGrade, n.Grade))
	text(known(n.Defects != 0, n.Defects))
	text(known(n.Flaw != flaws.NoOutcome, n.Flaw))
	text(n.Face)
	text(n.Back)
	yes(n.Stamp)
	yes(n.Neighbours)
	text(n.Reason)
	text(n.Remark)
	text(n.Where)
	word(rulings[n.Ruled&3])
	yes(n.Against())
	word(looks[n.Look&3])
	word(rereads[n.Reread&3])
	b = append(appendNumber(b, n.Before), ',')
	word(known(n.Fate != triage.StillHere, n.Fate))
	if !n.FateDay.IsZero() {
		b = n.FateDay.AppendFormat(b, time.DateOnly)
	}
	b = append(b, ',')
	text(n.FateRemark)
	if !n.Decided.IsZero() {
		b = n.Decided.UTC().AppendFormat(b, time.RFC3339)
	}
	b = append(b, ',')
	b = append(strconv.AppendFloat(b, n.Took.Seconds(), 'f', 1, 64), ',')
	num(n.Version)
	return append(b, "\r\n"...)
}

// What the stored numbers are called.
var (
	rulings = [4]string{"", "mention", "spend", "keep"}
	looks   = [4]string{"", "waiting", "still spent", "kept after all"}
	rereads = [4]string{"", "the same", "changed", ""}
)

// known gives the words of what was said, nothing of what was not.
func known[T interface{ String() string }](is bool, v T) string {
	if !is {
		return ""
	}
	return v.String()
}

// appendDigits writes a serial. One without letters would be a number and lose its zeros.
func appendDigits(b []byte, s triage.Serial) []byte {
	if s.Prefix == "" && s.Suffix == 0 && !s.Star {
		return appendNumber(b, s.Digits)
	}
	return appendCell(b, strings.ReplaceAll(s.String(), "·", "?"))
}

// appendNumber writes digits that are no number, with an apostrophe so that a spreadsheet keeps every zero.
func appendNumber(b []byte, digits string) []byte {
	if digits == "" {
		return b
	}
	return append(append(b, '\''), digits...)
}

// appendCell writes text as RFC 4180 has it. A cell that would begin a formula, in any spreadsheet, gets an
// apostrophe in front (OWASP, CSV Injection), and so does one that begins with an apostrophe: taking one away
// from every cell that has one gives the text back.
func appendCell(b []byte, s string) []byte {
	if s == "" {
		return b
	}
	mark := false
	switch r := []rune(s[:min(len(s), 4)])[0]; r {
	case '=', '+', '-', '@', '\t', '\r', '\n', '\'', '＝', '＋', '－', '＠':
		mark = true
	}
	if !strings.ContainsAny(s, ",\"\r\n") && s[0] != ' ' && s[len(s)-1] != ' ' {
		if mark {
			b = append(b, '\'')
		}
		return append(b, s...)
	}
	b = append(b, '"')
	if mark {
		b = append(b, '\'')
	}
	for i := 0; i < len(s); i++ {
		if s[i] == '"' {
			b = append(b, '"')
		}
		b = append(b, s[i])
	}
	return append(b, '"')
}
