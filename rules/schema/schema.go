// Package schema writes down the form of documents as JSON Schema, so that an editor can
// complete and check them while they are typed. It is made from the table that reads the files.
// It knows the form only: whether a name exists, a condition makes sense or shares add up is
// the business of rules/lint.
package schema

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules/load"
)

// object is a piece of a schema. Names are written in alphabetical order.
type object map[string]any

// draft is the version of the standard that most editors read.
const draft = "http://json-schema.org/draft-07/schema#"

// Kinds lists the kinds of documents that have a schema of their own.
func Kinds() []string {
	var out []string
	for _, k := range load.Kinds() {
		out = append(out, k.Name)
	}
	return out
}

// Of gives the schema of one kind of document, or, for "", of all of them and of the
// documents that change others (amend, replace, remove, after). An unknown kind is an error.
func Of(kind string) ([]byte, error) {
	kinds := load.Kinds()
	all := forms()
	for _, k := range kinds {
		all[k.Name] = document(k)
	}
	out := object{"$schema": draft, "definitions": all}
	if kind == "" {
		whole(out, all, kinds)
	} else {
		i := slices.IndexFunc(kinds, func(k load.Kind) bool { return k.Name == kind })
		if i < 0 {
			return nil, fmt.Errorf("no kind of document is called %q: the kinds are %s", kind, strings.Join(Kinds(), ", "))
		}
		for _, k := range kinds {
			if k.Name != kind {
				delete(all, k.Name)
			}
		}
		out["title"] = "A document of the kind " + kind
		out["allOf"] = []any{to(kind)}
	}
	return write(out)
}

func write(v any) ([]byte, error) {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(v)
	return []byte(b.String()), err
}

func to(definition string) object { return object{"$ref": "#/definitions/" + definition} }

// document is the form of one kind of document.
func document(k load.Kind) object {
	o := entry(k.Fields)
	o["description"] = k.Help
	properties := o["properties"].(object)
	properties[k.Name] = with(to("new-name"), "Its name. First in the document.")
	if k.Name == "tests" {
		properties[k.Name] = with(to("name"), "The name of the rule that they test. First in the document.")
	}
	o["required"] = append([]string{k.Name}, required(k.Fields)...)
	return o
}

// entry is the form of names with values, each a field.
func entry(fields []load.Field) object {
	properties := object{}
	for _, f := range fields {
		properties[f.Name] = with(value(f), describe(f))
	}
	o := object{"type": "object", "properties": properties, "additionalProperties": false}
	if must := required(fields); len(must) > 0 {
		o["required"] = must
	}
	return o
}

func required(fields []load.Field) []string {
	var out []string
	for _, f := range fields {
		if f.Must {
			out = append(out, f.Name)
		}
	}
	return out
}

func describe(f load.Field) string {
	if len(f.Choices) > 0 || f.Holds == "text" || f.Holds == "names with values" {
		return f.Help
	}
	return f.Help + " Write: " + f.Holds + "."
}

// with adds a description. Beside a reference nothing counts, so the reference goes one deeper.
func with(o object, description string) object {
	if _, ref := o["$ref"]; ref {
		return object{"allOf": []any{o}, "description": description}
	}
	o["description"] = description
	return o
}

// whole is the schema of all documents. The first name of a document says its kind; where this
// name is also a field of another kind, the other kind's name must not be there.
func whole(out, all object, kinds []load.Kind) {
	var choices, heads []any
	properties := object{}
	says := func(name string, is object, then any) {
		choices = append(choices, object{"if": is, "then": then})
		heads = append(heads, object{"required": []string{name}})
	}
	var names []string
	for _, k := range kinds {
		names = append(names, k.Name)
		is := object{"required": []string{k.Name}}
		not := []any{object{"required": []string{"amend"}}, object{"required": []string{"replace"}}}
		for _, other := range kinds {
			if slices.ContainsFunc(other.Fields, func(f load.Field) bool { return f.Name == k.Name }) {
				not = append(not, object{"required": []string{other.Name}})
			}
		}
		is["not"] = object{"anyOf": not}
		says(k.Name, is, to(k.Name))
		properties[k.Name] = object{"description": k.Help}
		for _, verb := range []string{"amend", "replace"} {
			pattern := "^" + k.Name + " "
			is := object{"required": []string{verb}, "properties": object{verb: object{"type": "string", "pattern": pattern}}}
			choices = append(choices, object{"if": is, "then": to(verb + "-" + k.Name)})
			all[verb+"-"+k.Name] = change(verb, k)
		}
	}
	named := object{"type": "string", "pattern": "^(" + strings.Join(names, "|") + ") +" + refPattern + " *$"}
	for verb, help := range map[string]string{
		"amend":   "Changes only the fields that are named of a document that is there: KIND NAME, such as cause radial-oring/bore-oval.",
		"replace": "Writes a document anew that is there: KIND NAME.",
		"remove":  "Takes a document out that is there: KIND NAME.",
	} {
		properties[verb] = with(object{"allOf": []any{named}}, help)
	}
	properties["after"] = with(many(text()), "The folder after which this one comes and has the last word.")
	for _, verb := range []string{"amend", "replace"} {
		heads = append(heads, object{"required": []string{verb}})
	}
	for _, verb := range []string{"remove", "after"} {
		says(verb, object{"required": []string{verb}}, object{"maxProperties": 1})
	}
	out["title"] = "A document of a knowledge base"
	out["type"] = "object"
	out["properties"] = properties
	out["anyOf"] = heads
	out["allOf"] = choices
}

// change is the form of a document that amends or replaces another.
func change(verb string, k load.Kind) object {
	properties := object{verb: object{}}
	for _, f := range k.Fields {
		properties[f.Name] = to(k.Name + "/properties/" + f.Name)
	}
	o := object{"properties": properties, "additionalProperties": false, "minProperties": 2, "required": []string{verb}}
	if verb == "replace" {
		o["required"] = append([]string{verb}, required(k.Fields)...)
	}
	return o
}
