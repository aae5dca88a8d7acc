package store

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"time"

	bolt "go.etcd.io/bbolt"
	"google.golang.org/protobuf/encoding/protowire"
)

// castagnoli is the CRC-32C polynomial (RFC 3720 appendix B.4 has its check values). It finds every
// single flipped bit and every burst up to 32 bits; bbolt itself checks only its header pages.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sumSize = 4

// checksum covers the key too: a sound value that turns up under another key is damage.
func checksum(key, content []byte) uint32 {
	return crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, content)
}

// seal puts the checksum before the content.
func seal(key, content []byte) []byte {
	b := make([]byte, 0, sumSize+len(content))
	b = binary.BigEndian.AppendUint32(b, checksum(key, content))
	return append(b, content...)
}

// unseal gives the content inside value, after the checksum was found right.
func unseal(bucket string, key, value []byte) ([]byte, error) {
	if len(value) < sumSize {
		return nil, newRecordError(bucket, key, errors.New("is cut short"))
	}
	content := value[sumSize:]
	if binary.BigEndian.Uint32(value) != checksum(key, content) {
		return nil, newRecordError(bucket, key, errors.New("has a wrong checksum"))
	}
	return content, nil
}

func putSealed(b *bolt.Bucket, key, content []byte) error { return b.Put(key, seal(key, content)) }

// getSealed is for records that must exist.
func getSealed(bucket string, b *bolt.Bucket, key []byte) ([]byte, error) {
	value := b.Get(key)
	if value == nil {
		return nil, newRecordError(bucket, key, errors.New("is missing"))
	}
	return unseal(bucket, key, value)
}

// A field is one numbered part of a record of type T, written as protobuf writes it. A zero is not
// written, and a field that is absent reads as zero.
type field[T any] struct {
	number protowire.Number
	name   string
	append func(b []byte, record *T) []byte // the tag and the value, or nothing for a zero
	read   func(v wireValue, record *T) error
}

// A wireValue is one value as it stands in a record: varint or bytes, by kind.
type wireValue struct {
	kind   protowire.Type
	varint uint64
	bytes  []byte // inside the record: to be copied
}

func (v wireValue) want(kind protowire.Type) error {
	if v.kind != kind {
		return fmt.Errorf("has wire type %d, want %d", v.kind, kind)
	}
	return nil
}

// encode writes a record.
func encode[T any](fields []field[T], record *T) []byte {
	var b []byte
	for _, f := range fields {
		b = f.append(b, record)
	}
	return b
}

// decode reads a record. Fields it does not know are skipped: a later version may have added them.
func decode[T any](fields []field[T], b []byte, record *T) error {
	next := 0 // fields come in the order of the table, so the search begins behind the last one
	for len(b) > 0 {
		number, kind, n := protowire.ConsumeTag(b)
		if n < 0 {
			return protowire.ParseError(n)
		}
		b = b[n:]
		v, n := consume(number, kind, b)
		if n < 0 {
			return protowire.ParseError(n)
		}
		b = b[n:]
		for i := range fields {
			at := (next + i) % len(fields)
			f := &fields[at]
			if f.number != number {
				continue
			}
			if err := f.read(v, record); err != nil {
				return fmt.Errorf("field %s: %w", f.name, err)
			}
			next = at + 1
			break
		}
	}
	return nil
}

func consume(number protowire.Number, kind protowire.Type, b []byte) (v wireValue, n int) {
	v.kind = kind
	switch kind {
	case protowire.VarintType:
		v.varint, n = protowire.ConsumeVarint(b)
	case protowire.BytesType:
		v.bytes, n = protowire.ConsumeBytes(b)
	default:
		n = protowire.ConsumeFieldValue(number, kind, b)
	}
	return v, n
}

func appendVarint(b []byte, number protowire.Number, x uint64) []byte {
	if x == 0 {
		return b
	}
	return protowire.AppendVarint(protowire.AppendTag(b, number, protowire.VarintType), x)
}

func appendBytes(b []byte, number protowire.Number, x []byte) []byte {
	return protowire.AppendBytes(protowire.AppendTag(b, number, protowire.BytesType), x)
}

