package answer

import (
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

func yesNo(text string) (fact.Value, error) {
	switch fold(text) {
	case "yes", "y", "true":
		return fact.MakeYesNo(true), nil
	case "no", "n", "false":
		return fact.MakeYesNo(false), nil
	}
	return fact.Value{}, mistake(BadAnswer, "write yes or no, or cant-tell", "%q is neither yes nor no", text)
}

func optionIDs(f *rules.Fact) []string {
	ids := make([]string, len(f.Options))
	for i, o := range f.Options {
		ids[i] = o.ID
	}
	return ids
}

// find looks an option up by id first, then by title.
func find(f *rules.Fact, text string) (string, bool) {
	want := fold(text)
	for _, o := range f.Options {
		if fold(o.ID) == want {
			return o.ID, true
		}
	}
	for _, o := range f.Options {
		if o.Title != "" && fold(o.Title) == want {
			return o.ID, true
		}
	}
	return "", false
}

func isOption(f *rules.Fact, text string) bool {
	_, ok := find(f, text)
	return ok
}

func option(f *rules.Fact, text string) (string, error) {
	if id, ok := find(f, text); ok {
		return id, nil
	}
	hint := source.DidYouMean(fold(text), optionIDs(f))
	if hint == "" {
		hint = "write " + formOf(f)
	}
	return "", mistake(UnknownOption, hint, "%q is none of the answers", text)
}

// severalText reads "hot, cold; not running" and "none".
func severalText(f *rules.Fact, text string) (fact.Value, error) {
	if isOption(f, text) { // a title may hold a comma
		return several(f, []string{text}, nil)
	}
	return several(f, strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }), nil)
}

// several reads options named as seen and as seen not to be so. "none of the others" in
// the first list puts all that is not named into the second.
func several(f *rules.Fact, is, not []string) (fact.Value, error) {
	var seen, absent []string
	rest := false
	for _, item := range is {
		item = strings.TrimSpace(item)
		switch fold(item) {
		case "":
			continue
		case "none", "none-of-them", "none-of-these", "none-of-the-others", "no-others", "nothing-else":
			if !isOption(f, item) {
				rest = true
				continue
			}
		}
		into := &seen
		if tail, ok := cutWord(item, "not"); ok && !isOption(f, item) {
			item, into = tail, &absent
		}
		id, err := option(f, item)
		if err != nil {
			return fact.Value{}, err
		}
		*into = append(*into, id)
	}
	for _, item := range not {
		id, err := option(f, strings.TrimSpace(item))
		if err != nil {
			return fact.Value{}, err
		}
		absent = append(absent, id)
	}
	for _, id := range seen {
		if slices.Contains(absent, id) {
			return fact.Value{}, mistake(BothWays, "leave it in one of the two", "%q is named as seen and as not seen", id)
		}
	}
	if rest {
		for _, id := range optionIDs(f) {
			if !slices.Contains(seen, id) {
				absent = append(absent, id)
			}
		}
	}
	if len(seen)+len(absent) == 0 {
		return fact.Value{}, mistake(EmptyAnswer, "write none if none of them was seen, or cant-tell", "the list is empty")
	}
	return fact.MakeSeveral(seen, absent), nil
}

// cutWord takes a leading word off a text, without regard to case.
func cutWord(text, word string) (string, bool) {
	first, rest, ok := strings.Cut(text, " ")
	if !ok || !strings.EqualFold(first, word) {
		return text, false
	}
	return strings.TrimSpace(rest), true
}
