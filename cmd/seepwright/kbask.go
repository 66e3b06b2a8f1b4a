package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/interview"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/lint"
	"seepwright/rules/load"
)

// examples stand under a question of kb new, where one says more than the question.
var examples = map[string]string{
	"ask":        "Such as: Did the new ring lie in the sun?",
	"title":      "A few words, such as: Ring hardened on the shelf",
	"means":      "Such as: The ring lay in the sun for months and has gone hard. It cannot follow the bore.",
	"how":        "Such as: Bend it sharply under a lamp and look for fine cracks.",
	"cure":       "Such as: New ring from a dark bag, greased.",
	"prevent":    "Such as: Rings stay in their bag, in the dark.",
	"if-ignored": "Such as: It weeps at each cold start, until it drips.",
	"story":      "Such as: Pump set, wet three days after the refit; the ring was hard, a new one held.",
	"works-by":   "Such as: A glass between two flat rings, drawn together by bolts.",
	"fails-by":   "Such as: The rings go hard and the bolts slacken.",
	"looks-like": "Such as: A round glass in a bolted ring.",
	"says":       "Such as: Both wet at once: look at how they were fitted.",
}

// asked are the questions of a terminal, where a flag's own words would sound odd.
var asked = map[string]string{
	"title":      "What is it called, in a few words?",
	"means":      "What is wrong, as you would tell a colleague?",
	"how":        "How is it done, in the order of the hands?",
	"ask":        "The question, as it is put to the person?",
	"cause":      "Which cause?",
	"cure":       "How is it cured?",
	"prevent":    "How does one keep it from coming back?",
	"if-ignored": "What happens if nothing is done?",
	"story":      "The leak at which you found it: what happened, as you would tell it?",
	"works-by":   "How does such a joint seal, in one sentence?",
	"fails-by":   "How does it usually start to leak, in one sentence?",
	"looks-like": "What does one see of it from outside?",
	"says":       "Why, in one sentence? The person at the bench reads it.",
	"answers":    "Which file has the answers that were known? diagnose keeps them.",
}

// askFor asks on a terminal for what the flags do not say; elsewhere it is an error.
func (n *newDocument) askFor() error {
	if n.template {
		return n.named("")
	}
	var err error
	switch n.sort.name {
	case "cause":
		err = n.askCause()
	case "rule":
		err = n.askRule()
	default:
		for _, name := range n.sort.told {
			if err = n.ask(name); err != nil {
				break
			}
		}
	}
	if err != nil {
		return err
	}
	return n.named(cmp.Or(n.d.Title, n.d.Ask, n.d.Says))
}

// named asks for the name of the document, and offers one made of its title.
func (n *newDocument) named(title string) error {
	if n.d.ID != "" {
		return nil
	}
	if n.talk == nil {
		return fmt.Errorf("give the name of the %s, such as: %s", n.sort.name, n.sort.example)
	}
	words := strings.FieldsFunc(load.MakeID(title), func(r rune) bool { return r == '-' })
	words = slices.DeleteFunc(words, func(w string) bool {
		return slices.Contains([]string{"the", "a", "an", "is", "was", "did", "does", "do", "it", "of", "and", "in", "on", "at", "to", "there"}, w)
	})
	offer := strings.Join(words[:min(4, len(words))], "-")
	if load.PlainName(offer) != nil {
		offer = ""
	}
	for {
		s, err := n.talk.Words(interview.Question{ID: "name", Ask: "A short name for its file, of small letters with hyphens?", Blank: offer, Why: "Other documents call it by this name. Nobody else sees it."})
		if err != nil {
			return err
		}
		s = cmp.Or(s, offer)
		if bad := load.PlainName(s); bad != nil {
			n.talk.Tell("%s.", bad)
			continue
		}
		n.d.ID = s
		return nil
	}
}

// ask asks for one thing that no flag has told.
func (n *newDocument) ask(name string) error {
	to := n.told(name)
	if *to != "" || (name == "ask" || name == "cause") && n.d.Fills != "" {
		return nil
	}
	if n.talk == nil {
		return fmt.Errorf("give --%s TEXT: %s", name, flagHelp[name])
	}
	q := interview.Question{ID: name, Ask: asked[name], Note: examples[name]}
	var err error
	switch name {
	case "cause":
		ask := "For which cause does a yes speak?"
		if n.sort.name == "case" {
			ask = "Which cause did it prove to be?"
		}
		*to, err = n.pickCause(ask, "")
	case "held-by":
		list := interview.HoldWords()
		var i int
		if i, err = n.talk.Pick(interview.Question{ID: name, Ask: "What holds it together?", Options: list}); err == nil {
			*to = list[i].ID
		}
	case "answers":
		if found, _ := filepath.Glob("*answers*.yaml"); len(found) == 1 {
			q.Blank = found[0]
		}
		for {
			var s string
			if s, err = n.talk.Words(q); err != nil {
				return err
			}
			*to = cmp.Or(s, q.Blank)
			if _, bad := os.Stat(*to); bad == nil {
				return nil
			}
			n.talk.Tell("There is no file %s here.", *to)
		}
	default:
		*to, err = n.talk.Words(q)
	}
	return err
}