// signed is a sint64.
func signed[T any, I ~int | ~int64](number protowire.Number, name string, at func(*T) *I) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte {
			return appendVarint(b, number, protowire.EncodeZigZag(int64(*at(r))))
		},
		func(v wireValue, r *T) error {
			x := protowire.DecodeZigZag(v.varint)
			*at(r) = I(x)
			if int64(I(x)) != x {
				return fmt.Errorf("%d is too large", x)
			}
			return v.want(protowire.VarintType)
		}}
}

// unsigned is a uint64.
func unsigned[T any, U ~uint8 | ~uint32 | ~uint64](number protowire.Number, name string, at func(*T) *U) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte { return appendVarint(b, number, uint64(*at(r))) },
		func(v wireValue, r *T) error {
			*at(r) = U(v.varint)
			if uint64(U(v.varint)) != v.varint {
				return fmt.Errorf("%d is too large", v.varint)
			}
			return v.want(protowire.VarintType)
		}}
}

// boolean is a bool.
func boolean[T any](number protowire.Number, name string, at func(*T) *bool) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte { return appendVarint(b, number, protowire.EncodeBool(*at(r))) },
		func(v wireValue, r *T) error {
			*at(r) = protowire.DecodeBool(v.varint)
			return v.want(protowire.VarintType)
		}}
}

// text is a string, kept byte for byte.
func text[T any](number protowire.Number, name string, at func(*T) *string) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte {
			if *at(r) == "" {
				return b
			}
			return appendBytes(b, number, []byte(*at(r)))
		},
		func(v wireValue, r *T) error {
			*at(r) = string(v.bytes)
			return v.want(protowire.BytesType)
		}}
}

// nested is a message inside the message.
func nested[T, N any](number protowire.Number, name string, fields []field[N], at func(*T) *N) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte {
			inner := encode(fields, at(r))
			if len(inner) == 0 {
				return b
			}
			return appendBytes(b, number, inner)
		},
		func(v wireValue, r *T) error {
			if err := v.want(protowire.BytesType); err != nil {
				return err
			}
			return decode(fields, v.bytes, at(r))
		}}
}

// instant is a google.protobuf.Timestamp: seconds since 1970 and nanoseconds, so every time.Time
// comes back exactly, in UTC. The zero time is absent; 1970 itself is a timestamp without fields.
func instant[T any](number protowire.Number, name string, at func(*T) *time.Time) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte {
			if at(r).IsZero() {
				return b
			}
			inner := appendVarint(nil, 1, uint64(at(r).Unix()))
			return appendBytes(b, number, appendVarint(inner, 2, uint64(at(r).Nanosecond())))
		},
		func(v wireValue, r *T) error {
			if err := v.want(protowire.BytesType); err != nil {
				return err
			}
			var stamp timestamp
			if err := decode(timestampFields, v.bytes, &stamp); err != nil {
				return err
			}
			if stamp.nanos >= uint64(time.Second) {
				return fmt.Errorf("%d nanoseconds are more than a second", stamp.nanos)
			}
			*at(r) = time.Unix(int64(stamp.seconds), int64(stamp.nanos)).UTC()
			return nil
		}}
}

// A timestamp holds the two varints of a google.protobuf.Timestamp; seconds are two's complement.
type timestamp struct{ seconds, nanos uint64 }

var timestampFields = []field[timestamp]{
	unsigned(1, "seconds", func(t *timestamp) *uint64 { return &t.seconds }),
	unsigned(2, "nanos", func(t *timestamp) *uint64 { return &t.nanos }),
}

// asJSON is for plain data whose form another package decides: JSON bytes.
func asJSON[T, V any](number protowire.Number, name string, at func(*T) *V) field[T] {
	return field[T]{number, name,
		func(b []byte, r *T) []byte {
			data, err := json.Marshal(at(r))
			if err != nil {
				// Only a type that JSON cannot express gets here: a mistake in the program, caught as
				// a refused write.
				panic(fmt.Sprintf("%s cannot be stored: %v", name, err))
			}
			return appendBytes(b, number, data)
		},
		func(v wireValue, r *T) error {
			if err := v.want(protowire.BytesType); err != nil {
				return err
			}
			return json.Unmarshal(v.bytes, at(r))
		}}
}
