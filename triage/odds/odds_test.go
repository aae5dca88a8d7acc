package odds

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"app/unband/patterns"
)

func table(t *testing.T, top patterns.Digits) Table {
	t.Helper()
	b, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	return New(b, b.DefaultWatch(), top, true)
}

// The counts under caps are those of facts 12.4, computed by brute force over all serials.
func TestCountsUnderCaps(t *testing.T) {
	for top, want := range map[patterns.Digits]map[string]int{
		96_000_000: {"solid": 8, "radar": 9_599, "repeater": 9_599, "super radar": 87, "super repeater": 87, "rotator": 549,
			"binary": 10_671, "trinary": 657_889, "all different": 1_753_920},
		99_200_000: {"solid": 8, "radar": 9_919, "repeater": 9_919, "super radar": 90, "super repeater": 90, "rotator": 609,
			"binary": 10_927, "trinary": 677_225, "all different": 1_814_400},
	} {
		found := 0
		for _, r := range table(t, top).Rows {
			if n, ok := want[r.Name]; ok {
				found++
				if r.Count != n {
					t.Errorf("%d serials up to %v are %s, want %d", r.Count, top, r.Name, n)
				}
			}
		}
		if found != len(want) {
			t.Errorf("%d of %d names are in the table", found, len(want))
		}
	}
}

func TestFormats(t *testing.T) {
	table := table(t, 96_000_000)
	var text, rows, lines bytes.Buffer
	for _, err := range []error{table.Text(&text), table.CSV(&rows), table.JSON(&lines)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(text.String(), "1 in 10,001") || !strings.Contains(text.String(), "Settled early: 6.5") {
		t.Errorf("the text is\n%s", text.String())
	}
	records, err := csv.NewReader(&rows).ReadAll()
	if err != nil || len(records) != len(table.Rows)+2 {
		t.Errorf("%d CSV records (%v), want a header, %d rules and the total", len(records), err, len(table.Rows))
	}
	dec, n := json.NewDecoder(&lines), 0
	var total struct{ Total *Total }
	for dec.More() {
		var raw json.RawMessage
		if err := dec.Decode(&raw); err != nil {
			t.Fatal(err)
		}
		var row Row
		if err := json.Unmarshal(raw, &row); err != nil {
			t.Fatal(err)
		}
		if row.Name != "" && row.Count > 0 && row.OneIn != 96_000_000/float64(row.Count) {
			t.Errorf("%s: one in %v of %d", row.Name, row.OneIn, row.Count)
		}
		if err := json.Unmarshal(raw, &total); err != nil {
			t.Fatal(err)
		}
		n++
	}
	if n != len(table.Rows)+1 || total.Total == nil || total.Total.StopsPerStrap != table.Total.StopsPerStrap {
		t.Errorf("%d JSON objects, the last %+v", n, total.Total)
	}
	if s := table.Total.Settled; s.By[8] != 1 || s.MeanDigits < 6 || s.MeanDigits > 7 {
		t.Errorf("settled %+v", s)
	}
}
