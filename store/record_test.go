package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"
	"google.golang.org/protobuf/types/descriptorpb"
	"google.golang.org/protobuf/types/dynamicpb"
	"google.golang.org/protobuf/types/known/timestamppb"
	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
)

// drawSettings draws whatever patterns.Settings holds today, brought into the form JSON gives back.
func drawSettings(t *rapid.T) patterns.Settings {
	drawn := rapid.Make[patterns.Settings]().Draw(t, "settings")
	data, err := json.Marshal(drawn)
	if err != nil {
		t.Fatalf("settings are not plain data: %v", err)
	}
	var s patterns.Settings
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatalf("settings do not come back from JSON: %v", err)
	}
	return s
}

// roundTrip encodes a record, decodes it under its key, and wants the same.
func roundTrip[T any](t *rapid.T, table table[T], record T) {
	key := table.key(&record)
	back, err := table.read(key, seal(key, encode(table.fields, &record)))
	if err != nil {
		t.Fatalf("%s: %v", table.bucket, err)
	}
	if !reflect.DeepEqual(back, record) {
		t.Fatalf("%s: came back as\n%+v, stored was\n%+v", table.bucket, back, record)
	}
}

func TestRecordsComeBackEqual(t *testing.T) {
	number := rapid.IntRange(1, math.MaxUint32)
	t.Run("session", rapid.MakeCheck(func(t *rapid.T) { roundTrip(t, sessions, drawSession().Draw(t, "session")) }))
	t.Run("strap", rapid.MakeCheck(func(t *rapid.T) {
		roundTrip(t, straps, triage.Strap{
			Session: rapid.Uint64().Draw(t, "session"), Number: number.Draw(t, "number"), Band: rapid.Int().Draw(t, "band"),
			Opened: drawTime().Draw(t, "opened"), Closed: drawTime().Draw(t, "closed"), Done: rapid.Bool().Draw(t, "done"),
			Totals: drawTotals().Draw(t, "totals"),
		})
	}))
	t.Run("note", rapid.MakeCheck(func(t *rapid.T) {
		n := drawNote().Draw(t, "note")
		n.Session, n.Strap, n.Position, n.Version = rapid.Uint64().Draw(t, "session"), number.Draw(t, "strap"), number.Draw(t, "position"), number.Draw(t, "version")
		roundTrip(t, notes, n)
		roundTrip(t, versions, n)
	}))
	t.Run("run", rapid.MakeCheck(func(t *rapid.T) { roundTrip(t, runs, drawRun().Draw(t, "run")) }))
	t.Run("hand", rapid.MakeCheck(func(t *rapid.T) {
		roundTrip(t, hands, hand{rapid.Uint64().Draw(t, "session"), number.Draw(t, "strap"), triage.Held{Serial: drawSerial().Draw(t, "serial"), Position: number.Draw(t, "place")}})
	}))
}

// A field that triage gains and the tables forget would be lost without a word.
func TestEveryFieldOfEveryTypeIsStored(t *testing.T) {
	for _, c := range []struct {
		name   string
		got    any
		absent []string // what the key says
	}{
		{"session", filled(t, sessions), nil},
		{"strap", filled(t, straps), nil},
		{"note", filled(t, notes), nil},
		{"serial", filled(t, notes).Serial, nil},
		{"totals", filled(t, sessions).Totals, nil},
		{"run", filled(t, runs), nil},
		{"choices", filled(t, choices), nil},
		{"listed", filled(t, listed), nil},
		{"errand", filled(t, doneErrands), nil},
		{"ledger", filled(t, ledgers), nil},
		{"tally", filled(t, tallies), nil},
		{"held", filled(t, hands).Held, nil},
		{"facts", filled(t, hands).Held.Facts, nil},
		{"pauses", filled(t, choices).Pauses, nil},
	} {
		v := reflect.ValueOf(c.got)
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.Type.Size() > 0 && v.Field(i).IsZero() {
				t.Errorf("%s: field %s does not come back", c.name, f.Name)
			}
		}
	}
}

