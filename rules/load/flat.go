package load

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"

	"seepwright/rules"
)

// The flat form of a value: a mark of its Go type, one table of all texts, and then the
// value field by field. It is read some ten times faster than JSON, because texts are cut
// from one piece and nothing has to be parsed. The mark changes with the types, so that a
// form written by an older program is refused instead of misread.

// errFlat is what a damaged or outdated flat form gives.
var errFlat = errors.New("the compiled form is damaged or of another version")

// packer writes the flat form.
type packer struct {
	texts map[string]uint64
	table []byte
	body  []byte
}

// pack gives the flat form of a knowledge base; equal knowledge gives equal bytes.
func pack(v rules.Knowledge) []byte {
	p := &packer{texts: map[string]uint64{}}
	rv := reflect.ValueOf(v)
	p.value(rv)
	out := binary.LittleEndian.AppendUint64(nil, knowledgeForm().mark)
	out = binary.AppendUvarint(out, uint64(len(p.texts)))
	out = binary.AppendUvarint(out, uint64(len(p.table)))
	return slices.Concat(out, p.table, p.body)
}

func (p *packer) uint(x uint64) { p.body = binary.AppendUvarint(p.body, x) }

func (p *packer) text(s string) {
	n, known := p.texts[s]
	if !known {
		n = uint64(len(p.texts))
		p.texts[s] = n
		p.table = append(binary.AppendUvarint(p.table, uint64(len(s))), s...)
	}
	p.uint(n)
}

func (p *packer) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		p.text(v.String())
	case reflect.Bool:
		p.uint(map[bool]uint64{true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int64:
		p.body = binary.AppendVarint(p.body, v.Int())
	case reflect.Float64:
		p.body = binary.LittleEndian.AppendUint64(p.body, math.Float64bits(v.Float()))
	case reflect.Pointer:
		if v.IsNil() {
			p.uint(0)
			return
		}
		p.uint(1)
		p.value(v.Elem())
	case reflect.Slice:
		if v.IsNil() {
			p.uint(0)
			return
		}
		p.uint(uint64(v.Len()) + 1)
		for i := range v.Len() {
			p.value(v.Index(i))
		}
	case reflect.Map:
		if v.IsNil() {
			p.uint(0)
			return
		}
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
		p.uint(uint64(len(keys)) + 1)
		for _, k := range keys {
			p.text(k.String())
			p.value(v.MapIndex(k))
		}
	case reflect.Struct:
		fields := kept(v.Type())
		var set uint64 // most fields of most documents are empty
		for i, f := range fields {
			if !v.Field(f).IsZero() {
				set |= 1 << i
			}
		}
		p.uint(set)
		for i, f := range fields {
			if set>>i&1 == 1 {
				p.value(v.Field(f))
			}
		}
	default:
		panic("load: no flat form for " + v.Type().String()) // a new field type; the tests of this package meet it first
	}
}

// kept lists the fields of a struct that are written: not those that are filled after reading.
func kept(t reflect.Type) []int {
	var out []int
	for i := range t.NumField() {
		if f := t.Field(i); f.IsExported() && f.Tag.Get("json") != "-" {
			out = append(out, i)
		}
	}
	return out
}

// mark is a number that differs for types that are written differently.
func mark(t reflect.Type) uint64 {
	h := fnv.New64a()
	seen := map[reflect.Type]bool{}
	var describe func(t reflect.Type)
	describe = func(t reflect.Type) {
		fmt.Fprint(h, t.Kind(), t.Name(), ";")
		if seen[t] {
			return
		}
		seen[t] = true
		switch t.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map:
			describe(t.Elem())
		case reflect.Struct:
			for _, i := range kept(t) {
				fmt.Fprint(h, t.Field(i).Name, ":")
				describe(t.Field(i).Type)
			}
		}
	}
	describe(t)
	return h.Sum64()
}

// unpacker reads the flat form. A damaged form sets bad and yields zero values.
type unpacker struct {
	body  string
	texts []string
	bad   bool
}

// flatForm is how one type is marked and read.
type flatForm struct {
	mark uint64
	read plan
}

func formOf(t reflect.Type) flatForm { return flatForm{mark(t), planOf(t, plans{})} }

// knowledgeForm is made once: every start reads two folders or more.
var knowledgeForm = sync.OnceValue(func() flatForm { return formOf(reflect.TypeFor[rules.Knowledge]()) })

// unpack reads a flat form.
func unpack(data string, into *rules.Knowledge) error {
	v := reflect.ValueOf(into).Elem()
	how := knowledgeForm()
	if len(data) < 8 || binary.LittleEndian.Uint64([]byte(data[:8])) != how.mark {
		return errFlat
	}
	u := &unpacker{body: data[8:]}
	n, size := u.uint(), u.uint()
	if u.bad || size > uint64(len(u.body)) || n > size+1 {
		return errFlat
	}
	table := &unpacker{body: u.body[:size]}
	u.body = u.body[size:]
	u.texts = make([]string, n)
	for i := range u.texts {
		length := table.uint()
		if table.bad || length > uint64(len(table.body)) {
			return errFlat
		}
		u.texts[i], table.body = table.body[:length], table.body[length:]
	}
	how.read(u, v)
	if u.bad || u.body != "" {
		return errFlat
	}
	return nil
}