// pickCause asks for one of the causes of the kind; without has one not.
func (n *newDocument) pickCause(ask, without string) (string, error) {
	k, err := n.known(n.kinds()...)
	if err != nil {
		return "", err
	}
	var list []interview.Option
	for _, c := range append(slices.Clone(k.CausesOf(n.d.Kind)), k.SharedCauses()...) {
		name := c.ID
		if c.Shared {
			name = "shared/" + c.ID
		}
		if c.ID != without {
			list = append(list, interview.Option{ID: name, Title: cmp.Or(c.Title, c.ID)})
		}
	}
	i, err := n.talk.Search(interview.Question{ID: "cause", Ask: ask}, list)
	if err != nil {
		return "", err
	}
	return list[i].ID, nil
}

func (n *newDocument) kinds() []string {
	if n.d.Kind == "shared" {
		return nil
	}
	return []string{n.d.Kind}
}

// sights are all answers of the kind that can be seen or told, as conditions.
func (n *newDocument) sights(k *rules.Knowledge) []interview.Option {
	var out []interview.Option
	reads := map[string]bool{}
	for _, c := range k.CausesOf(n.d.Kind) {
		for _, s := range c.Signs {
			reads[s.Fact] = true
		}
		for _, x := range c.Context {
			for _, f := range x.When.Cond.Facts() {
				reads[f] = true
			}
		}
	}
	for _, f := range k.Facts {
		own := len(f.For) > 0 && rules.Applies(f.For, n.d.Kind) || n.d.Kind == "shared" && len(f.For) == 0
		if f.Engine || f.Safety || !own && !reads[f.ID] {
			continue // what no cause of the kind reads would hardly tell this one
		}
		title := strings.TrimSuffix(cmp.Or(f.Title, f.Ask), "?")
		switch f.Answer {
		case fact.YesNo:
			out = append(out, interview.Option{ID: f.ID + " is yes", Title: title})
		case fact.Choice, fact.Several:
			for _, o := range f.Options {
				out = append(out, interview.Option{ID: f.ID + " is " + o.ID, Title: title + ": " + cmp.Or(o.Title, o.ID)})
			}
		}
	}
	return out
}

// askCause asks for a cause from its title to the case in which it was found.
func (n *newDocument) askCause() error {
	told := n.d.Title + n.d.Means + n.d.Family + n.d.Share + n.d.FoundBy + n.d.How + n.d.Ask + n.d.Remedy + n.cure + n.d.Prevent + n.d.IfIgnored + n.d.Story
	if n.talk == nil && n.d.Means == "" && (told == "" || told == n.d.Title) && len(n.d.Signs) == 0 || n.d.Kind == "shared" {
		n.template = true // to fill in
		return nil
	}
	k, err := n.known(n.kinds()...)
	if err != nil {
		return err
	}
	for _, step := range []func(*rules.Knowledge) error{
		n.text("title"), n.text("means"), n.family, n.share, n.signs, n.certain, n.alike, n.cured, n.text("prevent"), n.text("if-ignored"), n.text("story"), n.when,
	} {
		if err := step(k); err != nil {
			return err
		}
	}
	return nil
}

func (n *newDocument) text(name string) func(*rules.Knowledge) error {
	return func(*rules.Knowledge) error { return n.ask(name) }
}

// family asks for the class of the cause.
func (n *newDocument) family(*rules.Knowledge) error {
	if n.d.Family != "" {
		return nil
	}
	if n.talk == nil {
		return fmt.Errorf("give --family: one of %s", strings.Join(lint.Families(), ", "))
	}
	var list []interview.Option
	for _, f := range lint.Families() {
		if f == "elsewhere" || f == "not_in_knowledge_base" {
			continue
		}
		list = append(list, interview.Option{ID: f, Title: strings.ReplaceAll(f, "_", " ")})
	}
	i, err := n.talk.Pick(interview.Question{ID: "family", Ask: "What sort of fault is it?", Options: list, Columns: true, Why: "Only for counting: it groups what is alike over all kinds of joint."})
	if err == nil {
		n.d.Family = list[i].ID
	}
	return err
}