// filled sets every field of a record to something that is not zero and stores it once.
func filled[T any](t *testing.T, table table[T]) T {
	t.Helper()
	var record T
	fill(reflect.ValueOf(&record).Elem())
	key := table.key(&record)
	back, err := table.read(key, seal(key, encode(table.fields, &record)))
	if err != nil {
		t.Fatal(err)
	}
	return back
}

func fill(v reflect.Value) {
	switch {
	case v.Type() == reflect.TypeFor[time.Time]():
		v.Set(reflect.ValueOf(start))
	case v.Kind() == reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(key)
		fill(value)
		v.SetMapIndex(key, value)
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i))
		}
	case v.Kind() == reflect.String:
		v.SetString("7")
	case v.Kind() == reflect.Bool:
		v.SetBool(true)
	case v.CanInt():
		v.SetInt(7)
	case v.CanUint():
		v.SetUint(7)
	case v.Kind() == reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0))
	case v.Kind() == reflect.Array:
		fill(v.Index(0))
	}
}

func TestFieldNumbersAreUsedOnce(t *testing.T) {
	once(t, "session", sessionFields)
	once(t, "strap", strapFields)
	once(t, "note", noteFields)
	once(t, "serial", serialFields)
	once(t, "hand", handFields)
	once(t, "run", runFields)
	once(t, "totals", totalsFields)
}

func once[T any](t *testing.T, record string, fields []field[T]) {
	numbers, names := map[protowire.Number]bool{}, map[string]bool{}
	for _, f := range fields {
		if numbers[f.number] || names[f.name] || f.number < 1 {
			t.Errorf("%s: field %d %q is there twice or has no number", record, f.number, f.name)
		}
		numbers[f.number], names[f.name] = true, true
	}
}

// The records are what the reference implementation of protobuf (google.golang.org/protobuf) makes
// of the same values: it reads ours, and writes the same bytes.
func TestNoteIsTheReferenceProtobuf(t *testing.T) {
	descriptor := noteDescriptor(t)
	rapid.Check(t, func(t *rapid.T) {
		n := drawNote().Draw(t, "note")
		n.Reason = "kept for its radar" // protobuf strings are UTF-8
		n.Version = rapid.IntRange(0, 1<<40).Draw(t, "version")
		ours := encode(noteFields, &n)
		m := dynamicpb.NewMessage(descriptor)
		if err := proto.Unmarshal(ours, m); err != nil {
			t.Fatal(err)
		}
		if len(m.GetUnknown()) > 0 {
			t.Fatalf("the reference does not know %x", m.GetUnknown())
		}
		get := func(m protoreflect.Message, number protowire.Number) any {
			return m.Get(m.Descriptor().Fields().ByNumber(number)).Interface()
		}
		serial := m.Get(descriptor.Fields().ByNumber(2)).Message()
		for _, c := range []struct{ got, want any }{
			{get(m, 1), int64(n.Version)}, {get(m, 3), uint64(n.Decision)}, {get(m, 4), uint64(n.Hits)},
			{get(m, 5), uint64(n.Near)}, {get(m, 6), uint64(n.Watched)}, {get(m, 7), uint64(n.Reread)},
			{get(m, 8), n.Before}, {get(m, 9), uint64(n.Look)}, {get(m, 10), n.Reason}, {get(m, 12), int64(n.Took)}, {get(m, 13), n.Series},
			{get(m, 21), n.Stamp}, {get(m, 22), uint64(n.Flaw)}, {get(m, 33), uint64(n.Fate)}, {get(m, 36), uint64(n.Ruled)},
			{get(serial, 1), n.Serial.Prefix}, {get(serial, 2), n.Serial.Digits}, {get(serial, 3), uint64(n.Serial.Suffix)},
			{get(serial, 4), n.Serial.Star}, {get(serial, 5), n.Serial.StarFront},
		} {
			if c.got != c.want {
				t.Fatalf("the reference reads %v, stored was %v", c.got, c.want)
			}
		}
		wantReferenceTime(t, m, 11, n.Decided)
		wantReferenceTime(t, m, 37, n.Changed)
		theirs, err := proto.MarshalOptions{Deterministic: true}.Marshal(m)
		if err != nil || !bytes.Equal(theirs, ours) {
			t.Fatalf("the reference writes %x (%v), we wrote %x", theirs, err, ours)
		}
	})
}

