package load

import (
	"cmp"
	"reflect"
	"slices"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Difference is a document that only one of two knowledge bases has, or that says something
// else in the second.
type Difference struct {
	Kind, Ref string
	How       string       // added | gone | changed
	Place     source.Place // in the second, if it is there; else in the first
}

// Differences compares two knowledge bases document by document, in the order of the kinds of
// documents and then of names. Where a document stands does not count, only what it says.
func Differences(first, second *rules.Knowledge) []Difference {
	var out []Difference
	for _, d := range kinds() {
		was := map[string]doc{}
		for _, x := range d.list(first) {
			was[x.ref] = x
		}
		var some []Difference
		for _, x := range d.list(second) {
			old, both := was[x.ref]
			delete(was, x.ref)
			switch {
			case !both:
				some = append(some, Difference{d.name, x.ref, "added", x.place})
			case !saysTheSame(reflect.ValueOf(old.ptr), reflect.ValueOf(x.ptr)):
				some = append(some, Difference{d.name, x.ref, "changed", x.place})
			}
		}
		for ref, x := range was {
			some = append(some, Difference{d.name, ref, "gone", x.place})
		}
		slices.SortFunc(some, func(a, b Difference) int { return cmp.Compare(a.Ref, b.Ref) })
		out = append(out, some...)
	}
	return out
}

var placeType = reflect.TypeFor[source.Place]()

// saysTheSame compares what was read, without the places and without what is filled later.
func saysTheSame(a, b reflect.Value) bool {
	if a.Type() == placeType {
		return true
	}
	switch a.Kind() {
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() && b.IsNil()
		}
		return saysTheSame(a.Elem(), b.Elem())
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !saysTheSame(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, k := range a.MapKeys() {
			if v := b.MapIndex(k); !v.IsValid() || !saysTheSame(a.MapIndex(k), v) {
				return false
			}
		}
		return true
	case reflect.Struct:
		for _, i := range kept(a.Type()) {
			if !saysTheSame(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	}
	return a.Equal(b)
}