func (n *newDocument) share(*rules.Knowledge) error {
	if n.d.Share != "" {
		return nil
	}
	if n.talk == nil {
		return errors.New("give --share, such as 'after-refit: 1 %, long-service: 0.5 %': of a hundred leaks of this kind, how many have this cause; a guess will do")
	}
	const why = "A guess will do: 1 is rare, 5 is common, 10 is among the first. It is marked as an estimate, and kb learn corrects it from what you confirm."
	refit, err := n.talk.Share(interview.Question{ID: "share-refit", Ask: "Of 100 leaks of this kind after a refit, how many have this cause?", Note: "A guess will do: 1 is rare, 5 common.", Why: why}, "1")
	if err != nil {
		return err
	}
	long, err := n.talk.Share(interview.Question{ID: "share-long", Ask: "And of 100 that come after long service?", Why: why}, "1")
	n.d.Share = "after-refit: " + refit + ", long-service: " + long
	return err
}

// signs asks what is seen, one after the other.
func (n *newDocument) signs(k *rules.Knowledge) error {
	if len(n.d.Signs) > 0 {
		return nil
	}
	if n.talk == nil {
		return errors.New("give --sign, such as 'wet-onset is at-once: 60 %': what is seen, and in how many of a hundred; seepwright facts lists what can be")
	}
	list, context := n.sights(k), n.context(k)
	for {
		q := interview.Question{ID: "sign", Ask: "What does one see or notice when this is it?", Why: "What it shows more often than other causes do. Two or three that tell are enough."}
		if len(n.d.Signs)+len(n.d.Likelier) > 0 {
			q.Ask, q.Blank = "What else?", "no more"
		}
		i, err := n.talk.Search(q, list)
		if err != nil {
			return err
		}
		if interview.Blank(i) {
			if len(n.d.Signs) == 0 {
				n.talk.Tell("One thing at least that is seen on the leak.")
				continue
			}
			return nil
		}
		if context[strings.Fields(list[i].ID)[0]] {
			times, err := n.talk.Count(interview.Question{ID: "times", Ask: "That was done or fitted, and is not seen on the leak. How many times likelier does it make this cause?", Blank: "3"}, 50)
			if err != nil {
				return err
			}
			n.d.Likelier = append(n.d.Likelier, fmt.Sprintf("%s: %d", list[i].ID, cmp.Or(times, 3)))
			continue
		}
		shows, err := n.talk.Share(interview.Question{ID: "shows", Ask: "In how many of 100 is that so, when this is the cause?"}, "60")
		if err != nil {
			return err
		}
		n.d.Signs = append(n.d.Signs, list[i].ID+": "+shows)
	}
}

// context are the facts that make causes likelier and that no cause shows.
func (n *newDocument) context(k *rules.Knowledge) map[string]bool {
	out := map[string]bool{}
	for _, c := range k.Causes {
		for _, x := range c.Context {
			for _, f := range x.When.Cond.Facts() {
				out[f] = true
			}
		}
	}
	for _, c := range k.Causes {
		for _, s := range c.Signs {
			delete(out, s.Fact)
		}
		for _, f := range c.FoundBy {
			delete(out, f.Fact)
		}
	}
	return out
}

// certain asks for the look that makes sure: one that is there, or one of its own.
func (n *newDocument) certain(k *rules.Knowledge) error {
	if n.d.FoundBy != "" {
		return nil
	}
	if n.talk == nil || n.d.How != "" {
		if err := n.ask("how"); err != nil {
			return err
		}
		return n.ask("ask")
	}
	i, err := n.talk.Pick(interview.Question{ID: "certain", Ask: "How do you make sure that it is this and nothing else?", Options: []interview.Option{
		{ID: "own", Title: "by a look or a measurement that I shall describe"}, {ID: "there", Title: "by a look that seepwright knows already"}}})
	if err != nil {
		return err
	}
	if i == 0 {
		if err := n.ask("how"); err != nil {
			return err
		}
		n.talk.Tell("And the question that it answers, with yes when it is this cause:")
		return n.ask("ask")
	}
	var looks []interview.Option
	for _, c := range k.Checks {
		if rules.Applies(c.For, n.d.Kind) {
			looks = append(looks, interview.Option{ID: c.ID, Title: cmp.Or(c.Title, c.ID)})
		}
	}
	for {
		l, err := n.talk.Search(interview.Question{ID: "look", Ask: "Which look?"}, looks)
		if err != nil {
			return err
		}
		c := k.Check(looks[l].ID)
		seen := slices.DeleteFunc(n.sights(k), func(o interview.Option) bool {
			id, _, _ := strings.Cut(o.ID, " ")
			return !slices.Contains(c.Fills, id)
		})
		if len(seen) == 0 {
			n.talk.Tell("That look gives only numbers; take another.")
			continue
		}
		s, err := n.talk.Pick(interview.Question{ID: "shows-what", Ask: "And what does it show, when it is this cause?", Options: seen})
		if err != nil {
			return err
		}
		n.d.FoundBy = c.ID + ": " + seen[s].ID
		n.d.Se, n.d.Sp = "", "" // the look has its own
		return nil
	}
}