func wantReferenceTime(t *rapid.T, m *dynamicpb.Message, number protowire.Number, want time.Time) {
	f := m.Descriptor().Fields().ByNumber(number)
	if m.Has(f) == want.IsZero() {
		t.Fatalf("time %v is present: %v", want, m.Has(f))
	}
	if want.IsZero() {
		return
	}
	data, err := proto.Marshal(m.Get(f).Message().Interface())
	if err != nil {
		t.Fatal(err)
	}
	var stamp timestamppb.Timestamp
	if err := proto.Unmarshal(data, &stamp); err != nil || !stamp.AsTime().Equal(want) {
		t.Fatalf("the reference reads the time %v (%v), stored was %v", stamp.AsTime(), err, want)
	}
}

// noteDescriptor describes Note and Serial to the reference implementation.
func noteDescriptor(t *testing.T) protoreflect.MessageDescriptor {
	t.Helper()
	type kind = descriptorpb.FieldDescriptorProto_Type
	const (
		s64, u64 = descriptorpb.FieldDescriptorProto_TYPE_SINT64, descriptorpb.FieldDescriptorProto_TYPE_UINT64
		str, yes = descriptorpb.FieldDescriptorProto_TYPE_STRING, descriptorpb.FieldDescriptorProto_TYPE_BOOL
		msg      = descriptorpb.FieldDescriptorProto_TYPE_MESSAGE
	)
	one := func(number int32, name string, k kind, message string) *descriptorpb.FieldDescriptorProto {
		f := &descriptorpb.FieldDescriptorProto{Name: proto.String(name), Number: proto.Int32(number), Type: k.Enum(),
			Label: descriptorpb.FieldDescriptorProto_LABEL_OPTIONAL.Enum()}
		if message != "" {
			f.TypeName = proto.String(message)
		}
		return f
	}
	message := func(name string, fields ...*descriptorpb.FieldDescriptorProto) *descriptorpb.DescriptorProto {
		return &descriptorpb.DescriptorProto{Name: proto.String(name), Field: fields}
	}
	file := &descriptorpb.FileDescriptorProto{
		Name: proto.String("note.proto"), Syntax: proto.String("proto3"), Package: proto.String("unband"),
		Dependency: []string{"google/protobuf/timestamp.proto"},
		MessageType: []*descriptorpb.DescriptorProto{
			message("Serial", one(1, "prefix", str, ""), one(2, "digits", str, ""), one(3, "suffix", u64, ""),
				one(4, "star", yes, ""), one(5, "star_front", yes, "")),
			message("Note", one(1, "version", s64, ""), one(2, "serial", msg, ".unband.Serial"), one(3, "decision", u64, ""),
				one(4, "hits", u64, ""), one(5, "near", u64, ""), one(6, "watched", u64, ""), one(7, "reread", u64, ""),
				one(8, "before", str, ""), one(9, "look", u64, ""), one(10, "reason", str, ""),
				one(11, "decided", msg, ".google.protobuf.Timestamp"), one(12, "took", s64, ""), one(13, "series", str, ""),
				one(21, "stamp", yes, ""), one(22, "flaw", u64, ""), one(33, "fate", u64, ""), one(36, "ruled", u64, ""),
				one(37, "changed", msg, ".google.protobuf.Timestamp")),
		},
	}
	registry := new(protoregistry.Files)
	if err := registry.RegisterFile(timestamppb.File_google_protobuf_timestamp_proto); err != nil {
		t.Fatal(err)
	}
	made, err := protodesc.NewFile(file, registry)
	if err != nil {
		t.Fatal(err)
	}
	return made.Messages().ByName("Note")
}