func (u *unpacker) uint() uint64 {
	var x uint64
	for i := 0; i < len(u.body) && i < binary.MaxVarintLen64; i++ {
		b := u.body[i]
		x |= uint64(b&0x7f) << (7 * i)
		if b < 0x80 {
			u.body = u.body[i+1:]
			return x
		}
	}
	u.bad, u.body = true, ""
	return 0
}

func (u *unpacker) int() int64 {
	x := u.uint()
	return int64(x>>1) ^ -int64(x&1)
}

func (u *unpacker) text() string {
	if n := u.uint(); n < uint64(len(u.texts)) {
		return u.texts[n]
	}
	u.bad = true
	return ""
}

func (u *unpacker) float() float64 {
	if len(u.body) < 8 {
		u.bad, u.body = true, ""
		return 0
	}
	var x uint64
	for i := range 8 {
		x |= uint64(u.body[i]) << (8 * i)
	}
	u.body = u.body[8:]
	return math.Float64frombits(x)
}

// length reads the length of a list or map; ok is false for nil. Every item takes at least a
// byte, so a damaged form cannot ask for more memory than it has bytes.
func (u *unpacker) length() (n int, ok bool) {
	x := u.uint()
	if x == 0 {
		return 0, false
	}
	if x-1 > uint64(len(u.body)) {
		u.bad = true
		return 0, false
	}
	return int(x - 1), true
}

// plan reads one type; plans are made once per type.
type plan func(u *unpacker, v reflect.Value)

type plans map[reflect.Type]*plan

func planOf(t reflect.Type, made plans) plan {
	if p, ok := made[t]; ok {
		return func(u *unpacker, v reflect.Value) { (*p)(u, v) }
	}
	p := new(plan)
	made[t] = p
	*p = makePlan(t, made)
	return *p
}

func makePlan(t reflect.Type, made plans) plan {
	switch t.Kind() {
	case reflect.String:
		return func(u *unpacker, v reflect.Value) { v.SetString(u.text()) }
	case reflect.Bool:
		return func(u *unpacker, v reflect.Value) { v.SetBool(u.uint() == 1) }
	case reflect.Int, reflect.Int8, reflect.Int64:
		return func(u *unpacker, v reflect.Value) { v.SetInt(u.int()) }
	case reflect.Float64:
		return func(u *unpacker, v reflect.Value) { v.SetFloat(u.float()) }
	case reflect.Pointer:
		elem := planOf(t.Elem(), made)
		return func(u *unpacker, v reflect.Value) {
			if u.uint() == 1 {
				x := reflect.New(t.Elem())
				elem(u, x.Elem())
				v.Set(x)
			}
		}
	case reflect.Slice:
		return listPlan(t, made)
	case reflect.Map:
		if t == reflect.TypeFor[rules.PerHistory]() {
			return perHistoryPlan
		}
		elem := planOf(t.Elem(), made)
		return func(u *unpacker, v reflect.Value) {
			n, ok := u.length()
			if !ok {
				return
			}
			m := reflect.MakeMapWithSize(t, n)
			for range n {
				k, x := reflect.New(t.Key()).Elem(), reflect.New(t.Elem()).Elem()
				k.SetString(u.text())
				elem(u, x)
				m.SetMapIndex(k, x)
			}
			v.Set(m)
		}
	}
	fields := kept(t)
	parts := make([]plan, len(fields))
	for i, f := range fields {
		parts[i] = planOf(t.Field(f).Type, made)
	}
	return func(u *unpacker, v reflect.Value) {
		set := u.uint()
		for i := 0; set != 0 && i < len(fields) && !u.bad; i, set = i+1, set>>1 {
			if set&1 == 1 {
				parts[i](u, v.Field(fields[i]))
			}
		}
	}
}

func listPlan(t reflect.Type, made plans) plan {
	if t == reflect.TypeFor[[]string]() {
		return func(u *unpacker, v reflect.Value) {
			n, ok := u.length()
			if !ok {
				return
			}
			list := make([]string, n)
			for i := range list {
				list[i] = u.text()
			}
			*v.Addr().Interface().(*[]string) = list
		}
	}
	elem := planOf(t.Elem(), made)
	return func(u *unpacker, v reflect.Value) {
		n, ok := u.length()
		if !ok {
			return
		}
		list := reflect.MakeSlice(t, n, n)
		for i := range n {
			if u.bad {
				return
			}
			elem(u, list.Index(i))
		}
		v.Set(list)
	}
}

func perHistoryPlan(u *unpacker, v reflect.Value) {
	n, ok := u.length()
	if !ok {
		return
	}
	m := make(rules.PerHistory, n)
	for range n {
		h := rules.History(u.text())
		m[h] = u.float()
	}
	*v.Addr().Interface().(*rules.PerHistory) = m
}
