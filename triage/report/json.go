package report

import (
	"bufio"
	"encoding/json"
	"io"
	"time"

	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// The objects of a JSON report, one a line; README and testdata/report/schema.json describe them.
type (
	headObject struct {
		Kind    string    `json:"kind"` // "report"
		Made    time.Time `json:"made"`
		From    string    `json:"from"`
		By      string    `json:"by"`
		Version int       `json:"version"`
	}
	sessionObject struct {
		Kind         string     `json:"kind"` // "session"
		Session      uint64     `json:"session"`
		Name         string     `json:"name"`
		Source       string     `json:"source,omitempty"`
		Denomination int        `json:"denomination"`
		NewNotes     bool       `json:"new_notes"`
		Straps       int        `json:"straps"`
		StrapNotes   int        `json:"strap_notes"`
		Opened       time.Time  `json:"opened"`
		Closed       *time.Time `json:"closed,omitempty"`
		Notes        int        `json:"notes"`
		Kept         int        `json:"kept"`
		Spent        int        `json:"spent"`
		SetAside     int        `json:"set_aside"`
		LaidApart    int        `json:"laid_apart,omitempty"`      // of another denomination
		GoesBack     *int       `json:"goes_back,omitempty"`       // by what was entered, as soon as there is a strap
		Counted      *int       `json:"counted_by_hand,omitempty"` // as soon as the whole pile is
		History      []event    `json:"history,omitempty"`
	}
	event struct {
		Event    string    `json:"event"`
		At       time.Time `json:"at"`
		GoesBack *int      `json:"goes_back,omitempty"`       // where it was signed off: as it was then
		Counted  *int      `json:"counted_by_hand,omitempty"` // the same
	}
	strapObject struct {
		Kind     string     `json:"kind"` // "strap"
		Session  uint64     `json:"session"`
		Strap    int        `json:"strap"`
		Band     int        `json:"band"`
		Opened   time.Time  `json:"opened"`
		Closed   *time.Time `json:"closed,omitempty"`
		Notes    int        `json:"notes"`
		Kept     int        `json:"kept"`
		Spent    int        `json:"spent"`
		SetAside int        `json:"set_aside"`
		Apart    int        `json:"laid_apart,omitempty"` // of another denomination
		Near     int        `json:"near_misses"`
		Reread   int        `json:"read_again"`
		First    string     `json:"first_serial,omitempty"` // of the note on top, where it was read before the others
		Last     string     `json:"last_serial,omitempty"`  // of the note at the bottom, the same
		Sequence bool       `json:"in_sequence,omitempty"`
		List     string     `json:"list,omitempty"`                // that notes were taken in from
		GoesBack int        `json:"goes_back"`                     // by what was entered
		InPlace  *int       `json:"in_place_of_keepers,omitempty"` // as soon as somebody has said it
		Counted  *int       `json:"counted_by_hand,omitempty"`     // the same
	}
	noteObject struct {
		Kind       string     `json:"kind"` // "note"
		Session    uint64     `json:"session"`
		Strap      int        `json:"strap"`
		Position   int        `json:"position"`
		Serial     string     `json:"serial,omitempty"`
		Prefix     string     `json:"prefix,omitempty"`
		Digits     string     `json:"digits,omitempty"`
		Suffix     string     `json:"suffix,omitempty"`
		Star       bool       `json:"star,omitempty"`
		Decision   string     `json:"decision"`
		Other      int        `json:"other_denomination,omitempty"` // of the note, where it is not that of the session
		Patterns   []string   `json:"patterns,omitempty"`
		Near       []string   `json:"near_misses,omitempty"`
		Stopped    []string   `json:"stopped_by,omitempty"`
		Series     string     `json:"series,omitempty"`
		Plant      string     `json:"plant,omitempty"`
		Seal       string     `json:"seal,omitempty"`
		SealLetter string     `json:"seal_letter,omitempty"`
		Corner     string     `json:"corner_number,omitempty"`
		Web        bool       `json:"web_press,omitempty"`
		Second     string     `json:"second_serial,omitempty"`
		Sheet      string     `json:"note_position,omitempty"`
		FacePlate  string     `json:"face_plate,omitempty"`
		BackPlate  string     `json:"back_plate,omitempty"`
		Condition  string     `json:"condition,omitempty"`
		Defects    []string   `json:"defects,omitempty"`
		Flaw       string     `json:"printing_error,omitempty"`
		Walk       string     `json:"answers_about_it,omitempty"`
		Face       string     `json:"on_the_face,omitempty"`
		Back       string     `json:"on_the_back,omitempty"`
		Stamp      bool       `json:"tracking_stamp,omitempty"`
		Neighbours bool       `json:"neighbours_wanted,omitempty"`
		Why        string     `json:"why,omitempty"`
		Remark     string     `json:"remark,omitempty"`
		Where      string     `json:"where,omitempty"`
		Rule       string     `json:"own_rule,omitempty"`
		Against    bool       `json:"against_rule,omitempty"`
		Look       string     `json:"second_look,omitempty"`
		Reread     string     `json:"read_again,omitempty"`
		Before     string     `json:"digits_typed_first,omitempty"`
		From       string     `json:"number_from,omitempty"` // where it was not typed
		Listed     string     `json:"as_listed,omitempty"`
		Fate       string     `json:"fate,omitempty"`
		FateDay    string     `json:"fate_day,omitempty"`
		FateRemark string     `json:"fate_remark,omitempty"`
		Decided    *time.Time `json:"decided,omitempty"`
		Changed    *time.Time `json:"changed,omitempty"`
		Seconds    float64    `json:"seconds"`
		Version    int        `json:"version"`
	}
)

func writeJSON(w io.Writer, m Made, s Source) error {
	buffered := bufio.NewWriterSize(w, flushAt)
	out := json.NewEncoder(buffered)
	out.SetEscapeHTML(false)
	if err := out.Encode(headObject{"report", m.At, m.From, m.By, 1}); err != nil {
		return err
	}
	all, stop := batches(s)
	defer stop()
	for batch := range all {
		switch {
		case batch.err != nil:
			return batch.err
		case batch.begins():
			if err := out.Encode(sessionOf(*batch.session, batch.straps)); err != nil {
				return err
			}
			continue
		}
		if err := out.Encode(strapOf(*batch.session, batch.strap)); err != nil {
			return err
		}
		for i := range batch.notes {
			if err := out.Encode(noteOf(batch.names, &batch.notes[i])); err != nil {
				return err
			}
		}
	}
	return buffered.Flush()
}

func sessionOf(s triage.Session, straps []triage.Strap) sessionObject {
	t := s.Totals
	o := sessionObject{Kind: "session", Session: s.ID, Name: s.Name, Source: s.Source, Denomination: int(s.Denomination), NewNotes: s.NewNotes,
		Straps: s.Straps, StrapNotes: s.StrapNotes, Opened: s.Opened, Notes: t.Notes, Kept: t.Kept, Spent: t.Spent, SetAside: t.Aside, LaidApart: t.Apart}
	if !s.Open() {
		o.Closed = &s.Closed
	}
	if len(straps) > 0 {
		all := counting.New(s, straps, nil).Together()
		back := all.Back()
		o.GoesBack = &back
		if all.Said {
			o.Counted = &all.Counted
		}
	}
	for _, e := range s.Log {
		o.History = append(o.History, eventOf(e))
	}
	return o
}

// events are what the stored kinds of event are called.
var events = map[triage.EventKind]string{triage.ClosedUncounted: "closed uncounted", triage.SignedOff: "signed off", triage.Reopened: "opened again"}

func eventOf(e triage.Event) event {
	o := event{Event: events[e.Kind], At: e.At}
	if e.Kind == triage.SignedOff {
		o.GoesBack, o.Counted = &e.Back, &e.Counted
	}
	return o
}

func strapOf(of triage.Session, s triage.Strap) strapObject {
	o := strapObject{Kind: "strap", Session: s.Session, Strap: s.Number, Band: s.Band, Opened: s.Opened, Notes: s.Totals.Notes,
		Kept: s.Totals.Kept, Spent: s.Totals.Spent, SetAside: s.Totals.Aside, Apart: s.Totals.Apart, Near: s.Totals.Near, Reread: s.Totals.Reread, Sequence: s.InSequence, List: s.List,
		GoesBack: counting.New(of, []triage.Strap{s}, nil).Straps[0].Back()}
	if !s.First.Empty() {
		o.First, o.Last = serialText(s.First), serialText(s.Last)
	}
	if !s.Closed.IsZero() {
		o.Closed = &s.Closed
	}
	if s.Back.Replaced {
		o.InPlace = &s.Back.InPlace
	}
	if s.Back.Said {
		o.Counted = &s.Back.Counted
	}
	return o
}

func noteOf(names *names, n *triage.Note) noteObject {
	o := noteObject{
		Kind: "note", Session: n.Session, Strap: n.Strap, Position: n.Position, Prefix: n.Serial.Prefix, Digits: n.Serial.Digits, Star: n.Serial.Star,
		Decision: n.Decision.String(), Other: int(n.Denomination), Patterns: names.list(n.Hits), Near: names.list(n.Near), Stopped: names.list(n.Watched), Series: n.Series,
		Plant: known(n.Facility != currency.FacilityUnknown, n.Facility), Seal: known(n.Seal != currency.ColourUnknown, n.Seal), SealLetter: n.SealLetter, Corner: n.Corner, Web: n.Web, Second: n.Second,
		Sheet: n.Sheet, FacePlate: n.Plate, BackPlate: n.BackPlate, Condition: known(n.Grade != flaws.NoGrade, n.Grade),
		Flaw: known(n.Flaw != flaws.NoOutcome, n.Flaw), Walk: n.Walk, Face: n.Face, Back: n.Back, Stamp: n.Stamp, Neighbours: n.Neighbours,
		Why: n.Reason, Remark: n.Remark, Where: n.Where, Rule: rulings[n.Ruled&3], Against: n.Against(), Look: looks[n.Look&3], Reread: rereads[n.Reread&3],
		Before: n.Before, From: origins[min(int(n.Origin), len(origins)-1)], Listed: n.Listed, Fate: known(n.Fate != triage.StillHere, n.Fate), FateRemark: n.FateRemark, Seconds: n.Took.Seconds(), Version: n.Version,
	}
	o.Serial = serialText(n.Serial)
	if n.Serial.Suffix != 0 {
		o.Suffix = string(n.Serial.Suffix)
	}
	for f := range n.Defects.Facts() {
		o.Defects = append(o.Defects, f.Name)
	}
	if !n.FateDay.IsZero() {
		o.FateDay = n.FateDay.Format(time.DateOnly)
	}
	if !n.Decided.IsZero() {
		o.Decided = &n.Decided
	}
	if !n.Changed.IsZero() {
		o.Changed = &n.Changed
	}
	return o
}