func TestFieldsOfALaterVersionAreSkipped(t *testing.T) {
	n := note(triage.Strap{Session: 1, Number: 1}, 1)
	b := protowire.AppendTag(nil, 900, protowire.Fixed32Type)
	b = protowire.AppendFixed32(b, 42)
	b = append(b, encode(noteFields, &n)...)
	b = appendBytes(b, 901, []byte("something new"))
	b = appendVarint(b, 902, 7)
	b = protowire.AppendGroup(protowire.AppendTag(b, 903, protowire.StartGroupType), 903, appendVarint(nil, 1, 1))
	back, err := notes.read(noteKey(n.Place()), seal(noteKey(n.Place()), b))
	if err != nil || !reflect.DeepEqual(back, n) {
		t.Errorf("with unknown fields: %+v, %v, want %+v", back, err, n)
	}
}

func TestRecordsThatCannotBe(t *testing.T) {
	key := noteKey(triage.Place{Session: 1, Strap: 1, Position: 1})
	stamp := func(nanos uint64) []byte { return appendBytes(nil, 11, appendVarint(nil, 2, nanos)) }
	for _, c := range []struct {
		why     string
		content []byte
	}{
		{"a decision of more than a byte", appendVarint(nil, 3, 256)},
		{"a version that is text", appendBytes(nil, 1, []byte("2"))},
		{"a reason that is a number", appendVarint(nil, 10, 2)},
		{"a time with a second of nanoseconds", stamp(1e9)},
		{"a field cut short", []byte{0x52, 9, 'a'}},
		{"a field without a number", []byte{0, 0}},
	} {
		_, err := notes.read(key, seal(key, c.content))
		var bad *RecordError
		if !errors.As(err, &bad) || bad.Bucket != bucketNotes || !bytes.Equal(bad.Key, key) {
			t.Errorf("%s: %v, want a RecordError that names the record", c.why, err)
		}
	}
	if _, err := notes.read(key[:15], seal(key[:15], nil)); err == nil {
		t.Error("a key of 15 bytes was read")
	}
}

// RFC 3720 (iSCSI), appendix B.4: check values of CRC-32C, byte by byte in the order of transmission
// there, as one number here. The value for "123456789" is the catalogue's check (E3069283).
func TestChecksumIsCRC32C(t *testing.T) {
	up := make([]byte, 32)
	for i := range up {
		up[i] = byte(i)
	}
	for _, c := range []struct {
		data []byte
		want uint32
	}{
		{make([]byte, 32), 0x8A9136AA},
		{bytes.Repeat([]byte{0xFF}, 32), 0x62A8AB43},
		{up, 0x46DD794E},
		{[]byte("123456789"), 0xE3069283},
	} {
		for cut := range len(c.data) + 1 {
			if got := checksum(c.data[:cut], c.data[cut:]); got != c.want {
				t.Errorf("checksum of %x cut at %d is %08X, want %08X", c.data, cut, got, c.want)
			}
		}
	}
}

func TestKeysSortAsThePile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) triage.Place {
			return triage.Place{Session: rapid.Uint64().Draw(t, name), Strap: rapid.IntRange(1, math.MaxUint32).Draw(t, name), Position: rapid.IntRange(1, math.MaxUint32).Draw(t, name)}
		}
		a, b := draw("a"), draw("b")
		want := comparePlaces(a, b)
		if got := bytes.Compare(noteKey(a), noteKey(b)); got != want {
			t.Fatalf("keys of %v and %v compare %d, want %d", a, b, got, want)
		}
	})
}

// A number that no key can hold must not find the record of another one.
func TestNumbersBeyondAKeyFindNothing(t *testing.T) {
	for _, n := range []int{0, -1, math.MinInt, 1 << 32, 1<<32 + 1, math.MaxInt} {
		if got := strapKey(1, n); !bytes.Equal(got, strapKey(1, 0)) {
			t.Errorf("strap %d has key %x, want that of strap 0", n, got)
		}
	}
}
