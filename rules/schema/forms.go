package schema

import (
	"cmp"
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// Forms lists the files besides knowledge that have a schema: what a person knows of a leak,
// and the person's own unit.
func Forms() []string { return []string{"answers", "assembly"} }

// OfForm gives the schema of a file of answers or of an assembly. With a knowledge base its
// facts, options, kinds, remedies and instruments are named, so that an editor completes them
// and marks a name that does not exist; without one (nil) any name will do.
func OfForm(form string, k *rules.Knowledge) ([]byte, error) {
	all := object{"words": answerText(), "answer": answerForm(), "answers": answersForm(k), "assembly": assemblyForm(k)}
	out := object{"$schema": draft, "definitions": all}
	switch form {
	case "answers":
		out["title"] = "What is known of a leak"
		for name, v := range answersFile(k) {
			out[name] = v
		}
	case "assembly":
		out["title"] = "A unit with its joints"
		out["allOf"] = []any{to("assembly")}
	default:
		return nil, fmt.Errorf("no form is called %q: the forms are %s", form, strings.Join(Forms(), ", "))
	}
	return write(out)
}

// answerText is a text as it stands in a file: YAML may take it for a number or for yes or no.
func answerText() object { return object{"type": []string{"string", "number", "boolean"}} }

func said() object { return to("words") }

// filledIn is a text that is there.
func filledIn() object {
	return object{"anyOf": []any{object{"type": "string", "pattern": "\\S"}, object{"type": []string{"number", "boolean"}}}}
}

// named are names to choose from, and with open also anything else, for a person may write an
// option in other words, or a list with commas.
func named(open bool, ids []string) object {
	if len(ids) == 0 {
		return filledIn()
	}
	if !open {
		return object{"enum": ids}
	}
	return object{"anyOf": []any{object{"enum": ids}, filledIn()}}
}

func closed(properties object, must ...string) object {
	o := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(must) > 0 {
		o["required"] = must
	}
	return o
}

func orNothing(o object) object { return object{"anyOf": []any{o, object{"type": "null"}}} }

// answerForm is one answer in any of its forms.
func answerForm() object {
	reading := object{"anyOf": []any{filledIn(), closed(object{"at": said(), "value": filledIn()}, "value")}}
	rows := object{"type": "array", "items": reading}
	list := orNothing(many(said()))
	o := closed(object{
		"is":       with(list, "The options that are so."),
		"not":      with(orNothing(many(said())), "The options that were looked at and are not so."),
		"value":    with(said(), "The quantity: 12.03 mm by micrometer."),
		"unit":     with(said(), "The unit of the value, or of all readings."),
		"readings": with(rows, "The readings, each alone or with the place where it was taken."),
	})
	o["minProperties"] = 1
	return object{"anyOf": []any{said(), rows, o}}
}

// states are the answers that say why there is none.
func states() []string { return []string{string(fact.CantTell), string(fact.CantGet)} }

func answersForm(k *rules.Knowledge) object {
	if k == nil {
		return orNothing(object{"type": "object", "additionalProperties": to("answer")})
	}
	properties, quiet := object{}, []string{}
	for _, f := range k.Facts {
		if f.Engine {
			quiet = append(quiet, f.ID) // worked out as a rule; who knows better may say so
			continue
		}
		properties[f.ID] = factForm(f)
	}
	o := closed(properties)
	if len(quiet) > 0 {
		o["patternProperties"] = object{"^(" + strings.Join(quiet, "|") + ")$": to("answer")}
	}
	return orNothing(o)
}

func factForm(f *rules.Fact) object {
	var ids, meant []string
	for _, o := range f.Options {
		ids = append(ids, o.ID)
		meant = append(meant, o.ID+": "+cmp.Or(o.Title, o.ID))
	}
	help := cmp.Or(f.Ask, f.Title, f.ID)
	if f.Answer == fact.YesNo {
		ids = []string{"yes", "no"}
	}
	if len(meant) > 0 {
		help += "\n" + strings.Join(meant, "\n")
	}
	if f.Dim != "" {
		help += "\nA number with its unit, and by which instrument."
	}
	if f.How != "" {
		help += "\n" + f.How
	}
	o := to("answer")
	if len(ids) > 0 {
		o = object{"anyOf": []any{object{"enum": append(ids, states()...)}, to("answer")}}
	}
	return with(o, help)
}

func answersFile(k *rules.Knowledge) object {
	var histories, kinds, remedies []string
	for _, h := range rules.Histories() {
		histories = append(histories, string(h))
	}
	if k != nil {
		kinds = kindNames(k)
		for _, r := range k.Remedies {
			remedies = append(remedies, r.ID)
		}
	}
	version := object{"anyOf": []any{object{"type": "integer", "minimum": 1, "maximum": answer.Schema}, object{"enum": oneTo(answer.Schema)}}}
	tried := closed(object{
		"joint":  with(filledIn(), "The joint that was worked on; not needed where there is one only."),
		"did":    with(many(named(true, remedies)), "What was done, by the names of remedies."),
		"retest": with(object{"enum": []string{"wet", "dry"}}, "How the retest came out."),
	}, "retest")
	own := func(kind, help string) object { return object{"type": kind, "description": help} }
	return closed(object{
		"answers":  with(to("answers"), "FACT: ANSWER, one a line. seepwright facts lists the facts."),
		"joints":   with(object{"type": "object", "additionalProperties": to("answers")}, "The id of each joint of the assembly, with its answers under it."),
		"joint":    with(object{"anyOf": []any{named(true, kinds), object{"type": "array", "items": named(true, kinds), "minItems": 1}}}, "The kind of joint, for a job on one joint; several while it is not clear which."),
		"history":  with(object{"enum": histories}, "What was done to the joint before it leaked."),
		"tried":    with(orNothing(object{"type": "array", "items": tried}), "What was done since, and how each retest came out."),
		"assembly": with(object{"anyOf": []any{filledIn(), to("assembly")}}, "The file of the assembly, or the assembly itself."),
		"schema":   with(version, "The form of this file."),
		"version":  with(version, "The form of this file."),
		// what a kept case has besides
		"case":      own("object", "The head of a case that the program keeps."),
		"proven":    own("array", "What it proved to be; kept by the program."),
		"confirmed": own("array", "What the person confirmed; kept by the program."),
		"log":       own("array", "What was done, with its time; kept by the program."),
	})
}

func oneTo(n int) []string {
	var out []string
	for i := range n {
		out = append(out, fmt.Sprint(i+1))
	}
	return out
}

func kindNames(k *rules.Knowledge) []string {
	var out []string
	for _, j := range k.Joints {
		out = append(out, j.ID)
	}
	return out
}

// assemblyForm is the form of a unit. Its fields are those of the reader; a test compares.
func assemblyForm(k *rules.Knowledge) object {
	kind, tools := named(true, nil), named(true, nil)
	if k != nil {
		kind = named(false, append(kindNames(k), "unknown"))
		var ids []string
		for _, i := range k.Instruments {
			ids = append(ids, i.ID)
		}
		tools = named(true, ids)
	}
	word := func() object { return orNothing(said()) }
	words := func(item object) object {
		return orNothing(object{"anyOf": []any{item, object{"type": "array", "items": orNothing(said())}}})
	}
	choice := func(field string) object {
		list := []any{nil, ""}
		for _, c := range assembly.Choices(field) {
			list = append(list, c)
			if c == "yes" || c == "no" {
				list = append(list, c == "yes")
			}
		}
		return object{"enum": list}
	}
	minutes := object{"anyOf": []any{object{"type": "number", "minimum": 0, "maximum": 1e5}, object{"type": "string", "pattern": "^\\s*[+]?[0-9.]"}}}
	joint := closed(object{
		"id":            with(filledIn(), "A short name, used only here."),
		"kind":          with(kind, "The kind of joint, or unknown. seepwright joint lists them."),
		"title":         with(word(), "What you call it."),
		"like":          with(word(), "Joints with the same word here are twins."),
		"circuit":       with(word(), "What runs in it."),
		"above":         with(words(filledIn()), "The joints above it, whose liquid would run down to it."),
		"blown from":    with(words(filledIn()), "The joints from which wind or a fan blows liquid to it."),
		"last work":     with(choice("last work"), "What was done to it last."),
		"leaked before": with(choice("leaked before"), "Whether it has leaked before."),
		"known":         with(to("answers"), "FACT: ANSWER of this joint."),
	}, "id", "kind")
	step := closed(object{
		"id":       with(filledIn(), "A short name, used only here."),
		"title":    with(word(), "What is taken off."),
		"off":      with(minutes, "Minutes to take it off."),
		"back":     with(minutes, "Minutes to put it back."),
		"needs":    with(words(filledIn()), "The steps that come before."),
		"uncovers": with(words(filledIn()), "The joints that can be reached once this is done."),
	}, "id")
	return closed(object{
		"assembly": with(word(), "What the unit is called."),
		"known":    with(to("answers"), "FACT: ANSWER of the whole unit: fluid, pressure."),
		"tools":    with(words(tools), "The instruments that you have."),
		"in hand":  with(words(filledIn()), "The parts that you have."),
		"joints":   with(object{"type": "array", "items": joint, "minItems": 1, "maxItems": 200}, "The joints that could leak."),
		"access":   with(orNothing(object{"type": "array", "items": step, "maxItems": 200}), "Steps of getting there, each paid once."),
	}, "joints")
}
