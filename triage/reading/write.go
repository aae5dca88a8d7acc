package reading

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
)

// writeText gives a line such as
//
//	B70633607C  stop  Radar (1 in 10,001)
//	B70633507C  stop  near Radar: 5 at place 3 or 6 at place 6
func writeText(dst []byte, v *verdict) []byte {
	var said []string
	for _, f := range v.judged.Findings {
		r := v.judge.rules[f.Rule]
		said = append(said, r.name+" ("+triage.OneIn(r.count, v.judge.Top)+detail(f.Detail)+")")
	}
	for _, n := range triage.TellNear(v.judge.Book, v.judge.Watch, v.judged) {
		said = append(said, "near "+v.judge.rules[n.Rule].name+": "+triage.ChangesWords(n.Changes))
	}
	if v.serial.Star {
		said = append(said, "star note")
	}
	said = append(said, v.notices...)
	dst = append(dst, v.serial.String()...)
	if v.stop {
		dst = append(dst, "  stop"...)
	}
	if len(said) > 0 {
		dst = append(append(dst, "  "...), strings.Join(said, "; ")...)
	}
	return append(dst, '\n')
}

func detail(s string) string {
	if s == "" {
		return ""
	}
	return ", " + s
}

// oneIn is among how many serials up to top one meets the rule, on average; 0 where none does.
func oneIn(count int, top patterns.Digits) float64 {
	if count == 0 {
		return 0
	}
	return float64(top) / float64(count)
}

func csvHeader() []byte {
	return []byte("input,serial,digits,stop,findings,one_in,near,notices\n")
}

// writeCSV gives the same as a row. The lead finding's odds stand alone, for sorting. A digit string
// would lose its zeros in a spreadsheet that reads it as a number, and a cell that begins with a sign
// would be a formula there: both get a mark in front that spreadsheets take as "this is text".
func writeCSV(dst []byte, v *verdict) []byte {
	var findings, near []string
	lead := ""
	for i, f := range v.judged.Findings {
		r := v.judge.rules[f.Rule]
		if i == 0 && r.count > 0 {
			lead = strconv.FormatFloat(oneIn(r.count, v.judge.Top), 'f', 0, 64)
		}
		findings = append(findings, r.name)
	}
	for _, n := range v.judged.Near {
		if v.judge.Watch.Near.Has(n.Rule) {
			near = append(near, v.judge.rules[n.Rule].name+": "+triage.ChangesWords(n.Changes))
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	// The error of a writer into memory is always nil.
	_ = w.Write([]string{
		textCell(string(v.input)), textCell(v.serial.String()), textCell(v.serial.Digits), strconv.FormatBool(v.stop),
		strings.Join(findings, "; "), lead, strings.Join(near, "; "), strings.Join(v.notices, "; "),
	})
	w.Flush()
	return append(dst, b.Bytes()...)
}

// textCell makes a spreadsheet take a cell as text.
func textCell(s string) string {
	s = triage.Printable(s)
	if s == "" {
		return s
	}
	if c := s[0]; '0' <= c && c <= '9' || strings.IndexByte("=+-@*", c) >= 0 {
		return "'" + s
	}
	return s
}

// The JSON of a line. Every field is always there, so that a reader need not ask.
type (
	jsonLine struct {
		Input    string        `json:"input"`    // the line as it came
		Serial   string        `json:"serial"`   // the serial as it is printed on a note
		Digits   string        `json:"digits"`   // its eight digits
		Findings []jsonFinding `json:"findings"` // rarest first
		Near     []jsonNear    `json:"near"`     // watched near misses, rarest first
		Stop     bool          `json:"stop"`     // the serial would stop a sorter
		Notices  []string      `json:"notices"`  // what was taken otherwise than written
	}
	jsonFinding struct {
		Name   string  `json:"name"`
		OneIn  float64 `json:"one_in"` // 0 where no serial up to the top meets the rule
		Count  int     `json:"count"`  // serials from 1 to the top that meet the rule
		Digits []int   `json:"digits"` // places the finding rests on, from 1
		Detail string  `json:"detail,omitempty"`
	}
	jsonNear struct {
		Name    string       `json:"name"`
		Changes []jsonChange `json:"changes"`
	}
	jsonChange struct {
		Position int   `json:"position,omitempty"` // from 1
		Digit    *int  `json:"digit,omitempty"`    // what it must become
		Swap     []int `json:"swap,omitempty"`     // the two places, from 1
	}
)

func writeJSON(dst []byte, v *verdict) []byte {
	line := jsonLine{
		Input: strings.ToValidUTF8(string(v.input), "\ufffd"), Serial: v.serial.String(), Digits: v.serial.Digits,
		Findings: []jsonFinding{}, Near: []jsonNear{}, Stop: v.stop, Notices: []string{},
	}
	for _, f := range v.judged.Findings {
		r := v.judge.rules[f.Rule]
		line.Findings = append(line.Findings, jsonFinding{r.name, oneIn(r.count, v.judge.Top), r.count, placesOf(f.Places), f.Detail})
	}
	for _, n := range v.judged.Near {
		if !v.judge.Watch.Near.Has(n.Rule) {
			continue
		}
		near := jsonNear{Name: v.judge.rules[n.Rule].name}
		for _, c := range n.Changes {
			if c.Swap {
				near.Changes = append(near.Changes, jsonChange{Swap: []int{c.Pos + 1, c.Pos + 2}})
			} else {
				to := int(c.To)
				near.Changes = append(near.Changes, jsonChange{Position: c.Pos + 1, Digit: &to})
			}
		}
		line.Near = append(line.Near, near)
	}
	line.Notices = append(line.Notices, v.notices...)
	text, err := json.Marshal(line)
	if err != nil {
		panic(err) // plain strings, numbers and bools always marshal
	}
	return append(append(dst, text...), '\n')
}

// placesOf lists the places of a mask, from 1.
func placesOf(mask uint8) []int {
	var out []int
	for i := 0; i < patterns.Places; i++ {
		if mask>>i&1 == 1 {
			out = append(out, i+1)
		}
	}
	return out
}
