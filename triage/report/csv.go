package report

import (
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// columns are the cells of a row. The last header has no cells below it: it says when and from what the file
// was made, without a line that a spreadsheet or a parser would stumble over.
var columns = []string{
	"session", "session name", "source", "denomination", "notes are", "strap", "position",
	"serial", "prefix", "digits", "suffix", "star", "decision", "other denomination", "patterns", "near misses", "stopped by",
	"series", "plant", "seal", "seal letter", "corner number", "web press", "second serial", "note position", "face plate", "back plate",
	"condition", "defects", "printing error", "answers about it", "on the face", "on the back", "tracking stamp", "neighbours wanted",
	"why", "remark", "where it lies", "own rule", "against the rule", "second look", "read again", "digits typed first", "number from", "as listed",
	"what became of it", "on the day", "remark on that", "decided", "changed", "seconds taken", "version",
}

// flushAt is how many bytes are gathered before they are written.
const flushAt = 64 << 10

func writeCSV(w io.Writer, m Made, s Source) error {
	var b []byte
	for _, c := range columns {
		b = append(append(b, c...), ',')
	}
	b = appendCell(b, "made "+m.At.Format(time.RFC3339)+" from "+triage.Printable(m.From)+" by "+m.By)
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
	text(n.Serial.Prefix)
	b = append(appendNumber(b, n.Serial.Digits), ',')
	if n.Serial.Suffix != 0 {
		b = append(b, n.Serial.Suffix)
	}
	b = append(b, ',')
	yes(n.Serial.Star)
	word(n.Decision.String())
	word(known(n.Denomination != 0, n.Denomination))
	text(names.join(n.Hits))
	text(names.join(n.Near))
	text(names.join(n.Watched))
	text(n.Series)
	word(known(n.Facility != currency.FacilityUnknown, n.Facility))
	word(known(n.Seal != currency.ColourUnknown, n.Seal))
	text(n.SealLetter)
	text(n.Corner)
	yes(n.Web)
	if onlyDigits(n.Second) { // its letters may stay out
		b = append(appendNumber(b, n.Second), ',')
	} else {
		text(n.Second)
	}
	text(n.Sheet)
	text(n.Plate)
	text(n.BackPlate)
	word(known(n.Grade != flaws.NoGrade, n.Grade))
	text(known(n.Defects != 0, n.Defects))
	text(known(n.Flaw != flaws.NoOutcome, n.Flaw))
	text(n.Walk)
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
	word(origins[min(int(n.Origin), len(origins)-1)])
	text(n.Listed)
	word(known(n.Fate != triage.StillHere, n.Fate))
	if !n.FateDay.IsZero() {
		b = n.FateDay.AppendFormat(b, time.DateOnly)
	}
	b = append(b, ',')
	text(n.FateRemark)
	b = appendTime(b, n.Decided)
	b = appendTime(b, n.Changed)
	b = append(strconv.AppendFloat(b, n.Took.Seconds(), 'f', 1, 64), ',')
	num(n.Version)
	return append(b, "\r\n"...)
}

// What the stored numbers are called.
var (
	rulings = [4]string{"", "mention", "spend", "keep"}
	looks   = [4]string{"", "waiting", "still spent", "kept after all"}
	rereads = [4]string{"", "the same", "changed", ""}
	origins = [3]string{"", "list", "sequence"}
)

// known gives the words of what was said, nothing of what was not.
func known[T interface{ String() string }](is bool, v T) string {
	if !is {
		return ""
	}
	return v.String()
}

// appendTime writes a time as RFC 3339 has it, nothing for none, and the comma.
func appendTime(b []byte, t time.Time) []byte {
	if !t.IsZero() {
		b = t.UTC().AppendFormat(b, time.RFC3339)
	}
	return append(b, ',')
}

// appendDigits writes a serial. One without letters would be a number and lose its zeros.
func appendDigits(b []byte, s triage.Serial) []byte {
	if s.Prefix == "" && s.Suffix == 0 && !s.Star && len(s.Digits) == patterns.Places {
		return appendNumber(b, s.Digits)
	}
	return appendCell(b, serialText(s))
}

// serialText is a serial with ? for each digit that was not typed; nothing where nothing was typed.
func serialText(s triage.Serial) string {
	if s.Empty() {
		return ""
	}
	return strings.ReplaceAll(s.String(), "·", "?")
}

// appendNumber writes digits that are no number, with an apostrophe so that a spreadsheet keeps every zero.
func appendNumber(b []byte, digits string) []byte {
	if digits == "" {
		return b
	}
	return append(append(b, '\''), digits...)
}

// appendCell writes text as RFC 4180 has it. A cell that would begin a formula, in any spreadsheet, gets an
// apostrophe in front (OWASP, CSV Injection); so does one that a spreadsheet would take for a number and change,
// and one that begins with an apostrophe: taking one away from every cell that has one gives the text back.
func appendCell(b []byte, s string) []byte {
	if s == "" {
		return b
	}
	mark := marked(s)
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

// marked reports whether a cell needs the apostrophe.
func marked(s string) bool {
	if c := s[0] | 0x20; 'a' <= c && c <= 'z' {
		return false
	}
	for i, r := range s {
		switch r {
		case '=', '+', '-', '@', '＝', '＋', '－', '＠':
			return true
		case '\'':
			return i == 0
		}
		if !unicode.IsGraphic(r) {
			return true // some programs pass over what cannot be seen, and then meet the sign
		}
		if !unicode.IsSpace(r) { // blanks are passed over, too
			return altered(strings.TrimSpace(s))
		}
	}
	return false
}

// altered reports whether a spreadsheet that takes the text for a number, a day or a time would write it
// otherwise: 007, 3/4, 1E5, 12:30, or more digits than the fifteen it calculates with.
func altered(s string) bool {
	if onlyDigits(s) {
		return len(s) > 15 || len(s) > 1 && s[0] == '0'
	}
	return (s[0] == '.' || '0' <= s[0] && s[0] <= '9') && strings.Trim(s, "0123456789 .,/:-+%eE") == ""
}

// onlyDigits reports whether there is nothing but the digits 0 to 9, and one at least.
func onlyDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
