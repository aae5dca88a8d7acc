package odds

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"app/unband/triage"
)

// sums are the lines of several rules together.
func (l Losses) sums() []Loss { return []Loss{l.Guarded, l.Bare, l.All} }

// Text writes the table for reading, with what it assumes.
func (l Losses) Text(out io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Serials 1 to %s. %s %% of digits misread, %s %% of neighbouring pairs swapped.\nSeed %d, %s readings drawn of a kind for each line.\n",
		triage.Thousands(l.Top), percent(l.Digit), percent(l.Swap), l.Seed, triage.Thousands(l.Notes))
	fmt.Fprintf(&b, "%.2f %% of notes have a misreading, %.3f %% two or more: there the guarantee ends.\n\n", 100*l.Once, 100*l.Twice)
	fmt.Fprintf(&b, "%-23s %9s   %-45s   %s\n", "", "", "lost of 100,000 keepers", "lost in 1,000 straps")
	fmt.Fprintf(&b, "%-23s %9s  %8s %8s %8s %8s %9s   %8s %8s %9s\n", "", "keepers", "found", "of one", "typed", "again", "hits only", "found", "again", "hits only")
	for _, r := range l.Rules {
		l.line(&b, r)
	}
	b.WriteByte('\n')
	for _, r := range l.sums() {
		l.line(&b, r)
	}
	fmt.Fprintf(&b, `
≈ near misses of the rule stop the sorter. A typed serial that is a hit is taken to be looked at and kept.
found      near misses stop, and every re-read is assumed to find the true serial
of one     of these, the notes with exactly one misreading
typed      the re-read asks for the doubtful digits only, as the program does, and they are read right
again      as typed, and the re-read is misread as often
hits only  near misses do not stop
The guarantee covers one misreading of a serial, typed whole or only until it is settled: digits settle a
note when nothing that begins with them stops, so settling early loses no keeper more. The second look is
not counted.
Single misreadings of every keeper are walked (of %s drawn ones, where there are more), two and more are
drawn, and so are re-reads. Standard error of 100,000 keepers: at most %s in a line, %s in the last.

A strap of %d stops %s times more because near misses are watched (exact). Misreading makes %s of its
notes stop that would not have stopped; if only hits stop, %s (standard error at most %s).
`, triage.Thousands(walked), figures(l.worst()), figures(l.All.Noise), strap, figures(l.NearPerStrap), figures(l.FalsePerStrap), figures(l.FalseHitsOnly), figures(l.FalseNoise))
	_, err := io.WriteString(out, b.String())
	return err
}

func (l Losses) line(b *strings.Builder, r Loss) {
	fmt.Fprintf(b, "%-23s %9s%s %8s %8s %8s %8s %9s   %8s %8s %9s\n", r.Name, triage.Thousands(r.Keepers), sign(r.NearStops, "≈"),
		figures(r.Per.Found), figures(r.Per.One), figures(r.Per.Typed), figures(r.Per.Again), figures(r.Per.HitsOnly),
		figures(r.Straps.Found), figures(r.Straps.Again), figures(r.Straps.HitsOnly))
}

// worst is the largest standard error of a line shown.
func (l Losses) worst() (noise float64) {
	for _, r := range append(l.sums(), l.Rules...) {
		noise = max(noise, r.Noise)
	}
	return noise
}

func percent(x float64) string { return strconv.FormatFloat(100*x, 'g', 6, 64) }

// figures writes an expected number with three digits that say something.
func figures(x float64) string {
	switch {
	case x == 0:
		return "0"
	case x < 0.0001:
		return "<0.0001"
	case x < 0.1:
		return strconv.FormatFloat(x, 'f', 4, 64)
	case x < 10:
		return strconv.FormatFloat(x, 'f', 2, 64)
	case x < 100:
		return strconv.FormatFloat(x, 'f', 1, 64)
	}
	return triage.Thousands(int(x + 0.5))
}

// CSV writes a line for each rule, then the three sums, each with the chances and the seed it rests on.
// Figures of stops stand in JSON and text only: they are about no line.
func (l Losses) CSV(out io.Writer) error {
	rows := [][]string{{"name", "keepers", "near_stops", "found", "found_one", "typed", "again", "hits_only", "noise",
		"straps_found", "straps_found_one", "straps_typed", "straps_again", "straps_hits_only", "misread", "swap", "seed", "notes"}}
	for _, r := range append(append([]Loss{}, l.Rules...), l.sums()...) {
		row := []string{r.Name, strconv.Itoa(r.Keepers), strconv.FormatBool(r.NearStops)}
		for _, x := range []float64{r.Per.Found, r.Per.One, r.Per.Typed, r.Per.Again, r.Per.HitsOnly, r.Noise,
			r.Straps.Found, r.Straps.One, r.Straps.Typed, r.Straps.Again, r.Straps.HitsOnly, l.Digit, l.Swap} {
			row = append(row, strconv.FormatFloat(x, 'g', -1, 64))
		}
		rows = append(rows, append(row, strconv.FormatUint(l.Seed, 10), strconv.Itoa(l.Notes)))
	}
	if err := csv.NewWriter(out).WriteAll(rows); err != nil {
		return fmt.Errorf("write what misreading costs: %w", err)
	}
	return nil
}

// JSON writes one object a line for each rule and each of the three sums, then one whose only field,
// misreading, has what the figures rest on and the stops.
func (l Losses) JSON(out io.Writer) error {
	enc := json.NewEncoder(out)
	for _, r := range append(append([]Loss{}, l.Rules...), l.sums()...) {
		if err := enc.Encode(r); err != nil {
			return fmt.Errorf("write what misreading costs: %w", err)
		}
	}
	type whole struct {
		Misreading
		Top           int     `json:"top"`
		Once          float64 `json:"notes_with_one_or_more"`
		Twice         float64 `json:"notes_with_two_or_more"`
		NearPerStrap  float64 `json:"near_per_strap"`
		FalsePerStrap float64 `json:"false_stops_per_strap"`
		FalseHitsOnly float64 `json:"false_stops_per_strap_hits_only"`
		FalseNoise    float64 `json:"false_stops_noise"`
	}
	last := whole{l.Misreading, l.Top, l.Once, l.Twice, l.NearPerStrap, l.FalsePerStrap, l.FalseHitsOnly, l.FalseNoise}
	if err := enc.Encode(map[string]whole{"misreading": last}); err != nil {
		return fmt.Errorf("write what misreading costs: %w", err)
	}
	return nil
}
