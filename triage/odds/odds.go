// Package odds tells how rare each rule of a book is, what it costs to watch for, how soon the notes of a
// strap are settled, and how many keepers are lost to misreading. Counts are exact and count the serials
// from 1 to a highest one; what misreading loses is partly drawn, with the seed and the standard error told.
package odds

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
)

// strap is the number of notes that "a strap" stands for in odds.
const strap = 100

// A Row is one rule with its odds.
type Row struct {
	Name       string      `json:"name"`
	Count      int         `json:"count"`      // serials that meet the rule
	OneIn      float64     `json:"one_in"`     // 0 where none does
	HitStops   bool        `json:"hit_stops"`  // a hit stops the sorter
	NearCount  int         `json:"near_count"` // serials that miss the rule by one change
	NearStops  bool        `json:"near_stops"` // a near miss stops the sorter
	PerStrap   float64     `json:"per_strap"`  // hits among a hundred random notes
	PerBundle  float64     `json:"per_bundle"` // hits among a thousand
	Definition string      `json:"definition"`
	Source     string      `json:"source"`
	Example    string      `json:"example"`
	ID         patterns.ID `json:"-"`
}

// A Total is the price of the whole watch list. It counts each serial once, whatever it meets.
type Total struct {
	Top           int     `json:"top"`
	Hits          int     `json:"hits"`      // serials stopped by a hit
	NearOnly      int     `json:"near_only"` // serials stopped by a near miss alone
	StopsPerStrap float64 `json:"stops_per_strap"`
	HitsPerStrap  float64 `json:"hits_per_strap"`
	NearPerStrap  float64 `json:"near_per_strap"`

	// Settled is there only where it was asked for.
	Settled *Settled `json:"settled,omitempty"`
}

// Settled says how soon serials are settled.
type Settled struct {
	MeanDigits float64   `json:"mean_digits"` // digits typed for a note, on average
	By         []float64 `json:"by"`          // By[k]: share settled after k digits or sooner
}

// A Table is all of it.
type Table struct {
	Rows  []Row
	Total Total
}

// New counts everything for a book, a watch list and a highest serial, 1 to 99,999,999.
func New(b *patterns.Book, w patterns.Watch, top patterns.Digits, settled bool) Table {
	price := b.Price(w, top)
	t := Table{Total: Total{
		Top: int(top), Hits: price.Hits, NearOnly: price.NearOnly,
		StopsPerStrap: price.StopsPerStrap(strap), HitsPerStrap: price.HitsPerStrap(strap), NearPerStrap: price.NearPerStrap(strap),
	}}
	for _, r := range b.Rules() {
		n := b.Count(r.ID, top)
		row := Row{
			Name: r.Name, Count: n, HitStops: w.Hit.Has(r.ID), NearCount: b.NearCount(r.ID, top), NearStops: w.Near.Has(r.ID),
			PerStrap: float64(n) * strap / float64(top), PerBundle: float64(n) * 10 * strap / float64(top),
			Definition: r.Definition, Source: r.Source, Example: r.Example.String(), ID: r.ID,
		}
		if n > 0 {
			row.OneIn = float64(top) / float64(n)
		}
		t.Rows = append(t.Rows, row)
	}
	if settled {
		s := b.Settling(w, top)
		t.Total.Settled = &Settled{MeanDigits: s.Mean()}
		for k := 0; k <= patterns.Places; k++ {
			t.Total.Settled.By = append(t.Total.Settled.By, s.By(k))
		}
	}
	return t
}

// Only leaves the rows of some rules; the total stays that of the whole list.
func (t Table) Only(rules patterns.Set) Table {
	t.Rows = slices.DeleteFunc(slices.Clone(t.Rows), func(r Row) bool { return !rules.Has(r.ID) })
	return t
}

// Text writes the table for reading.
func (t Table) Text(out io.Writer) error {
	var b strings.Builder
	top := patterns.Digits(t.Total.Top)
	fmt.Fprintf(&b, "Serials 1 to %s\n\n%-22s %11s  %-17s %9s %10s %12s\n", triage.Thousands(t.Total.Top),
		"", "serials", "odds", "a strap", "a bundle", "near misses")
	for _, r := range t.Rows {
		fmt.Fprintf(&b, "%-22s %10s%s  %-17s %9s %10s %11s%s\n", r.Name, triage.Thousands(r.Count), sign(r.HitStops, "◆"),
			triage.OneIn(r.Count, top), Expected(r.PerStrap), Expected(r.PerBundle), triage.Thousands(r.NearCount), sign(r.NearStops, "≈"))
	}
	fmt.Fprintf(&b, "\n◆ a hit stops the sorter, ≈ a near miss does\n")
	fmt.Fprintf(&b, "The whole list stops %.2f notes in a strap of %d: %.2f by a hit, %.2f by a near miss alone.\n",
		t.Total.StopsPerStrap, strap, t.Total.HitsPerStrap, t.Total.NearPerStrap)
	if s := t.Total.Settled; s != nil {
		fmt.Fprintf(&b, "\nSettled early: %.2f digits are typed for a note, on average.\n", s.MeanDigits)
		for k := 1; k <= patterns.Places; k++ {
			fmt.Fprintf(&b, "  after %d %s %6.2f %%\n", k, map[bool]string{true: "digit: ", false: "digits:"}[k == 1], 100*s.By[k])
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func sign(yes bool, s string) string {
	if yes {
		return s
	}
	return " "
}

// Expected writes an average number of notes with as many digits as are of use.
func Expected(x float64) string {
	switch {
	case x == 0:
		return "0"
	case x < 0.0001:
		return "<0.0001"
	case x < 0.01:
		return strconv.FormatFloat(x, 'f', 4, 64)
	}
	return strconv.FormatFloat(x, 'f', 2, 64)
}

// CSV writes a row for each rule, then one named total whose count is the serials that stop.
func (t Table) CSV(out io.Writer) error {
	w := csv.NewWriter(out)
	rows := [][]string{{"name", "count", "one_in", "hit_stops", "near_count", "near_stops", "per_strap", "per_bundle", "definition", "source", "example"}}
	float := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for _, r := range t.Rows {
		rows = append(rows, []string{r.Name, strconv.Itoa(r.Count), float(r.OneIn), strconv.FormatBool(r.HitStops), strconv.Itoa(r.NearCount),
			strconv.FormatBool(r.NearStops), float(r.PerStrap), float(r.PerBundle), r.Definition, r.Source, "'" + r.Example})
	}
	stops := t.Total.Hits + t.Total.NearOnly
	rows = append(rows, []string{"total", strconv.Itoa(stops), "", "", strconv.Itoa(t.Total.NearOnly), "", float(t.Total.StopsPerStrap), float(10 * t.Total.StopsPerStrap),
		"serials that stop the sorter under the whole list", "", ""})
	if err := w.WriteAll(rows); err != nil {
		return fmt.Errorf("write the odds: %w", err)
	}
	return nil
}

// JSON writes one object a line for each rule, then one whose only field, total, is the price of
// the list.
func (t Table) JSON(out io.Writer) error {
	enc := json.NewEncoder(out)
	for _, r := range t.Rows {
		if err := enc.Encode(r); err != nil {
			return fmt.Errorf("write the odds: %w", err)
		}
	}
	if err := enc.Encode(map[string]Total{"total": t.Total}); err != nil {
		return fmt.Errorf("write the odds: %w", err)
	}
	return nil
}
