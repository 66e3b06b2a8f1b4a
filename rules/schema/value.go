package schema

import (
	"strings"

	"seepwright/rules"
	"seepwright/rules/load"
)

// The forms of names, numbers and times. They never refuse what the reader takes; a quantity in
// words of units, for instance, is left to it.
const (
	namePattern   = "[a-z0-9]+(-[a-z0-9]+)*"
	refPattern    = namePattern + "(/" + namePattern + ")?"
	numberPattern = "^ *[+-]?[0-9.,¼½¾⅛⅜⅝⅞][0-9.,/eE+ -]*[¼½¾⅛⅜⅝⅞]? *$"
	sizePattern   = "^ *[+-]?[0-9.,¼½¾⅛⅜⅝⅞]"
	timePattern   = "^ *[+-]?[0-9.,¼½¾⅛⅜⅝⅞].*[a-zA-Z]"
)

// traps are words that cannot be names, for YAML and conditions take them for something else.
var traps = []string{"yes", "no", "on", "off", "true", "false", "y", "n", "null", "is", "not", "and", "or"}

// forms are the definitions that all kinds share.
func forms() object {
	byHistory := func(v object) object {
		properties := object{}
		for _, h := range rules.Histories() {
			properties[string(h)] = v
		}
		return object{"type": "object", "properties": properties, "additionalProperties": false}
	}
	where := object{}
	for _, w := range []string{"bore", "outside", "face", "any"} {
		where[w] = to("quantity")
	}
	reading := object{"anyOf": []any{to("text"), object{"type": "object", "additionalProperties": false, "required": []string{"value"}, "properties": object{"at": to("text"), "value": to("text")}}}}
	return object{
		"text":        object{"anyOf": []any{filled(object{"type": "string", "minLength": 1}), object{"type": []string{"number", "boolean"}}}},
		"new-name":    object{"type": "string", "pattern": "^" + namePattern + "$", "not": object{"anyOf": []any{object{"enum": traps}, object{"pattern": "^[0-9.+-]+$"}}}},
		"name":        object{"type": "string", "pattern": "^" + refPattern + "$"},
		"condition":   filled(object{"type": "string", "minLength": 1}),
		"sign":        filled(object{"type": "string", "pattern": "[a-z0-9]\\s+is\\s"}),
		"conclusion":  filled(object{"type": "string", "pattern": "^\\s*[a-z0-9][a-z0-9-]*\\s+is\\s+(not\\s+)?[a-z0-9][a-z0-9-]*\\s*$"}),
		"percent":     object{"anyOf": []any{object{"type": "number", "minimum": 0, "maximum": 1}, object{"type": "string", "pattern": sizePattern}}},
		"quantity":    object{"anyOf": []any{object{"type": "number"}, object{"type": "string", "pattern": sizePattern}}},
		"minutes":     object{"anyOf": []any{object{"type": "number", "minimum": 0}, object{"type": "string", "pattern": sizePattern}}},
		"time":        object{"anyOf": []any{object{"const": 0}, object{"type": "string", "pattern": timePattern}, object{"type": "string", "pattern": "^ *0 *$"}}},
		"per-history": object{"anyOf": []any{to("percent"), byHistory(to("percent"))}},
		"within":      byHistory(many(to("name"))),
		"uncertainty": object{"type": "object", "properties": where, "additionalProperties": false},
		"figures":     object{"type": "object", "propertyNames": to("new-name"), "additionalProperties": object{"anyOf": []any{object{"type": "number"}, object{"type": "string", "pattern": sizePattern}}}},
		"answer": object{"anyOf": []any{
			to("text"),
			object{"type": "array", "items": reading},
			object{"type": "object", "additionalProperties": false, "properties": object{"is": many(to("text")), "not": many(to("text")), "unit": to("text"), "readings": many(reading)}},
		}},
		"answers": object{"type": "object", "propertyNames": to("name"), "additionalProperties": to("answer")},
		"inputs":  object{"type": "object", "propertyNames": to("name"), "additionalProperties": to("text")},
		"outputs": object{"type": "object", "propertyNames": to("name"), "additionalProperties": to("name")},
	}
}

// filled refuses a place that still waits for its author.
func filled(o object) object {
	o["not"] = object{"pattern": "FILL IN"}
	return o
}

func text() object { return to("text") }

// many is a list, or one alone.
func many(item object) object {
	return object{"anyOf": []any{item, object{"type": "array", "items": item}}}
}

// words are the choices of a field; yes and no are also what YAML may make of them.
func words(f load.Field) object {
	list := []any{}
	for _, c := range f.Choices {
		list = append(list, c)
	}
	if f.Holds == "yes or no" {
		list = append(list, true, false, "true", "false")
	}
	return object{"enum": list}
}

// value is the form of what a field holds. What a field holds that is not known here comes out
// as anything at all; a test sees to it that there is no such field.
func value(f load.Field) object {
	switch {
	case f.Holds == "list of words":
		return many(words(f))
	case len(f.Choices) > 0:
		return words(f)
	case f.Holds == "list of entries":
		item := entry(f.Fields)
		if f.OneOf {
			item["minProperties"], item["maxProperties"] = 1, 1
		}
		return many(item)
	case f.Holds == "names with values":
		return entry(f.Fields)
	case f.Holds == "NAME: {kind, like, above, given}":
		return object{"type": "object", "propertyNames": to("new-name"), "additionalProperties": entry(f.Fields)}
	case f.Holds == "list of names of remedies, best first":
		return many(object{"anyOf": []any{to("name"), entry(f.Fields)}})
	case strings.HasPrefix(f.Holds, "list of names of "):
		return many(to("name"))
	case strings.HasPrefix(f.Holds, "name of a "):
		return to("name")
	case f.Holds == "number", f.Holds == "whole number":
		n := object{"type": "number"}
		if f.Holds == "whole number" {
			n["type"] = "integer"
		}
		if f.Least != 0 || f.Most != 0 {
			n["minimum"], n["maximum"] = f.Least, f.Most
		}
		return object{"anyOf": []any{n, object{"type": "string", "pattern": numberPattern}}}
	}
	for start, form := range held {
		if f.Holds == start || strings.HasSuffix(start, "(") && strings.HasPrefix(f.Holds, start) {
			return form()
		}
	}
	return object{}
}

// held are the forms by what the table of fields says that they hold.
var held = map[string]func() object{
	"text":                             text,
	"list of texts":                    func() object { return many(text()) },
	"name":                             func() object { return to("new-name") },
	"condition":                        func() object { return to("condition") },
	"FACT is yes, or FACT is OPTION":   func() object { return to("sign") },
	"FACT is VALUE":                    func() object { return to("conclusion") },
	"FACT: ANSWER":                     func() object { return to("answers") },
	"INPUT: FACT or quantity":          func() object { return to("inputs") },
	"OUTPUT: FACT":                     func() object { return to("outputs") },
	"names with numbers":               func() object { return to("figures") },
	"per cent (":                       func() object { return to("percent") },
	"per cent, or one per history (":   func() object { return to("per-history") },
	"quantity with its unit (":         func() object { return to("quantity") },
	"quantities by where it is used (": func() object { return to("uncertainty") },
	"minutes (":                        func() object { return to("minutes") },
	"time with its unit (":             func() object { return to("time") },
	"options by history (":             func() object { return to("within") },
}