// alike asks for the cause that looks the same.
func (n *newDocument) alike(*rules.Knowledge) error {
	if n.d.TakenFor != "" || n.talk == nil {
		return nil
	}
	id, err := n.pickCause("Which other cause looks much the same, until one makes sure?", n.d.ID)
	n.d.TakenFor = id
	return err
}

// cured asks for the cure: one that is there, or one of its own.
func (n *newDocument) cured(k *rules.Knowledge) error {
	if n.d.Remedy != "" || n.cure != "" {
		return nil
	}
	if n.talk == nil {
		return errors.New("give --remedy NAME, a cure that is there, or --cure: " + flagHelp["cure"])
	}
	used := map[string]bool{}
	for _, c := range k.CausesOf(n.d.Kind) {
		for _, r := range c.Remedies {
			used[r.Remedy] = true
		}
	}
	var list []interview.Option
	for _, r := range k.Remedies {
		if used[r.ID] {
			list = append(list, interview.Option{ID: r.ID, Title: cmp.Or(r.Title, r.ID)})
		}
	}
	i, err := n.talk.Search(interview.Question{ID: "remedy", Ask: "What cures it?", Blank: "none of those known"}, list)
	if err != nil {
		return err
	}
	if interview.Blank(i) {
		return n.ask("cure")
	}
	n.d.Remedy = list[i].ID
	return nil
}

// when asks for the history of the case.
func (n *newDocument) when(*rules.Knowledge) error {
	if n.d.History != "" {
		return nil
	}
	if n.talk == nil {
		n.d.History = string(rules.AfterRefit)
		return nil
	}
	list := []interview.Option{{ID: string(rules.AfterRefit), Title: "it was opened and put together"}, {ID: string(rules.BackInWeeks), Title: "it had been mended, and was wet again within weeks"},
		{ID: string(rules.LongService), Title: "nothing for months or years"}, {ID: string(rules.Disturbed), Title: "not opened, but something beside it was, or it was moved"}}
	i, err := n.talk.Pick(interview.Question{ID: "history", Ask: "What had been done to that joint before?", Options: list})
	if err == nil {
		n.d.History = list[i].ID
	}
	return err
}

// askRule asks for a condition and what follows from it.
func (n *newDocument) askRule() error {
	if n.talk == nil || n.d.When+n.d.Then != "" {
		n.template = n.talk == nil && n.d.When+n.d.Then == ""
		return nil
	}
	k, err := n.known(n.kinds()...)
	if err != nil {
		return err
	}
	list := n.sights(k)
	var all []string
	for {
		q := interview.Question{ID: "when", Ask: "What has to be so?"}
		if len(all) > 0 {
			q.Ask, q.Blank = "And what else?", "that is all"
		}
		i, err := n.talk.Search(q, list)
		if err != nil {
			return err
		}
		if interview.Blank(i) {
			break
		}
		all = append(all, list[i].ID)
	}
	n.d.When = strings.Join(all, " and ")
	i, err := n.talk.Pick(interview.Question{ID: "then", Ask: "What follows from it?", Options: []interview.Option{{ID: "raise", Title: "a cause is likelier"}, {ID: "lower", Title: "a cause is less likely"}, {ID: "find", Title: "it is that cause, almost for certain"}, {ID: "caution", Title: "a warning has to be shown"}}})
	if err != nil {
		return err
	}
	if i == 3 {
		var warn []interview.Option
		for _, c := range k.Cautions {
			warn = append(warn, interview.Option{ID: c.ID, Title: cmp.Or(c.Title, c.ID)})
		}
		w, err := n.talk.Search(interview.Question{ID: "caution", Ask: "Which warning?"}, warn)
		if err != nil {
			return err
		}
		n.d.Then = "caution: " + warn[w].ID
		return n.ask("says")
	}
	cause, err := n.pickCause("Which cause?", "")
	if err != nil {
		return err
	}
	switch i {
	case 0:
		n.d.Then = "raise: {cause: " + cause + ", times: 2}"
	case 1:
		n.d.Then = "lower: {cause: " + cause + ", times: 0.5}"
	case 2:
		n.d.Then = "find: {cause: " + cause + ", se: 90 %, sp: 95 %}"
	}
	return n.ask("says")
}
